"""The parts list as CSV (RFC 4180), to be taken away and opened in any spreadsheet.

No byte order mark: programs that read CSV take one for a part of the first heading. Headings and units are ASCII, so
that a spreadsheet which does not guess UTF-8 garbles accents in free text at most. Numbers are plain numbers with a
point; their unit stands in the heading or in the column beside. Text that a spreadsheet would take for a formula gets
an apostrophe in front, as does text that begins with one: taking off one leading apostrophe gives back what was there.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...circuit.pieces import Band, Seen
    from ...record.model import Record
    from .findings import PartFindings, PartsFindings

_SIZES = {
    "F": ((1e-9, 1e-12, "pF"), (1e-7, 1e-9, "nF"), (math.inf, 1e-6, "uF")),
    "ohm": ((1e3, 1.0, "ohm"), (1e6, 1e3, "kohm"), (math.inf, 1e6, "megohm")),
    "H": ((1e-3, 1e-6, "uH"), (1.0, 1e-3, "mH"), (math.inf, 1.0, "H")),
}
_FORMULA = re.compile(r"\s*[=+\-@＝＋－＠']")
_BARE = re.compile(r"[\w .()%/+-]*")
_CELL_AFTER = re.compile(r";(?=\s*[=+\-@＝＋－＠])")

_SIDES = ("sheet", "found", "now")
_OF_A_SIDE = (
    "{} value", "{} unit", "{} rating (V)", "{} rating (W)", "{} tolerance low (%)", "{} tolerance high (%)", "{} type",
    "{} class",
)  # fmt: skip
_OF_A_MEASURED = (
    *_OF_A_SIDE,
    "{0} measured",
    "{0} measured unit",
    "{0} drift (%)",
    "{0} leakage (uA)",
    "{0} leakage at (V)",
)
HEADINGS = (
    "part", "section", "job", "end 1", "end 2", "state",
    *(h.format("sheet") for h in _OF_A_SIDE),
    *(h.format("found") for h in _OF_A_MEASURED),
    *(h.format("now") for h in _OF_A_MEASURED),
    "change of value (%)", "outside foil", "positive", "ordered", "tested", "fitted", "checked", "why", "original",
    "note", "sheet as written", "found as written", "now as written",
)  # fmt: skip


def as_csv(record: Record, findings: PartsFindings | None) -> str:
    """The parts list, headings first, one line a component; lines end with CR and LF."""
    rows = findings.rows() if findings else ()
    return lines_of([HEADINGS, *([_cell(value) for value in _row(record, row)] for row in rows)])


def lines_of(rows: Iterable[Sequence[str]]) -> str:
    """Cells as lines of RFC 4180. Text with any sign in it stands in quotes, plain words and numbers do not.

    Programs that guess what parts the cells look at the quotes: without them an apostrophe was taken for the separator.
    """
    return "".join(",".join(map(_quoted, cells)) + "\r\n" for cells in rows)


def _quoted(cell: str) -> str:
    return cell if _BARE.fullmatch(cell) else '"' + cell.replace('"', '""') + '"'


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula, on one line.

    A semicolon before a formula sign becomes a comma: where the semicolon parts the cells, a formula would begin there.
    """
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    flat = _CELL_AFTER.sub(",", flat)
    return f"'{flat}" if _FORMULA.match(flat) else flat


def undone(cell: str) -> str:
    """What stood in a cell before it was made harmless."""
    return cell[1:] if cell.startswith("'") else cell


def _cell(value: str | float | datetime.date | None) -> str:
    if value is None:
        return ""
    if isinstance(value, float | int):
        return number(value)
    return value.isoformat() if isinstance(value, datetime.date) else harmless(value)


def number(value: float) -> str:
    """A number in plain digits, twelve figures, without a power of ten; nothing for what is not finite."""
    if not math.isfinite(value):
        return ""
    digits = f"{Decimal(f'{value:.12g}'):f}"
    digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return "0" if digits == "-0" else digits


def _row(record: Record, row: PartFindings) -> Iterator[str | float | datetime.date | None]:
    part, piece = record.parts[row.part], row.piece  # type: ignore[index]
    ends = piece.ends or ("", "")
    yield from (row.part, piece.section, piece.job, *ends, row.state)
    yield from _side(piece.sheet)
    yield from _side(piece.was)
    yield from _measured(piece.was, row.was_drift)
    yield from _side(piece.now)
    yield from _measured(piece.now, row.now_drift)
    yield _percent(row.change_of_value)
    yield from (piece.outside_foil, piece.positive, part.ordered, part.tested, part.fitted, part.checked)
    yield from (piece.why or str(part.why or ""), str(part.original or ""), piece.note or str(part.note or ""))
    yield from (seen.line if seen else "" for seen in (piece.sheet, piece.was, piece.now))


def _side(seen: Seen | None) -> tuple[str | float | None, ...]:
    if seen is None:
        return ("",) * len(_OF_A_SIDE)
    band = seen.tolerance
    return (
        *_sized(seen.value, seen.unit),
        seen.volts,
        seen.watts,
        *_limits(band),
        seen.type or seen.condition,
        seen.safety_class,
    )


def _limits(band: Band | None) -> tuple[float | None, float | None]:
    return (_percent(band.low), _percent(band.high)) if band else (None, None)


def _measured(seen: Seen | None, drift: float | None) -> tuple[str | float | None, ...]:
    if seen is None:
        return ("",) * (len(_OF_A_MEASURED) - len(_OF_A_SIDE))
    sized = _sized(seen.measured, seen.unit) if seen.measured_bound == "exact" else (seen.measured_typed, "")
    amps = seen.leakage_amps * 1e6 if seen.leakage_amps is not None else None
    return (*sized, _percent(drift), amps, seen.leakage_volts)


def _sized(value: float | None, unit: str) -> tuple[float | None, str]:
    """A value in the trade's own size, and the size."""
    if value is None or unit not in _SIZES:
        return None, ""
    factor, name = next((f, n) for below, f, n in _SIZES[unit] if abs(value) < below * (1 - 1e-12))
    return value / factor, name


def _percent(ratio: float | None) -> float | None:
    return None if ratio is None else round(ratio * 100, 6)
