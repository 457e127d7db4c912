"""Where in a record's text an entry goes, as edits that put something in and take nothing out."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ..forms import Form
from ..line_items import items
from ..text import LineColumn, Text
from .as_written import STEP, Added, InItem, block, braced, value_text
from .written_nodes import WrittenList, WrittenNode, WrittenScalar, WrittenTable, folded_name, last_line, written_nodes

_HAS_REMARK = re.compile(r";(?=\s)")


@dataclass(frozen=True, slots=True)
class Edit:
    """``put`` stands at a line and column (both from 0) of the text, in place of the next ``over`` characters.

    ``over`` covers nothing but the braces of an empty table or list with the blanks before them, and what stands behind
    them on the line, which ``put`` begins with.
    """

    at: LineColumn
    put: str
    over: int = 0


class NoRoomError(Exception):
    """What is there already leaves no room; ``line`` (from 0) is where it stands."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.line = line


@dataclass(frozen=True, slots=True)
class Outline:
    """What sections a record has: their ``order``, and the ``synonyms`` of their names, in small letters."""

    order: tuple[str, ...]
    synonyms: Mapping[str, str]

    def section(self, name: str) -> str:
        """The section that a name of the first level means."""
        folded = folded_name(name)
        return self.synonyms.get(folded) or next((known for known in self.order if known.casefold() == folded), name)


Named = Callable[[str], Mapping[str, str]]
"""Parts a line into names and what goes under each; empty where it cannot."""


def edits_for(text: str, section: str, added: Added, named: Named, outline: Outline) -> Iterator[Edit]:
    """Every edit that may put ``added`` into a section, the likeliest first; which is right shows when it is read.

    ``named`` parts a line of the section, for an entry that has names of its own.
    Raises NoRoomError where what is there already is in the way.
    """
    file = _File(text.split("\n"), named)
    root = written_nodes(text)
    here = next((e for e in root.entries if outline.section(e[0].value) == section), None)
    if here is None:
        yield file.new_section(root, section, added, outline)
    else:
        yield from file.into(*here, added)


