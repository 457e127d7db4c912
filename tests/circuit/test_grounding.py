"""Whether chassis and B- are on the line: all 35 combinations of ``power`` and ``chassis``, and all who ask."""

from __future__ import annotations

from itertools import product

import pytest

import makers
from benchleaf.circuit.circuit import Circuit
from benchleaf.circuit.grounding import TABLE
from benchleaf.circuit.place import place
from benchleaf.pages.cautions import cautions
from benchleaf.record.how_powered import CHASSIS, POWER
from benchleaf.record.slips import Slips
from benchleaf.words import AMERICAN

KINDS = ("", *POWER)
STANDS = ("", *CHASSIS)
ALL = list(product(KINDS, STANDS))

_ROWS = {
    "": "D L T F D",
    "series string": "D L T F D",
    "transformer": "A L T A A",
    "autotransformer": "D L T F D",
    "battery": "A C P A A",
    "vibrator": "A C P A A",
    "three-way": "D L T F D",
}
"""Columns: not written, line-connected, through R and C, isolated, earthed."""

_MEANS = {
    # chassis, whether B- counts as on the line, whether B- and chassis are one point
    "L": ("on the line", True, True),
    "T": ("through parts", True, False),
    "F": ("apart", True, False),
    "D": ("in doubt", True, False),
    "A": ("apart", False, True),
    "P": ("apart", False, False),
    "C": ("in doubt", True, True),
}


def circuit(power: str, chassis: str, more: str = "") -> Circuit:
    head = (f"power: {power}\n" if power else "") + (f"chassis: {chassis}\n" if chassis else "")
    return makers.circuit(f"line: 120 V 60 Hz\n{head}{more}" if power not in ("battery", "vibrator") else head + more)


def told(text: str) -> list[str]:
    slips = Slips(makers.FILE)
    place(makers.record(f"maker: A\nmodel: B\n{text}"), slips)
    return [str(problem) for problem in slips.problems()]


def test_the_table_has_every_combination_and_no_other() -> None:
    assert set(TABLE) == set(ALL)
    assert len(ALL) == 35


@pytest.mark.parametrize(("power", "chassis"), ALL)
def test_the_answer_for_each_combination(power: str, chassis: str) -> None:
    letter = _ROWS[power].split()[STANDS.index(chassis)]
    found = circuit(power, chassis).grounding
    assert (found.chassis, found.b_minus_on_line, found.one_point) == _MEANS[letter]
    assert found.chassis_on_line == (letter in "LTDC")
    assert found.contradicted == (letter == "C")
    assert found.live == ("chassis" if letter in "LTDC" else "B-" if letter == "F" else "")


@pytest.mark.parametrize(("power", "chassis"), ALL)
def test_whoever_asks_gets_one_answer(power: str, chassis: str) -> None:
    """Cautions, alignment, first power, the line side and the parts list: five that each had an answer of their own."""
    head = (f"power: {power}\n" if power else "") + (f"chassis: {chassis}\n" if chassis else "")
    written = (
        "line: 120 V 60 Hz\n" + head + "tubes:\n  V1: 12BE6\n"
        "parts:\n  C4: was 50 nF paper, between B- and aerial socket\n"
        "alignment:\n  - steps:\n      - 455 kHz, T1 for maximum\n"
        "power-up:\n  - steps:\n      - line 40 V\n"
        "line side:\n  after:\n    switch: hot lead\n    touchable: chassis\n"
    )
    examined = makers.examined(written)
    grounding = examined.bench.circuit.grounding
    strict = any(
        "metal you can touch" in line for block in cautions(examined.bench.circuit, AMERICAN) for line in block.lines
    )
    assert strict is grounding.chassis_on_line
    assert examined.findings["alignment"].hangs_on_line is grounding.chassis_on_line
    assert examined.findings["power_up"].hangs_on_line is grounding.chassis_on_line
    (part,) = examined.findings["parts"].rows()
    assert (part.class_needed == "Y1") is grounding.b_minus_on_line
    after = examined.findings["line_side"].after
    if after is not None:
        assert bool(after.described.wiring.b_minus) is grounding.chassis_on_line


def test_what_a_black_lead_is_taken_to_be_on() -> None:
    """B- in a string on the line (common practice, no source): the page says so beside each list."""
    assert {power: circuit(power, "").grounding.reference for power in KINDS} == {
        "": "chassis", "series string": "B-", "transformer": "chassis", "autotransformer": "chassis",
        "battery": "chassis", "vibrator": "chassis", "three-way": "B-",
    }  # fmt: skip
    strung = "tubes:\n  V1: 35W4\nheaters:\n  order: V1\n"
    assert circuit("", "", strung).grounding.reference == "B-"


