"""The cautions: there for every mains set, sterner where the chassis hangs on the line, and never a promise."""

from __future__ import annotations

import itertools
import re

import pytest

import makers
from benchleaf.circuit.circuit import Circuit
from benchleaf.pages.cautions import cautions
from benchleaf.record.how_powered import CHASSIS, POWER
from benchleaf.words import AMERICAN, BRITISH


def _circuit(power: str | None, chassis: str | None, more: str = "") -> Circuit:
    written = (f"power: {power}\n" if power else "", f"chassis: {chassis}\n" if chassis else "", more)
    return makers.circuit("".join(written))


EVERY_SET = list(itertools.product((None, *POWER), (None, *CHASSIS)))


@pytest.mark.parametrize(("power", "chassis"), EVERY_SET)
@pytest.mark.parametrize("words", [AMERICAN, BRITISH])
def test_every_set_has_its_cautions_and_none_is_called_safe(
    power: str | None, chassis: str | None, words: object
) -> None:
    blocks = cautions(_circuit(power, chassis), words)  # type: ignore[arg-type]
    text = " ".join(line for block in blocks for line in (block.title, *block.lines))
    assert "Local electrical codes and licensed practice decide" in text
    assert not re.search(r"\bsafe(ly|ty)?\b|\bsimply\b", text, re.I)


def test_a_chassis_nobody_described_counts_as_connected_to_the_line() -> None:
    (block,) = cautions(_circuit("series string", None), AMERICAN)
    assert block.title == "Treat the chassis as connected to the line: the record does not say that it is not"
    assert "metal you can touch may be at line voltage" in block.lines[0]


def test_a_line_connected_chassis_is_cautioned_more_sternly_than_an_isolated_one() -> None:
    (live,) = cautions(_circuit("series string", "line-connected"), AMERICAN)
    (isolated,) = cautions(_circuit("transformer", "isolated"), AMERICAN)
    assert live.title == "The chassis of this set is one side of the line"
    assert set(isolated.lines) < set(live.lines)
    assert any("the ground clip is then a short circuit" in line for line in live.lines)


def test_a_battery_set_is_warned_of_its_high_tension_only() -> None:
    (block,) = cautions(_circuit("battery", None), BRITISH)
    assert block.title == "Battery set: mind the high tension and the valves"
    assert not any("plug" in line for line in block.lines)


def test_the_dialect_of_the_site_is_spoken() -> None:
    (block,) = cautions(_circuit("series string", "line-connected"), BRITISH)
    assert block.title == "The chassis of this set is one side of the mains"
    assert any("mains plug" in line for line in block.lines)


def test_what_the_record_leaves_in_doubt_is_cautioned_like_a_chassis_on_the_line() -> None:
    """An earthed chassis cannot be one side of the line, and the record does not say what parts it from B-."""
    (known,) = cautions(_circuit("series string", "line-connected"), AMERICAN)
    (doubted,) = cautions(_circuit("three-way", "earthed"), AMERICAN)
    assert doubted.title == "Treat the chassis as connected to the line: the record does not say that it is not"
    assert doubted.lines == known.lines


def test_an_isolated_chassis_with_a_part_to_b_minus_keeps_the_stern_cautions() -> None:
    (stern,) = cautions(
        _circuit("series string", "isolated", "parts:\n  C4: was 50 nF, between B- and chassis\n"), BRITISH
    )
    assert stern.title == (
        "Treat the chassis as connected to the mains: the record says two things of it that cannot both be so"
    )
    assert "metal you can touch may be at mains voltage" in stern.lines[0]


def test_a_battery_set_said_to_be_on_the_line_is_warned_of_both() -> None:
    first, second = cautions(_circuit("battery", "line-connected"), AMERICAN)
    assert first.title.startswith("Treat the chassis as connected to the line")
    assert second.title == "Battery set: mind the high tension and the tubes"


def test_b_minus_on_the_line_is_warned_of_where_the_chassis_is_apart_from_it() -> None:
    """The clip of an earthed oscilloscope shorts the line at B- too, whatever the chassis does."""
    (floating,) = cautions(_circuit("series string", "isolated"), AMERICAN)
    (parted,) = cautions(_circuit("transformer", "isolated"), AMERICAN)
    assert floating.title == parted.title == "This set carries lethal voltages and runs from the line"
    assert floating.lines[1:] == parted.lines
    assert floating.lines[0].startswith("B- counts as one side of the line")


