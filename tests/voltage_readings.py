"""Readings that more than one test file holds against a sheet."""

from __future__ import annotations

from hypothesis import strategies as st

import makers
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.chapters.readings.rows import ReadingRow
from benchleaf.report.sentence import Sentence

HEAD = "line: 120 V 60 Hz\npower: series string\n"


FIVE_TUBES = """
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5
  V5: 35W4
"""


def findings_of(body: str, head: str = HEAD, **more: object) -> ReadingsFindings:
    return makers.found("readings", makers.bench(head + body, **more))


def row_at(found: ReadingsFindings, tube: str, electrode: str = "rail", run: str = "") -> ReadingRow:
    rows = [r for r in found.rows if (r.tube, r.electrode) == (tube, electrode) and (not run or r.run == run)]
    assert len(rows) == 1, rows
    return rows[0]


def told(body: str, **more: object) -> list[Sentence]:
    return makers.standouts("readings", makers.bench(HEAD + body, **more))


def readings(sheet: str, measured: str, tubes: str = FIVE_TUBES) -> str:
    return f"{tubes}readings:\n  sheet:\n{indented(sheet)}\n  as found:\n{indented(measured)}\n"


def indented(lines: str) -> str:
    return "\n".join(f"    {line.strip()}" for line in lines.strip().splitlines())


volts = st.floats(5, 400).map(lambda v: round(v, 1))


words = st.sampled_from(["plate", "grid", "screen", "cathode", "pin 3", "pin 7", "osc grid", "heater", "nonsense", "k"])


values = st.sampled_from(["0", "-7", "90", "> 300", "< 2", "OL", "x", "117 AC", "85-95", "2.4", "90 V ± 10 %"])


lines = st.lists(st.tuples(words, values), min_size=1, max_size=5, unique_by=lambda pair: pair[0])
