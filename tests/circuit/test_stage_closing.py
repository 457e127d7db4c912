"""Stages of which the record leaves something out: by which rule each electrode is closed, beside its bound."""

from __future__ import annotations

import pytest

from benchleaf.circuit.closed.closed_network import Closed
from benchleaf.circuit.closed.closing import close
from benchleaf.electrics.dc_elements import DcBranch, TubeInNet
from makers import circuit, rows

SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V1: 6SA7, converter
  V2: 6SK7, IF amplifier
  V3: 6SQ7
  V4: 6V6GT, output
  V5: 5Y3GT
parts:
  R1: 1 kohm, B+1 to B+2
  R2: 220 kohm, V3 plate to B+2
  R4: 270 ohm, V4 cathode to B-
"""
RAILS = "B+1: 250\nB+2: 220\n"
CHASSIS = "at chassis"


def closed(read: str = "", parts: str = "", *, of: str = SET, to_try: bool = False) -> Closed:
    """The set closed with rails at what was read there, and with what else was read, a line each."""
    text = f"{of}{rows(parts)}readings:\n  as found:\n    line: 117 V\n{rows(RAILS + read, 4)}"
    return close(circuit(text), "as found", known_rails=True, to_try=to_try)


def rule(found: Closed, place: str) -> str:
    """By what rule a place was closed: where it is fed from, where it lies, or the volts it is held at."""
    told = [t for t in found.taken if t.place is not None and t.place.name() == place and t.how != "rail read"]
    told_of = [
        f"{t.how} {t.value:g}" if t.value is not None else f"{t.how} {t.to.name() if t.to else ''}" for t in told
    ]
    return ", ".join(told_of) or ", ".join(
        f"lacks {one.what}" for one in found.lacks if one.place and one.place.name() == place
    )


def branch(found: Closed, name: str) -> DcBranch:
    assert found.net is not None
    return next(one for one in found.net.branches if one.name == name)


def tube(found: Closed, name: str) -> TubeInNet:
    assert found.net is not None
    return next(one for one in found.net.tubes if one.name == name)


@pytest.mark.parametrize(
    ("read", "place", "expected"),
    [
        # An output tube's plate hangs on the first rail; where it was read, on the last that is not below it.
        ("", "V4 plate", "fed from B+1"),
        ("V4: plate 245.1", "V4 plate", "fed from B+1"),
        ("V4: plate 225", "V4 plate", "fed from B+1"),
        ("V4: plate 224", "V4 plate", "fed from B+2"),
        ("V4: plate 155", "V4 plate", "fed from B+2"),
        ("V4: plate 153", "V4 plate", "held 153"),
        ("V4: plate 256", "V4 plate", "fed from B+1"),
        ("V4: plate 0.3", "V4 plate", "held 0.3"),
        ("V4: plate 0.2", "V4 plate", "lacks part"),
        # Its screen on the second, or on the rail whose volts it has within 2 %.
        ("", "V4 screen", "fed from B+2"),
        ("V4: screen 245.1", "V4 screen", "fed from B+1"),
        ("V4: screen 224.4", "V4 screen", "fed from B+2"),
        ("V4: screen 235", "V4 screen", "fed from B+2"),
        ("V4: screen 153", "V4 screen", "held 153"),
        # A winding of an earlier stage hangs on the second rail.
        ("V2: plate 216, screen 100", "V2 plate", "fed from B+2"),
        ("V2: plate 155, screen 100", "V2 plate", "fed from B+2"),
        ("V2: plate 153, screen 100", "V2 plate", "held 153"),
        # An early screen hangs on a resistor that nobody wrote.
        ("V2: screen 100", "V2 screen", "held 100"),
        ("V2: screen 0.3", "V2 screen", "held 0.3"),
        ("V2: screen 217", "V2 screen", "fed from B+2"),
        # A cathode without a part is at the bottom, unless it reads otherwise.
        ("V2: screen 100", "V2 cathode", CHASSIS),
        ("V2: screen 100, cathode 0.2", "V2 cathode", CHASSIS),
        ("V2: screen 100, cathode 0.25", "V2 cathode", "held 0.25"),
        ("V2: screen 100, cathode -0.25", "V2 cathode", "held -0.25"),
        # A grid has the usual leak, unless it is read below half a volt negative: then something biases it.
        ("", "V4 grid", "grid leak 470000"),
        ("V4: grid -0.5", "V4 grid", "grid leak 470000"),
        ("V4: grid -0.6", "V4 grid", "held -0.6"),
        ("V3: grid -1.4", "V3 grid", "held -1.4"),
        ("V3: grid -1.5", "V3 grid", "oscillates -1.5"),
        ("V3: grid -1.6", "V3 grid", "oscillates -1.6"),
        ("V3: grid -1.6, cathode 1", "V3 grid", "held -1.6"),
        ("V2: screen 100, grid -1.6", "V2 grid", "held -1.6"),
    ],
)
def test_an_electrode_for_which_no_part_is_listed_is_closed_by_rule(read: str, place: str, expected: str) -> None:
    expected = f"at the bottom {expected.removeprefix('at ')}" if expected == CHASSIS else expected
    assert rule(closed(read), place) == expected


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ("R3: 1 meg, V3 grid to B-", "oscillates -1.6"),
        ("R3: 1 meg, V3 grid to AVC", ""),
        ("C3: 100 pF mica, V3 grid to V2 plate\nR3: 1 meg, V3 grid to B-", "oscillates -1.6"),
    ],
)
def test_a_grid_oscillates_where_its_leak_ends_at_nothing_that_may_be_negative_by_itself(
    parts: str, expected: str
) -> None:
    assert rule(closed("V3: grid -1.6", parts), "V3 grid") == expected


def test_what_is_lacking_of_a_stage_leaves_its_own_points_unknown_and_no_others() -> None:
    found = closed(parts="R3: 10 meg, V3 grid to B-")
    assert [(one.what, one.place.name()) for one in found.lacks if one.place] == [
        ("part", "V1 screen"),
        ("part", "V2 screen"),
    ]
    names = {at.name() for at in found.unknown}
    assert {"V2 plate", "V2 screen", "V2 cathode"} <= names
    assert not {"V3 plate", "V4 plate", "B+2"} & names


@pytest.mark.parametrize(
    ("read", "parts", "known"),
    [
        ("", "", False),
        ("", "R3: 1 meg, V3 grid to B-", False),
        ("", "R3: 10 meg, V3 grid to B-", True),
        ("", "R3: 1 meg, V3 grid to B-\nR5: 3.3 kohm, V3 cathode to B-", True),
        ("V3: cathode 0", "R3: 1 meg, V3 grid to B-", True),
        ("V3: grid -0.8", "", True),
    ],
)
def test_a_triode_of_which_nothing_says_how_it_is_biased_is_not_worked_out(read: str, parts: str, known: bool) -> None:
    """Of an EBC33 with its cathode unlisted 21 V were worked out where 71 V are right: its bias lay in that cathode."""
    found = closed(read, parts)
    names = {at.name() for at in found.unknown}
    assert ("V3 plate" not in names) is known
    lacks = [one.said() for one in found.lacks if one.place and one.place.name() == "V3 cathode"]
    assert len(lacks) == (not known)


@pytest.mark.parametrize(
    ("name", "ohms", "deviation"),
    [
        ("V4 plate to its rail", 300.0, 0.5),
        ("V2 plate to its rail", 20.0, 0.5),
        ("V4 screen to its rail", 0.1, 0.0),
        ("V4 grid leak", 470e3, 0.3),
        ("V3 cathode to the bottom", 0.1, 0.0),
    ],
)
def test_what_is_put_in_by_rule_has_the_usual_ohms(name: str, ohms: float, deviation: float) -> None:
    """An output primary of some 300 ohm, an IF winding of some 20, a leak of 470 kohm: common practice."""
    one = branch(closed("V2: screen 100"), name)
    assert (one.ohms, one.deviation) == (ohms, deviation)


@pytest.mark.parametrize(
    ("leak", "read", "contact"),
    [
        ("2.9 meg", "", False),
        ("3 meg", "", True),
        ("10 meg", "", True),
        ("10 meg", "V3: cathode 1", False),
    ],
)
def test_a_leak_of_three_megohms_biases_a_stage_whose_cathode_is_at_the_bottom(
    leak: str, read: str, contact: bool
) -> None:
    found = closed(read, f"R3: {leak}, V3 grid to B-")
    assert next(one for one in found.stages if one.name == "V3").contact is contact


@pytest.mark.parametrize(
    ("parts", "loose"),
    [
        ("R6: 1 meg, V2 grid to AVC", True),
        ("R6: 1 meg, V2 grid to chassis", False),
        ("", True),
    ],
)
def test_a_grid_on_the_avc_or_without_a_leak_may_be_a_third_of_a_volt_off(parts: str, loose: bool) -> None:
    """Without a signal it stands at the diode's contact potential, 0 to -0.6 V. Common practice, no source."""
    found = closed("V2: screen 100", parts)
    assert (tube(found, "V2").deviations.offset_volts == 0.3) is loose


