"""What a spreadsheet program saves as text, as rows of cells that know their places: the one reader of such files.

Programs save what their user's system likes best: comma, semicolon or tab between the cells, UTF-8, UTF-16 (“Unicode
text”) or Windows-1252, a decimal comma. Nothing of it is announced but by a byte-order mark or a line `sep=;`.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from .encoding import decode
from .problems import Problem, quoted
from .text import LineColumn, Text

MOST_BYTES = 1_000_000
MOST_ROWS = 5_000
MOST_CELLS = 300
LONGEST_CELL = 20_000
_LOOKED_AT = 40
"""Lines that show what parts the cells."""
_MOST_TITLES = 10
"""Rows that may stand above the headings."""

_DECLARED = re.compile(r'\s*"?sep=(?P<sign>[,;\t|])"?[ \t]*(?:\n|$)', re.I)
_IN_QUOTES = re.compile(r'"[^"]*(?:""[^"]*)*"')
_QUOTED_CELL = re.compile(r'[ ]*"(?P<text>[^"]*(?:""[^"]*)*)"[ ]*')
_UNIT = re.compile(r"\s*(?:[(\[](?P<unit>[^)\]]*)[)\]]|\s+in\s+(?P<word>\S+))\s*$")
_DECIMAL_COMMA = re.compile(r"[-+]?\d+,\d+(?:\s*[^\d\s].*)?")
_NEXT_ROW = re.compile(r"[^\n]|\Z")
_IS_NUMBER = re.compile(r"[-+<>~−]?[\d.,]*\d")
_THOUSANDS = re.compile(r"[-+]?\d{1,3}(?:(?P<sign>[.'’])\d{3})(?:(?P=sign)\d{3})*(?P<rest>[.,]\d+)?(?=\s|$)")


class SpreadsheetCell(Text):
    """A cell's text, which knows the file it stands in too; ``unclosed`` where its quotation mark is not closed."""

    file: str
    unclosed: bool = False

    @classmethod
    def of(cls, value: str, place: LineColumn, file: str) -> SpreadsheetCell:
        """The text on one line and without blanks around it; ``place`` is that of the cell."""
        flat = " ".join(value.split()) if "\n" in value else value.strip()
        cell = cls(flat, (place[0], place[1] + len(value) - len(value.lstrip(" \t"))), single="\n" not in value)
        cell.file = file
        return cell


@dataclass(frozen=True, slots=True)
class SavedTable:
    """The ``rows`` that hold anything, the sign they are ``parted_by``, and whether numbers have a decimal comma."""

    rows: tuple[tuple[SpreadsheetCell, ...], ...]
    parted_by: str
    decimal_comma: bool

    def doubt(self, cell: SpreadsheetCell) -> Problem | None:
        """The question that a number with a sign between its thousands raises: it may be the decimal sign.

        A point alone is one where the file's other numbers have a decimal comma.
        """
        number = _THOUSANDS.match(cell)
        if number is None or (number["sign"] == "." and not (self.decimal_comma or number[0].count(".") > 1)):
            return None
        without = number[0].replace(number["sign"], "")
        decimal = f" or {quoted(number[0].replace('.', ','))}" if number[0].count(".") == 1 else ""
        expected = "a number without a sign between the thousands"
        return Problem(cell.file, *cell.place, "", quoted(cell), expected, f"write {quoted(without)}{decimal}")


@dataclass(frozen=True, slots=True)
class Headed:
    """A table's rows below its headings: what each column holds, with its unit where the heading has one."""

    columns: tuple[tuple[str, str], ...]
    headings: tuple[SpreadsheetCell, ...]
    rows: tuple[tuple[SpreadsheetCell, ...], ...]


def saved_table(data: bytes, file: str, keep: str = "the rows that count") -> tuple[SavedTable | None, list[Problem]]:
    """The table in a file's bytes, and what cannot be read of it; None where nothing can.

    ``keep`` says what to keep of a file that is too large.
    """
    if len(data) > MOST_BYTES:
        found, expected = f"a file of more than {MOST_BYTES:,} bytes", f"at most {MOST_BYTES:,}"
        return None, [Problem(file, 1, 1, "", found, expected, f"keep only {keep}")]
    text, problems = _text_of(data, file)
    if problems:
        return None, problems
    declared = _DECLARED.match(text)
    begins = declared.end() if declared else 0
    parted_by = declared["sign"] if declared else _sign_between(text)
    rows: list[tuple[SpreadsheetCell, ...]] = []
    for cells in cells_of(text, parted_by, file, begins):
        if len(rows) == MOST_ROWS:
            found = f"more than {MOST_ROWS:,} rows"
            problems.append(Problem(file, *cells[0].place, "", found, f"at most {MOST_ROWS:,}", "use a second file"))
            break
        problems += _odd(cells, file)
        filled = max(index for index, cell in enumerate(cells) if cell) + 1
        rows.append(tuple(cells[: min(filled, MOST_CELLS)]))
    comma = parted_by != "," and any(_DECIMAL_COMMA.fullmatch(cell) for row in rows for cell in row)
    return SavedTable(tuple(rows), parted_by, comma), problems


