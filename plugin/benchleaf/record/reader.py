"""YAML text to a tree of text, each scalar with its line and column.

Built on the parser's event stream: nothing is resolved, so ``no``, ``1e3``, ``12:30`` and a tube number stay what the
writer typed. What a record has no use for (tags, anchors, aliases, merge keys, directives, several documents) is
refused. Nothing recurses on the writer's depth.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import yaml

from .problems import Problem, quoted
from .syntax import syntax_problem
from .text import Listing, Place, Table, Text

MAX_BYTES = 1_000_000
MAX_NODES = 20_000
MAX_DEPTH = 12
MAX_SCALAR = 20_000
MAX_KEY = 100

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def decode(data: bytes, file: str) -> tuple[str, list[Problem]]:
    """The text of a file's bytes, and a problem where it is too long, not UTF-8 or holds control characters."""
    if len(data) > MAX_BYTES:
        found = f"a file of {len(data):,} bytes"
        return "", [Problem(file, 1, 1, "", found, f"at most {MAX_BYTES:,}", "move long text into story.md")]
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line, column = before.count(b"\n") + 1, len(before) - before.rfind(b"\n")
        found = f"the byte 0x{data[error.start]:02x}"
        remedy = "save the file again with the encoding UTF-8"
        return "", [Problem(file, line, column, "", found, "text in UTF-8", remedy)]
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    for number, line_text in enumerate(text.split("\n"), 1):
        for index, character in enumerate(line_text):
            if (ord(character) < 32 and character != "\t") or character in "\x7f\u0085\u2028\u2029\ufeff\ufffe\uffff":
                found = f"the control character U+{ord(character):04X}"
                return "", [Problem(file, number, index + 1, "", found, "plain text", "delete it")]
    return text, []


def read_tree(text: str, file: str) -> tuple[Table | None, list[Problem]]:
    """The record as nested tables, lists and texts, and every problem of its notation.

    A file that breaks YAML's own rules is read up to the break; the tree read so far is returned with the problem.
    """
    tree = _Tree(text, file)
    try:
        for event in _events(text):
            if not tree.take(event):
                break
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        tree.problems.append(syntax_problem(file, text, mark.line if mark else 0, mark.column if mark else 0))
    except yaml.reader.ReaderError:
        tree.refuse((1, 1), "a character YAML does not allow", "plain text")
    return tree.finish(), tree.problems


def _events(text: str) -> Iterator[yaml.Event]:
    loader = _Loader(text)
    try:
        while loader.check_event():
            yield loader.get_event()
    finally:
        loader.dispose()


