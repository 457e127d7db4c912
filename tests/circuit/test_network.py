"""The network of a set: what lies between which points, what feeds, leaks, loads and couples, and what wires join."""

from __future__ import annotations

import datetime
import math

import pytest

import makers
from benchleaf.chapters.readings.apart import Apart
from benchleaf.circuit.elements import WINDING
from benchleaf.circuit.in_place import in_place
from benchleaf.circuit.network import Network
from benchleaf.report.amount import METER_TOLERANCE

SET = """\
line: 120 V 60 Hz
power: series string
chassis: through R and C
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5
  V5: 35W4
"""
FILTER = "  C12: keep, 40 uF 150 V electrolytic, between B+1 and B-\n"
PARTS = f"""parts:
{FILTER}  C7: keep, 10 nF, between V3 plate and V4 grid
  R5: keep, 470 kohm, between V3 plate and B+2
  R6: keep, 470 kohm, between V4 grid and B-
  R8: keep, 150 ohm, between V4 cathode and B-
  R9: keep, 1 kohm, between B+1 and B+2
  R10: keep, 330 kohm, between B- and chassis
  C20: keep, 50 nF, between chassis and B-
  T3: keep, 310 ohm, job output transformer, between V4 plate and B+1
"""


def network(parts: str = PARTS, head: str = SET) -> Network:
    return makers.circuit(head + parts).network


def day(written: str) -> datetime.date:
    return datetime.date.fromisoformat(written)


def names(elements: object) -> list[str]:
    return [element.name for element in elements]  # type: ignore[attr-defined]


def test_what_the_network_is_asked() -> None:
    of = network()
    read = of.places.read
    assert names(of.feeds(read("V3 plate"))) == ["R5"]
    assert names(of.feeds(read("V4 plate"))) == ["T3"]
    assert names(of.feeds(read("B+2"))) == ["R5", "R9"]
    assert names(of.leaks(read("g1 V4"))) == ["R6"]
    assert names(of.from_b_minus_to_chassis()) == ["R10", "C20"]
    assert names(of.between(read("common"), read("ground"))) == ["R10", "C20"]
    assert [(c.element.name, c.plate.name(), c.grid.name()) for c in of.couplings] == [("C7", "V3 plate", "V4 grid")]


def test_a_winding_is_one_however_its_value_is_written() -> None:
    for line in (
        "T3: keep, 310 ohm, between V4 plate and B+1",
        "L1: keep, 310 ohm, between B+1 and B+2",
        "X1: keep, 310 ohm, job speaker field, between B+1 and B+2",
        "X1: keep, 310 ohm choke, between B+1 and B+2",
        "X1: keep, 8 H, between B+1 and B+2",
    ):
        (element,) = network(f"parts:\n  {line}\n").elements
        assert element.kind == WINDING, line
    (resistor,) = network("parts:\n  R1: keep, 1 kohm, job damps the coil, between B+1 and B+2\n").elements
    assert resistor.kind == "resistor"


def test_parts_of_changes_and_sections_have_their_ends() -> None:
    of = network(
        "parts:\n  C12:\n    between: B+1 and B-\n    sections:\n"
        "      a: was 40 uF\n      b: was 20 uF, between B+2 and B-\n"
        "changes:\n  R30: add 1 kohm, between V4 grid and B-\n  C31: add 10 nF, across C12 b\n"
        "  C32: add 10 nF, across C12\n  C33:\n    add: 1 nF\n    across: g1 V4 and common\n"
    )
    ends = {element.name: [end.name() for end in element.ends] for element in of.elements}
    assert ends == {"C12 a": ["B+1", "B-"], "C12 b": ["B+2", "B-"], "R30": ["V4 grid", "B-"],
        "C31": ["B+2", "B-"], "C32": ["B+1", "B-"], "C33": ["V4 grid", "B-"],
    }  # fmt: skip


def test_an_element_has_what_the_parts_list_says_of_it_at_a_time() -> None:
    of = network(
        "parts:\n  R6: was 1 meg, measured 1.6 meg, now 470 kohm, fitted 2026-03-01, between V4 grid and B-\n"
        "changes:\n  R30: add 1 kohm, between V4 cathode and B-, date 2026-04-01\n"
    )
    listed = {element.name: element.listed for element in of.elements}
    assert [in_place(listed["R6"], day(d)).value for d in ("2026-02-28", "2026-03-02")] == [1.6e6, 470e3]
    assert [in_place(listed["R30"], day(d)).condition for d in ("2026-03-31", "2026-04-01")] == ["none", ""]
    assert in_place(listed["R30"], "now").value == 1e3


