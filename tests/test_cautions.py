"""The cautions: there for every mains set, sterner where the chassis hangs on the line, and never a promise."""

from __future__ import annotations

import itertools
import re

import pytest

import makers
from benchleaf.pages.cautions import cautions
from benchleaf.record.model import CHASSIS, POWER, Record
from benchleaf.report.dialect import AMERICAN, BRITISH


def _record(power: str | None, chassis: str | None) -> Record:
    lines = ["maker: A", "model: B"]
    lines += [f"power: {power}"] if power else []
    lines += [f"chassis: {chassis}"] if chassis else []
    return makers.record("\n".join(lines))


EVERY_SET = list(itertools.product((None, *POWER), (None, *CHASSIS)))


@pytest.mark.parametrize(("power", "chassis"), EVERY_SET)
@pytest.mark.parametrize("words", [AMERICAN, BRITISH])
def test_every_set_has_its_cautions_and_none_is_called_safe(
    power: str | None, chassis: str | None, words: object
) -> None:
    blocks = cautions(_record(power, chassis), words)  # type: ignore[arg-type]
    text = " ".join(line for block in blocks for line in (block.title, *block.lines))
    assert "Local electrical codes and licensed practice decide" in text
    assert not re.search(r"\bsafe(ly|ty)?\b|\bsimply\b", text, re.I)


def test_a_chassis_nobody_described_counts_as_connected_to_the_line() -> None:
    (block,) = cautions(_record("series string", None), AMERICAN)
    assert block.title == "Treat the chassis as connected to the line: the record does not say that it is not"
    assert "metal you can touch may be at line voltage" in block.lines[0]


def test_a_line_connected_chassis_is_cautioned_more_sternly_than_an_isolated_one() -> None:
    (live,) = cautions(_record("series string", "line-connected"), AMERICAN)
    (isolated,) = cautions(_record("transformer", "isolated"), AMERICAN)
    assert live.title == "The chassis of this set is one side of the line"
    assert set(isolated.lines) < set(live.lines)
    assert any("the ground clip is then a short circuit" in line for line in live.lines)


def test_a_battery_set_is_warned_of_its_high_tension_only() -> None:
    (block,) = cautions(_record("battery", None), BRITISH)
    assert block.title == "Battery set: mind the high tension and the valves"
    assert not any("plug" in line for line in block.lines)


def test_the_dialect_of_the_site_is_spoken() -> None:
    (block,) = cautions(_record("series string", "line-connected"), BRITISH)
    assert block.title == "The chassis of this set is one side of the mains"
    assert any("mains plug" in line for line in block.lines)
