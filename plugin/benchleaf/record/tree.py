"""The tree of a record while it grows from the parser's events."""

from __future__ import annotations

import re
from typing import Any

import yaml

from ..tubes.lamps import is_lamp_number
from .encoding import FOREIGN
from .problems import Problem, quoted
from .syntax import ENTRY
from .text import Entries, LineColumn, Listing, Text

MAX_NODES = 20_000
MAX_WORDS = 20_000
MAX_DEPTH = 12
MAX_SCALAR = 20_000
MAX_KEY = 100
MAX_WORD = 1_000
"""Letters and signs in a row without a blank: what is longer is no word, and some patterns look at each of its ends."""

_ENDLESS = re.compile(rf"[!-~]{{{MAX_WORD + 1}}}")
_LAMP = re.compile(r":?\s*#(?P<number>\d{2,4}[A-Z]?)(?P<behind>(?:[\s,;](?:(?!\s#).)*)?)(?:$|\s#)")
_BRACES = "write it on a line of its own without braces; inside braces every comma ends a value"


class Tree:
    """Tables and lists hung into each other, and what was refused on the way.

    ``stopped`` is the problem at which reading cannot go on, ``last_quoted`` the first and last line (from 0) of the
    last text in quotes.
    """

    def __init__(self, lines: list[str], file: str) -> None:
        self.lines = lines
        self.file = file
        self.problems: list[Problem] = []
        self.stopped: Problem | None = None
        self._whole = True
        self._beyond = False
        self.last_quoted = (0, 0)
        self._root: Entries | Listing | Text | None = None
        self._open: list[_Open] = []
        self._nodes = self._words = self._documents = 0

    def take(self, event: Any) -> bool:
        """Hang one event into the tree; False where reading must stop."""
        place = (event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            return self._document(event, place)
        if isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            closed = self._open.pop()
            if not self._open:
                self._root = closed.node
            return True
        if not isinstance(event, yaml.NodeEvent):
            return True
        self._nodes += 1
        if self._nodes > MAX_NODES:
            remedy = "move readings into readings.csv, or divide the record"
            return self._exceed(place, f"more than {MAX_NODES:,} entries", f"at most {MAX_NODES:,}", remedy)
        if isinstance(event, yaml.AliasEvent):
            self._refuse(place, f"the alias {quoted('*' + str(event.anchor))}", "the text itself", "write it out")
            return self._hang(Text("", place), place, refused=True)
        self._refuse_marks(event, place)
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, place)
        if len(self._open) >= MAX_DEPTH:
            found = f"more than {MAX_DEPTH} levels inside each other"
            return self._stop(place, found, f"at most {MAX_DEPTH}", "write it flatter")
        node: Entries | Listing = Entries(place) if isinstance(event, yaml.MappingStartEvent) else Listing(place)
        name = self._open[-1].key if self._open else None
        if not self._hang(node, place):
            return False
        self._open.append(_Open(node, name or "", in_braces=bool(getattr(event, "flow_style", False))))
        return True

    def finish(self, *, silent: bool) -> tuple[Entries | None, list[Problem]]:
        """The root table with all problems; ``silent`` keeps what may only follow from an earlier problem untold."""
        if self._beyond:
            return None, self.problems
        root = self._open[0].node if self._open else self._root
        if isinstance(root, Entries):
            root.whole = self._whole
            return root, self.problems
        if not self.problems and not silent:
            found = "an empty file" if not root else "a list" if isinstance(root, Listing) else "plain text"
            self._refuse((1, 1), found, "names and values, such as “maker: …”", "begin with the lines maker and model")
        return None, self.problems

    def _refuse(self, place: LineColumn, found: str, expected: str, remedy: str = "", field: str = "") -> None:
        self.problems.append(Problem.at(self.file, place, field or self._field(), found, expected, remedy))

    def _stop(self, place: LineColumn, found: str, expected: str, remedy: str) -> bool:
        self.stopped = Problem.at(self.file, place, self._field(), found, expected, remedy)
        return False

    def _exceed(self, place: LineColumn, found: str, expected: str, remedy: str) -> bool:
        """A limit is passed: nothing of the record is read further, whatever it may hold."""
        self._refuse(place, found, expected, remedy)
        self._beyond = True
        return False

    def _field(self) -> str:
        waiting = self._open[-1].key if self._open else None
        return ".".join([*self._names(), *([waiting] if waiting else [])])

    def _names(self) -> list[str]:
        """The names on the way to the innermost table or list."""
        return [level.name for level in self._open if level.name]

    def _document(self, event: Any, place: LineColumn) -> bool:
        self._documents += 1
        if event.version or event.tags:
            self._refuse(place, "a directive (a line that begins with “%”)", "a record without one", "delete the line")
        if self._documents > 1:
            remedy = "give the other set its own folder"
            self._refuse(place, "a second document (---)", "one set in one file", remedy)
            return False
        return True

    def _refuse_marks(self, event: Any, place: LineColumn) -> None:
        """An anchor (&) and a tag (!), told as they were typed."""
        if event.anchor:
            found, remedy = f"the anchor {quoted('&' + event.anchor)}", "delete the word that begins with “&”"
            self._refuse(place, found, "plain text", remedy)
        if event.tag:
            words = self.lines[place[0] - 1][place[1] - 1 :].split()
            written = next((word for word in words if word.startswith("!")), event.tag)
            self._refuse(place, f"the tag {quoted(written)}", "plain text", "put text that begins with “!” in quotes")

    def _scalar(self, event: Any, place: LineColumn) -> bool:
        plain = event.style in (None, "")
        single = event.start_mark.line == event.end_mark.line and event.style not in ("|", ">")
        if event.style in ("'", '"'):
            self.last_quoted = (event.start_mark.line, event.end_mark.line)
            place = (place[0], place[1] + 1)
            single = single and event.end_mark.column - event.start_mark.column == len(event.value) + 2
        if len(event.value) > MAX_SCALAR:
            found = f"a text of {len(event.value):,} characters"
            self._refuse(place, found, f"at most {MAX_SCALAR:,}", "move it into story.md")
            return self._hang(Text("", place), place, refused=True)
        if len(event.value) > MAX_WORD and _ENDLESS.search(event.value):
            self._refuse(place, f"a word of more than {MAX_WORD:,} signs", "words with blanks between", "leave it out")
            return self._hang(Text("", place), place, refused=True)
        self._words += len(event.value.split())
        if self._words > MAX_WORDS:
            remedy = "move long text into story.md"
            return self._exceed(place, f"more than {MAX_WORDS:,} words in all", f"at most {MAX_WORDS:,}", remedy)
        value = event.value
        if event.style == '"' and (foreign := FOREIGN.search(value)):
            # One that stands in the file is a blank by now; this one was written as “\x1b”.
            found = f"the control character U+{ord(foreign[0]):04X}"
            self._refuse(place, found, "plain text", "delete the sign that begins with a backslash")
            value = FOREIGN.sub(" ", value)
        text = Text(value.strip() if plain else value, place, single=single)
        if self._open and event.style not in ("|", ">"):
            end = (event.end_mark.line, event.end_mark.column)
            level = self._open[-1]
            is_value = isinstance(level.node, Listing) or level.key is not None
            text = self._with_lamp(text, end) if plain and is_value else text
            if text.single and text.at(0)[0] == end[0] + 1 and len(text) > len(event.value.strip()):
                return self._hang(text, place)
            self._refuse_lost_text(text, end)
        return self._hang(text, place, empty=not text.strip())

    def _with_lamp(self, text: Text, end: tuple[int, int]) -> Text:
        """A lamp is called by ``#`` and its number, a comment to YAML: it counts where such a lamp is known.

        What follows it up to a further comment belongs to it.
        """
        line = self.lines[end[0]] if end[0] < len(self.lines) else ""
        found = lamp_behind(line, end[1])
        if not found:
            return text
        said = f"{text} {found['number']}{found['behind'].rstrip()}".strip()
        place = text.place if text else (end[0] + 1, found.start("number") + 1)
        return Text(said, place, single=True)

    def _refuse_lost_text(self, text: Text, end: tuple[int, int]) -> None:
        """``key: #47`` and ``note: lamp #47``: YAML takes the rest for a comment. A real one has a blank behind #."""
        rest = self.lines[end[0]][end[1] :].lstrip(" \t") if end[0] < len(self.lines) else ""
        if not text:
            rest = rest.lstrip(": \t")
        if len(rest) < 2 or rest[0] != "#" or rest[1] in " \t#!":
            return
        place = (end[0] + 1, self.lines[end[0]].index(rest, end[1]) + 1)
        rest = rest.strip()
        without_mark = f"{text} {rest.lstrip('#')}".strip()
        self._refuse(
            place,
            f"{quoted(rest)}, which is not read: what begins with “#” is a comment",
            "text without “#”, or in quotes",
            f"write {quoted(without_mark)}, or put the whole value in quotes; a comment has a blank behind its “#”",
        )

    def _hang(
        self, node: Entries | Listing | Text, place: LineColumn, *, empty: bool = False, refused: bool = False
    ) -> bool:
        """Put a node where it belongs; False where a table or list stands in place of a name.

        ``empty`` says that nothing is written where a value could stand, ``refused`` that it has been told of already.
        """
        self._whole = self._whole and not refused
        if not self._open:
            self._root = node
            return True
        level = self._open[-1]
        if isinstance(level.node, Listing):
            if not (empty or refused):
                level.node.append(node)
            return True
        if level.key is None:
            return self._begin_entry(level, level.node, node, place)
        key, level.key = level.key, None
        if empty and level.in_braces and key:
            found = f"{quoted(key)} without a value, inside braces"
            self._refuse(key.place, found, ENTRY, _BRACES)
        elif empty and key:
            level.node.empty.append(key)
        elif key and not refused:
            level.node[key] = node
        return True

    def _begin_entry(self, level: _Open, table: Entries, node: Entries | Listing | Text, place: LineColumn) -> bool:
        """A name, whose value comes next. A refused one is kept as an empty name, which takes its value along."""
        if not isinstance(node, Text):
            return self._stop(place, "brackets or braces where a name should stand", ENTRY, "write it without them")
        key = Text(" ".join(node.split()), node.place, single=node.single)
        first = level.names.get(key.casefold())
        level.key = Text("", place)
        if not key:
            remedy = "write the name before it, or delete the line"
            self._refuse(place, "a colon with no name before it", ENTRY, remedy)
        elif key == "<<":
            self._refuse(place, "the merge key “<<”", "the lines themselves", "write them out")
        elif len(key) > MAX_KEY:
            self._refuse(place, f"a name of {len(key):,} characters", f"at most {MAX_KEY}", "shorten it")
        elif first:
            found = f"{quoted(key)} a second time (first on line {first.place[0]})"
            self._refuse(place, found, "each name once", "put both under one name", ".".join([*self._names(), key]))
        else:
            level.key = level.names[key.casefold()] = key
        return True


def lamp_behind(line: str, at: int) -> re.Match[str] | None:
    """The lamp, called by ``#`` and its number, that stands in a line from ``at`` on, with what belongs to it."""
    found = _LAMP.match(line, at)
    return found if found and is_lamp_number(found["number"]) else None


class _Open:
    """A table or list that is not closed yet: its own ``name``, the ``key`` that waits for its value, and all ``names``
    that stand in it.
    """

    def __init__(self, node: Entries | Listing, name: str, *, in_braces: bool) -> None:
        self.node = node
        self.name = name
        self.in_braces = in_braces
        self.key: Text | None = None
        self.names: dict[str, Text] = {}
