"""A capacitor's leakage against what it should have, known exactly or as a bound only."""

from __future__ import annotations

import pytest

from makers import found, rows

GRID, ELSEWHERE = "V1 plate to V2 grid", "V1 plate to chassis"


@pytest.mark.parametrize(
    ("ends", "leak", "enough"),
    [
        (GRID, "leakage 100 meg", True),
        (GRID, "leakage 99 meg", False),
        (ELSEWHERE, "leakage 10 meg", True),
        (ELSEWHERE, "leakage 9.9 meg", False),
        (GRID, "leakage > 100 meg", True),
        (GRID, "leakage > 99 meg", None),
        (GRID, "leakage < 99 meg", False),
        (GRID, "leakage < 100 meg", None),
    ],
)
def test_a_bound_decides_only_on_its_own_side(ends: str, leak: str, enough: bool | None) -> None:
    """At a grid 100 megohm, elsewhere 10: common practice, no source."""
    part = f"C1: was 0.01 uF 400 V paper, {leak}, between {ends}"
    (one,) = found("parts", f"tubes:\n  V1: 6SQ7\n  V2: 6V6\nparts:\n{rows(part)}").values()
    assert one.was_held.leakage_enough is enough


@pytest.mark.parametrize(
    ("leak", "enough"),
    [("leakage 0 mA at 450 V", True), ("leakage 0.4 mA at 450 V", True), ("leakage 30 mA at 450 V", False)],
)
def test_an_electrolytic_that_leaks_nothing_leaks_little_enough(leak: str, enough: bool) -> None:
    """JAN-C-62: the milliamperes are a factor times the microfarads, and 0.3 besides."""
    (one,) = found("parts", f"parts:\n  C1: was 8 uF 450 V electrolytic, {leak}\n").values()
    assert one.was_held.leakage_enough is enough
