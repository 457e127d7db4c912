"""Every way in which a file's bytes may take an addition, each as the bytes it would leave, and whether it is right."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from ..manner import Manner
from ..mapping import as_mapping
from ..model import Record
from ..problems import Problem
from ..section import Section
from ..text import Entries
from .growing import Edit, Named, Outline, by_name, edits_for
from .open_record import Addition, OpenRecord
from .proof import holds_still, is_more, read_alone, same
from .readings_typed import by_electrode

_BOM = b"\xef\xbb\xbf"
_ENDINGS = re.compile("(\r\n|\r|\n)")
_LINE_NUMBER = re.compile(r"\bline \d+")


@dataclass(frozen=True)
class WayIn:
    """A file's ``data`` with the addition, whether it ``holds`` what it should and no more, and the ``edit`` made."""

    data: bytes
    holds: bool
    edit: Edit

    @property
    def line(self) -> int:
        """The line (from 1) on which what was added begins."""
        return self.edit.at[0] + 1 + self.edit.put.startswith("\n") + self.edit.put.startswith("\n\n")

    @property
    def extends(self) -> bool:
        """Whether a line that was there has become longer."""
        return "\n" not in self.edit.put

    @property
    def whole_line(self) -> str:
        """The line as it would then be, where one that was there has become longer."""
        return _ENDINGS.split(self.data.removeprefix(_BOM).decode())[2 * self.edit.at[0]].strip()

    def new_among(self, problems: Iterable[Problem], before: Iterable[Problem], file: str) -> list[Problem]:
        """Those of the ``problems`` of a record with the addition that were not there ``before``."""
        at, grown = self.edit.at[0] + 1, self.edit.put.count("\n")
        known = Counter(_alike(p, grown if p.file == file and p.line > at else 0) for p in before)
        new = []
        for problem in problems:
            alike = _alike(problem, 0)
            if known[alike]:
                known[alike] -= 1
            else:
                new.append(problem)
        return new


def ways_in(data: bytes, file: str, addition: Addition, into: OpenRecord, site: Manner) -> Iterator[WayIn]:
    """The ways in which the file may take the addition, the likeliest first. Raises NoRoomError where there is none.

    ``data`` is that of a file whose notation is sound.
    """
    from .. import read_record
    from ..reader import decode, read_tree

    text, _ = decode(data, file)
    alone = read_alone(addition, into)
    before = as_mapping(into.record)
    named = by_electrode if addition.section == "readings" else _by_form_of(addition.section)
    for edit in edits_for(text, addition.section, addition.added, named, outline()):
        grown = applied(data, edit)
        record, _ = read_record(grown, file, site)
        tree, slips = read_tree(decode(grown, file)[0], file)
        said = as_mapping(record) if record is not None else {}
        right = is_more(before, alone, said) if alone is not None else _still(before, said, into, addition)
        others = tree is not None and not slips and same(_others(tree, addition), _others(into.tree, addition))
        asked = edit.at[0] + 1 in into.record.lost.lines and not edit.put.startswith("\n")
        yield WayIn(grown, right and others and not asked, edit)


def applied(data: bytes, edit: Edit) -> bytes:
    """A file's bytes after an edit. Its byte-order mark, line ends and missing last line end stay as they are."""
    mark = _BOM if data.startswith(_BOM) else b""
    pieces = _ENDINGS.split(data[len(mark) :].decode())
    row, column = edit.at
    own = pieces[2 * row + 1] if 2 * row + 1 < len(pieces) else pieces[1] if len(pieces) > 1 else "\n"
    line = pieces[2 * row]
    pieces[2 * row] = line[:column] + edit.put.replace("\n", own) + line[column + edit.over :]
    return mark + "".join(pieces).encode()


def outline() -> Outline:
    """The sections of a record in the order they are usually written, and the other words for them."""
    return Outline(tuple(Record.names()), {word.casefold(): name for word, name in Record.SYNONYMS.items()})


def _by_form_of(section: str) -> Named:
    """Parts a line by the form of the section's entries; into nothing where they have none."""
    field = next(f for f in Record.model_fields.values() if f.alias == section)
    waiting = [field.annotation]
    while waiting:
        annotation = waiting.pop()
        if isinstance(annotation, type) and issubclass(annotation, Section):
            form = annotation.FORM
            return lambda line: by_name(line, form) if form else {}
        waiting += get_args(annotation)
    return lambda line: {}


def _others(tree: Entries, addition: Addition) -> Mapping[str, object]:
    """What stands under the other names of the first level, private ones among them."""
    known = outline()
    return {key: value for key, value in tree.items() if known.section(key) != addition.section}


def _still(before: dict[str, Any], said: dict[str, Any], into: OpenRecord, addition: Addition) -> bool:
    """Whether nothing is lost where a line can be read only behind what is there: `measured 498` of a part of kohms.

    Of a part with more than one component it would be a guess which is meant.
    """
    if addition.section != "parts" or not isinstance(addition.alone, dict):
        return False
    part = before.get("parts", {}).get(next(iter(addition.alone)), {})
    return sum(side in part for side in ("sheet", "was", "now")) == 1 and said != before and holds_still(before, said)


def _alike(problem: Problem, further_down: int) -> tuple[object, ...]:
    found, expected, remedy = (
        _LINE_NUMBER.sub("line", told) for told in (problem.found, problem.expected, problem.remedy)
    )
    return (problem.file, problem.line + further_down, problem.field, found, expected, remedy)
