"""Where a part lies by its job alone: what is taken for granted, and what is left open (common practice, no source)."""

import pytest

from benchleaf.circuit.circuit import Circuit
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.grounding import TABLE
from makers import bench

_SET = """\
power: {power}
chassis: {chassis}
tubes:
  V1: 12SK7, IF amplifier
  V2: 12SQ7, detector and first audio
  V3: 50L6GT, output
  V4: 35Z5GT, rectifier
parts:
  {part}
readings:
  as found:
    V3: plate 110
{rails}"""


def _circuit(part: str, power: str = "series string", chassis: str = "line-connected", rails: str = "") -> Circuit:
    text = _SET.format(part=part.replace("\n", "\n  "), power=power, chassis=chassis, rails=rails)
    return bench(text).circuit


def _ends(part: str, power: str = "series string", chassis: str = "line-connected", rails: str = "") -> str:
    """The first part's two places as a page says them; empty where it lies nowhere."""
    piece = next(iter(_circuit(part, power, chassis, rails).components)).piece
    return " to ".join(piece.ends or ())


_TWO_RAILS = "    B+1: 120\n    B+2: 95\n"


@pytest.mark.parametrize(
    ("part", "ends"),
    [
        ("R1: V3 cathode 150 ohm", "V3 cathode to B-"),
        ("R1: 150 ohm, V3 cathode resistor", "V3 cathode to B-"),
        ("R1: output cathode bias 150 ohm", "V3 cathode to B-"),
        ("R1: 50L6 cathode 150 ohm", "V3 cathode to B-"),
        ("C1: V3 cathode bypass, 25 uF 25 V", "V3 cathode to B-"),
        ("R1: V2 anode load 220k", "V2 plate to B+2"),
        ("R1: 220k plate load of V2", "V2 plate to B+2"),
        ("R1: V1 screen dropper 22k", "V1 screen to B+2"),
        ("R1: V3 grid leak 470k", "V3 grid to B-"),
        ("R1: V2 grid leak 10 megohm", "V2 grid to B-"),
        ("C1: reservoir 50 uF 150 V", "B+1 to B-"),
        ("C1: first filter 40 uF 150 V", "B+1 to B-"),
        ("C1: smoothing capacitor 30 uF 150 V", "B+2 to B-"),
        ("C1: 2nd filter 30 uF 150 V", "B+2 to B-"),
        # AVC reaches these grids, or there is another way that the part may lie.
        ("R1: V1 grid leak 1 megohm", ""),
        ("R1: V3 grid stopper 10k", ""),
        ("R1: V2 anode decoupling 47k", ""),
        ("R1: tone, V3 plate 10k", ""),
        ("C1: V3 plate 5 nF", ""),
        ("C1: V2 grid 100 pF", ""),
        ("R1: heater 150 ohm", ""),
        ("R1: V9 cathode 150 ohm", ""),
    ],
)
def test_it_lies_where_its_job_leaves_no_doubt(part: str, ends: str) -> None:
    assert _ends(part, rails=_TWO_RAILS) == ends


def test_what_is_written_goes_before_its_job() -> None:
    assert _ends("R1: V3 cathode 150 ohm, between V3 cathode and chassis", rails=_TWO_RAILS) == "V3 cathode to chassis"


def test_the_common_point_is_that_of_the_set() -> None:
    part = "R1: V3 cathode 150 ohm"
    assert _ends(part, chassis="through R and C") == "V3 cathode to B-"
    assert _ends(part, chassis="through R and C", rails="    to: chassis\n") == "V3 cathode to B-"
    assert _ends(part, rails="    to: chassis\n") == "V3 cathode to chassis"
    assert _ends(part, power="transformer", chassis="earthed") == "V3 cathode to chassis"


def test_two_of_a_kind_at_one_place_lie_nobody_knows_how() -> None:
    both = "R1: V3 cathode 100 ohm\nR2: V3 cathode resistor 50 ohm"
    written = "R1: V3 cathode 100 ohm\nR2: 50 ohm, between V3 cathode and B-"
    beside = "R1: V3 cathode 100 ohm\nC2: V3 cathode 25 uF 25 V"
    assert [one.piece.ends for one in _circuit(both).components] == [None, None]
    assert [one.piece.ends for one in _circuit(written).components] == [None, ("V3 cathode", "B-")]
    assert [one.piece.ends for one in _circuit(beside).components] == [("V3 cathode", "B-")] * 2