def test_of_a_couplate_only_the_capacitor_lies_between_its_ends() -> None:
    parts = (
        "parts:\n  K1: was 10 nF 470 kohm couplate, between V3 plate and V4 grid\n"
        "  R6: keep, 470 kohm, between V4 grid and B-\n"
    )
    of = network(parts)
    assert [(c.element.name, c.grid.name()) for c in of.couplings] == [("K1 1", "V4 grid")]
    assert names(of.elements) == ["K1 1", "R6"]
    rows = makers.findings("parts", makers.bench(SET + parts)).rows()
    assert [(row.name, row.group) for row in rows] == [("K1 1", "coupling"), ("K1 2", "resistors"), ("R6", "resistors")]


class TestLineSide:
    """What is written under ``B- to chassis`` lies there, as do the components of the parts list that it names."""

    def test_components_of_it_are_elements_once(self) -> None:
        side = "line side:\n  after:\n    B- to chassis: R10, C3, 0.01 uF, 4.7 nF Y2, 4.7 nF Y2 in series\n"
        of = network("parts:\n  R10: keep, 330 kohm\n  C3: keep, 50 nF, between ground and HT-\n" + side)
        assert names(of.from_b_minus_to_chassis()) == [
            "C3", "R10", "0.01 uF of the line side", "4.7 nF Y2 of the line side", "4.7 nF Y2 of the line side",
        ]  # fmt: skip
        twice = network("parts:\n  C3: keep, 50 nF, between ground and HT-\n" + side.replace("R10, C3", "0.05 uF"))
        assert names(twice.from_b_minus_to_chassis())[:2] == ["C3", "0.01 uF of the line side"]

    def test_a_wire_makes_one_point_and_parts_make_two(self) -> None:
        head = SET.replace("through R and C", "line-connected")
        for barrier, one_point in (("wire", True), ("330 kohm", False), ("none", True)):
            of = network(f"line side:\n  before:\n    B- to chassis: {barrier}\n", head)
            assert of.same(of.places.read("B-"), of.places.read("chassis")) is one_point, barrier


class TestRectifiersCathode:
    """It is the rail that the first filter stands on, unless something is written between."""

    @pytest.mark.parametrize(
        "between",
        [
            "R1: keep, 47 ohm, between V5 cathode and B+1",
            "L1: keep, 330 ohm, job choke, between V5 cathode and B+1",
            "F1: keep, job fuse, between V5 cathode and B+1",
            "T9: keep, between B+1 and V5 pin 7",
            "C9: keep, 20 uF, between V5 cathode and B-",
        ],
    )
    def test_unless_something_is_between(self, between: str) -> None:
        of = network(f"parts:\n{FILTER}  {between}\n")
        assert not of.same(of.places.read("V5 cathode"), of.places.read("B+1"))

    @pytest.mark.parametrize("type_", ["35W4", "35Z5", "UY41", "5Y3GT", "EZ80", "6X4"])
    def test_is_the_first_rail(self, type_: str) -> None:
        rest = FILTER + "  C1: keep, 20 uF, between B+2 and B-\n"
        of = makers.circuit(f"{SET.replace('35W4', type_)}parts:\n{rest}").network
        assert of.first_filter is not None
        cathode, rail = of.first_filter
        assert (cathode.tube, rail.key) == ("V5", "B+1")

    def test_without_a_filter_nothing_is_joined(self) -> None:
        assert network("parts:\n  R9: keep, 1 kohm, between B+1 and B+2\n").first_filter is None


