"""Where a part lies by its job alone: what is taken for granted, and what is left open (common practice, no source)."""

import pytest

from benchleaf.circuit.circuit import Circuit
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.grounding import TABLE
from benchleaf.circuit.placeless import may_couple, placeless, placeless_remarks
from makers import bench, findings

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
        ("C1: 1st filt 30 mfd 150 v", "B+1 to B-"),
        # As notebooks have them.
        ("C1: charging elko 50 uF 150 V", "B+1 to B-"),
        ("C1: Ladeelko 50 uF 150 V", "B+1 to B-"),
        ("C1: Siebelko 50 uF 150 V", "B+2 to B-"),
        ("C1: cathode elko V3 25 uF 25 V", "V3 cathode to B-"),
        ("C1: V3 cath byp., 25 mfd 25 v", "V3 cathode to B-"),
        ("R1: V3 cath, 150 ohm", "V3 cathode to B-"),
        ("R1: V2 plt load, 220K", "V2 plate to B+2"),
        ("R1: anode resistor V2 220k", "V2 plate to B+2"),
        ("R1: V1 scr 22k", "V1 screen to B+2"),
        ("C1: coupling V2 to V3, .01 uF 400 V", "V2 plate to V3 grid"),
        ("R1: filter resistor 1.2k", "B+1 to B+2"),
        ("L1: filter choke, 290 ohms", "B+1 to B+2"),
        ("L1: speaker field 450 ohm", "B+1 to B+2"),
        # AVC reaches these grids, or there is another way that the part may lie.
        ("R1: V1 grid leak 1 megohm", ""),
        ("R1: V3 grid stopper 10k", ""),
        ("R1: V2 anode decoupling 47k", ""),
        ("R1: tone, V3 plate 10k", ""),
        ("C1: V3 plate 5 nF", ""),
        ("C1: V2 grid 100 pF", ""),
        ("R1: heater 150 ohm", ""),
        ("R1: protective resistor anode V4 100 ohm", ""),
        ("C1: coupling V2 to V4, .01 uF", ""),
        ("C1: coupling to V3, .01 uF", ""),
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
    parts = (
        "C1: reservoir 8 uF 450 V\nR1: 200 ohm, between B- and chassis\nR2: V3 cathode 300 ohm\nR3: V3 grid leak 470k"
    )
    ends = [one.piece.ends for one in _circuit(parts, power="transformer", chassis="earthed").components]
    assert ends == [("B+1", "B-"), ("B-", "chassis"), ("V3 cathode", "chassis"), None]


def test_one_part_of_a_tube_of_two_is_meant() -> None:
    tubes = "power: transformer\ntubes:\n  V4: UCL82, first audio and output\n"
    read = "readings:\n  found:\n    B+: 160\n    V4: triode plate 70\n"
    for part, ends in (
        ("R1: V4 triode plate load 220k", ("V4 triode plate", "B+")),
        ("R1: grid leak V4 pentode 680k", ("V4 pentode grid", "chassis")),
        ("R1: grid leak V4 triode 10 megohm", ("V4 triode grid", "chassis")),
    ):
        assert bench(f"{tubes}parts:\n  {part}\n{read}").circuit.components[0].piece.ends == ends


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


_FILTERS = "C2: 1st filter, 30 mfd 150 v\nC3: 2nd filter, 20 mfd 150 v\nR4: V2 plt load 220K"


@pytest.mark.parametrize(
    ("read", "ends"),
    [
        # The rectifier's cathode above B+ is the first rail; so is a point without a name where B+ is at the screen.
        ("    V4: cathode 112\n    B+: 86\n", ["V4 cathode to B-", "B+ to B-", "V2 plate to B+"]),
        ("    V3: screen 86\n    B+: 86\n", ["B+1 to B-", "B+ to B-", "V2 plate to B+"]),
        ("    V3: screen 70\n    B+: 86\n", ["", "B+ to B-", "V2 plate to B+"]),
        ("    C2+: 112\n    C3+: 86\n", ["B+1 to B-", "B+2 to B-", "V2 plate to B+2"]),
    ],
)
def test_a_plain_rail_is_told_from_the_first_by_what_was_read(read: str, ends: list[str]) -> None:
    text = _SET.format(part=_FILTERS.replace("\n", "\n  "), power="series string", chassis="line-connected", rails=read)
    circuit = bench(text.replace("    V3: plate 110\n", "")).circuit
    assert [" to ".join(one.piece.ends or ()) for one in circuit.components] == ends


def test_a_writer_is_told_once_of_all_parts_that_lie_nowhere() -> None:
    parts = (
        "C7: coupling, .01 uF 400 V\nR5: 1 megohm\nR6: V3 cathode 150 ohm\nR9: volume control 500k\nC9: trimmer 30 pF"
    )
    circuit = _circuit(parts, rails=_TWO_RAILS)
    assert [one.name for one in placeless(circuit)] == ["C7", "R5"]
    assert may_couple(circuit) == ("C7",)
    (remark,) = placeless_remarks(circuit, "record.yml")
    assert "C7 and R5: nothing says between which places" in str(remark)
    assert not [*placeless_remarks(_circuit("R6: V3 cathode 150 ohm"), "record.yml")]


def test_a_grid_made_positive_by_a_capacitor_that_lies_nowhere_is_not_laid_to_what_is_not_listed() -> None:
    parts = "C7: coupling, .01 uF 400 V, leaks 6 megohm at 100 V\nR5: V3 grid leak 470k"
    text = _SET.format(
        part=parts.replace("\n", "\n  "), power="series string", chassis="line-connected", rails=_TWO_RAILS
    )
    found = findings("readings", bench(text.replace("V3: plate 110", "V3: plate 110, grid 6.8")))
    (leak,) = (stage.leak for stage in found.stages if stage.leak)
    assert "which came through C7, if that leads to this grid (no places are written), or" in leak.text
