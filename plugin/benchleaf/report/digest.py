"""A chapter in short: what it puts on the record, and what it gives to the few lines at the top of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from .plain_page import PlainPage
from .sentence import Note, Phrase, PhrasePart, Sentence, sources_in
from .source import Source
from .table import Cell, Table
from .verdict import Verdict

MOST_LINES = 3
"""Lines of each of the three lists at the top of the record; a list that has more says how many."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A figure of the chapter, by its name, with the few words that stand below it on the record."""

    figure: str
    caption: Phrase


@dataclass(frozen=True, slots=True)
class OpeningRow:
    """A row that opens: ``cells`` are what is seen of it, ``inside`` the pairs of a word and what it stands for.

    ``anchor`` is its id.
    """

    anchor: str
    cells: tuple[Cell, ...]
    inside: tuple[tuple[str, Phrase], ...]


@dataclass(frozen=True, slots=True)
class OpeningRows:
    """A list whose rows open. ``columns`` head the cells; ``label`` names it to those who hear the page."""

    label: str
    columns: tuple[str, ...]
    rows: tuple[OpeningRow, ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """A figure at the top of the record: before the work and after it, and how that is judged.

    ``rank`` orders the figures of all chapters, the least first. ``before`` or ``after`` is empty where nothing is
    known of it.
    """

    rank: int
    label: str
    before: Phrase
    after: Phrase
    how: Phrase = ()


@dataclass(frozen=True, slots=True)
class Brief:
    """What one chapter has to say in the lists at the top: what was wrong, what was done, what remains.

    ``remains`` holds what is not as it should be and what is not known, whatever its cause; a sentence's verdict says
    which, its anchor leads to the working.
    """

    compared: tuple[Compared, ...] = ()
    wrong: tuple[Sentence, ...] = ()
    done: tuple[Sentence, ...] = ()
    remains: tuple[Sentence, ...] = ()


@dataclass(frozen=True, slots=True)
class Folded:
    """A table that is closed until it is asked for; ``summary`` says what it holds."""

    summary: str
    table: Table


@dataclass(frozen=True, slots=True)
class Digest:
    """One chapter in short: one conclusion, at most one table or list, a figure or two side by side, one line of small
    print. A table that would be too long is parted into ``folded`` ones.

    ``more`` are further paragraphs, where its subject is several things of one kind.
    ``working`` says what the chapter's own page holds beside this; empty where all of it is told here, so that it needs
    none. ``half`` lets it stand beside another. ``told_above`` says that nothing is lost without it where all it gives
    to the lists at the top is shown there.
    """

    conclusion: Phrase
    figures: tuple[Shown, ...] = ()
    table: Table | None = None
    rows: OpeningRows | None = None
    folded: tuple[Folded, ...] = ()
    more: tuple[Phrase, ...] = ()
    after: Phrase = ()
    small: Phrase = ()
    working: str = ""
    half: bool = False
    told_above: bool = False
    brief: Brief = field(default_factory=Brief)

    def sources(self) -> Iterator[Source]:
        """Every source its sentences and its table lean on, in order."""
        for paragraph in (self.conclusion, *self.more):
            yield from sources_in(paragraph)
        if self.table is not None:
            yield from self.table.sources()
        for fold in self.folded:
            yield from fold.table.sources()
        for row in self.rows.rows if self.rows else ():
            for cell in row.cells:
                for line in cell.lines:
                    yield from sources_in(line)
            for _, said in row.inside:
                yield from sources_in(said)
        yield from sources_in((*self.after, *self.small))


def remaining(sentences: tuple[Sentence, ...]) -> tuple[Sentence, ...]:
    """Those of what stands out that still hold: not what was put right, nor what is only worth knowing."""
    still = (Verdict.DANGER, Verdict.FAULT, Verdict.WATCH, Verdict.OPEN, Verdict.UNKNOWN)
    return tuple(s for s in sentences if s.verdict in still)


def of_plain_page(page: PlainPage, standouts: tuple[Sentence, ...]) -> Digest:
    """The digest of a chapter that has no other: its conclusion and its one table; its own page where it has more."""
    more = len(page.tables) > 1 or page.working
    return Digest(
        page.conclusion.phrase,
        table=page.tables[0] if page.tables else None,
        small=(Note(page.note),) if page.note else (),
        working="How it was worked out" if more else "",
        half=True,
        brief=Brief(remains=remaining(standouts)),
    )


def words_in(words: tuple[PhrasePart, ...]) -> int:
    """How many words a phrase has, as a reader counts them."""
    from .sentence import text_of

    return len(text_of(words).split())
