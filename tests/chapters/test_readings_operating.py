"""Operating points from readings and resistors: published data and worked examples, ngspice for whole stages."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.circuit.operating import _over
from benchleaf.report.findings import FAULT
from makers import meant
from ngspice import direct

HEAD = "maker: Larkfield\nmodel: Minuet 5\n"


def examined(tubes: str, readings: str, parts: str, power: str = "transformer") -> tuple[ReadingsFindings, Bench]:
    body = f"{HEAD}power: {power}\ntubes:\n{_in(tubes)}readings:\n  today:\n{_in(readings, 4)}parts:\n{_in(parts)}"
    record = makers.record(body)
    bench = makers.bench(record)
    found = makers.found("readings", bench)
    return found, bench


def _in(lines: str, by: int = 2) -> str:
    return "".join(f"{' ' * by}{line.strip()}\n" for line in lines.strip().splitlines())


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("screen", "bias", "ohms", "plate_ma", "screen_ma"),
    [(250, 7.3, 135, 48, 5.5), (250, 8.4, 210, 36, 4.1), (210, 6.4, 160, 36, 3.9)],
)
def test_el84_cathode_bias_points(screen: float, bias: float, ohms: float, plate_ma: float, screen_ma: float) -> None:
    """Philips EL84, sheets 2 and 3, 1953-1955: grid volts, cathode resistor, plate and screen current at no signal.

    Bias over resistor must be the sum of the two currents to what the sheet's rounding allows.
    """
    found, _ = examined(
        "V1: EL84",
        f"V1: plate {250 + bias}, screen {screen + bias}, cathode {bias}",
        f"R1: {ohms} ohm, between V1 cathode and chassis",
    )
    point = found.operating["V1"]
    assert point.cathode_amps == pytest.approx((plate_ma + screen_ma) / 1000, rel=0.015)
    assert point.plate_amps_low is not None
    assert point.plate_amps_high is not None
    assert point.plate_amps_low < plate_ma / 1000 < point.plate_amps_high
    assert point.plate_amps == pytest.approx(plate_ma / 1000, rel=0.03)
    assert point.plate_watts == pytest.approx(0.25 * plate_ma, rel=0.03)


@pytest.mark.handbook
def test_6be6_currents_add_up_to_the_cathode_current() -> None:
    """General Electric ET-T891A, 6BE6: plate 2.9 mA, screens 6.8 mA, grid 1 0.5 mA; 250 V and 100 V.

    Dissipation by hand from these: 0.725 W and 0.68 W. The sheet's cathode current of 10.2 mA has grid 1 in it.
    """
    found, _ = examined(
        "V1: 6BE6",
        "V1: plate 250, screen 100, cathode 0\nB+1: 279",
        "R1: 10 kohm, between V1 plate and B+1\nR2: 26323.5 ohm, between V1 screen and B+1",
    )
    point = found.operating["V1"]
    assert point.plate_amps == pytest.approx(2.9e-3)
    assert point.screen_amps == pytest.approx(6.8e-3, rel=1e-4)
    assert point.cathode_amps == pytest.approx(10.2e-3 - 0.5e-3, rel=1e-4)
    assert point.plate_watts == pytest.approx(0.725)
    assert point.screen_watts == pytest.approx(0.68, rel=1e-4)


@pytest.mark.handbook
@pytest.mark.parametrize(("volts", "milliamps", "watts"), [(250, 50, 12.5), (350, 54, 18.9)])
def test_plate_dissipation_is_volts_across_the_tube_times_plate_current(
    volts: float, milliamps: float, watts: float
) -> None:
    """250 V at 50 mA: 12.5 W (el34world.com, dissipation page); 350 V at 54 mA: 18.9 W (Wikipedia, 6L6)."""
    found, _ = examined(
        "V1: 45",
        f"V1: plate {volts}, filament 0\nB+1: {volts + milliamps}",
        "R1: 1 kohm, between V1 plate and B+1",
    )
    assert found.operating["V1"].plate_amps == pytest.approx(milliamps / 1000)
    found, _ = examined(
        "V1: 6J5",
        f"V1: plate {volts}, cathode 0\nB+1: {volts + milliamps}",
        "R1: 1 kohm, between V1 plate and B+1",
    )
    assert found.operating["V1"].plate_watts == pytest.approx(watts)


@pytest.mark.regression
def test_seven_and_a_half_volts_across_150_ohms() -> None:
    """50.0 mA: uncertainties 3.2.3 gives 0.0500 A; a triode's plate current is its cathode current."""
    found, _ = examined("V1: 6J5", "V1: plate 200, cathode 7.5", "R1: 150 ohm, between V1 cathode and chassis")
    point = found.operating["V1"]
    assert (point.cathode_amps, point.plate_amps) == (pytest.approx(0.05), pytest.approx(0.05))
    assert (point.plate_by, point.screen_amps) == ("cathode", None)


