"""Lines that came under another's name: what was private would be published with what they stand with.

A line that was moved, or whose name was deleted, belongs to YAML to whatever stands above it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .private_names import begins_private, holds_a_private_word, named_private, names_private_within, private_name
from .problems import Problem, quoted
from .text import Entries, Listing, Text
from .torn_comments import is_block

_OF_ONE_LINE = frozenset([
    "format", "maker", "manufacturer", "model", "year", "chassis number", "chassis no", "chassis no.", "member",
    "line", "mains", "power", "chassis", "if", "intermediate frequency", "second if", "state",
    "came in", "finished",
])  # fmt: skip
"""Names of the first level whose value is a name or a figure and never goes on on the next line."""
_LISTS = frozenset(["before power", "power-up", "power up", "alignment", "faults", "log", "wires", "steps"])
_ENTRY = "a dash before each entry"
_OF_WHOSE_SET = frozenset(["maker", "manufacturer", "model", "year"])
"""Those of which no value speaks of an owner or of a serial number."""
_MOVED = "the line below has come under its name: give it its own, or put it where it belongs"


def torn_lines(tree: Entries, text: str, file: str) -> list[Problem]:
    """What in a file that holds ``text`` may be a private line, or a part of one, under another name."""
    lines = text.split("\n")
    found = [*_run_together(tree), *_gone_on(tree, lines), *_emptied(tree, lines), *_swallowed(tree, lines)]
    return [Problem.at(file, *told) for told in found]


_TornLine = tuple[tuple[int, int], str, str, str, str]


def _gone_on(tree: Entries, lines: Sequence[str]) -> Iterator[_TornLine]:
    """Values of one line that go on on the next."""
    for key, value in tree.items():
        if str(key).casefold() in _OF_ONE_LINE and isinstance(value, Text) and _goes_on(value, lines):
            yield key.place, "", f"{quoted(key)} with a value that goes on on the next line", "one line", _MOVED


def _run_together(tree: Entries) -> Iterator[_TornLine]:
    """A private name in a value, where it stood on a line of its own: ``Trial serial 40417``, ``Trialserial 40417``."""
    expected, remedy = "a line of its own for it", "begin the line anew before the private name, with a colon behind it"
    for name, value in _values(tree):
        whose_set = str(name).casefold() in _OF_WHOSE_SET and tree.get(name) is value
        # One that a line of a text begins with is told where it stands.
        lines = [value] if value.single else [line for line in value.split("\n") if not named_private(line)]
        named = any(names_private_within(line, spoken_of=not value.single) for line in lines)
        if named or holds_a_private_word(value, run_together=True) or (whose_set and holds_a_private_word(value)):
            yield value.place, "", f"a private name that runs into the text of {quoted(name)}", expected, remedy


def _emptied(tree: Entries, lines: Sequence[str]) -> Iterator[_TornLine]:
    """Private names with nothing behind them, where what stood there may be a part of another text."""
    long = [
        value for _, value in _values(tree) if not value.single and (_goes_on(value, lines) or is_block(value, lines))
    ]
    for key in tree.empty:
        if not private_name(key):
            continue
        block = lines[key.place[0] - 1].rstrip().endswith(("|", ">", "-", "+"))
        beside = {id(value) for value in _beside(key, tree)}
        if any(block or id(value) in beside or not is_block(value, lines) for value in long):
            found = f"{quoted(key)} with nothing behind it, and a text of several lines that may have been its own"
            remedy = "write it, or delete the line, and look whether another text has a line that is not its own"
            yield key.place, "", found, "what is private on its own line", remedy


def _swallowed(tree: Entries, lines: Sequence[str]) -> Iterator[_TornLine]:
    """Entries of a list that have become part of the text above them, in a list or with a private name in them."""
    for name, value in _values(tree):
        if value.single or is_block(value, lines) or not _goes_on(value, lines):
            continue
        entries = [line for line in _gone_on_with(value, lines) if line.startswith("- ")]
        in_a_list = tree.get(name) is value and str(name).casefold() in _LISTS
        if entries and (in_a_list or any(map(begins_private, entries))):
            yield value.place, "", f"an entry of a list that has run into the text of {quoted(name)}", _ENTRY, _MOVED


def _gone_on_with(value: Text, lines: Sequence[str]) -> Iterator[str]:
    """The further lines of a plain text, without blanks and comments around them."""
    words = " ".join(value.split())
    for line in lines[value.place[0] :]:
        typed = " ".join(line.partition(" #")[0].split())
        if typed not in words:
            return
        yield typed


def _beside(key: Text, tree: Entries) -> Iterator[object]:
    """The values of the names before and behind one that has none."""
    before = max((name for name in tree if name.place < key.place), key=lambda name: name.place, default=None)
    behind = min((name for name in tree if name.place > key.place), key=lambda name: name.place, default=None)
    for name in (before, behind):
        if name is not None:
            yield from (value for _, value in _values_of(name, tree[name]))


def _values(tree: Entries) -> Iterator[tuple[Text, Text]]:
    """Each text of a record and the name that it stands under; those of private names are left out."""
    for key, value in tree.items():
        if not private_name(key):
            yield from _values_of(key, value)


def _values_of(name: Text, value: object) -> Iterator[tuple[Text, Text]]:
    waiting = [(name, value)]
    while waiting:
        key, one = waiting.pop()
        if isinstance(one, Entries):
            waiting += one.items()
        elif isinstance(one, Listing):
            waiting += [(key, entry) for entry in one]
        elif isinstance(one, Text):
            yield key, one


def _typed(value: Text, lines: Sequence[str]) -> str:
    """The line from a value on, as it was typed."""
    line, column = value.place
    return lines[line - 1][column - 1 :] if line <= len(lines) else ""


def _goes_on(value: Text, lines: Sequence[str]) -> bool:
    """Whether a text, plain or in quotes, has words on more than one line."""
    if value.single or not value.strip():
        return False
    if is_block(value, lines):
        return "\n" in value.strip()
    typed, words = " ".join(_typed(value, lines).split()), " ".join(value.split())
    mark = lines[value.place[0] - 1][value.place[1] - 2 : value.place[1] - 1]
    if mark not in ("'", '"'):
        return not typed.startswith(words)
    return mark not in (typed.replace("''", "") if mark == "'" else typed.replace("\\\\", "").replace('\\"', ""))
