"""Which of several readings of insulation stands in short: the first from before the work, the last from after it."""

from __future__ import annotations

import re

import pytest

import makers

STATE = "    plug: two-pin\n    switch: double-pole\n    line to chassis: 5 nF\n    touchable: chassis\n"
HEAD = "line: 230 V 50 Hz\npower: transformer\nparts:\n  C40: was 5 nF, now 5 nF, fitted 2026-10-26\nline side:\n"
READ = {
    "2026-10-08": "0.85",
    "2026-10-09": "0.95",
    "2026-11-02": "160",
    "2026-11-03": "170",
}


def shown(states: tuple[str, ...], days: tuple[str, ...]) -> list[str]:
    written = "".join(f"  {state}:\n{STATE}" for state in states)
    rows = "".join(f"    - {day}, insulation line to chassis, {READ[day]} Mohm at 500 V\n" for day in days)
    table = makers.digest("line_side", f"{HEAD}{written}  measured:\n{rows}").table
    assert table is not None
    row = next(row for group in table.groups for row in group.rows if "Insulation" in str(row.head))
    return [megohms for cell in row.cells for megohms in re.findall(r"si=([\d.]+)", str(cell))]


@pytest.mark.parametrize(
    ("states", "days", "expected"),
    [
        (("before", "after"), ("2026-10-08", "2026-10-09", "2026-11-02", "2026-11-03"), ["850000.0", "170000000.0"]),
        (("before", "after"), ("2026-10-08", "2026-10-09"), ["850000.0"]),
        (("before", "after"), ("2026-11-02", "2026-11-03"), ["170000000.0"]),
        (("after",), ("2026-11-02", "2026-11-03"), ["170000000.0"]),
    ],
)
def test_one_reading_of_a_state_stands_in_short(
    states: tuple[str, ...], days: tuple[str, ...], expected: list[str]
) -> None:
    assert shown(states, days) == expected
