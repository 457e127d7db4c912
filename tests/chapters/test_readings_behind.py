"""What stands behind a place that a meter loads, and a reading far down a pointer's scale."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.behind import PENTODE_BAND, PUBLISHED_BAND
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.chapters.readings.rows import ReadingRow
from benchleaf.electrics.dc_stage import resistance_at
from benchleaf.electrics.loading import in_parallel
from makers import meant
from ngspice import direct

TUBES = "tubes:\n  V3: 12SQ7\n  V4: 50L6GT\n  V5: 35Z5GT\n"
LOAD = "  R5: 470 kohm, between V3 plate and B+2\n"


def row_at(found: ReadingsFindings, tube: str) -> ReadingRow:
    (row,) = [r for r in found.rows if (r.tube, r.electrode) == (tube, "plate")]
    return row


def plate_of_1942(sheet: str, found: str, parts: str = LOAD) -> ReadingRow:
    body = f"line: 117 V\npower: series string\n{TUBES}readings:\n  sheet:\n{makers.rows(sheet, 4)}"
    body += f"  as found:\n    meter: 10 meg\n{makers.rows(found, 4)}parts:\n{parts}"
    return row_at(makers.found("readings", body), "V3")


def solved(supply: float, *, exponent: float, meter_ohms: float) -> float:
    """A 12SQ7 through its published point (250 V, -2 V, 0.9 mA, mu 100) by another law than the code's, by ngspice.

    Its grid leak holds the grid where 0.05 V are left of the contact potential.
    """
    scale = 0.9e-3 / (250 / 100 - 2 + 0.73) ** exponent
    lines = [f"Vb b 0 {supply}", "Rl b p 470k", f"Rm p 0 {meter_ohms}"]
    lines.append(f"Bp p 0 I={scale}*pwr(max(v(p)/100+0.05,0),{exponent})")
    return direct(lines, ["v(p)"])["v(p)"]


SHEET = "meter: 1 kohm/V on 250 V\nV3: plate {:.0f}, cathode 0\nB+2: {:.0f}"


@pytest.mark.parametrize("exponent", [1.4, 1.5])
def test_a_plate_far_down_its_meters_scale_is_corrected_and_never_judged_with_confidence(exponent: float) -> None:
    """Printed as 24 V with 250 kohm across it (3 % and 1 % of 250 V: 10 V): good and bad readings were swapped."""
    supply = next(s for s in range(70, 140) if solved(s, exponent=exponent, meter_ohms=250e3) >= 23.5)
    printed, good = (solved(supply, exponent=exponent, meter_ohms=ohms) for ohms in (250e3, 10e6))
    sheet = SHEET.format(printed, supply)
    row = plate_of_1942(sheet, f"V3: plate {good:.1f}")
    assert row.expected_volts == 24
    assert row.loading is not None
    assert row.loading.low < good / printed < row.loading.high
    assert row.expected_uncertainty_volts == pytest.approx(10)
    assert row.verdict not in ("low", "high")
    assert row.deviation == pytest.approx(0, abs=0.12)
    bad = plate_of_1942(sheet, f"V3: plate {printed * 0.89:.1f}")
    assert bad.verdict == "cannot tell"
    assert bad.deviation is not None
    assert bad.deviation < -0.3
    assert any("below a tenth of its meter’s range" in remark for remark in bad.remarks)
    assert plate_of_1942(sheet, f"V3: plate {2.5 * good:.1f}").verdict == "high"
    assert plate_of_1942(sheet, "V3: plate 2").verdict == "low"


def test_far_down_the_scale_one_meter_alone_may_account_for_a_good_reading() -> None:
    """Read with a meter that is not named: (24 V + 10 V) with 250 kohm across it may have been 62 V without."""
    body = f"line: 117 V\npower: series string\n{TUBES}readings:\n  sheet:\n{makers.rows(SHEET.format(24, 90), 4)}"
    found = makers.found("readings", f"{body}  as found:\n    V3: plate 59\nparts:\n{LOAD}")
    meter = row_at(found, "V3").meter
    assert meter is not None
    assert meter.up_to_volts == pytest.approx(62, abs=1)


@pytest.mark.parametrize("exponent", [1.4, 1.5])
def test_a_little_further_up_the_scale_there_is_a_verdict(exponent: float) -> None:
    """28 V of 250 V: the good reading is within, the one of the printed size is low."""
    supply = next(s for s in range(70, 160) if solved(s, exponent=exponent, meter_ohms=250e3) >= 27.5)
    printed, good = (solved(supply, exponent=exponent, meter_ohms=ohms) for ohms in (250e3, 10e6))
    sheet = SHEET.format(printed, supply)
    row = plate_of_1942(sheet, f"V3: plate {good:.1f}")
    assert (row.verdict, row.expected_uncertainty_volts) == ("within", None)
    assert plate_of_1942(sheet, f"V3: plate {printed * 0.89:.1f}").verdict == "low"


def test_a_pointers_written_error_counts_far_down_its_scale() -> None:
    """2 % and 1 % of 250 V, and 5 % of 24 V: 8.7 V; a meter of a known resistance has no scale."""
    sheet = SHEET.format(24, 100)
    for meter, volts in (("1 kohm/V on 250 V, 2 % of range", 7.5), ("250 kohm", None)):
        row = plate_of_1942(sheet.replace("1 kohm/V on 250 V", meter), "V3: plate 40")
        assert row.expected_uncertainty_volts == (volts if volts is None else pytest.approx(volts))


@pytest.mark.parametrize(("volts", "unsure"), [(24, 10), (25, None)])
def test_from_a_tenth_of_the_range_on_the_lists_tolerance_covers_the_pointer(volts: int, unsure: float | None) -> None:
    """3 % and 1 % of 250 V below 25 V, a tenth of the range."""
    assert plate_of_1942(SHEET.format(volts, 100), "V3: plate 40").expected_uncertainty_volts == unsure


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("first", "second"),
    [
        ((1.2e-3, 62.5e3), (0.5e-3, 80e3)),
        ((10e-3, 60 / 5.5e-3), (3.7e-3, 15e3)),
        ((11.8e-3, 6250), (10.5e-3, 7700)),
        ((10e-3, 6700), (9e-3, 7700)),
        ((1e-3, 50e3), (0.8e-3, 48e3)),
        ((10.8e-3, 8300), (10e-3, 55 / 6.1e-3)),
    ],
    ids=["12AX7", "12AT7", "12AU7", "6SN7GT", "EABC80", "ECC85"],
)
def test_a_triodes_resistance_goes_with_the_cube_root_of_its_current(
    first: tuple[float, float], second: tuple[float, float]
) -> None:
    """Two operations of one sheet each: Philips ECC83, ECC82, EABC80, ECC85, Tung-Sol 6SN7GT, a 12AT7 sheet."""
    ratio = resistance_at(first[1], first[0], second[0]) / second[1]
    assert 0.84 < ratio < 1.13
    assert PUBLISHED_BAND[0] * ratio < 1 < PUBLISHED_BAND[1] * ratio


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("published", "other"),
    [((48, 38e3), (36, 40e3)), ((9, 900e3), (12, 400e3)), ((9, 1e6), (11, 600e3)), ((9, 1e6), (12, 400e3))],
    ids=["EL84", "EF89", "EBF89 at 200 V", "EBF89 at 170 V"],
)
def test_a_pentodes_resistance_is_not_below_its_band(
    published: tuple[float, float], other: tuple[float, float]
) -> None:
    """Philips EL84, EF89, EBF89: more current at a lower plate voltage costs more than the current alone."""
    by_current = published[1] * published[0] / other[0]
    assert other[1] > PENTODE_BAND * min(by_current, published[1])


def test_a_published_operation_tells_a_triodes_own_resistance() -> None:
    """12SQ7: 91 kohm at 0.9 mA (from memory). At 25.9 uA 91 kohm x (0.9 mA/25.9 uA)^(1/3) = 297 kohm."""
    amps = (81.3 - 24) / 470e3 - 24 / 250e3
    row = plate_of_1942("meter: 1 kohm/V on 250 V\nV3: plate 24, cathode 0\nB+2: 81.3", "V3: plate 40")
    assert row.loading is not None
    source = row.loading.source
    assert source.tube_ohms == pytest.approx(91e3 * (0.9e-3 / amps) ** (1 / 3), rel=5e-3)
    assert source.ohms == pytest.approx(in_parallel(470e3, source.tube_ohms), rel=5e-3)
    assert source.tube_from


def test_a_cathode_resistor_adds_mu_and_one_times_itself() -> None:
    """6SQ7-like: 0.1 mA through 10 kohm at 1 V on the cathode, 101 x 10 kohm beside the plate's own."""
    assert resistance_at(91e3, 0.9e-3, 0.9e-3, 100, 10e3) == pytest.approx(91e3 + 1.01e6)
    for bad in ((0, 1, 1), (1, 0, 1), (1, 1, 0)):
        with pytest.raises(ValueError, match="above zero"):
            resistance_at(*bad)


def test_a_pentodes_own_resistance_stands_beside_its_load() -> None:
    """EF86: 2.5 megohm at 3 mA (Philips). 1 mA through 100 kohm: 7.5 megohm beside it, at least 1.25 megohm."""
    body = "line: 220 V\npower: transformer\ntubes:\n  V1: EF86\nreadings:\n"
    sheet = "  sheet:\n    meter: 1 kohm/V on 300 V\n    V1: plate 75, screen 90, cathode 2\n    B+1: 200\n"
    found = "  as found:\n    meter: 10 meg\n    V1: plate 95, screen 90, cathode 2\n"
    record = f"{body}{sheet}{found}parts:\n  R2: 100 kohm, between V1 plate and B+1\n"
    row = row_at(makers.found("readings", record), "V1")
    assert row.loading is not None
    source = row.loading.source
    assert (source.tube_ohms, source.ohms, source.high_ohms) == (7.5e6, meant(in_parallel(100e3, 7.5e6)), 100e3)
    assert source.low_ohms == meant(in_parallel(100e3, 0.5 * 2.5e6))
    assert row.loading.low < row.loading.factor <= row.loading.high
