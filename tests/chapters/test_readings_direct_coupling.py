"""A control grid far above the bottom of the supply, held against its own cathode."""

from __future__ import annotations

import pytest

from benchleaf.chapters.readings.direct_coupling import OwnCathode
from makers import found, rows

SPLITTER = """line: 117 V 60 Hz
power: transformer
tubes:
  V1: 6SL7, section 1 amplifier; section 2 phase splitter
"""


@pytest.mark.parametrize(
    ("grid", "cathode", "told"),
    [
        (90.0, 95.0, ("−5 V beside its own cathode",)),
        (95.0, 90.0, ("+5 V beside its own cathode",)),
        (10.0, 12.0, ("−2 V beside its own cathode",)),
        (9.9, 12.0, ()),
        (-90.0, 12.0, ()),
        (90.0, None, ()),
        (None, 90.0, ()),
    ],
)
def test_a_grid_at_ten_volts_and_more_is_told_beside_its_own_cathode(
    grid: float | None, cathode: float | None, told: tuple[str, ...]
) -> None:
    """Less than that a bias makes, or a small leak: common practice, no source."""
    assert tuple(text.replace("\u202f", " ") for text in OwnCathode(cathode).remark(grid)) == told


@pytest.mark.parametrize(
    ("parts", "wires", "asked"),
    [
        ("", "V1 grid 2, V1 plate 1", False),
        ("R1: 1 meg, V1 plate 1 to V1 grid 2", "", False),
        ("R1: 1 meg, V1 cathode 1 to V1 grid 2", "", False),
        ("R1: 1 meg, B+1 to V1 grid 2", "", False),
        ("R1: 1 meg, V1 grid 2 to chassis", "", True),
        ("C1: 10 nF 600 V paper, V1 plate 1 to V1 grid 2", "", True),
    ],
)
def test_a_positive_grid_is_asked_about_unless_the_set_has_it_so_by_design(parts: str, wires: str, asked: bool) -> None:
    text = SPLITTER + f"parts:\n{rows(parts)}" * bool(parts) + f"wires:\n  - {wires}\n" * bool(wires)
    text += "readings:\n  as found:\n    V1: grid 2 85, cathode 2 88\n"
    (row,) = (row for row in found("readings", text).rows if row.spot.is_control_grid)
    assert ("grid" in str(row.verdict).casefold()) is asked
