"""A current that was read before the fault was put right is no word on the set that stands there now."""

from __future__ import annotations

import pytest

import makers

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5, output
  V5: 35W4, rectifier
readings:
  2026-03-09 after:
    line: 118 V
    V4: cathode 5.9
    B+1: 121
    B+2: 92.4
parts:
  C1: 47 uF 200 V electrolytic, B+1 to B-
  C2: 22 uF 200 V electrolytic, B+2 to B-
  R8: keep, 150 ohm, V4 cathode to B-
  R9: keep, 1 kohm, B+1 to B+2
  T3: keep, output transformer, V4 plate to B+1
power-up:
  - date: 2026-03-04
    with: variable transformer
    steps:
      - line 117 V, 0.45 A
"""


@pytest.mark.parametrize(
    ("since", "told"),
    [
        ("", True),
        ("faults:\n  - complaint: hum\n    cure: new C1\n    date: 2026-03-06\n", False),
        ("faults:\n  - complaint: hum\n    cure: new C1\n    date: 2026-03-02\n", True),
        ("faults:\n  - complaint: hum\n    date: 2026-03-06\n", True),
        ("changed tubes:\n  V4: was 50C5, now 50C5, 2026-03-08\n", False),
    ],
)
def test_what_was_put_right_since_takes_it_off_what_remains(since: str, told: bool) -> None:
    """“Look for an open resistor” remained of a step taken two days before that resistor was replaced."""
    assert bool([one for one in makers.said("power_up", SET + since) if one.startswith("At 117 V")]) is told


def test_so_does_a_part_that_was_fitted_since() -> None:
    for day, told in (("2026-03-06", False), ("2026-03-01", True)):
        text = SET.replace("C2: 22 uF 200 V", f"C2: was 20 uF 150 V, fitted {day}, now 22 uF 200 V")
        assert bool([one for one in makers.said("power_up", text) if one.startswith("At 117 V")]) is told