class TestOneReadingForOnePoint:
    """Nobody types a rail and the rectifier's cathode that is joined to it."""

    @pytest.mark.parametrize(("sheet", "read"), [("B+1: 118", "V5: cathode 121"), ("V5: cathode 118", "HT1: 121")])
    def test_what_is_expected_at_one_place_is_expected_at_the_other(self, sheet: str, read: str) -> None:
        readings = f"readings:\n  sheet:\n    {sheet}\n  as found:\n    {read}\n"
        (row,) = makers.findings("readings", makers.bench(f"{SET}{readings}parts:\n{FILTER}")).rows
        assert (row.expected_volts, row.measured_volts, row.verdict) == (118, 121, "within")

    def test_two_points_are_two_places(self) -> None:
        readings = "readings:\n  sheet:\n    B+1: 118\n  as found:\n    V5: cathode 121\n"
        parts = f"parts:\n{FILTER}  R1: keep, 47 ohm, between V5 cathode and B+1\n"
        rows = makers.findings("readings", makers.bench(f"{SET}{readings}{parts}")).rows
        assert {row.verdict for row in rows} == {"not read", "no expected value"}


class TestApart:
    """Two readings of one point: from 2 % on a finding says so."""

    @pytest.mark.parametrize(("cathode", "told"), [(118.0, 1), (115.4, 1), (114.0, 0), (113.0, 0)])
    def test_cathode_and_first_filter(self, cathode: float, told: int) -> None:
        found = self.of(f"V5: cathode {cathode:g}", "B+1: 113", FILTER)
        assert len(found) == told
        if told:
            assert (found[0].place, found[0].other, found[0].because) == ("V5 cathode", "B+1", "first filter")
            assert found[0].ratio == pytest.approx((cathode - 113) / cathode, rel=2e-3)

    def test_a_resistor_between_makes_two_points(self) -> None:
        assert self.of("V5: cathode 118", "B+1: 113", FILTER + "  R1: 100 ohm, between V5 cathode and B+1\n") == ()

    def test_wires(self) -> None:
        wires = "wires:\n  - B+2, V1 screen, V2 screen\n  - B-, V1 cathode\n"
        found = self.of("V1: screen 90, cathode 0.4", "B+2: 95", FILTER, wires)
        assert [(a.place, a.other, a.because) for a in found] == [
            ("V1 screen", "B+2", "wires"),
            ("V1 cathode", "B-", "wires"),
        ]

    def test_it_is_said_at_the_top_and_on_the_page(self) -> None:
        bench = makers.bench(f"{SET}readings:\n  as found:\n    V5: cathode 118\n    B+1: 113\nparts:\n{FILTER}")
        assert any(
            "V5 cathode reads 118" in s.text and "one point" in s.text for s in makers.standouts("readings", bench)
        )
        assert "choke, fuse or winding between them is missing" in makers.page("readings", bench)

    @staticmethod
    def of(tube: str, rail: str, parts: str, more: str = "") -> tuple[Apart, ...]:
        text = f"{SET}readings:\n  as found:\n    {tube}\n    {rail}\nparts:\n{parts}{more}"
        found: tuple[Apart, ...] = makers.findings("readings", makers.bench(text)).latest.apart
        return found


