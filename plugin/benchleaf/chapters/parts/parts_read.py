"""A published parts list read back in: CSV to the ``parts`` of a record, whole or as a start for the same chassis."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence

from ...record.problems import Problem, one_of, quoted
from ...record.saved_table import saved_table
from ...record.sections.parts import read_components
from ...record.slips import Slips
from ...report.comma_separated import undone
from .parts_list import HEADINGS

_STATES = {"kept": "keep", "to do": "to do", "reform": "reform", "reformed": "reformed"}
_SIDES = (("sheet", "sheet"), ("was", "found"), ("now", "now"))
_LAYOUT = (("job", "job"), ("positive", "positive"))
_OF_PART = ("outside foil", "ordered", "tested", "fitted", "checked", "original")
_FIELD = "parts list"
_NEEDED = ("part", "section", "sheet as written", "found as written", "now as written")

PartRow = Mapping[str, str]


def read_parts_list(data: bytes, file: str, *, whole: bool) -> tuple[str, list[Problem]]:
    """The ``parts`` section as YAML text, and what could not be read.

    ``whole`` takes over everything that the list holds. Otherwise only what another set of the same chassis shares:
    each part's name, job, ends and the value it is meant to have (the sheet's, else what was found, else the new one).
    """
    rows, problems = _rows(data, file)
    if problems:
        return "", problems
    parts: dict[str, list[PartRow]] = {}
    for row in rows:
        if row["part"]:
            parts.setdefault(row["part"], []).append(row)
    lines = ["parts:" if parts else ""]
    for name, listed in parts.items():
        lines.append(f"  {_scalar(name)}:")
        lines += _part(listed, whole=whole)
    return "\n".join(lines) + "\n", []


def is_published_list(data: bytes, file: str) -> bool:
    """Whether a file has the headings of a published parts list."""
    table, _ = saved_table(data, file)
    return table is not None and bool(table.rows) and set(_NEEDED) <= set(table.rows[0])


def _rows(data: bytes, file: str) -> tuple[list[PartRow], list[Problem]]:
    slips = Slips(file)
    table, problems = saved_table(data, file, "the parts list as published")
    if table is None or problems:
        return [], problems
    headings = table.rows[0] if table.rows else ()
    missing = [h for h in _NEEDED if h not in headings]
    if missing:
        found = f"no column {one_of(map(quoted, missing))}"
        slips.add(None, _FIELD, found, "the headings of a published parts.csv")
        return [], list(slips.problems())
    return [_row(headings, cells) for cells in table.rows[1:]], []


def _row(headings: Sequence[str], cells: Sequence[str]) -> PartRow:
    given = {h: undone(c) for h, c in zip(headings, cells, strict=False)}
    return {h: given.get(h, "") for h in (*HEADINGS, *headings)}


def _part(rows: Sequence[PartRow], *, whole: bool) -> Iterator[str]:
    first = rows[0]
    if whole:
        for key in _OF_PART:
            if text := next((r[key] for r in rows if r[key]), ""):
                yield f"    {key}: {_scalar(text)}"
    elif first["outside foil"]:
        yield f"    outside foil: {_scalar(first['outside foil'])}"
    if len(rows) == 1 and not first["section"]:
        yield from (f"    {line}" for line in _fields(first, whole=whole))
        return
    together = whole and all(r["now as written"] for r in rows) and len(rows) > 1
    if together:
        yield f"    now: [{', '.join(_scalar(r['now as written']) for r in rows)}]"
    yield "    sections:"
    for row in rows:
        lines = list(_fields(row, whole=whole, without_now=together))
        yield f"      {_scalar(row['section'] or '1')}:{'' if lines else ' {}'}"
        yield from (f"        {line}" for line in lines)


def _fields(row: PartRow, *, whole: bool, without_now: bool = False) -> Iterator[str]:
    for key, heading in _LAYOUT:
        if row[heading]:
            yield f"{key}: {_scalar(row[heading])}"
    if row["end 1"] and row["end 2"]:
        yield f"between: [{_scalar(row['end 1'])}, {_scalar(row['end 2'])}]"
    if not whole:
        meant = next((m for heading in ("sheet", "found", "now") if (m := _meant(row, heading))), "")
        if meant:
            yield f"sheet: {meant}"
        return
    if state := _STATES.get(row["state"]):
        yield f"state: {state}"
    for key, heading in _SIDES:
        if row[f"{heading} as written"] and not (key == "now" and without_now):
            yield f"{key}: {_component(row, heading)}"
    for key in ("why", "note"):
        if row[key]:
            yield f"{key}: {_scalar(row[key])}"


def _component(row: PartRow, heading: str) -> str:
    """The component as it was written; as a mapping from the columns where that line cannot be read by itself."""
    written = row[f"{heading} as written"]
    return _scalar(written) if _reads(written) else json.dumps(_columns(row, heading), ensure_ascii=False)


def _meant(row: PartRow, heading: str) -> str:
    """The marked value by itself: without what was measured, and without the word for its state."""
    columns = _columns(row, heading)
    line = " ".join(columns.values())
    return "" if "value" not in columns else _scalar(line) if _reads(line) else json.dumps(columns, ensure_ascii=False)


def _reads(line: str) -> bool:
    from pydantic import ValidationError
    from pydantic_core import PydanticCustomError

    try:
        return bool(read_components(line))
    except (ValidationError, PydanticCustomError):
        return False


def _columns(row: PartRow, heading: str) -> dict[str, str]:
    found = {}
    if row[f"{heading} value"]:
        found["value"] = f"{row[f'{heading} value']} {row[f'{heading} unit']}".strip()
    for key, column, unit in (("volts", "rating (V)", "V"), ("watts", "rating (W)", "W")):
        if row[f"{heading} {column}"]:
            found[key] = f"{row[f'{heading} {column}']} {unit}"
    low, high = row[f"{heading} tolerance low (%)"], row[f"{heading} tolerance high (%)"]
    if high and low == f"-{high}":
        found["tolerance"] = f"{high} %"
    for key in ("type", "class"):
        if row[f"{heading} {key}"]:
            found[key] = row[f"{heading} {key}"]
    return found


def _scalar(text: str) -> str:
    """Text as YAML that reads as the same text; double-quoted JSON is."""
    return json.dumps(text, ensure_ascii=False)
