"""What the one who hands a set on is told of it: what may be another's, and what may be private all the same."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...record.problems import one_of, quoted
from ...tubes.tube_table import PACKAGE_TABLE

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.photos import Photo

_OF_ANOTHER = re.compile(
    r"(?<![a-z])(?:schematics?|schemas?|schemes?|(?:circuit|wiring|service|data|alignment|parts|factory|tube|valve)"
    r"[ _-]?(?:diagrams?|drawings?|sheets?|manuals?|notes?|leaflets?|lists?|charts?)|sheets?|manuals?|datasheets?"
    r"|diagrams?|blueprints?|schaltplan|schaltbild|schakelschema)(?![a-z])",
    re.I,
)
"""Words for what a maker or a publisher drew and printed."""
_NAMED = 12
_SHORTEST = 4
"""Letters of a private value that are looked for elsewhere: shorter ones are found in any text."""


def remarks(
    name: str, record: Record, texts: Mapping[str, tuple[str, str]], private: tuple[str, ...], *, draft: bool
) -> Iterator[str]:
    """The remarks on what goes out under ``name``: the ``record``, and the ``texts`` by theirs; ``private`` does not.

    Of each text there is what goes out and what it is made from.
    """
    yield from _of_another(record)
    yield from _without_licence(record)
    yield from _private_elsewhere(name, texts, private)
    yield from _beside(record)
    if draft:
        yield "this set is no page of its site yet: it is handed on as a draft"


def named_as_another_s(name: str, photo: Photo) -> bool:
    """Whether a picture is called, or says of itself that it is, a schematic or sheet."""
    said = (name, str(photo.caption or ""), *(str(file) for file in photo.files().values()))
    return any(_OF_ANOTHER.search(one) for one in said)


def _of_another(record: Record) -> Iterator[str]:
    for name, photo in record.photos.items():
        if named_as_another_s(str(name), photo):
            yield (
                f"photos.{name}: named as a schematic or sheet; whoever drew it may hold the copyright: "
                "hand it on only where you may, or leave it out"
            )


def _without_licence(record: Record) -> Iterator[str]:
    if record.licence:
        return
    without = [
        quoted(str(file), 80)
        for photo in record.photos.values()
        if not photo.licence
        for file in photo.files().values()
    ]
    if without:
        more = len(without) - _NAMED
        said = one_of([*without[:_NAMED], f"{more} more"] if more > 0 else without, "and")
        yield f"no licence is stated for {said}; write “licence:” for the set, or “licence” with the picture"
    else:
        yield "no licence is stated: write “licence:” where others may use what you wrote"


def _private_elsewhere(name: str, texts: Mapping[str, tuple[str, str]], private: tuple[str, ...]) -> Iterator[str]:
    """Where something that stands on a private line stands once more; what it is is not said."""
    sought = [value for value in (_flat(written) for written in private) if len(value) >= _SHORTEST]
    if any(value in _flat(name) for value in sought):
        yield f"{name}: what stands on a private line of the record stands in the folder's name too, and goes out"
    for file, (text, source) in texts.items():
        lines = source.split("\n")
        for line in text.split("\n"):
            if any(value in _flat(line) for value in sought):
                place = next((n for n, typed in enumerate(lines, 1) if typed.startswith(line)), 1)
                yield f"{file}:{place}: what stands on a private line of the record stands here too, and goes out"


def _flat(text: str) -> str:
    """The words of a text, however they are parted: a picture's file has hyphens where its record has blanks."""
    return " ".join(re.findall(r"[^\W_]+", text.casefold()))


def _beside(record: Record) -> Iterator[str]:
    """What the record leans on that lies beside the set and does not come along."""
    for name, run in record.readings.items():
        if run.from_:
            yield f"readings.{name}: taken from another set, which is to be handed on too: {quoted(str(run.from_))}"
    own = [
        f"{position} ({tube.type})"
        for position, tube in record.tubes.items()
        if PACKAGE_TABLE.find(str(tube.type)) is None and record.tube_table.find(str(tube.type)) is not None
    ]
    if own:
        yield f"only your own tube table knows {one_of(own, 'and')}: hand its rows on too"
    if words := [f"{quoted(one.word)} ({one.means})" for one in record.own_words]:
        yield f"only your own list of words knows {one_of(words, 'and')}: hand its rows on too"
