"""A heater string against published and worked values, and ngspice."""

from __future__ import annotations

import json
import math

import pytest

import makers
import ngspice
from benchleaf.chapters.heaters.running import tap_heating_amps
from benchleaf.report.findings import as_json
from heater_strings import AMERICAN_FIVE, EUROPEAN_FIVE, found, series


# Sums and droppers as printed
@pytest.mark.handbook
def test_hundred_milliamp_string_on_240_volts() -> None:
    """worked_examples.csv, series heater dropper (vintage-radio.com): 116.6 V, 0.1 A, 240 V; 1234 ohm, 12.34 W."""
    findings = found(series("240 V 50 Hz", EUROPEAN_FIVE, "order: V5, V4, V2, V1, V3"))
    assert findings.arrangement == "series"
    assert findings.rated_sum_volts == 116.6
    assert findings.rated_current_amps == 0.1
    assert findings.left_for_dropper_volts == pytest.approx(123.4)
    assert findings.dropper is not None
    assert findings.dropper.ohms == pytest.approx(1234, rel=1e-9)
    assert findings.dropper.watts == pytest.approx(12.34, rel=1e-9)
    assert findings.dropper.rating_watts >= 2 * 12.34


@pytest.mark.handbook
def test_next_preferred_value_is_in_iec_60063() -> None:
    """IEC 60063, E24: 1.2, 1.3; the next above 1234 ohm is 1.3 kilohm (E12 has 1.2 and 1.5)."""
    findings = found(series("240 V 50 Hz", EUROPEAN_FIVE, "order: V5, V4, V2, V1, V3"))
    assert findings.dropper is not None
    assert findings.dropper.preferred_ohms == 1300
    assert findings.dropper.preferred_series == "E24"


@pytest.mark.handbook
def test_ballast_of_three_six_volt_and_two_twenty_five_volt_tubes() -> None:
    """worked_examples.csv, ballast (6v6.co.uk): 68.9 V on 117 V, 48 V dropped; 160 ohm and 14.4 W at 0.3 A."""
    tubes = {"V1": "6A7", "V2": "78", "V3": "75", "V4": "25L6GT", "V5": "25Z6GT"}
    findings = found(series("117 V 60 Hz", tubes))
    assert findings.rated_sum_volts == pytest.approx(68.9)
    assert findings.left_for_dropper_volts == pytest.approx(48.1, abs=0.05)
    assert findings.dropper is not None
    assert findings.dropper.ohms == pytest.approx(160, rel=0.01)
    assert findings.dropper.watts == pytest.approx(14.4, rel=0.01)


@pytest.mark.handbook
def test_lovells_octal_string_on_120_volts() -> None:
    """worked_examples.csv, series dropper with a 120 V line (Lovell 1989): 107.8 V, 81.3 ohm, 1.83 W."""
    tubes = {"V1": "12SA7", "V2": "12SK7", "V3": "12SQ7", "V4": "35L6GT", "V5": "35Z5GT"}
    findings = found(series("120 V 60 Hz", tubes))
    assert findings.rated_sum_volts == pytest.approx(107.8)
    assert findings.dropper is not None
    assert findings.dropper.ohms == pytest.approx(81.3, abs=0.05)
    assert findings.dropper.watts == pytest.approx(1.83, abs=0.005)
    assert findings.dropper.preferred_ohms == 82
    assert findings.dropper.rating_watts >= 2 * 1.83


@pytest.mark.handbook
def test_rimlock_string_that_asks_for_more_than_110_volts() -> None:
    """heater_strings.csv (radios-tsf.com): UCH42 UF41 UBC41 UL41 UY41 make 116.5 V (UF41 printed as 12.5 V)."""
    findings = found(series("110 V", EUROPEAN_FIVE))
    assert findings.rated_sum_volts == pytest.approx(116.5, abs=0.11)
    assert findings.left_for_dropper_volts == pytest.approx(-6.6)
    assert findings.dropper is None


@pytest.mark.handbook
def test_console_string_of_seven_tubes() -> None:
    """heater_strings.csv (manual of a 1960s console, sec. 13.9): 50C5 and six 12.6 V tubes at 0.15 A: 125.6 V."""
    types = ("50C5", "12BA6", "12AV6", "12BA6", "12BE6", "12DT8", "12DT8")
    findings = found(series("117 V 60 Hz", {f"V{k}": t for k, t in enumerate(types, 1)}))
    assert findings.rated_sum_volts == pytest.approx(125.6)
    assert findings.rated_current_amps == 0.15


