"""Where each text, table and list of a record begins and ends in its file, so that a line can be put between them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import yaml

from ..text import LineColumn

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(slots=True)
class WrittenNode:
    """From ``start`` up to ``end``, each as line and column from 0."""

    start: LineColumn
    end: LineColumn


@dataclass(slots=True)
class WrittenScalar(WrittenNode):
    """A text. ``style`` is empty for a plain one, else its quotation mark or the sign that it is a block."""

    value: str
    style: str

    @property
    def is_empty(self) -> bool:
        """Nothing is written where a value could stand."""
        return not self.style and not self.value


@dataclass(slots=True)
class WrittenTable(WrittenNode):
    """Names and values; ``in_braces`` says that they stand in ``{}``."""

    in_braces: bool
    entries: list[tuple[WrittenScalar, WrittenNode]] = field(default_factory=list)

    def entry(self, name: str) -> tuple[WrittenScalar, WrittenNode] | None:
        """The entry of this name; capitals and double blanks do not matter."""
        return next((e for e in self.entries if folded_name(e[0].value) == folded_name(name)), None)


@dataclass(slots=True)
class WrittenList(WrittenNode):
    """A list; ``in_braces`` says that it stands in ``[]``."""

    in_braces: bool
    items: list[WrittenNode] = field(default_factory=list)


def folded_name(name: str) -> str:
    """A name for comparison."""
    return " ".join(name.split()).casefold()


def written_nodes(text: str) -> WrittenTable:
    """The table that a record's text is. The text is one that the reader found nothing wrong with."""
    root: WrittenNode | None = None
    waiting: list[_Growing] = []
    loader = _Loader(text)
    try:
        while loader.check_event():
            event = loader.get_event()
            if isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
                waiting.pop().node.end = _place(event.end_mark)
            elif isinstance(event, yaml.NodeEvent):
                node = _node(event)
                if waiting:
                    waiting[-1].take(node)
                root = root or node
                if not isinstance(node, WrittenScalar):
                    waiting.append(_Growing(node))
    finally:
        loader.dispose()
    assert isinstance(root, WrittenTable)
    return root


def last_line(node: WrittenNode, lines: list[str]) -> int:
    """The last line (from 0) that a node has anything on, comments aside."""
    if isinstance(node, WrittenTable | WrittenList) and not node.in_braces:
        within = [child for _, child in node.entries] if isinstance(node, WrittenTable) else node.items
        return last_line(within[-1], lines)
    last = node.end[0]
    if isinstance(node, WrittenScalar) and node.style in ("|", ">"):
        # Such a text ends at the beginning of the line that follows it, after any blank ones.
        last -= node.end[1] == 0
        while last > node.start[0] and not lines[last].strip():
            last -= 1
    return last


@dataclass(slots=True)
class _Growing:
    """A table or list that is not closed yet, and the name that waits for its value."""

    node: WrittenNode
    name: WrittenScalar | None = None

    def take(self, child: WrittenNode) -> None:
        if isinstance(self.node, WrittenList):
            self.node.items.append(child)
        elif isinstance(self.node, WrittenTable) and self.name is not None:
            self.node.entries.append((self.name, child))
            self.name = None
        elif isinstance(child, WrittenScalar):
            self.name = child


def _node(event: Any) -> WrittenNode:
    start, end = _place(event.start_mark), _place(event.end_mark)
    if isinstance(event, yaml.MappingStartEvent):
        return WrittenTable(start, end, bool(event.flow_style))
    if isinstance(event, yaml.SequenceStartEvent):
        return WrittenList(start, end, bool(event.flow_style))
    return WrittenScalar(start, end, event.value, event.style or "")


def _place(mark: Any) -> LineColumn:
    return mark.line, mark.column
