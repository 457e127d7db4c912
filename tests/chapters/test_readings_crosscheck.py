"""Kirchhoff over the readings: what contradicts, by how much, which value would set it right; the supply tree."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
import ngspice
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.readings.crosscheck import Contradiction
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.drawing import overlaps
from benchleaf.electrics.dc_stage import DcStage, calibrated, solve_stage
from benchleaf.report.findings import as_json

PARTS = """parts:
  R1: 100 kohm, measured 100 kohm, between V3 plate and B+2
  R2: 1.5 kohm, measured 1.5 kohm, between V3 cathode and B-
  R9: 1 kohm, measured 1 kohm, between B+1 and B+2
"""


def findings_of(readings: str, parts: str = PARTS, sheet: str = "") -> tuple[ReadingsFindings, Bench]:
    def indented(text: str) -> str:
        return "".join(f"    {line.strip()}\n" for line in text.split(";"))

    body = (
        "maker: Larkfield\nmodel: Minuet 5\nline: 120 V\npower: series string\n"
        "tubes:\n  V2: 12BA6\n  V3: 12AV6\n  V4: 50C5\n  V5: 35W4\n"
        f"readings:\n  as found:\n    meter: 10 meg, 0.5 %\n{indented(readings)}"
        + (f"  sheet:\n{indented(sheet)}" if sheet else "")
        + parts
    )
    record = makers.record(body)
    bench = makers.bench(record)
    found = makers.found("readings", bench)
    return found, bench


def contradictions(readings: str, parts: str = PARTS) -> tuple[Contradiction, ...]:
    found, _ = findings_of(readings, parts)
    assert found.latest is not None
    return found.latest.contradictions


def test_readings_of_a_solved_stage_agree() -> None:
    """The voltages come from ngspice: a triode by the three-halves law on 120 V, 100 kohm and 1.5 kohm."""
    lines = ["Vb b 0 DC 120", "Rl b p 100k", "Rk k 0 1.5k", "B1 p k I=1.4e-3*pwr(uramp((v(p)-v(k))/70-v(k)),1.5)"]
    volts = ngspice.direct(lines, ["v(p)", "v(k)"])
    assert contradictions(f"V3: plate {volts['v(p)']:.3f}, cathode {volts['v(k)']:.4f}; B+2: 120") == ()


PENTODE = """line: 230 V 50 Hz
power: transformer
tubes:
  V1: 6B8
parts:
  R3: 200 kohm, measured 205 kohm, between V1 plate and B+2
  R4: 1 Mohm 5 %, between V1 screen and B+2
  R5: 2 kohm, measured 2.1 kohm, between V1 cathode and chassis
readings:
  after:
    meter: {meter}
    to: chassis
    V1: plate {plate}, screen 38, cathode 1.8
    B+2: 245