# The contract's example
def test_contracts_example_hundred_and_fifty_milliamp_string_on_117_volts() -> None:
    """The design's contract: 122.8 V, 0.15 A without the lamp, -5.8 V left, no dropper."""
    heaters = "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap"
    data = as_json(found(series("117 V 60 Hz", AMERICAN_FIVE, heaters)))
    assert data["arrangement"] == "series"
    assert data["rated_sum_volts"] == 122.8
    assert data["rated_current_amps"] == 0.15
    assert data["left_for_dropper_volts"] == -5.8
    assert data["dropper"] is None
    nominal = next(line for line in data["running"] if line["line_volts"] == 117)
    assert set(nominal["tubes"]) == set(AMERICAN_FIVE)
    assert nominal["tubes"]["V1"]["rated_volts"] == 12.6
    share = nominal["tubes"]["V1"]["volts"] / 12.6
    assert nominal["tubes"]["V1"]["of_rated"] == pytest.approx(share)
    json.dumps(data, allow_nan=False)


def test_lines_listed_are_low_nominal_high_and_measured() -> None:
    """Ten per cent either way where the record gives no limits: common practice, no source."""
    heaters = "order: V5, V4, V2, V1, V3\nmeasured:\n  line: 117 V\n  V5: 32 V"
    lines = found(series("120 V 60 Hz", AMERICAN_FIVE, heaters)).running
    assert [(line.line_volts, line.which) for line in lines] == [
        (pytest.approx(108), "low"),
        (117, "measured"),
        (120, "nominal"),
        (pytest.approx(132), "high"),
    ]
    written = found(series("230 V 50 Hz, low 200 V, high 240 V", EUROPEAN_FIVE))
    assert [line.line_volts for line in written.running] == [200, 230, 240]
    assert not written.line_limits_assumed


def test_line_measured_at_its_nominal_value_is_listed_once() -> None:
    heaters = "order: V5, V4, V2, V1, V3\nmeasured:\n  line: 120 V\n  V5: 34 V"
    lines = found(series("120 V 60 Hz", AMERICAN_FIVE, heaters)).running
    assert [line.which for line in lines] == ["low", "nominal, measured", "high"]


# The string as it runs
def test_plain_string_shares_the_line_by_rated_volts() -> None:
    """One law for all: each heater has its rated volts times line over sum."""
    nominal = found(series("117 V 60 Hz", AMERICAN_FIVE, "order: V5, V4, V2, V1, V3")).nominal
    assert nominal is not None
    for tube, rated in {"V5": 35, "V4": 50, "V2": 12.6}.items():
        assert nominal.tubes[tube].volts == pytest.approx(rated * 117 / 122.8)
    assert nominal.current_amps == pytest.approx(0.15 * (117 / 122.8) ** 0.6)


def test_rectifier_with_a_lamp_on_its_tap_is_not_far_off() -> None:
    """The lamp takes current past the tap: less than 35 V is as it should be, and the rest of the heater is judged."""
    heaters = "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap"
    findings = found(series("120 V 60 Hz", AMERICAN_FIVE, heaters))
    nominal = findings.nominal
    assert nominal is not None
    rectifier = nominal.tubes["V5"]
    assert rectifier.volts is not None
    assert 29 < rectifier.volts < 34
    assert findings.judged["V5"].verdict == "within"
    assert rectifier.judged_of_rated == pytest.approx(nominal.tubes["V4"].of_rated)
    assert math.fsum(t.volts or 0 for t in nominal.tubes.values()) == pytest.approx(120)


@pytest.mark.handbook
def test_lamp_on_the_tap_gets_about_two_thirds_of_its_current_or_more() -> None:
    """worked_examples.csv, heater tap current (Wireless World on the 35Z5GT): lamp 110 mA, section 90 mA.

    The note adds 50 mA for the plate. Here the direct current that adds 50 mA of heating at 150 mA is found first.
    """
    low, high = 0.0, 0.06
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if tap_heating_amps(0.15, middle, False) < 0.05 else (low, middle)
    assert 0.02 < low < 0.05
    from benchleaf.chapters.heaters.running import run
    from benchleaf.chapters.heaters.string import string_of

    tubes = {"V1": "12SA7", "V2": "12SK7", "V3": "12SQ7", "V4": "50L6GT", "V5": "35Z5GT"}
    bench = makers.bench(series("120 V 60 Hz", tubes, "pilot lamp: 47 across V5 tap"))
    line = run(string_of(bench), 119.0, "", drain_amps=low)
    assert line.current_amps == pytest.approx(0.15, rel=0.01)
    assert line.lamp_amps == pytest.approx(0.110, rel=0.04)
    assert line.tap_section_amps == pytest.approx(0.090, rel=0.06)


