"""A set that no line feeds: no word of one on its pages, sheets and card; a supply's limits are limits."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.pages.sheets import bench_sheet, cabinet_card
from benchleaf.words import DIALECTS

SET = """line: 1.5 V
power: battery
chassis: isolated
tubes:
  V1: 1R5, converter
  V3: 1S5, detector and audio
  V4: 3S4, output
heaters:
  batteries:
    A: 1.5 V 24 Ah
    B: 90 V
parts:
  R3: 1 Mohm, B+ to V3 plate, keep
readings:
  2026-11-17 after:
    line: 1.5 V
    to: chassis
    V4: plate 79, screen 71
    V3: plate 27
power-up:
  - date: 2026-11-16
    with: bench supply, 1.5 V limited to 300 mA, then B limited to 15 mA
    steps:
      - line 1.5 V, 250 mA, B off
      - B 67.5 V, 8.7 mA
before power:
  - 2026-11-10, V4 heater 10 ohm
log:
  - 2026-11-16, 1 h, power-up
"""


@pytest.mark.parametrize("dialect", ["american", "british"])
def test_no_page_sheet_or_card_speaks_of_a_line(dialect: str) -> None:
    examined = makers.examined(SET, words=DIALECTS[dialect])
    words = DIALECTS[dialect]
    told = [cabinet_card(examined), bench_sheet(examined)]
    told += [makers.page(chapter, examined.bench) for chapter in ("readings", "power_up", "heaters")]
    for each in told:
        said = re.sub("<[^>]*>", " ", makers.plain(each))
        assert not re.search(rf"\b{words.line}\b(?! of a)|{words.wall_plug}", said), said
    assert "Take the battery off before opening" in told[0]


def test_limits_that_are_written_are_limits() -> None:
    """“Nothing that is named limits the current” was said of limits of 300 mA and 15 mA."""
    (session,) = makers.found("power_up", SET).sessions
    (said,) = session.limits
    assert said.startswith("The supply limits the current to 300 mA and 15 mA, as written")
    none = makers.found("power_up", SET.replace("limited to 300 mA, then B limited to 15 mA", "")).sessions[0].limits
    assert none[0].startswith("Nothing that is named limits the current")


def test_a_batterys_volts_are_what_a_step_was_read_at() -> None:
    (session,) = makers.found("power_up", SET).sessions
    assert not any("no volts that it was read at" in doubt for doubt in session.doubts)


def test_what_lies_between_b_minus_and_the_chassis_is_the_b_batterys_ammeter() -> None:
    """6.3 V across 495 ohm are 12.7 mA, beside 12.9 mA read."""
    text = SET.replace("    B: 90 V", "    B: 90 V 550 mAh{}").replace(
        "  R3:", "  R8: 495 ohm, B- to chassis, keep\n  R3:"
    )
    text = text.replace("    to: chassis\n", "    to: chassis\n    B-: -6.3\n")
    for drain, amps in ((", drain 12.9 mA", 12.9e-3), ("", 6.3 / 495)):
        found = next(one for one in makers.found("heaters", text.format(drain)).drains if one.name == "B")
        assert found.in_the_return.amps == pytest.approx(6.3 / 495, rel=3e-3)
        assert found.amps == pytest.approx(amps, rel=3e-3)
    page = re.sub("<[^>]*>", "", makers.plain(makers.page("heaters", text.format(", drain 12.9 mA"))))
    assert "12.9 mA measured (12.7 mA by the volts across R8, 2026-11-17 after)" in page


def test_what_is_written_of_a_mains_unit_stands_on_the_page_of_a_battery_set() -> None:
    """“This set does not run from the battery” stood there, and the whole line side that was typed on no page."""
    text = (
        "line: 230 V\npower: battery\nline side:\n  before:\n    cord: cotton flex\n    plug: 2 pin\n"
        "    line to chassis: C12\n  after:\n    fuse: 160 mA in live lead\n  measured:\n"
        "    - 2024-11-04, chassis, 0.9 mA across 2 kohm\nparts:\n  C12: 10 nF\n"
    )
    (said,) = makers.found("line_side", text).missing
    assert said.startswith("This set runs from batteries: of a line unit beside them nothing is computed here.")
    assert all(typed in said for typed in ("cotton flex", "C12", "160 mA", "0.9 mA", "2 kohm"))
    assert "cotton flex" in makers.plain(makers.page("line_side", text))