"""


@pytest.mark.parametrize(
    ("meter", "plate", "contradict"),
    [
        ("10 kohm/V", 92, False),
        ("10 kohm/V on 100 V", 92, False),
        ("10 Mohm", 92, True),
        ("10 kohm/V", 30, True),
    ],
)
def test_what_the_meter_took_is_no_contradiction(meter: str, plate: int, contradict: bool) -> None:
    """153 V / 205 kohm + 207 V / 1 Mohm are 953 uA for the 857 uA of 1.8 V / 2.1 kohm: 92 uA of it went into 1 Mohm."""
    of = makers.found("readings", PENTODE.format(meter=meter, plate=plate))
    assert bool(of.latest.contradictions) == contradict
    assert of.operating["V1"].disagrees == (plate == 30)


def test_one_slip_of_the_pen_is_named_with_what_it_should_have_been() -> None:
    """0.6 mA through 100 kohm from 120 V leaves 60 V and makes 0.9 V on 1.5 kohm: 1.9 V is the slip."""
    (found,) = contradictions("V3: plate 60, cathode 1.9; B+2: 120")
    assert (found.place, found.run) == ("V3", "as found")
    assert found.cathode_amps == makers.meant(1.9 / 1500)
    assert found.others_amps == makers.meant(60 / 100e3 - 60 / 10e6)
    assert found.off_amps == makers.meant(1.9 / 1500 - 60 / 100e3, 2)
    assert found.times > 3
    by_name = {w.what: w for w in found.alone}
    assert by_name["V3 cathode"].needed == makers.meant(1500 * (60 / 100e3 - 61.9 / 10e6))
    assert by_name["R1"].needed == makers.meant(60 / (1.9 / 1500 + 61.9 / 10e6))
    assert all(w.needed > 0 for w in found.alone)


def test_a_contradiction_within_what_the_parts_may_be_off_by_is_none() -> None:
    """0.9 V on 1.5 kohm of unknown tolerance (20 % assumed) is 0.6 mA; 0.66 mA in the plate does not contradict it."""
    loose = PARTS.replace(", measured 1.5 kohm", "").replace(", measured 100 kohm", "")
    assert contradictions("V3: plate 54, cathode 0.9; B+2: 120", loose) == ()
    assert len(contradictions("V3: plate 54, cathode 0.9; B+2: 120")) == 1


def test_the_output_transformers_drop_speaks_against_a_wrong_cathode() -> None:
    """300 ohm carries the plate's current: 5 V over it is 16.7 mA, the cathode's 12 V on 150 ohm says 80 mA."""
    parts = PARTS + (
        "  T1: 300 ohm, measured 300 ohm, between V4 plate and B+1\n"
        "  R8: 150 ohm, measured 150 ohm, between V4 cathode and B-\n"
        "  R3: 1 kohm, measured 1 kohm, between V4 screen and B+1\n"
    )
    (found,) = contradictions("V4: plate 115, screen 117, cathode 12; B+1: 120", parts)
    assert found.place == "V4"
    assert found.others_amps == makers.meant(5 / 300 + 3 / 1000 - (115 + 117) / 10e6)
    assert found.cathode_amps == pytest.approx(0.08)


def test_it_stands_at_the_top_and_on_the_page() -> None:
    found, bench = findings_of("V3: plate 60, cathode 1.9; B+2: 120")
    assert any("disagree" in s.text and "V3" in s.text for s in makers.standouts("readings", bench, found))


def test_what_leaves_a_rail_is_held_against_what_its_resistor_brings() -> None:
    """1 kohm with 1 V over it brings 1 mA; the screen behind it takes 30 V over 10 kohm, 3 mA."""
    parts = PARTS + "  R3: 10 kohm, measured 10 kohm, between V2 screen and B+2\n"
    found, bench = findings_of("B+1: 121; B+2: 120; V2: screen 90, plate 119", parts)
    assert found.latest is not None
    (branch,) = [b for b in found.latest.tree if b.via == "R9"]
    assert branch.contradicts
    assert any("R9 carries less" in s.text for s in makers.standouts("readings", bench, found))


def test_the_tree_goes_from_the_rectifier_to_the_stages() -> None:
    found, bench = findings_of(
        "V5: plate 117 AC, cathode 121; B+1: 121; B+2: 100; V3: plate 60, cathode 0.6; V4: plate 115, cathode 6"
    )
    assert found.latest is not None
    tree = found.latest.tree
    told = [(b.level, b.name) for b in tree]
    assert told[0] == (0, "V5 plate, AC")
    assert told[1][0] == 1
    assert told[1][1].startswith("B+1, V5 cathode")
    rail = next(b for b in tree if b.name == "B+2")
    assert rail.amps == pytest.approx(0.021)
    assert rail.via == "R9"
    plate = next(b for b in tree if b.name == "V3 plate")
    assert plate.amps == pytest.approx(0.4e-3)
    assert plate.level == rail.level + 1
    figure = makers.figures("readings", bench, found)["voltages-supply-tree"]
    assert "V3 plate through R1" in figure.svg
    assert "21 mA" in figure.svg.replace("\u202f", " ")
    assert overlaps(figure.svg) == []


@pytest.mark.parametrize("first", ["B+1", "V5 cathode"])
def test_a_filter_resistor_is_followed_from_the_rail_or_from_the_cathode_that_reads_as_it_does(first: str) -> None:
    """21 V over 1 kohm; V4's plate happens to read as B+2 does and is no rail for that."""
    parts = PARTS.replace("B+1 and", f"{first} and") + "  R7: 100 ohm, between V4 plate and B+1\n"
    found, _ = findings_of("V5: cathode 121; B+1: 121; B+2: 100; V3: plate 60; V4: plate 100", parts)
    assert found.latest is not None
    told = {(b.level, b.name, b.via): b.amps for b in found.latest.tree if b.via}
    assert told == {
        (2, "V4 plate", "R7"): pytest.approx(0.21),
        (2, "B+2", "R9"): pytest.approx(0.021),
        (3, "V3 plate", "R1"): pytest.approx(0.0004),
    }


def test_a_solved_pentode_stage_agrees_too() -> None:
    stage = calibrated(DcStage(120, 100, 150, screen_supply_volts=120, screen_ohms=1e3), 117, 115, 6, 0.5)
    assert stage is not None
    at = solve_stage(stage)
    parts = PARTS + (
        "  T1: 100 ohm, measured 100 ohm, between V4 plate and B+1\n"
        "  R8: 150 ohm, measured 150 ohm, between V4 cathode and B-\n"
        "  R3: 1 kohm, measured 1 kohm, between V4 screen and B+1\n"
    )
    assert (
        contradictions(f"V4: plate {at.plate:.4f}, screen {at.screen:.4f}, cathode {at.cathode:.4f}; B+1: 120", parts)
        == ()
    )


VOLTS = st.sampled_from(["0", "0.000001", "-3", "45", "900000", "120", "<1", "OL", "x"])
OHMS = st.sampled_from(["0 ohm", "0.001 ohm", "100 kohm", "1000000 megohm"])


