"""Bars by template: right lengths, words for a reader who sees none of it."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from benchleaf.drawing.bars import deviation_bar, deviation_words, share_bar, within_bar


@pytest.mark.parametrize(("fraction", "width"), [(0, 0), (0.25, 24.5), (1, 98), (1.7, 98), (-1, 0)])
def test_a_share_fills_its_part_of_the_frame(fraction: float, width: float) -> None:
    frame, filled = ET.fromstring(share_bar(fraction, "V4: 50 V of 122.8 V"))
    assert float(filled.attrib["width"]) == width
    assert frame.attrib["fill"] == "none"


def test_bars_say_in_words_what_they_show() -> None:
    root = ET.fromstring(share_bar(0.4, 'V4 <b> & "x"'))
    assert root.attrib["aria-label"] == 'V4 <b> & "x"'
    assert root.attrib["role"] == "img"
    assert ET.fromstring(deviation_bar(-0.04, 0.2)).attrib["aria-label"] == "4 % low, within ± 20 %"
    assert ET.fromstring(deviation_bar(0.1, 0.2, "92 V for 90 V")).attrib["aria-label"] == "92 V for 90 V"


def mark(deviation: float, tolerance: float | None) -> float:
    stroke = ET.fromstring(deviation_bar(deviation, tolerance))[-1]
    return float(stroke.attrib["x"]) + 1.5


def test_a_deviation_stands_in_its_band_or_outside() -> None:
    root = ET.fromstring(deviation_bar(0.1, 0.2))
    band = root[0]
    left = float(band.attrib["x"])
    right = left + float(band.attrib["width"])
    assert band.attrib["stroke-dasharray"]
    assert left < mark(0.1, 0.2) < right
    assert left < mark(-0.19, 0.2) < 60
    assert mark(0.25, 0.2) > right
    assert mark(-0.25, 0.2) < left
    assert mark(0, 0.2) == 60


def test_a_deviation_beyond_the_scale_is_an_arrow_at_the_end() -> None:
    for far in (0.9, -0.9):
        stroke = ET.fromstring(deviation_bar(far, 0.2))[-1]
        assert stroke.tag == "path"
        assert stroke.attrib["d"].endswith("z")


def test_without_a_tolerance_no_band_is_drawn() -> None:
    assert len(ET.fromstring(deviation_bar(0.1, None))) == 2
    assert len(ET.fromstring(deviation_bar(0.1, 0.2))) == 3


@pytest.mark.parametrize(
    ("deviation", "tolerance", "words"),
    [
        (0.2, 0.2, "20 % high, within ± 20 %"),
        (-0.26, 0.2, "26 % low, outside ± 20 %"),
        (0.001, 0.05, "as expected, within ± 5 %"),
        (0.31, None, "31 % high"),
    ],
)
def test_a_deviation_in_words(deviation: float, tolerance: float | None, words: str) -> None:
    assert deviation_words(deviation, tolerance) == words


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_what_is_not_a_number_is_refused(number: float) -> None:
    with pytest.raises(ValueError, match="not a number"):
        share_bar(number, "x")
    with pytest.raises(ValueError, match="not a number"):
        deviation_bar(number, 0.2)
    with pytest.raises(ValueError, match="below zero"):
        deviation_bar(0.1, -0.2)


def test_bars_are_in_the_texts_colour() -> None:
    for bar in (share_bar(0.5, "a"), deviation_bar(0.1, 0.2), deviation_bar(-3, 0.2)):
        assert "currentColor" in bar
        assert "#" not in bar


@pytest.mark.parametrize(("deviation", "share"), [(-0.2, 0.0), (0.0, 0.5), (0.1, 0.75), (0.2, 1.0)])
def test_a_bar_within_ends_at_the_tolerance(deviation: float, share: float) -> None:
    """The stroke stands where the deviation does between the two ends of the line, which are the tolerance."""
    line, stroke = ET.fromstring(within_bar(deviation, 0.2))
    left = float(line.attrib["d"].split()[0].lstrip("M"))
    middle = float(stroke.attrib["x"]) + float(stroke.attrib["width"]) / 2
    width = float(ET.fromstring(within_bar(deviation, 0.2)).attrib["width"])
    assert (middle - left) / (width - 2 * left) == pytest.approx(share, abs=0.01)


@pytest.mark.parametrize(("deviation", "tolerance"), [(0.21, 0.2), (0.1, 0.0), (float("nan"), 0.2)])
def test_nothing_is_drawn_beyond_the_tolerance(deviation: float, tolerance: float) -> None:
    with pytest.raises(ValueError, match=r"does not lie within|not a number"):
        within_bar(deviation, tolerance)