class TestWires:
    def test_what_lies_from_b_minus_to_chassis_is_found_behind_a_wire(self) -> None:
        head = SET.replace("series string", "transformer").replace("chassis: through R and C\n", "")
        parts = "parts:\n  R1: keep, 220 ohm, between centre tap and chassis\n"
        of = network(f"{parts}wires:\n  - centre tap, B-\n", head)
        assert names(of.from_b_minus_to_chassis()) == ["R1"]
        assert not of.same(of.places.read("B-"), of.places.read("ground"))
        alone = network(parts.replace("centre tap", "a tag"), head)
        assert alone.same(alone.places.read("B-"), alone.places.read("ground"))

    def test_join_places_into_one_point(self) -> None:
        of = network("wires:\n  - B+2, V1 screen, V2 screen\n  - V2 g2, node x\n  - node x, V3 k\n")
        read = of.places.read
        assert {of.point(read(name)).name() for name in ("V1 screen", "V2 g2", "node x", "V3 cathode")} == {"B+2"}
        assert not of.same(read("B+2"), read("V4 screen"))

    def test_a_leak_resistor_to_a_wired_node_is_a_leak(self) -> None:
        of = network("parts:\n  R6: keep, 470 kohm, between V4 grid and node x\nwires:\n  - node x, common\n")
        assert names(of.leaks(of.places.read("V4 grid"))) == ["R6"]

    def test_a_capacitor_to_a_node_wired_to_a_plate_couples(self) -> None:
        of = network("parts:\n  C7: keep, 10 nF, between node x and V4 grid\nwires:\n  - node x, V3 plate\n")
        assert [(c.plate.name(), c.grid.name()) for c in of.couplings] == [("V3 plate", "V4 grid")]

    def test_the_current_of_a_rail_is_not_that_of_a_screen_wired_to_it(self) -> None:
        readings = "readings:\n  as found:\n    V2: plate 90, screen 90, cathode 1\n    B+1: 110\n    B+2: 90\n"
        parts = "parts:\n  R9: 1 kohm, between B+1 and B+2\n"
        bench = makers.bench(f"{SET}{readings}{parts}wires:\n  - B+2, V2 screen\n")
        assert "V2" not in makers.findings("readings", bench).operating

    def test_a_reading_of_the_rail_holds_for_what_is_wired_to_it(self) -> None:
        readings = "readings:\n  as found:\n    V3: plate 45\n    node x: 90\n"
        parts = "parts:\n  R5: 100 kohm, between V3 plate and B+2\n"
        bench = makers.bench(f"{SET}{readings}{parts}wires:\n  - B+2, node x\n")
        assert makers.findings("readings", bench).operating["V3"].plate_amps == pytest.approx(45 / 100e3)

    def test_a_contradiction_is_the_same_wherever_the_rail_was_read(self) -> None:
        parts = "parts:\n  R1: 100 kohm, between V3 plate and B+2\n  R2: 1.5 kohm, between V3 cathode and B-\n"
        found = []
        for rail in ("B+2: 120", "V2: screen 120"):
            readings = f"readings:\n  as found:\n    meter: 10 meg, 0.5 %\n    V3: plate 60, cathode 1.9\n    {rail}\n"
            bench = makers.bench(f"{SET}{readings}{parts}wires:\n  - B+2, V2 screen\n")
            found.append(makers.findings("readings", bench).latest.contradictions)
        ((one,), (other,)) = found
        assert (one.off_amps, one.uncertainty_amps) == (other.off_amps, other.uncertainty_amps)
        assert {would.what for would in other.alone} <= {"V3 cathode", "V3 plate", "V2 screen", "R1", "R2"}

    def test_two_output_tubes_on_one_cathode_resistor_share_its_current(self) -> None:
        head = SET.replace("V3: 12AV6", "V3: 50C5")
        readings = "readings:\n  as found:\n    V4: plate 100, cathode 6\n    V3: plate 100, cathode 6\n"
        parts = "parts:\n  R8: 75 ohm, between V4 cathode and B-\n"
        bench = makers.bench(f"{head}{readings}{parts}wires:\n  - V3 cathode, V4 cathode\n")
        assert makers.findings("readings", bench).operating["V4"].cathode_amps == pytest.approx(6 / 75 / 2)


