"""What went wrong where a file breaks YAML's own rules, in words for somebody who never heard of YAML.

Worded from the lines themselves, not from the parser's message, which differs from one parser build to the next.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from .private_names import names_nothing, names_unknown_within
from .problems import Problem, quoted

ENTRY = "a name, a colon, a blank and a value"
_VALUE = re.compile(r"(?P<dashes> *(?:- +)*)(?P<name>[^:#'\"]+:\s+)?(?P<value>\S.*)?$")
_MEANS_MORE = frozenset("%@`|>&*!]}")


class Break(NamedTuple):
    """Where a parser gave up: ``at``, where what it was reading there ``began``, and the lines of the last quoted text.

    Lines and columns from 0.
    """

    at: tuple[int, int]
    began: tuple[int, int]
    quoted: tuple[int, int]


class _Told(NamedTuple):
    column: int
    found: str
    expected: str
    remedy: str


def syntax_problem(file: str, lines: Sequence[str], broken: Break) -> Problem:
    """The problem at the place where the parser gave up, on the line that most likely holds the mistake.

    It is private where nothing on the line says what it is, and where it quotes one under a name that no record has: it
    may belong to a private one that was torn.
    """
    problem = _told_of(file, lines, broken)
    line, above = lines[problem.line - 1], _above(lines, problem.line - 1)
    torn = names_nothing(line) or (quoted(above) in problem.found and names_nothing(above, known=True))
    quotes = "“" in problem.found or '"' in problem.remedy
    torn = torn or (quotes and (names_nothing(line, known=True) or names_unknown_within(line)))
    return replace(problem, private=True) if torn else problem


def _told_of(file: str, lines: Sequence[str], broken: Break) -> Problem:
    marked = min(broken.at[0], len(lines) - 1)
    # A parser often notices on the following line; the mistake stands on the last line that has text.
    while marked > 0 and not lines[marked].strip(" "):
        marked -= 1
    first, last = broken.quoted
    suspects = [marked, marked - 1]
    if first < last and last in (marked, marked - 1):
        suspects = [first, *suspects]
    for number in suspects:
        told = _worded(lines[number]) if 0 <= number < len(lines) else None
        if told:
            return Problem(file, number + 1, told.column + 1, "", *told[1:])
    number, column = broken.began
    opening = lines[number][column : column + 1] if number < len(lines) else ""
    if opening and opening in "\"'":
        return Problem(file, number + 1, column + 1, "", *_unclosed(column)[1:])
    if opening and opening in "[{":
        found = f"{quoted(opening)} that is not closed, or a comma or colon that does not belong inside"
        return Problem(file, number + 1, column + 1, "", found, "plain text", "write each thing on a line of its own")
    told = _misplaced(lines, marked)
    return Problem(file, marked + 1, told.column + 1, "", *told[1:])


def _worded(line: str) -> _Told | None:
    """What is wrong with a line taken by itself; None where it looks right."""
    stripped = line.lstrip(" ")
    indent = len(line) - len(stripped)
    if stripped.startswith("\t"):
        remedy = "replace the tab by blanks, two for each level"
        return _Told(indent, "a tab at the beginning of the line", "blanks", remedy)
    if stripped.startswith("#") or not stripped:
        return None
    if stripped.startswith(("...", "---")) and not stripped.strip(".- "):
        return _Told(indent, f"the mark {quoted(stripped[:3])}", "one record in one file", "delete the line")
    if stripped.startswith(":"):
        return _Told(indent, "a colon with no name before it", ENTRY, "write the name before it, or delete the line")
    match = _VALUE.match(line)
    named = match["name"] if match else None
    if match and match["value"] and (told := _value(match["value"], match.start("value"), named=bool(named))):
        return told
    if named or (match and match["dashes"].strip()):
        return None
    if ":" in stripped and not stripped.rstrip().endswith(":") and stripped[0] not in "'\"":
        return _Told(line.index(":"), "a colon with no blank behind it", ENTRY, "put a blank behind the colon")
    if ":" not in stripped:
        remedy = "add the name, or indent it under the line above"
        return _Told(indent, f"{quoted(stripped)} without a colon", ENTRY, remedy)
    return None


def _value(value: str, column: int, *, named: bool) -> _Told | None:
    """What is wrong with a value that begins at ``column``."""
    first = value[0]
    bare = value.split(" #")[0].rstrip()
    in_quotes = f"put the whole value in quotes: {_in_quotes(bare)}" if len(bare) < 60 else "put the value in quotes"
    if first in "'\"":
        return _quotes(value, column)
    if first == ",":
        if re.match(r",\d", value):
            return _Told(column, f"{quoted(bare)}, a comma at the beginning", "a number", f"write {quoted('0' + bare)}")
        return _Told(column, "a comma at the beginning of a value", "plain text", "delete the comma")
    if named and value.startswith(("- ", "? ")):
        remedy = f"begin a list on the next line, indented, or {in_quotes}"
        return _Told(column, f"{quoted(first)} at the beginning of a value", "plain text", remedy)
    if first in _MEANS_MORE:
        return _Told(column, f"{quoted(first)} at the beginning of a value", "plain text", in_quotes)
    if first in "[{":
        return None
    if named and ": " in bare:
        where = column + bare.index(": ")
        return _Told(where, "a second colon and blank in one line", "one name and one value", in_quotes)
    return None


def _quotes(value: str, column: int) -> _Told | None:
    """A quotation mark that is not closed, or text behind the closing one."""
    mark = value[0]
    body = value[1:].replace("''" if mark == "'" else '\\"', "  ")
    end = body.find(mark)
    if end < 0:
        return _unclosed(column)
    if body[end + 1 :].split(" #")[0].strip().lstrip(":"):
        remedy = "put the whole value in quotes or none of it"
        return _Told(column + end + 2, "text behind the closing quotation mark", "nothing more", remedy)
    if mark == '"' and re.search(r"\\[^0abtnvfre \"/\\N_LPxuU]", value):
        where = column + value.index("\\")
        remedy = "write it twice, or leave the quotes out"
        return _Told(where, "a backslash inside double quotes", "plain text", remedy)
    return None


def _unclosed(column: int) -> _Told:
    expected = "a closing one on the same line"
    return _Told(column, "a quotation mark that is not closed", expected, "add it, or delete the first")


def _misplaced(lines: Sequence[str], number: int) -> _Told:
    """A line that is right by itself and does not fit the ones above it."""
    line = lines[number]
    indent = len(line) - len(line.lstrip(" "))
    above = _above(lines, number)
    depth = len(above) - len(above.lstrip(" "))
    dashes = (line.lstrip().startswith("- "), above.lstrip().startswith("- "))
    shown = quoted(line)
    if indent == depth and dashes[0] != dashes[1]:
        remedy = "begin each entry of a list with “- ”, or none"
        return _Told(indent, f"{shown} beside {quoted(above)}", "a list, or names and values, and not both", remedy)
    how = "further in than" if indent > depth else "further out than"
    found = f"{shown}, which begins {how} the line it belongs to" if indent != depth else f"{shown}, out of place"
    remedy = "give it as many blanks at the beginning as its neighbours have"
    return _Told(indent, found, "a line in one column with its neighbours", remedy)


def _above(lines: Sequence[str], number: int) -> str:
    """The nearest line above that is neither empty nor a comment."""
    return next((lines[n] for n in range(number - 1, -1, -1) if lines[n].strip() and lines[n].lstrip()[0] != "#"), "")


def _in_quotes(text: str) -> str:
    return f"'{text}'" if '"' in text or "\\" in text else f'"{text}"'
