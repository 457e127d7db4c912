"""What went wrong where a file breaks YAML's own rules, in words for somebody who never heard of YAML.

Worded from the line itself, not from the parser's message, which differs from one parser build to the next.
"""

from __future__ import annotations

import re

from .problems import Problem, quoted

_UNQUOTED_START = re.compile(r"^\s*(?:- )?(?:[^:#]+:\s+)?([%@`|>&*!\[{])")


def syntax_problem(file: str, text: str, line: int, column: int) -> Problem:
    """The problem at the parser's mark (``line`` and ``column`` from 0)."""
    lines = text.split("\n")
    marked = min(line, len(lines) - 1)
    # A parser often notices on the following line; the mistake stands on the last line that has text.
    while marked > 0 and not lines[marked].strip():
        marked -= 1
    for number in (marked, marked - 1):
        if 0 <= number < len(lines):
            told = _worded(lines[number])
            if told:
                return Problem(file, number + 1, told[0] + 1, "", *told[1:])
    found = (
        f"{quoted(lines[marked].strip())}, which does not fit the lines above it"
        if lines[marked].strip()
        else "the end"
    )
    return Problem(
        file,
        marked + 1,
        min(column, len(lines[marked])) + 1 if marked == line else 1,
        "",
        found,
        "a name, a colon, a blank and a value, indented like its neighbours",
        "compare the blanks at the beginning of this line with those of the line above",
    )


def _worded(line: str) -> tuple[int, str, str, str] | None:
    """Column from 0, what was found, what was expected, remedy; None where the line looks right by itself."""
    stripped = line.lstrip(" ")
    indent = len(line) - len(stripped)
    if stripped.startswith("\t"):
        return (
            indent,
            "a tab at the beginning of the line",
            "blanks",
            "replace the tab by blanks, two for each level",
        )
    if stripped.startswith("#") or not stripped:
        return None
    key, colon, value = line.partition(": ")
    inner = value.lstrip()
    if colon and inner[:1] in ("'", '"'):
        quote = inner[0]
        if inner.count(quote) % 2:
            where = line.index(quote, len(key))
            return (
                where,
                "a quotation mark that is not closed",
                "a closing one on the same line",
                "add it, or delete the first",
            )
        end = inner.rfind(quote)
        if inner[end + 1 :].split("#")[0].strip():
            where = len(line) - len(inner) + end + 1
            return (
                where,
                "text after the closing quotation mark",
                "nothing more",
                "put the whole value in quotes or none of it",
            )
    if colon and ": " in value.split(" #")[0] and inner[:1] not in "{['\"":
        where = len(key) + 2 + value.index(": ")
        return (
            where,
            "a second colon and blank in one line",
            "one name and one value",
            "put the value in quotes",
        )
    marked = _UNQUOTED_START.match(line)
    if marked and not _closes(inner or stripped):
        where = marked.start(1)
        return (
            where,
            f"{quoted(marked[1])} at the beginning of a value",
            "plain text",
            "put the value in quotes",
        )
    if not colon and ":" in stripped and not stripped.endswith(":") and not stripped.startswith("- "):
        where = line.index(":")
        return (
            where,
            "a colon with no blank after it",
            "a name, a colon, a blank and a value",
            "add a blank after the colon",
        )
    if ":" not in stripped and not stripped.startswith("- "):
        return (
            indent,
            f"{quoted(stripped)} without a colon",
            "a name, a colon, a blank and a value",
            "add the name, or indent it under the line above",
        )
    return None


def _closes(value: str) -> bool:
    return value[:1] in ("[", "{") and value.rstrip().endswith("]" if value[0] == "[" else "}")
