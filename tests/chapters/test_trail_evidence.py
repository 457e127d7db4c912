"""What is told behind the name of a culprit: what its text has not already, and what was wrong with it."""

from __future__ import annotations

import pytest

import makers
from benchleaf.report.sentence import text_of


def _wrong(part: str, cause: str) -> str:
    text = f"parts:\n  {part}\nfaults:\n  - complaint: fades\n    cause: {cause}\n    cure: mended\n"
    return makers.plain(text_of(makers.digest("faults", text).brief.wrong[0].said))


@pytest.mark.parametrize(
    ("part", "cause", "told"),
    [
        ("VR1: 1 Mohm volume control with switch, measured 0.94 Mohm, cleaned", "the switch of VR1", ""),
        ("R4: 4.7 Mohm, measured 11 Mohm, now 4.7 Mohm", "R4", "(11 MΩ)"),
        ("R4: 4.7 Mohm 5 %, measured 5.2 Mohm, now 4.7 Mohm", "R4", "(5.2 MΩ)"),
        ("C14: 20 nF, leaks 10 Mohm at 100 V, now 22 nF", "C14", "(10 MΩ at 100 V)"),
        ("C14: 20 nF, leaks 10 Mohm at 100 V, now 22 nF", "C14, 10 meg at 100 V", ""),
    ],
)
def test_a_value_that_is_as_marked_or_told_already_is_left_out(part: str, cause: str, told: str) -> None:
    """“VR1 (940 kΩ)” stood behind a switch that lost volts, and “C14 (10 MΩ at 100 V), 10 MΩ at 100 V”."""
    said = _wrong(part, cause)
    assert ("(" in said) is bool(told)
    assert told in said
