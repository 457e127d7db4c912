"""Insulation before and after the work, with nothing in its path, and with parts taken off."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.chapters.line_side.ohmmeter import HOT_PIN, RETURN_PIN
from benchleaf.report.sentence import text_of

SET = """line: 230 V 50 Hz
power: transformer
parts:
  C40: 5 nF, line to chassis, insulation 0.9 Mohm, now none, fitted 2026-10-26
  C41: 2.2 nF Y2, line to chassis, keep
line side:
  before:
    plug: two-pin
    switch: double-pole
    line to chassis: C40, C41
    touchable: chassis
  after:
    plug: two-pin
    switch: double-pole
    line to chassis: C41
    touchable: chassis
  measured:
{}"""


def _read(*lines: str) -> tuple[object, ...]:
    found: tuple[object, ...] = makers.found("line_side", _set(*lines)).insulation
    return found


def _set(*lines: str) -> str:
    return SET.format("".join(f"    - {line}\n" for line in lines))


def _table(*lines: str) -> list[str]:
    table = makers.digest("line_side", _set(*lines)).table
    row = next(row for group in table.groups for row in group.rows if "Insulation" in str(row.head))
    return [re.sub(r"Amount\(si=|,.*", "", str(cell)) if cell.lines else "" for cell in row.cells]


_SET_OF_ONE_STATE = re.sub(r"  before:\n(?:    .*\n)+", "", SET)
BEFORE = "2026-10-08, insulation line to chassis, 0.85 Mohm at 500 V"
AFTER = "2026-11-02, insulation line to chassis, 160 Mohm at 500 V"


def test_insulation_before_the_work_stands_before_it() -> None:
    """The front page left it out though it was measured."""
    assert [one.before_work for one in _read(BEFORE, AFTER)] == [True, False]
    both, after, before = _table(BEFORE, AFTER), _table(AFTER), _table(BEFORE)
    assert len(both) == 2
    assert all(both)
    assert (after[0], before[1]) == ("", "")
    assert before[0] == both[0]
    assert after[1] == both[1]


def test_the_newest_reading_after_the_work_and_the_oldest_before_it_stand_in_short() -> None:
    second = BEFORE.replace("10-08", "10-09").replace("0.85", "0.7")
    older, newer = AFTER.replace("160", "90").replace("11-02", "11-01"), AFTER
    assert _table(BEFORE, second, older, newer) == _table(BEFORE, newer)
    alone = _SET_OF_ONE_STATE.format("".join(f"    - {line}\n" for line in (older, newer)))
    rows = [row for group in makers.digest("line_side", alone).table.groups for row in group.rows]
    (said,) = [text_of(cell.lines[0]) for row in rows if "Insulation" in str(row.head) for cell in row.cells]
    assert makers.plain(said).startswith("160 MΩ")


@pytest.mark.parametrize(
    ("volts", "head"),
    [("500 V", "Insulation, line to chassis, at 500 V"), ("250 V", "Insulation, line to chassis")],
)
def test_the_volts_of_insulation_head_its_row_where_both_were_read_at_them(volts: str, head: str) -> None:
    table = makers.digest("line_side", _set(BEFORE, AFTER.replace("500 V", volts))).table
    heads = [makers.plain(row.head.text) for group in table.groups for row in group.rows]
    assert [one for one in heads if one.startswith("Insulation")] == [head]


@pytest.mark.parametrize(("ohms", "agrees"), [("40 Mohm", True), ("1 Mohm", False), ("> 1 Mohm", None)])
def test_where_no_part_lies_in_its_path_insulation_has_two_megohms_at_least(ohms: str, agrees: bool | None) -> None:
    """DIN VDE 0701-0702, as the steps of the work ask for."""
    (reading,) = _read(f"2026-11-02, insulation line to chassis, {ohms} at 500 V")
    assert reading.computed_ohms is None
    assert reading.agrees is agrees


def test_with_the_parts_off_their_resistance_is_not_in_its_path() -> None:
    (reading,) = _read("2026-10-08, insulation line to chassis, 46 Mohm at 500 V; C40 and C41 off")
    assert reading.agrees is None
    (reading,) = _read("2026-10-08, insulation line to chassis, 46 Mohm at 500 V; 17 °C")
    assert reading.agrees is False


@pytest.mark.parametrize(
    ("written", "known"),
    [
        ("before power:\n  - 2026-10-01, mains transformer primary 23 ohm\n", True),
        ("before power:\n  - 2026-10-01, plug 23 ohm\n", True),
        ("", False),
    ],
)
def test_pin_to_pin_of_a_transformer_set_is_its_primary(written: str, known: bool) -> None:
    """“Hangs on windings that are not written” was said beside a primary of 23 ohm."""
    found = makers.found("line_side", _set(AFTER) + written)
    step = next(step for step in found.steps if step.resistances)
    on = next(r for r in step.resistances if r.switch == "on" and {r.between, r.other} == {HOT_PIN, RETURN_PIN})
    assert on.known is known
    if known:
        assert (on.low_ohms, on.high_ohms) == (pytest.approx(23 * 0.97), pytest.approx(23 * 1.03))


@pytest.mark.parametrize(
    ("ohms", "heat"), [("220 k", ", 1.1\u202fW meanwhile"), ("1 meg", ""), ("470 k", ", 0.53\u202fW")]
)
def test_the_test_says_what_it_makes_of_the_resistor_in_its_path(ohms: str, heat: str) -> None:
    """500 V across 220 kilohm are 1.14 W: more than the half-watt resistor between B- and chassis is made for."""
    text = (
        "line: 120 V 60 Hz\npower: series string\nchassis: through R and C\n"
        f"line side:\n  after:\n    switch: hot lead\n    B- to chassis: {ohms}, 10 nF Y1\n    touchable: chassis\n"
    )
    steps = makers.found("line_side", text).steps
    (step,) = [one.text for one in steps if one.kind == "insulation"]
    assert (heat in step) if heat else ("meanwhile" not in step)