@pytest.mark.handbook
def test_a_hundred_volts_across_a_plate_load_of_5000_ohms() -> None:
    """20 mA (blissaudio, note on tube circuits)."""
    found, _ = examined("V1: 6J5", "V1: plate 150\nB+1: 250", "R1: 5000 ohm, between V1 plate and B+1")
    assert found.operating["V1"].plate_amps == pytest.approx(0.02)


def test_a_triode_stage_solved_by_ngspice() -> None:
    """Plate load, cathode resistor and a three-halves-power triode: ngspice's currents and heat must come back."""
    solved = direct(
        [
            "Vb b 0 250",
            "Rl b p 100k",
            "Rk k 0 1.5k",
            "Bp p k I=2e-6*pwr(max(v(p,k)/100-v(k),0),1.5)*500",
        ],
        ["v(p)", "v(k)", "i(vb)"],
    )
    amps = -solved["i(vb)"]
    found, _ = examined(
        "V1: 12AX7",
        f"V1: plate 1 {solved['v(p)']:.9f}, cathode 1 {solved['v(k)']:.9f}\nB+2: 250",
        "R1: 100 kohm, between V1 plate 1 and B+2\nR2: 1.5 kohm, between V1 cathode 1 and chassis",
    )
    point = found.operating["V1 triode 1"]
    assert point.plate_amps == meant(amps)
    assert point.cathode_amps == meant(amps)
    assert point.sum_over_cathode == pytest.approx(1, rel=1e-6)
    assert point.plate_watts == meant((solved["v(p)"] - solved["v(k)"]) * amps)


def test_a_pentode_stage_solved_by_ngspice() -> None:
    """Plate, screen and cathode current each by its own resistor; they must agree and the heat be ngspice's."""
    solved = direct(
        [
            "Vb b 0 250",
            "Rl b p 100k",
            "Rs b s 470k",
            "Rk k 0 1k",
            "Bp p k I=2.5e-4*pwr(max(v(s,k)/20-v(k),0),1.5)",
            "Bs s k I=0.7e-4*pwr(max(v(s,k)/20-v(k),0),1.5)",
        ],
        ["v(p)", "v(s)", "v(k)"],
    )
    plate, screen, cathode = (solved[name] for name in ("v(p)", "v(s)", "v(k)"))
    found, _ = examined(
        "V1: 6SJ7",
        f"V1: plate {plate:.9f}, screen {screen:.9f}, cathode {cathode:.9f}\nB+2: 250",
        """R1: 100 kohm, between V1 plate and B+2
        R2: 470 kohm, between V1 screen and B+2
        R3: 1 kohm, between V1 cathode and chassis""",
    )
    point = found.operating["V1"]
    assert point.plate_amps == meant((250 - plate) / 100e3)
    assert point.screen_amps == meant((250 - screen) / 470e3)
    assert point.sum_over_cathode == pytest.approx(1, rel=1e-5)
    assert point.plate_watts == meant((plate - cathode) * (250 - plate) / 100e3)


OUTPUT = "V4: plate 113, screen 92.6, cathode 5.9"
CATHODE = "R8: keep, 150 ohm 10 %, measured 156 ohm, between V4 cathode and B-"


@pytest.mark.regression
def test_the_measured_resistor_counts_and_an_assumed_share_says_so() -> None:
    """5.9 V / 156 ohm = 37.8 mA; the table's 50C5 has 4 mA of 53 mA in the screen (from memory). By hand."""
    found, _ = examined("V4: 50C5", OUTPUT, CATHODE, power="series string")
    point = found.operating["V4"]
    assert point.cathode_amps == meant(5.9 / 156)
    assert point.screen_amps == meant(5.9 / 156 * 4 / 53)
    assert point.plate_amps == meant(5.9 / 156 * 49 / 53)
    assert point.plate_watts == meant((113 - 5.9) * 5.9 / 156 * 49 / 53)
    assert (point.plate_by, point.screen_share_source) == ("assumed share", "from memory")


@pytest.mark.parametrize(
    ("part", "ohms"),
    [
        ("R8: 150 ohm, between V4 cathode and B-", 150),
        ("R8: now 150 ohm, measured 151 ohm, was 150 ohm, measured 300 ohm, between V4 cathode and B-", 151),
        ("R8: was 150 ohm, sheet 140 ohm, between V4 cathode and B-", 150),
        ("R8: sheet 140 ohm, between V4 cathode and B-", 140),
    ],
)
def test_measured_else_fitted_else_the_sheet(part: str, ohms: float) -> None:
    found, _ = examined("V4: 50C5", OUTPUT, part, power="series string")
    assert found.operating["V4"].cathode_amps == meant(5.9 / ohms)


