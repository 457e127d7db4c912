"""A detector's curve in words: where it is at zero, how far apart its peaks are, how alike, and how steep it is."""

from __future__ import annotations

import re

import pytest

from benchleaf.chapters.alignment.findings import DetectorCurve
from benchleaf.chapters.alignment.swept_said import s_in_words
from benchleaf.electrics.response import s_curve
from benchleaf.report.sentence import text_of


@pytest.mark.parametrize(
    ("below", "above", "balance", "slope"), [(-2.0, 1.6, "80 %", "18 mV"), (2.0, -1.0, "50 %", "15 mV")]
)
def test_a_detectors_curve_by_hand(below: float, above: float, balance: str, slope: str) -> None:
    """3.6 V or 3 V over 200 kHz, whichever way the curve goes."""
    points = ((10.6e6, below), (10.7e6, 0.0), (10.8e6, above))
    said = text_of(s_in_words(DetectorCurve(points, said=s_curve(points))))
    words = (
        f"Zero at 10.7 MHz; peaks 200 kHz apart, the smaller {balance} of the other; {slope} a kilohertz between them."
    )
    assert re.sub(r"\s", " ", said) == words
