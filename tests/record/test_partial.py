"""What one line that cannot be read costs: the entry that it is, and none beside it."""

from typing import Any

import pytest

import makers
from benchleaf.record import read_record
from benchleaf.record.mapping import as_mapping

HEAD = "maker: A\nmodel: B\n"


def left_of(text: str) -> Any:
    record, problems = read_record((HEAD + text).encode(), makers.FILE)
    assert record is not None
    assert problems
    return as_mapping(record)


@pytest.mark.parametrize(
    ("bad", "text"),
    [
        ("hv", "heaters:\n  windings:\n    hv: 99 gauss\n    rect: 5 V 2 A\n"),
        (
            "88 gauss",
            "alignment:\n  - response:\n      - 450 kHz 88 gauss\n      - 455 kHz 0 dB\n      - 460 kHz -6 dB\n",
        ),
        ("line 9 ohm", "power-up:\n  - with: variac\n    steps:\n      - line 9 ohm\n      - line 80 V, 0.2 A\n"),
        (
            "B- 395",
            "before power:\n  - 1/13/26\n  - plug 6.1 ohms\n  - field coil 1185 ohms\n"
            "  - B+1 to B- 395\n  - V6 grid to chassis 510k\n",
        ),
        ("88 gauss", "readings:\n  found:\n    B+1: 90 V\n    V1: plate 88 gauss\n    V2: plate 70\n"),
        ("2 gauss", "line side:\n  before:\n    fuse: 2 gauss\n    switch: B- lead\n"),
        ("ex", "readings:\n  found:\n    B+1: 90 V\n    resistance:\n      V1: ex\n      V2: plate 470k\n"),
    ],
)
def test_a_line_costs_itself(bad: str, text: str) -> None:
    without = "".join(line for line in text.splitlines(keepends=True) if bad not in line)
    assert left_of(text) == as_mapping(makers.record(HEAD + without))