def test_plate_pulses_add_to_the_tap_as_ngspice_has_them() -> None:
    """A sine of 150 mA and crest pulses a quarter of a cycle wide, 60 mA in the mean: RMS of their sum by ngspice."""
    width, mean, hertz = 0.25, 0.06, 50.0
    peak, start = mean / width, (0.25 - width / 2) / hertz
    lines = [
        f"Bs s 0 V=0.15*sqrt(2)*sin(2*3.14159265358979*{hertz}*time)",
        f"Vp p 0 PULSE(0 {peak} {start} 1n 1n {width / hertz} {1 / hertz})",
        "Bt t 0 V=v(s)+v(p)",
        "Rs s 0 1k",
        "Rp p 0 1k",
        "Rt t 0 1k",
    ]
    theirs = ngspice.measured(lines, "10u 0.2 0 10u", {"total": "RMS v(t) FROM=0.1 TO=0.2"})["total"]
    assert 0.15 + tap_heating_amps(0.15, mean, False) == pytest.approx(theirs, rel=2e-3)
    assert tap_heating_amps(0.15, mean, True) == mean


def heater_lines(name: str, a: str, b: str, volts: float, amps: float, exponent: float) -> list[str]:
    """A heater for ngspice: a voltage that follows the power of its own current."""
    law = f"{volts!r}*sgn(i(VS{name}))*pow(abs(i(VS{name}))/{amps!r},{1 / exponent!r})"
    return [f"VS{name} {a} {a}{name} 0", f"B{name} {a}{name} {b} V={law}"]


@pytest.mark.parametrize("line", [105, 117, 129])
def test_dropper_and_series_lamp_agree_with_ngspice(line: int) -> None:
    """Three 6.3 V and two 25 V tubes at 0.3 A, a lamp of 6.3 V 0.3 A in the string, a dropper measured at 141 ohm."""
    tubes = {"V1": "6A7", "V2": "78", "V3": "75", "V4": "25L6GT", "V5": "25Z6GT"}
    heaters = (
        "order: dropper, V5, V4, lamp, V2, V1, V3\n"
        "dropper: resistor 150 ohm 30 W, measured 141 ohm\n"
        "pilot lamp: screw cap, 6.3 V 0.3 A, in series"
    )
    findings = found(series(f"{line} V 60 Hz", tubes, heaters))
    assert findings.string is not None
    assert findings.string.chain == ("dropper", "V5", "V4", "lamp", "V2", "V1", "V3")
    lines = [f"Vline n0 0 {line}", "Rd n0 n1 141"]
    pieces = [("V5", 25.0), ("V4", 25.0), ("L", 6.3), ("V2", 6.3), ("V1", 6.3), ("V3", 6.3)]
    for k, (name, volts) in enumerate(pieces, 1):
        end = "0" if k == len(pieces) else f"n{k + 1}"
        lines += heater_lines(name, f"n{k}", end, volts, 0.3, 0.55 if name == "L" else 0.6)
    theirs = ngspice.direct(lines, [f"v(n{k})" for k in range(7)])
    nodes = [*(theirs[f"v(n{k})"] for k in range(7)), 0.0]
    nominal = findings.nominal
    assert nominal is not None
    assert nominal.dropper_volts == pytest.approx(nodes[0] - nodes[1], rel=1e-6)
    for k, (name, _) in enumerate(pieces, 1):
        ours = nominal.lamp_volts if name == "L" else nominal.tubes[name].volts
        assert ours == pytest.approx(nodes[k] - nodes[k + 1], rel=1e-6)


@pytest.mark.handbook
def test_published_dropper_makes_the_string_run_at_its_rating() -> None:
    """vintage-radio.com's 1234 ohm: every heater at its rated volts, 12.34 W in the dropper."""
    heaters = "order: V5, V4, V2, V1, V3\ndropper: resistor 1234 ohm 30 W"
    nominal = found(series("240 V 50 Hz", EUROPEAN_FIVE, heaters)).nominal
    assert nominal is not None
    assert [t.of_rated for t in nominal.tubes.values()] == pytest.approx([1] * 5, rel=1e-9)
    assert nominal.dropper_watts == pytest.approx(12.34, rel=1e-9)


@pytest.mark.parametrize(
    ("order", "more", "chain", "unknown"),
    [
        ("dropper, V5, V4", "", ("V5", "V4"), ("dropper",)),
        ("V5, dropper, V4", "  dropper: 100 ohm\n", ("V5", "dropper", "V4"), ()),
        ("V5, V4", "  dropper: 100 ohm\n", ("dropper", "V5", "V4"), ()),
        ("lamp, V5, V4", "", ("V5", "V4"), ("lamp",)),
        ("lamp, V5, V4", "  pilot lamp: 47, across V5 tap\n", ("V5", "V4"), ()),
    ],
)
def test_a_dropper_or_a_lamp_of_the_order_that_nothing_describes_is_named(
    order: str, more: str, chain: tuple[str, ...], unknown: tuple[str, ...]
) -> None:
    """One that is described and not in the order stands at the line's end; a lamp across a tap is no link."""
    head = "line: 117 V\npower: series string\ntubes:\n  V4: 50C5\n  V5: 35W4\nheaters:\n"
    string = makers.found("heaters", f"{head}  order: {order}\n{more}").string
    assert (string.chain, string.unknown_names) == (chain, unknown)