def test_held_places_are_known_as_well_as_they_were_read() -> None:
    found = closed("V2: screen 100")
    assert found.net is not None
    assert next(one for one in found.net.held if one.volts == 100.0).deviation == 0.02
    assert {one.volts: one.deviation for one in found.net.held} == {250.0: 0.02, 220.0: 0.02, 100.0: 0.02}


TUNER = """line: 220 V 50 Hz
power: transformer
tubes:
  V1: ECC85, FM RF amplifier and mixer
  V2: EZ80
parts:
  R1: 200 ohm, V1 cathode 1 to chassis
  R2: 2.2 kohm, V1 plate 1 to B+2
  R3: 10 kohm, V1 plate 2 to B+2
  R4: 1 megohm, V1 grid 2 to chassis
wires:
  - V1 cathode 2, chassis
"""


@pytest.mark.parametrize(
    ("job", "read", "swings"),
    [
        ("FM RF amplifier and mixer", "", {"V1 triode 2"}),
        ("FM tuner", "", {"V1 triode 2"}),
        ("RF amplifier and self-oscillating mixer", "V1: grid 2 -0.7", {"V1 triode 2"}),
        # Its grid was read at work: the tube's own law with that bias is better than a usual current.
        ("FM RF amplifier and mixer", "V1: grid 2 -2.6", set()),
        ("first audio and phase inverter", "", set()),
        ("", "", set()),
    ],
)
def test_a_triode_that_mixes_makes_its_own_bias(job: str, read: str, swings: set[str]) -> None:
    """The second triode of a tuner: at rest it would take its whole current by nothing but its grid's."""
    of = TUNER.replace("ECC85, FM RF amplifier and mixer", f"ECC85, {job}" if job else "ECC85")
    found = closed(read, of=of, to_try=True)
    assert {one.name for one in found.stages if one.converter} == swings
    assert {"V1 triode 1", "V1 triode 2"} == {one.name for one in found.stages}
