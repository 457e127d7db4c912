"""What a line is typed with: the record as it stands, and what the command has been told."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..manner import Manner
from ..model import Record
from ..text import Entries
from .as_written import Added


@dataclass(frozen=True, eq=False)
class OpenRecord:
    """The ``tree`` and ``record`` of a file, the ``day`` it is, and the ``section`` and ``run`` that were named.

    ``manner`` is that of the record's texts. ``section`` and ``run`` are empty where none was named. ``written_out``
    says that the list's name stood as a heading above its lines, so that a new one takes nothing over.
    """

    tree: Entries
    record: Record
    manner: Manner
    day: datetime.date
    section: str = ""
    run: str = ""
    written_out: bool = False

    @cached_property
    def sections(self) -> Mapping[str, object]:
        """What stands in the file under each section, by the section's own name."""
        synonyms = {word.casefold(): name for word, name in Record.SYNONYMS.items()}
        own = {name.casefold(): name for name in Record.names()}
        folded = {key: " ".join(key.split()).casefold() for key in self.tree}
        return {synonyms.get(f) or own.get(f) or str(key): self.tree[key] for key, f in folded.items()}

    def named(self, section: str) -> Entries:
        """The entries of a section by their names."""
        found = self.sections.get(section)
        return found if isinstance(found, Entries) else Entries()

    def as_named(self, section: str, name: str) -> str:
        """A name as the section spells it already; as it was typed where it has none of it."""
        folded = " ".join(name.split()).casefold()
        return next((str(n) for n in self.named(section) if " ".join(n.split()).casefold() == folded), name)


@dataclass(frozen=True)
class Addition:
    """What a line puts into a record: ``added`` under ``section``, and ``alone``, what it says read by itself.

    ``about`` says where it went, for the person who typed it.
    """

    section: str
    added: Added
    alone: Added
    about: str
    remarks: tuple[str, ...] = field(default=())


class AskedError(Exception):
    """A line that could be several things, or nothing that is known: what was found, what was expected, what to do."""

    def __init__(self, found: str, expected: str, remedy: str = "") -> None:
        super().__init__(found, expected, remedy)
        self.found, self.expected, self.remedy = found, expected, remedy

    def __str__(self) -> str:
        remedy = f"; {self.remedy}" if self.remedy else ""
        return f"found {self.found}; expected {self.expected}{remedy}"