class _Tree:
    """The tree while it grows: the open tables and lists, innermost last, each with the key that waits for a value."""

    def __init__(self, text: str, file: str) -> None:
        self.lines = text.split("\n")
        self.file = file
        self.problems: list[Problem] = []
        self.root: Table | Listing | Text | None = None
        self.open: list[tuple[Table | Listing, bool]] = []
        self.keys: list[Text | None] = []
        self.nodes = self.documents = 0

    def refuse(self, place: Place, found: str, expected: str, remedy: str = "", field: str = "") -> None:
        self.problems.append(Problem(self.file, *place, field, found, expected, remedy))

    def take(self, event: yaml.Event) -> bool:
        """Hang one event into the tree; False where reading must stop."""
        place = (event.start_mark.line + 1, event.start_mark.column + 1)
        if isinstance(event, yaml.DocumentStartEvent):
            return self._document(event, place)
        if isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            closed, _ = self.open.pop()
            self.keys.pop()
            if not self.open:
                self.root = closed
            return True
        if not isinstance(event, yaml.NodeEvent):
            return True
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.refuse(place, f"more than {MAX_NODES:,} entries", f"at most {MAX_NODES:,}", "split the set in two")
            return False
        if isinstance(event, yaml.AliasEvent):
            self.refuse(place, f"the alias {quoted('*' + event.anchor)}", "the text itself", "write it out")
            return self._hang(Text("", place), place)
        if event.anchor:
            self.refuse(
                place,
                f"the anchor {quoted('&' + event.anchor)}",
                "plain text",
                "delete the word that begins with “&”",
            )
        if event.tag and event.tag != "!":
            self.refuse(place, f"the tag {quoted(event.tag)}", "plain text", "put text that begins with “!” in quotes")
        if isinstance(event, yaml.ScalarEvent):
            return self._scalar(event, place)
        if len(self.open) >= MAX_DEPTH:
            self.refuse(place, f"more than {MAX_DEPTH} levels inside each other", f"at most {MAX_DEPTH}")
            return False
        is_table = isinstance(event, yaml.MappingStartEvent)
        node: Table | Listing = Table(place) if is_table else Listing(place)
        if not self._hang(node, place):
            return False
        self.open.append((node, bool(event.flow_style)))
        self.keys.append(None)
        return True

    def finish(self) -> Table | None:
        root = self.open[0][0] if self.open else self.root
        if isinstance(root, Table):
            return root
        if not self.problems:
            kinds = {Listing: "a list", Text: "plain text"}
            found = "an empty file" if not root else kinds[type(root)]
            self.refuse((1, 1), found, "names and values, such as “maker: …”", "begin with the lines maker and model")
        return None

    def _document(self, event: yaml.DocumentStartEvent, place: Place) -> bool:
        self.documents += 1
        if event.version or event.tags:
            self.refuse(place, "a directive (a line that begins with “%”)", "a record without directives", "delete it")
        if self.documents > 1:
            self.refuse(place, "a second document (---)", "one set in one file", "give the other set its own folder")
            return False
        return True

    def _scalar(self, event: yaml.ScalarEvent, place: Place) -> bool:
        plain = event.style in (None, "")
        single = event.start_mark.line == event.end_mark.line and event.style not in ("|", ">")
        if event.style in ("'", '"'):
            place = (place[0], place[1] + 1)
            single = single and event.end_mark.column - event.start_mark.column == len(event.value) + 2
        if len(event.value) > MAX_SCALAR:
            self.refuse(
                place,
                f"a text of {len(event.value):,} characters",
                f"at most {MAX_SCALAR:,}",
                "move it into story.md",
            )
            return self._hang(Text("", place), place)
        text = Text(event.value.strip() if plain else event.value, place, single=single)
        if plain and self.open:
            self._refuse_lost_text(text, (event.end_mark.line, event.end_mark.column))
        return self._hang(text, place, plain=plain)

    def _refuse_lost_text(self, text: Text, end: tuple[int, int]) -> None:
        """``key: #47`` and ``note: lamp #47``: YAML takes the rest for a comment. A real one has a blank after its #."""
        rest = self.lines[end[0]][end[1] :].lstrip(" \t") if end[0] < len(self.lines) else ""
        if not text:
            rest = rest.lstrip(": \t")
        if len(rest) < 2 or rest[0] != "#" or rest[1] in " \t#":
            return
        place = (end[0] + 1, self.lines[end[0]].index(rest, end[1]) + 1)
        word = rest.split()[0]
        whole = f"{text} {word}".strip()
        self.refuse(
            place,
            f"{quoted(rest.strip())}, which is not read: what begins with “#” is a comment",
            "text without “#”, or in quotes",
            f'write {quoted(word.lstrip("#"))} without “#”, or put the whole value in quotes: "{whole}"',
            field=str(self.keys[-1] or ""),
        )

    def _hang(self, node: Table | Listing | Text, place: Place, *, plain: bool = False) -> bool:
        """Put a node where it belongs; False where a table or list stands in place of a name."""
        if not self.open:
            self.root = node
            return True
        parent, in_braces = self.open[-1]
        if isinstance(parent, Listing):
            if node != "" or not plain:
                parent.append(node)
            return True
        key = self.keys[-1]
        if key is None:
            return self._begin_entry(parent, node, place)
        self.keys[-1] = None
        if plain and node == "":
            if in_braces:
                remedy = "write it on a line of its own without braces; inside braces every comma ends a value"
                self.refuse(
                    key.place,
                    f"{quoted(key)} without a value, inside braces",
                    "a name, a colon, a blank and a value",
                    remedy,
                )
            return True
        if key != "":
            parent[key] = node
        return True

    def _begin_entry(self, parent: Table, node: Table | Listing | Text, place: Place) -> bool:
        if not isinstance(node, Text):
            self.refuse(
                place,
                "brackets or braces where a name should stand",
                "a name, a colon, a blank and a value",
                "write it without them",
            )
            return False
        key = node
        if key == "":
            self.refuse(place, "a colon with no name before it", "a name, a colon, a blank and a value")
        elif key == "<<":
            self.refuse(place, "the merge key “<<”", "the lines themselves", "write them out")
            key = Text("", place)
        elif len(key) > MAX_KEY:
            self.refuse(place, f"a name of {len(key):,} characters", f"at most {MAX_KEY}")
            key = Text("", place)
        elif key in parent:
            first = next(k for k in parent if k == key)
            self.refuse(
                place,
                f"{quoted(key)} a second time (first on line {first.place[0]})",
                "each name once",
                "put both under one name",
                field=str(key),
            )
            key = Text("", place)
        self.keys[-1] = key
        return True