def cells_of(text: str, parted_by: str, file: str, begins: int = 0) -> Iterator[list[SpreadsheetCell]]:
    """The cells of each row that has any, with their places. A cell in quotes may run over several lines.

    A quotation mark that is not closed is a sign like others: it does not swallow the rows below it. Of a row of more
    than ``MOST_CELLS`` what stands behind those is one cell more.
    """
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    plain = re.compile(rf"[^{re.escape(parted_by)}\n]*")
    at, cells = begins, list[SpreadsheetCell]()
    while at <= len(text):
        if not cells:
            at = _NEXT_ROW.search(text, at).start()  # type: ignore[union-attr]
        elif len(cells) == MOST_CELLS:
            end = text.find("\n", at)
            end = end if end >= 0 else len(text)
            behind = text[at:end].strip(f'" {parted_by}')[:1]
            cells.append(SpreadsheetCell.of(behind, cells[0].place, file))
            if any(cells):
                yield cells
            cells, at = [], end + 1
            continue
        found = _QUOTED_CELL.match(text, at)
        found = found if found and text[found.end() : found.end() + 1] in ("", "\n", parted_by) else None
        if found:
            value, first, at = found["text"].replace('""', '"'), found.start("text"), found.end()
        else:
            bare = plain.match(text, at)
            assert bare is not None
            value, first, at = bare[0], at, bare.end()
        line = bisect_right(starts, first)
        cell = SpreadsheetCell.of(value, (line, first - starts[line - 1] + 1), file)
        cell.unclosed = not found and cell.startswith('"')
        cells.append(cell)
        if text[at : at + 1] != parted_by:
            if any(cells):
                yield cells
            cells = []
        at += 1


def headed(table: SavedTable, meanings: Mapping[str, str], one_of: Sequence[str]) -> Headed | None:
    """The table below its headings; None where its rows begin at once.

    ``meanings`` has what a column holds by each word for it, in small letters. A row of headings has one of ``one_of``
    among them. Rows above it that hold no number are titles, and passed over.
    """
    for index, row in enumerate(table.rows[:_MOST_TITLES]):
        columns = tuple(_meant(cell, meanings) for cell in row)
        if any(meant in one_of for meant, _ in columns):
            return Headed(columns, row, table.rows[index + 1 :])
        if any(_IS_NUMBER.fullmatch(cell) for cell in row):
            return None
    return None


def with_unit(cell: SpreadsheetCell, unit: str) -> SpreadsheetCell:
    """A cell with the unit of its column behind it, where it is a number alone."""
    if not unit or not _IS_NUMBER.fullmatch("".join(cell.split())):
        return cell
    return SpreadsheetCell.of(f"{cell} {unit}", cell.place, cell.file)


def _meant(cell: SpreadsheetCell, meanings: Mapping[str, str]) -> tuple[str, str]:
    """What a heading says its column holds, and in which unit; both empty where it is not known."""
    heading = " ".join(cell.casefold().rstrip(".:").split())
    if heading in meanings:
        return meanings[heading], ""
    unit = _UNIT.search(cell)
    if unit is None:
        return "", ""
    meant = meanings.get(" ".join(cell[: unit.start()].casefold().rstrip(".:").split()), "")
    return meant, (unit["unit"] or unit["word"] or "").strip() if meant else ""


def _text_of(data: bytes, file: str) -> tuple[str, list[Problem]]:
    """The text of a file in one of the encodings that spreadsheet programs save in."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            data = data.decode("utf-16").encode()
        except UnicodeError:
            return "", [Problem(file, 1, 1, "", "text in UTF-16 that breaks off", "a whole file", "save it again")]
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        try:
            data = data.decode("cp1252").encode()
        except UnicodeDecodeError:
            return decode(data, file)
    return decode(data, file)


def _sign_between(text: str) -> str:
    """Tab, semicolon or comma, the first of these that stands in at least half of the first lines, outside quotes."""
    lines = [line for line in _IN_QUOTES.sub("", text[:100_000]).split("\n") if line.strip(" ,;\t")][:_LOOKED_AT]
    return next((sign for sign in "\t;" if 2 * sum(sign in line for line in lines) >= len(lines) > 0), ",")


def _odd(cells: Sequence[SpreadsheetCell], file: str) -> Iterator[Problem]:
    """What no program saves: a row or a cell without end, a quotation mark that is not closed."""
    if any(cells[MOST_CELLS:]):
        found = f"more than {MOST_CELLS} cells in a row"
        yield Problem(file, cells[0].place[0], 1, "", found, f"at most {MOST_CELLS}", "leave other columns out")
    for cell in cells[:MOST_CELLS]:
        if len(cell) > LONGEST_CELL:
            found = f"a cell of {len(cell):,} characters"
            yield Problem(file, *cell.place, "", found, f"at most {LONGEST_CELL:,}", "put long text into story.md")
        if cell.unclosed:
            expected, remedy = "a closing one behind the cell's text", "save the file again"
            yield Problem(file, *cell.place, "", "a quotation mark that is not closed", expected, remedy)