_PART = "parts:\n  R3: was 30 ohm, between B- and chassis\n"


@pytest.mark.parametrize("power", ["transformer", "battery"])
def test_a_bias_resistor_behind_a_transformer_parts_b_minus_and_contradicts_nothing(power: str) -> None:
    head = f"power: {power}\nchassis: isolated\n"
    found = makers.circuit(head + _PART).grounding
    assert (found.chassis, found.b_minus_on_line, found.one_point) == ("apart", False, False)
    assert told(head + _PART) == []


_JOINED = (
    "chassis: found “isolated” beside parts from B- to chassis ({}); "
    "expected “through R and C”, or no part that joins the two"
)


@pytest.mark.parametrize(
    ("more", "named"),
    [
        (_PART, "R3"),
        ("parts:\n  C9:\n    sections:\n      a: was 50 nF, between common and ground\n", "C9"),
        (_PART + "line side:\n  before:\n    B- to chassis: 50 nF\n", "R3 and the line side"),
        (_PART + "line side:\n  before:\n    B- to chassis: 30 ohm\n", "R3"),
        ("line side:\n  after:\n    B- to chassis: direct\n", "the line side"),
        ("line side:\n  after:\n    B- to chassis: 4.7 nF Y2 and 4.7 nF Y2 in series\n", "the line side"),
        ("parts:\n  C9: was 50 nF\nline side:\n  after:\n    B- to chassis: C9\n", "C9"),
        ("parts:\n  R1: was 1 kohm, between B- and x\n  C1: was 50 nF, between x and chassis\n", "R1 and C1"),
        ("parts:\n  R3: was 30 ohm, between ground and x\nwires:\n  - x, common\n", "R3"),
        ("changes:\n  R30: add 1 kohm, between B- and chassis\n", "R30"),
        ("wires:\n  - B-, x\n  - x, chassis\n", "the wires"),
    ],
)
@pytest.mark.parametrize("power", ["series string", "three-way", "autotransformer"])
def test_an_isolated_chassis_with_parts_to_b_minus_is_told_and_counts_as_on_the_line(
    power: str, more: str, named: str
) -> None:
    head = f"power: {power}\nchassis: isolated\n"
    assert told(head + more) == [f"record.yml:4:10: {_JOINED.format(named)}"]
    of = makers.circuit(head + more)
    found, network = of.grounding, of.network
    assert (found.chassis, found.b_minus_on_line, found.contradicted) == ("in doubt", True, True)
    wired = network.same(network.places.read("B-"), network.places.read("chassis"))
    assert found.one_point is wired
    assert bool(network.from_b_minus_to_chassis()) is not wired


def test_without_a_word_on_the_supply_the_transformer_is_named_as_a_way_out() -> None:
    (problem,) = told("chassis: isolated\n" + _PART)
    assert problem == (
        f"record.yml:3:10: {_JOINED.format('R3')}; write “power: transformer” if its two windings part the set from "
        "the line"
    )


@pytest.mark.parametrize(
    "more",
    [
        "parts:\n  C4: was 50 nF paper, now none, between B- and chassis\n",
        "line side:\n  before:\n    B- to chassis: 1 meg, 50 nF\n  after:\n    B- to chassis: none\n",
        "parts:\n  C4: was 50 nF paper, between B+ and chassis\n",
        "parts:\n  R1: was 1 kohm, between B- and x\n  R2: was 1 kohm, between B- and x\n",
        "parts:\n  R1: was 1 kohm, between B- and V1 cathode\n  C1: was 50 nF, between V1 cathode and chassis\n",
    ],
)
def test_what_was_taken_out_joins_nothing(more: str) -> None:
    head = "power: series string\nchassis: isolated\n"
    assert [line for line in told(head + more) if "chassis: found" in line] == []
    assert makers.circuit(head + more).grounding.contradicted is False


@pytest.mark.parametrize("power", ["battery", "vibrator"])
def test_a_set_without_a_line_cannot_be_connected_to_it(power: str) -> None:
    assert told(f"power: {power}\nchassis: line-connected\n") == [
        f"record.yml:4:10: chassis: found “line-connected” in a set with “power: {power}”; "
        "expected “isolated” or “earthed”, or another “power”"
    ]
