"""Line sides as they are found and as they are left, examined."""

from __future__ import annotations

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.line_side.findings import LineSideFindings

HEAD = "maker: Larkfield\nmodel: Minuet 5\nnameplate: 105-125 V, AC/DC, 30 W\n"


BEFORE = """
    plug: two-pin, either way
    switch: B- lead
    fuse: none
    B- to chassis: 330 kohm, 0.05 uF paper
    touchable: chassis, shafts, aerial socket through 500 pF
"""


AFTER = """
    plug: two-pin polarised
    switch: hot lead
    fuse: 0.5 A slow in hot lead
    B- to chassis: 1 meg 0.5 W 500 V, 3.3 nF Y1
    touchable: chassis, aerial socket through 470 pF Y1
"""


def examined(
    before: str = "", after: str = AFTER, line: str = "120 V 60 Hz", power: str = "series string", more: str = "",
    bench: Bench | None = None,
) -> LineSideFindings:  # fmt: skip
    sides = "".join(
        f"  {when}:\n{text.strip(chr(10))}\n" for when, text in (("before", before), ("after", after)) if text
    )
    text = f"{HEAD}line: {line}\npower: {power}\n{more}line side:\n{sides}"
    record = makers.record(text)
    return makers.found("line_side", bench or record)