@pytest.mark.parametrize(
    ("written", "named"),
    [
        ("note: luminous paint on the dial\n", "radium"),
        ("heaters:\n  dropper: resistance cord 170 ohm\n", "asbestos"),
        ("parts:\n  SE1: rectifier, selenium 100 mA\n  C9: 0.1 uF 600 V paper in oil\n", "selenium and PCB oil"),
        ("tubes:\n  V1: 83\n", "mercury"),
        ("log:\n  - 2026-03-01, 1 h, removed the heat shield with its asbestos\n", "asbestos"),
    ],
)
def test_what_the_record_names_that_harms_has_a_caution(written: str, named: str) -> None:
    block = cautions(_circuit("transformer", "isolated", written), AMERICAN)[-1]
    assert block.title == f"May be in this set: {named}"
    assert len(block.lines) == named.count(" and ") + 1


def test_a_maker_of_that_name_is_no_material() -> None:
    circuit = makers.circuit("maker: Mercury Radio\nmodel: Radium 5\npower: transformer\nchassis: isolated\n")
    assert len(cautions(circuit, AMERICAN)) == 1


@pytest.mark.parametrize(
    "note",
    ["no asbestos anywhere", "looked for selenium: nothing", "the dial is free of radium paint", "asbestos none"],
)
def test_a_material_that_is_said_not_to_be_there_has_none(note: str) -> None:
    assert len(cautions(_circuit("transformer", "isolated", f'note: "{note}"\n'), AMERICAN)) == 1


@pytest.mark.parametrize(
    ("parts", "cautioned"),
    [
        (
            "D1: was selenium bridge B250 C85, now silicon bridge 1 A 800 V, fitted 2026-09-19, note the stack ran hot",
            False,
        ),
        ("D1: was selenium bridge B250 C85, now silicon bridge 1 A 800 V, ordered 2026-09-19", True),
        ("D1: was selenium bridge B250 C85, to do", True),
        ("D1: was selenium, now silicon 1 A, fitted 2026-09-19\n  D2: was selenium 20 mA, kept", True),
    ],
)
def test_selenium_that_went_with_its_rectifier_is_in_the_set_no_more(parts: str, cautioned: bool) -> None:
    """“May be in this set: selenium” stood on the page of a set whose stack had been taken out of the circuit."""
    log = "log:\n  - 2026-09-12, 1 h, the selenium stack smelt of radish\n"
    blocks = cautions(_circuit("transformer", "isolated", f"parts:\n  {parts}\n{log}"), AMERICAN)
    assert any("selenium" in block.title for block in blocks) is cautioned
    assert len(cautions(_circuit("transformer", "isolated", log), AMERICAN)) == 2


@pytest.mark.parametrize(
    ("part", "cautioned"),
    [
        ("C1 a: 30 uF, replaced, red lead, between B+1 and B-", False),
        ("C1: 30 uF, replaced, white lead to the switch", False),
        ("R1: 1 k, removed, in old lead paint", True),
        ("W1: cable, kept, lead sheathed", True),
    ],
)
def test_the_lead_of_a_part_is_a_wire_and_no_metal(part: str, cautioned: bool) -> None:
    blocks = cautions(_circuit("transformer", None, f"parts:\n  {part}\n"), AMERICAN)
    assert any("Lead is in old paint" in line for block in blocks for line in block.lines) is cautioned


def test_one_rule_alone_stands_open_and_several_are_folded() -> None:
    """“The record names it; what not to do stands below” and “The one rule in full” stood where the rule could."""
    selenium = "parts:\n  SE1: rectifier, selenium 100 mA\n"
    for written, folded in ((selenium, False), (selenium + "  C9: 0.1 uF 600 V paper in oil\n", True)):
        html = makers.set_page(f"maker: A\nmodel: B\npower: transformer\nchassis: isolated\n{written}").html
        (block,) = re.findall(r"<aside[^>]*>(?:(?!</aside>).)*May be in this set.*?</aside>", html, re.S)
        assert "poisonous smoke" in block
        assert ("in full</summary>" in block, "stands below" in block) == (folded, folded)