def test_a_third_rail_leaves_open_which_of_them_feeds_a_plate() -> None:
    assert _ends("R1: V2 plate load 220k", rails="    B+: 95\n") == "V2 plate to B+"
    assert _ends("R1: V2 plate load 220k", rails=f"{_TWO_RAILS}    B+3: 80\n") == ""
    assert _ends("R1: V2 plate load 220k") == ""
    assert _ends("R1: V2 plate load 220k\nR2: V2 anode decoupling 47k", rails=_TWO_RAILS) == ""


def test_the_bias_of_a_supply_lies_between_b_minus_and_the_chassis_and_its_reservoir_at_b_minus() -> None:
    parts = "C1: reservoir 8 uF 450 V\nR1: 200 ohm, between B- and chassis\nR2: V3 cathode 300 ohm"
    ends = [one.piece.ends for one in _circuit(parts, power="transformer", chassis="earthed").components]
    assert ends == [("B+1", "B-"), ("B-", "chassis"), ("V3 cathode", "chassis")]


_PUSH_PULL = """\
power: transformer
chassis: isolated
tubes:
  V8: 6V6, output
  V9: 6V6, output
parts:
  R30: {job}
"""


@pytest.mark.parametrize(
    "job",
    [
        "common cathode V8 V9 250 ohm",
        "V8 V9 cathode resistor 250 ohm",
        "cathode resistor V8 & V9, 250 ohm",
        "output cathode bias 250 ohm",
        "250 ohm, V8/V9 cathodes to chassis",
    ],
)
def test_the_resistor_of_two_cathodes_joins_them(job: str) -> None:
    circuit = bench(_PUSH_PULL.format(job=job)).circuit
    one, other = (circuit.places.read(f"{tube} cathode") for tube in ("V8", "V9"))
    (element,) = circuit.network.elements
    assert {*element.ends} == {one, circuit.places.read("chassis")}
    assert circuit.network.same(one, other)


def test_a_rail_may_go_by_the_capacitor_that_stands_there() -> None:
    parts = "C20: reservoir 50 uF 350 V\nC21: smoothing 50 uF 350 V\nR15: 1.2k, C20 to C21"
    circuit = _circuit(parts, rails="    C20: 212\n    C21: 176\n")
    assert [one.piece.ends for one in circuit.components] == [("B+1", "B-"), ("B+2", "B-"), ("C20", "C21")]
    assert [circuit.places.read(name).key for name in ("C20", "C21")] == ["B+1", "B+2"]


def test_two_filters_without_a_number_are_told_apart_by_their_volts() -> None:
    parts = "C80: 50 uF 385 V\nC81: filter, 50 uF 385 V\nR80: 1.5k, between C81 and C80"
    circuit = _circuit(parts, rails="    C80: 228\n    C81: 268\n")
    assert [circuit.places.read(name).key for name in ("C80", "C81")] == ["B+2", "B+1"]
    alike = _circuit(parts, rails="    C80: 228\n    C81: 228\n")
    assert [alike.places.read(name).key for name in ("C80", "C81")] == ["c80", "c81"]


def test_what_was_taken_for_granted_is_said() -> None:
    parts = "R14: V3 cathode 150 ohm\nT1: output transformer, 200 ohm, between V3 plate and B+1"
    circuit = _circuit(parts, rails=_TWO_RAILS)
    told = [taken.said() for taken in close(circuit, "as found", known_rails=True).taken]
    assert "R14 from V3 cathode to B-: by the job, as no places are written" in told


@pytest.mark.parametrize(("power", "chassis"), TABLE)
def test_the_common_point_is_b_minus_where_the_grounding_parts_it_from_the_chassis(power: str, chassis: str) -> None:
    """Whatever the readings were taken to: one answer for all that ask how a set is grounded."""
    circuit = _circuit("R1: V3 cathode 150 ohm", power, chassis, rails="    to: chassis\n")
    parted = not circuit.grounding.one_point and circuit.grounding.b_minus_on_line
    parted = parted and circuit.grounding.chassis != "in doubt"
    assert circuit.components[0].piece.ends == ("V3 cathode", "B-" if parted else "chassis")
