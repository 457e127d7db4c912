"""The settings of a mains transformer: on the voltage each is made for, the heaters have their nominal volts."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from benchleaf.chapters.heaters.taps import transformer_taps
from benchleaf.record.quantities import read_quantity
from benchleaf.record.text import Text


def taps(*names: str, shares: tuple[float | None, ...] = (1.0,), line: float | None = 240.0, wound: bool = True) -> Any:
    tubes = [SimpleNamespace(of_rated=share) for share in shares]
    windings: Any = [SimpleNamespace(tubes=tubes)]
    written = {Text(name): read_quantity("12 ohm", "resistance") for name in names}
    return transformer_taps(windings, written, line, wound=wound)


@pytest.mark.parametrize(
    ("name", "shares", "lowest", "highest", "verdict"),
    [
        ("240 V", (1.0,), 1.0, 1.0, "within"),
        ("220-260 V", (1.0,), 220 / 240, 260 / 240, "within"),
        ("210-260 V", (0.98,), 0.98 * 210 / 235, 0.98 * 260 / 235, "outside"),
        ("240 V", (0.95, None, 1.05), 0.95, 1.05, "within"),
        ("240 V", (None,), None, None, "not known"),
        ("240 V", (), None, None, "not known"),
        ("black", (1.0,), None, None, "not known"),
    ],
)
def test_what_the_heaters_have_on_a_setting(
    name: str, shares: tuple[float | None, ...], lowest: float | None, highest: float | None, verdict: str
) -> None:
    """Of a range the middle is what it is made for; one without volts, or without known heaters, tells nothing."""
    (tap,) = taps(name, shares=shares)
    assert (tap.lowest_of_rated, tap.highest_of_rated) == (
        pytest.approx(lowest) if lowest else None,
        pytest.approx(highest) if highest else None,
    )
    assert tap.verdict == verdict
    assert tap.of_transformer


def test_the_setting_nearest_to_the_line_is_marked() -> None:
    assert [tap.nearest for tap in taps("220 V", "240 V", "260 V", "black")] == [False, True, False, False]
    assert [tap.nearest for tap in taps("220 V", "240 V", line=None)] == [False, False]
    assert [tap.nearest for tap in taps("210-230 V", "190-250 V", line=228.0)] == [True, False]


def test_on_the_nominal_line_a_setting_for_more_gives_less() -> None:
    low, high = taps("220 V", "260 V", line=240.0, wound=False)
    assert low.here_lowest_of_rated == pytest.approx(240 / 220)
    assert high.here_highest_of_rated == pytest.approx(240 / 260)
    assert not low.of_transformer