class TestLoad:
    """Corner of a tone capacitor: 1 / (2 pi R C) with the load of the stage, never a winding's own ohms."""

    TONE = "  C9: now 20 nF 630 V film, was 0.02 uF 600 V paper, job tone, between V4 plate and B-\n"

    def corner(self, more: str, head: str = SET) -> float | None:
        effect = makers.findings("parts", makers.bench(f"{head}parts:\n{self.TONE}{more}"))["C9"].effect
        assert effect.role == "tone"
        return effect.after.corner_hertz if effect.after else None

    def test_published_load_of_the_output_tube(self) -> None:
        """EL84, 250 V: 5.2 kohm (Philips data sheet, 1953-1955); with 20 nF 1530 Hz, where 230 ohm made 34.6 kHz."""
        head = SET.replace("V4: 50C5", "V4: EL84")
        assert self.corner("  T3: keep, 230 ohm, between V4 plate and B+1\n", head) == pytest.approx(1530.3, abs=0.1)
        assert self.corner("", head) == pytest.approx(1530.3, abs=0.1)

    def test_an_output_tube_without_a_published_load_is_not_computed(self) -> None:
        head = SET.replace("V4: 50C5", "V4: XY99, output, heater 50 V 0.15 A")
        assert self.corner("  T3: keep, 230 ohm, between V4 plate and B+1\n", head) is None

    @pytest.mark.parametrize("said", ["2 kohm to 3.2 ohm", "2000 to 3.2 ohms", "2k to 3.2", "2000 ohm / 3.2"])
    def test_what_the_transformer_matches(self, said: str) -> None:
        head = SET.replace("V4: 50C5", "V4: XY99, output, heater 50 V 0.15 A")
        more = f"  T3: keep, 230 ohm, job output transformer {said}, between V4 plate and B+1\n"
        assert self.corner(more, head) == pytest.approx(1 / (2 * math.pi * 2000 * 20e-9))

    def test_a_plate_resistor_works_beside_the_next_grid_leak(self) -> None:
        tone = "  C9: now 200 pF 500 V mica, was 200 pF mica, job tone, between V3 plate and B-\n"
        more = (
            "  R5: keep, 100 kohm, between V3 plate and B+2\n  C7: keep, 10 nF, between V3 plate and V4 grid\n"
            "  R6: keep, 400 kohm, between V4 grid and B-\n"
        )
        effect = makers.findings("parts", makers.bench(f"{SET}parts:\n{tone}{more}"))["C9"].effect
        assert effect.resistor == "R5 with R6"
        assert effect.after.ohms == pytest.approx(80e3)
        assert effect.after.corner_hertz == pytest.approx(1 / (2 * math.pi * 80e3 * 200e-12))

    def test_resistors_side_by_side_are_off_by_no_more_than_the_worst_of_them(self) -> None:
        tone = "  C9: now 200 pF 500 V mica, measured 210 pF, was 200 pF mica, job tone, between V3 plate and B-\n"
        more = (
            "  R5: keep, 100 kohm 10 %, between V3 plate and B+2\n  C7: keep, 10 nF, between V3 plate and V4 grid\n"
            "  R6: was 400 kohm 20 %, measured 500 kohm, now 400 kohm 5 %, between V4 grid and B-\n"
        )
        effect = makers.findings("parts", makers.bench(f"{SET}parts:\n{tone}{more}"))["C9"].effect
        assert (effect.before.ohms, effect.after.ohms) == (pytest.approx(1e5 / 1.2), pytest.approx(80e3))
        assert effect.before.tolerances == (None, 0.1)
        assert effect.after.tolerances == (METER_TOLERANCE, 0.1)

    def test_a_filter_behind_a_choke_has_no_corner_of_its_ohms(self) -> None:
        parts = "  C1: now 22 uF 200 V, was 20 uF 150 V, between B+2 and B-\n"
        choke, resistor = ("  X1: keep, 330 ohm" + job + ", between B+1 and B+2\n" for job in (", job choke", ""))
        by_choke = makers.findings("parts", makers.bench(f"{SET}parts:\n{parts}{choke}"))["C1"].effect
        by_resistor = makers.findings("parts", makers.bench(f"{SET}parts:\n{parts}{resistor}"))["C1"].effect
        assert by_choke is None
        assert by_resistor.after.ohms == pytest.approx(330)


def test_couplings_are_found_once_for_parts_and_readings() -> None:
    """The two chapters name the same capacitor; a feedback capacitor of one stage is no coupling."""
    head = f"{SET}readings:\n  2026-02-21 found:\n    V3: plate 60\n    V4: grid 3.1, cathode 8\n"
    bench = makers.bench(f"{head}{PARTS}  C8: keep, 1 nF, between V4 plate and V4 grid\n")
    parts = makers.findings("parts", bench)
    assert [name for name, part in parts.items() if part.group == "coupling"] == ["C7"]
    suspects = [s.part for s in makers.findings("readings", bench).suggestions if s.tube == "V4"]
    assert "C8" not in suspects


@pytest.mark.parametrize(
    ("readings", "ohms"),
    [
        ("", 5500),
        ("  sheet:\n    V1: plate 175\n", 5500),
        ("  sheet:\n    V1: plate 240\n", 5000),
        ("  found:\n    V1: plate 310, screen 225\n", 8500),
    ],
)
def test_an_output_tubes_load_is_that_of_the_published_operation_nearest_to_the_set(readings: str, ohms: int) -> None:
    """The three operations of the Tung-Sol sheet of the 6V6 (180, 250 and 315 V)."""
    body = (
        "line: 120 V 60 Hz\npower: transformer\ntubes:\n  V1: 6V6GT, output\nparts:\n"
        "  T1: keep, 300 ohm, job output transformer, between V1 plate and B+1\n"
    )
    circuit = makers.circuit(body + ("readings:\n" + readings if readings else ""))
    load = circuit.load(circuit.places.read("V1 plate"))
    assert load is not None
    assert (load.how, load.ohms) == ("published", ohms)