def test_volts_and_ohms_that_cannot_be_never_raise(sampled: Callable[[int], int]) -> None:
    @given(st.lists(VOLTS, min_size=5, max_size=5), st.lists(OHMS, min_size=3, max_size=3))
    @settings(max_examples=80 // sampled(4))
    def tried(volts: list[str], ohms: list[str]) -> None:
        bench = makers.bench(makers.record(_that_cannot_be(volts, ohms)))
        found = makers.found("readings", bench)
        makers.figures("readings", bench, found)
        makers.standouts("readings", bench, found)
        assert "NaN" not in json.dumps(as_json(found))

    tried()


def _that_cannot_be(volts: list[str], ohms: list[str]) -> str:
    plate, cathode, screen, first, second = volts
    load, bias, feed = ohms
    return (
        "maker: Larkfield\nmodel: Minuet 5\nline: 120 V\npower: series string\ntubes:\n  V2: 12BA6\n  V3: 12AV6\n"
        f"readings:\n  sheet:\n    meter: 1 kohm/V on 300 V\n    V3: plate {plate}, cathode {cathode}\n"
        f"    B+2: {first}\n"
        f"  found:\n    meter: 10 meg, 1 %\n    V3: plate {first}, cathode {cathode}\n"
        f"    V2: plate {plate}, screen {screen}, cathode {cathode}\n    B+1: {first}\n    B+2: {second}\n"
        f"parts:\n  R1: {load}, between V3 plate and B+2\n  R2: {bias}, between V3 cathode and B-\n"
        f"  R3: {feed}, between V2 screen and B+2\n  R9: {feed}, between B+1 and B+2\n"
    )


@pytest.mark.parametrize(("published", "off"), [("166", "low"), ("100", ""), ("60", "high")])
def test_the_supply_tree_tells_what_lies_outside_its_band(published: str, off: str) -> None:
    """100 V on B+2 against the sheet's figure, ± 20 %."""
    read = "V5: plate 117 AC, cathode 121; B+1: 121; B+2: 100; V3: plate 60"
    found, _ = findings_of(read, sheet=f"V5: plate 117 AC; B+1: 121; B+2: {published}")
    assert found.latest is not None
    assert {b.name: b.off for b in found.latest.tree if b.name in ("B+2", "V5 plate, AC")} == {
        "B+2": off,
        "V5 plate, AC": "",
    }


def test_rails_that_nothing_written_feeds_stand_below_the_first_by_their_volts() -> None:
    found, _ = findings_of("V5: plate 117 AC, cathode 121; B+1: 121; B+2: 100; B+3: 60; B+4: 80; V3: plate 50")
    assert found.latest is not None
    assert [(branch.level, branch.name, branch.via) for branch in found.latest.tree] == [
        (0, "V5 plate, AC", ""),
        (1, "B+1, V5 cathode", ""),
        (2, "B+2", "R9"),
        (3, "V3 plate", "R1"),
        (2, "B+4", ""),
        (2, "B+3", ""),
    ]


FED = """line: 230 V 50 Hz
power: transformer
tubes:
  V1: {first}
  V2: 6V6, output
parts:
  L1: 1740 ohm, measured 1740 ohm, job field coil, between B+1 and B+2
  R1: 262 ohm, measured 262 ohm, between V2 cathode and chassis
  R6: 20 kohm, measured 22 kohm, between V1 screen and B+2
  R7: 40 kohm, measured 43 kohm, between V1 screen and chassis
  R8: 60 kohm, measured 60 kohm, between B+2 and chassis
  T2: output transformer, measured 310 ohm, between V2 plate and B+2
readings:
  after:
    to: chassis
    B+1: 370
    B+2: 245
    V2: plate 231, screen 245, cathode 12.6
    V1: {read}
"""


def test_what_a_bleeder_and_a_divider_take_is_accounted_for() -> None:
    """71.8 mA in L1 less 48.1 mA of V2, 147 V / 22 kohm of the screens with R7 beside them, 245 V / 60 kohm of R8."""
    run = makers.found("readings", FED.format(first="6K7, IF", read="screen 98")).latest
    (fed,) = [branch for branch in run.tree if branch.via == "L1"]
    assert fed.unaccounted_amps == pytest.approx(125 / 1740 - 12.6 / 262 - 147 / 22e3 - 245 / 60e3, rel=0.02)


@pytest.mark.parametrize(("first", "told"), [("XV99, IF, heater 6.3 V 0.3 A", False), ("6K7, IF", True)])
def test_nothing_is_unaccounted_for_beside_a_tube_that_nobody_knows(first: str, told: bool) -> None:
    """Its plate hangs on the rail as well: 23.7 mA were told as missing that three such tubes drew."""
    read = "plate 243, screen 98" if not told else "screen 98"
    run = makers.found("readings", FED.format(first=first, read=read)).latest
    (fed,) = [branch for branch in run.tree if branch.via == "L1"]
    assert (fed.unaccounted_amps is not None) == told