class _File:
    """The lines of a record, and how a line of the section that grows is ``named``."""

    def __init__(self, lines: list[str], named: Named) -> None:
        self.lines = lines
        self.named = named

    def new_section(self, root: WrittenTable, section: str, added: Added, outline: Outline) -> Edit:
        """A section that is not there yet: behind the last of those that usually stand before it."""
        usual = [name.casefold() for name in outline.order]
        place = usual.index(section.casefold())
        before = [
            (at, index)
            for index, (key, _) in enumerate(root.entries)
            if (at := _index(usual, outline.section(key.value))) is not None and at < place
        ]
        value = root.entries[max(before)[1] if before else -1][1]
        after = last_line(value, self.lines)
        indented = after + 1
        # What is a comment of the section before stays with it; one that begins at the margin is the next section's.
        while indented < len(self.lines) and re.match(r"[ \t]+(#|$)|$", self.lines[indented]):
            after = indented if self.lines[indented].strip() else after
            indented += 1
        rest = self.lines[after + 1 :]
        parted = not rest[0].strip() if any(rest) else self._has_gaps(root)
        gap = "\n" if parted and not isinstance(added, str) else ""
        own = "\n".join(block({section: added}, 0))
        return Edit((after, len(self.lines[after])), f"\n{gap}{own}")

    def _has_gaps(self, root: WrittenTable) -> bool:
        """Whether a blank line stands before any section."""
        return any(key.start[0] and not self.lines[key.start[0] - 1].strip() for key, _ in root.entries[1:])

    def into(self, key: WrittenScalar, node: WrittenNode, added: Added) -> Iterator[Edit]:
        """Into what stands under a name."""
        if isinstance(node, WrittenScalar):
            yield from self._into_scalar(key, node, added)
        elif _is_bare(node):
            yield self._opened(node, added, key.start[1] + STEP)
        elif isinstance(node, WrittenTable):
            yield from self._into_table(node, added, node.start[0])
        elif isinstance(node, WrittenList):
            yield from self._into_list(node, added)

    def _into_scalar(self, key: WrittenScalar, node: WrittenScalar, added: Added) -> Iterator[Edit]:
        if node.is_empty and not isinstance(added, InItem):
            line = key.end[0]
            colon = self.lines[line].find(":", key.end[1])
            if colon < 0:
                raise NoRoomError(line)
            if isinstance(added, str):
                yield Edit((line, colon + 1), f" {value_text(added)}")
            else:
                yield self._below(line, added, key.start[1] + STEP)
        elif isinstance(added, str):
            yield from self._longer(node, added)
        else:
            raise NoRoomError(node.start[0])

    def _longer(self, node: WrittenScalar, added: str) -> Iterator[Edit]:
        """A line with more behind it; where it ends with a remark, with more before that first."""
        (line, start), (last, end) = node.start, node.end
        inner = self.lines[line][start:end]
        if line != last or node.style in ("|", ">") or (not node.style and inner != node.value):
            raise NoRoomError(line)
        quotes = len(node.style)
        said = _in_quotes(added, node.style)
        behind = said if added.startswith(";") else f", {said}"
        remark = None if added.startswith(";") else _HAS_REMARK.search(inner)
        if remark:
            yield Edit((line, start + remark.start()), behind)
        yield Edit((line, end - quotes), behind)

    def _into_table(self, node: WrittenTable, added: Added, line: int) -> Iterator[Edit]:
        if isinstance(added, str):
            added = self._by_name(added, line)
        if not isinstance(added, dict):
            raise NoRoomError(line)
        there = [(*found, inner) for name, inner in added.items() if (found := node.entry(name))]
        if there and len(added) == 1 and not (node.in_braces and _ends_at_a_comma(there[0][1])):
            yield from self.into(*there[0])
            return
        if there:
            raise NoRoomError(there[0][0].start[0])
        if node.in_braces:
            yield Edit(node.entries[-1][1].end, f", {braced(added)[1:-1]}")
            return
        yield self._below(last_line(node, self.lines), added, node.entries[0][0].start[1])

    def _into_list(self, node: WrittenList, added: Added) -> Iterator[Edit]:
        if isinstance(added, InItem):
            item = node.items[added.index]
            if isinstance(item, WrittenTable):
                yield from self._into_table(item, added.added, item.start[0])
                return
            raise NoRoomError(item.start[0])
        if not isinstance(added, list):
            raise NoRoomError(node.start[0])
        if node.in_braces:
            yield Edit(node.items[-1].end, f", {braced(added)[1:-1]}")
            return
        yield self._below(last_line(node, self.lines), added, node.start[1])

    def _opened(self, node: WrittenNode, added: Added, column: int) -> Edit:
        """Lines in place of empty braces."""
        line, start = node.start
        if node.end[0] != line or isinstance(added, str | InItem):
            raise NoRoomError(line)
        before, behind = self.lines[line][:start], self.lines[line][node.end[1] :]
        first = len(before.rstrip())
        return Edit((line, first), behind + self._below(line, added, column).put, over=len(self.lines[line]) - first)

    def _below(self, line: int, added: Added, column: int) -> Edit:
        return Edit((line, len(self.lines[line])), "".join(f"\n{own}" for own in block(added, column)))

    def _by_name(self, added: str, line: int) -> dict[str, Added]:
        """A line's words as the names and values that they stand for."""
        named = self.named(added)
        if not named:
            raise NoRoomError(line)
        return dict(named)


def by_name(added: str, form: Form) -> dict[str, str]:
    """The items of a line under the names of a form, each beginning with its name; empty where one has none."""
    phrases = sorted(form.phrases, key=len, reverse=True)
    named: dict[str, str] = {}
    current = ""
    for item in items(Text(added)):
        folded = item.casefold()
        phrase = next((p for p in phrases if folded == p or folded.startswith((f"{p} ", f"{p}:"))), "")
        does, key = form.phrases.get(phrase, ("", ""))
        if does == "word" and folded == phrase:
            current, said = key, str(item)
        elif does in ("head", "group"):
            current, said = key, item[len(phrase) :].lstrip(": ")
        elif current in form.groups:
            named[current] = f"{named[current]}, {item}"
            continue
        else:
            return {}
        if current in named or not said:
            return {}
        named[current] = said
    return named


def _index(usual: list[str], section: str) -> int | None:
    folded = section.casefold()
    return usual.index(folded) if folded in usual else None


def _ends_at_a_comma(node: WrittenNode) -> bool:
    """Whether a value inside braces would end at a comma put behind it."""
    return isinstance(node, WrittenScalar) and not node.style


def _is_bare(node: WrittenNode) -> bool:
    return not (node.entries if isinstance(node, WrittenTable) else node.items if isinstance(node, WrittenList) else ())


def _in_quotes(text: str, mark: str) -> str:
    """A text as it stands inside these quotation marks."""
    if mark == "'":
        return text.replace("'", "''")
    return json.dumps(text, ensure_ascii=False)[1:-1] if mark else text