@pytest.mark.parametrize(("date", "ohms"), [("2026-02-21", 300), ("2026-03-04", 151)])
def test_a_part_counts_from_the_day_it_was_fitted(date: str, ohms: float) -> None:
    part = """R8:
        was: 150 ohm, measured 300 ohm
        now: 150 ohm, measured 151 ohm
        between: V4 cathode and B-
        fitted: 2026-03-01"""
    lines = [line.strip() for line in part.splitlines()]
    body = (
        f"{HEAD}power: series string\ntubes:\n  V4: 50C5\nreadings:\n  today:\n    date: {date}\n    {OUTPUT}\nparts:\n"
    )
    body += f"  {lines[0]}\n" + "".join(f"    {line}\n" for line in lines[1:])
    record = makers.record(body)
    found = makers.found("readings", record)
    assert found.operating["V4"].cathode_amps == meant(5.9 / ohms)


@pytest.mark.parametrize(
    ("readings", "parts", "power"),
    [
        (OUTPUT, "R8: 150 ohm, between V4 cathode and chassis", "series string"),
        ("V4: plate 113, cathode > 5", CATHODE, "series string"),
        ("V4: plate 113", CATHODE, "series string"),
        (OUTPUT, "R8: open, 150 ohm, between V4 cathode and B-", "series string"),
        (OUTPUT, "R8: 150 ohm, between V4 cathode and B-\nR9: 470 ohm, between V4 cathode and AVC", "series string"),
        (OUTPUT, "R8: 150 ohm, measured open, between V4 cathode and B-", "series string"),
        (OUTPUT, "R8: 150 ohm, measured > 1 kohm, between V4 cathode and B-", "series string"),
        (OUTPUT, f"{CATHODE}\nR9: 470 ohm, measured short, between V4 cathode and B-", "series string"),
        (OUTPUT, f"{CATHODE}\nR9: 470 ohm, measured > 1 kohm, between V4 cathode and B-", "series string"),
    ],
)
def test_what_cannot_be_known_is_not_computed(readings: str, parts: str, power: str) -> None:
    """Another reference, a bound, no reading, an open resistor, a second resistor to somewhere unknown or of no number.

    What a meter gave as open, short or a bound is no value, least of all the marked one.
    """
    found, _ = examined("V4: 50C5", readings, parts, power)
    assert "V4" not in found.operating


def test_a_large_resistor_to_somewhere_unknown_is_left_out() -> None:
    parts = "R8: 150 ohm, between V4 cathode and B-\nR9: 470 kohm, between V4 cathode and AVC"
    found, _ = examined("V4: 50C5", OUTPUT, parts, power="series string")
    assert found.operating["V4"].cathode_amps == meant(5.9 / 150)


@pytest.mark.parametrize("measured", ["> 20 meg", "open"])
def test_a_resistor_that_surely_takes_next_to_nothing_is_left_out(measured: str) -> None:
    parts = f"R8: 150 ohm, between V4 cathode and B-\nR9: 470 ohm, measured {measured}, between V4 cathode and B-"
    found, _ = examined("V4: 50C5", OUTPUT, parts, power="series string")
    assert found.operating["V4"].cathode_amps == meant(5.9 / 150)


def test_a_screen_share_needs_a_voltage_at_the_plate() -> None:
    found, _ = examined("V4: 50C5", "V4: plate 0, screen 90, cathode 2", CATHODE, power="series string")
    assert found.operating["V4"].plate_amps is None
    assert found.operating["V4"].cathode_amps == meant(2 / 156)


def test_two_tubes_on_one_cathode_resistor_share_it() -> None:
    """Philips EL84, push-pull, common cathode resistor of 130 ohm: 2 x 34.5 mA make 8.97 V."""
    found, _ = examined(
        "V4: EL84\nV5: EL84",
        "V4: plate 259, screen 259, cathode 8.97\nV5: plate 259, screen 259, cathode 8.97",
        "R8: 130 ohm, between V4 cathode and chassis",
    )
    assert found.operating["V4"].cathode_amps == pytest.approx(0.0345)
    assert found.operating["V4"].sharing_cathode == 2
    assert "V5" not in found.operating


def test_a_mixer_that_shares_its_cathode_with_an_oscillator_needs_both_currents() -> None:
    readings = "V1: plate 200, screen 90, osc plate 100, cathode 2\nB+2: 210"
    parts = "R1: 200 ohm, between V1 cathode and chassis\nR2: 22 kohm, between V1 screen and B+2"
    found, _ = examined("V1: ECH81", readings, parts)
    assert found.operating["V1"].plate_amps is None
    found, _ = examined("V1: ECH81", readings, parts + "\nR3: 33 kohm, between V1 osc plate and B+2")
    left = 2 / 200 - 120 / 22e3 - 110 / 33e3
    assert found.operating["V1"].plate_amps == meant(left)
    assert found.operating["V1 oscillator triode"].plate_amps == meant(110 / 33e3)


