"""Tables as files of comma-separated values (RFC 4180), to be taken away and opened in any spreadsheet.

No byte order mark: programs that read CSV take one for a part of the first heading. Headings and units are ASCII, so
that a spreadsheet which does not guess UTF-8 garbles accents in free text at most. Numbers are plain numbers with a
point, or a comma where the site asks for it, and then semicolons part the cells; their unit stands in the heading or in
the column beside. Text that a spreadsheet would take for a formula gets an apostrophe in front, as does text that
begins with one: taking off one leading apostrophe gives back what was there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

from ..words.decimal_sign import decimal_sign, with_decimal_sign
from .sentence import Bare
from .table import Cell, Table

_FORMULA = re.compile(r"\s*[=+\-@＝＋－＠']")
_BARE = re.compile(r"[\w .()%/+-]*|-?\d+,\d+")
_CELL_AFTER = re.compile(r";(?=\s*[=+\-@＝＋－＠])")


def table_csv(table: Table) -> str:
    """A table, headings first, one line a row; lines end with CR and LF."""
    return lines_of([[c.heading for c in table.columns], *(_cells((row.head, *row.cells)) for row in table.rows())])


def _cells(cells: Iterable[Cell]) -> list[str]:
    """The cells of a row; one that takes several columns leaves the others empty."""
    return [text for cell in cells for text in (_cell(cell), *[""] * (cell.span - 1))]


def _cell(cell: Cell) -> str:
    first = cell.lines[0] if len(cell.lines) == 1 else ()
    if len(first) == 1 and isinstance(first[0], Bare):
        return number(first[0].value)
    return harmless(cell.text)


def lines_of(rows: Iterable[Sequence[str]]) -> str:
    """Cells as lines of RFC 4180. Text with any sign in it stands in quotes, plain words and numbers do not.

    Programs that guess what parts the cells look at the quotes: without them an apostrophe was taken for the separator.
    """
    parted_by = ";" if decimal_sign() == "," else ","
    return "".join(parted_by.join(map(_quoted, cells)) + "\r\n" for cells in rows)


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


def number(value: float) -> str:
    """A number in plain digits, twelve figures, without a power of ten; nothing for what is not finite."""
    if not math.isfinite(value):
        return ""
    digits = f"{Decimal(f'{value:.12g}'):f}"
    digits = digits.rstrip("0").rstrip(".") if "." in digits else digits
    return "0" if digits == "-0" else with_decimal_sign(digits)