def test_a_section_that_the_wave_switch_has_taken_off_takes_nothing() -> None:
    """The hexode's 2 mA then follow from the cathode's 8 mA; its own drop of 2 V is no measure."""
    readings = "V1: plate 208, screen 90, cathode 1.6\nB+2: 210\nHT AM: 0"
    parts = "R1: 200 ohm, between V1 cathode and chassis\nR2: 20 kohm, between V1 screen and B+2\n"
    parts += "R3: 33 kohm, between V1 osc plate and HT AM\nR4: 1 kohm, between V1 plate and B+2"
    found, _ = examined("V1: ECH81", readings, parts)
    assert found.operating["V1"].plate_amps == pytest.approx(2e-3)
    assert found.operating["V1"].plate_by == "difference"
    assert "V1 oscillator triode" not in found.operating
    alive, _ = examined("V1: ECH81", readings.replace("AM: 0", "AM: 210"), parts)
    assert "V1 oscillator triode" not in alive.operating or alive.operating["V1 oscillator triode"].plate_amps is None


def test_a_plate_over_its_rating_is_a_fault() -> None:
    """The 50C5's plate is rated 7 W; 12 V across 100 ohm with 150 V is about 15 W."""
    found, bench = examined(
        "V4: 50C5", "V4: plate 150, screen 120, cathode 12", "R8: 100 ohm, between V4 cathode and B-", "series string"
    )
    assert found.operating["V4"].plate_over
    told = [s for s in makers.standouts("readings", bench, found) if s.severity == FAULT]
    assert any("into heat" in s.text for s in told)


def test_a_plates_heat_by_a_current_that_its_cathode_does_not_bear_out_is_to_be_watched() -> None:
    """30 V across 480 ohm are 62.5 mA, and 6 V across 150 ohm are 40 mA, by which the plate stays under its 12 W."""
    parts = "R1: 150 ohm, between V1 cathode and chassis\nT1: 480 ohm, between V1 plate and B+1"
    found, bench = examined("V1: EL84, output", "V1: plate 232, cathode 6.0\nB+1: 262", parts)
    assert found.operating["V1"].disagrees
    (heat,) = (one for one in makers.standouts("readings", bench, found) if "into heat" in one.text)
    assert (heat.severity != FAULT, "by a current that the cathode does not bear out" in heat.text) == (True, True)
    assert any(" plate takes 56" in one.text for one in makers.standouts("readings", bench, found))


def test_currents_that_contradict_each_other_are_named() -> None:
    found, bench = examined(
        "V3: 6J5",
        "V3: plate 100, cathode 2\nB+2: 200",
        "R1: 100 kohm, between V3 plate and B+2\nR2: 1 kohm, between V3 cathode and chassis",
    )
    point = found.operating["V3"]
    assert point.sum_over_cathode == pytest.approx(0.5)
    (told,) = [s.text for s in makers.standouts("readings", bench, found) if s.text.startswith("V3: ")]
    assert "disagree by 1" in told


def test_a_plate_above_its_supply_is_a_contradiction_not_a_current() -> None:
    found, bench = examined("V3: 6J5", "V3: plate 210, cathode 0\nB+2: 200", "R1: 100 kohm, between V3 plate and B+2")
    assert found.operating["V3"].plate_amps is None
    assert any("contradict" in s.text for s in makers.standouts("readings", bench, found))


def test_the_drain_through_a_filter_resistor() -> None:
    """121 V to 92.4 V through 1.2 kohm: 23.8 mA and 0.682 W. By hand."""
    found, _ = examined(
        "V5: 35W4", "V5: cathode 121\nB+2: 92.4", "R10: 1.2 kohm, between V5 cathode and B+2", "series string"
    )
    (drain,) = found.runs[0].drains
    assert (drain.part, drain.amps, drain.watts) == ("R10", meant(28.6 / 1200), pytest.approx(28.6**2 / 1200, rel=5e-3))


@pytest.mark.parametrize(
    ("watts", "low", "high", "over"),
    [
        (9.0, 8.0, 9.5, False),
        (9.0, 8.0, 10.0, False),
        (9.5, 9.0, 10.1, None),
        (10.0, 10.0, 10.1, None),
        (10.0, 10.0, 10.0, False),
        (11.0, 10.1, 12.0, True),
        (11.0, None, None, True),
        (10.0, None, 12.0, False),
        (None, 9.0, 11.0, None),
    ],
)
def test_a_limit_within_the_spread_is_neither_kept_nor_passed(
    watts: float | None, low: float | None, high: float | None, over: bool | None
) -> None:
    assert _over(10.0, watts, low, high) is over
    assert _over(None, watts, low, high) is None
