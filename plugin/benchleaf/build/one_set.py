"""One set made: its record read, its names looked up, its photos made ready, its findings worked out."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from os.path import lexists
from pathlib import Path
from typing import TYPE_CHECKING

from ..chapters.bench import Bench
from ..pages.set_page import Choices, SetPage
from ..record import read_record
from ..record.inputs import RECORD_FILE, Inputs
from ..record.problems import Problem
from ..record.set_files import Refusal, located_folder, read
from ..record.slips import Slips
from ..record.story_files import STORY_FILE, STORY_FOLDER, in_reading_order, is_story_file
from ..words import DIALECTS
from .cache import Cache, key
from .files import digest
from .own_table import own_files

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.order import Chapter
    from ..circuit.circuit import Circuit
    from ..drawing import Figure
    from ..record.model import Record
    from ..record.remarks import Remark
    from ..report.picture import Picture
    from .follow import LookedOver, References
    from .own_table import OwnFiles
    from .whereabouts import SetsFolder


_WRITTEN_OUT = "written"


def read_inputs(folder: Path, sets: SetsFolder | None = None) -> Inputs:
    """The writer's files of a set, and a Problem for each that is none of its own."""
    name = sets.name(folder) if sets else folder.name
    label = sets.label(folder) if sets else f"{folder.parent.name}/{folder.name}"
    files = dict(_written(folder))
    refused = tuple(c.problem(f"{label}/{file}") for file, c in files.items() if isinstance(c, Refusal))
    record = files.pop(RECORD_FILE)
    story = tuple((file, content) for file, content in files.items() if isinstance(content, bytes))
    table, _ = own_files(folder, sets)
    return Inputs(folder, name, label, record if isinstance(record, bytes) else None, story, refused, table)


def _written(folder: Path) -> Iterator[tuple[str, bytes | Refusal]]:
    """The record and the parts of the story in their order, by their path in the set's ``folder``."""
    yield RECORD_FILE, read(folder / RECORD_FILE, folder)
    story = located_folder(folder / STORY_FOLDER, folder)
    if isinstance(story, Refusal):
        yield "story", story
    numbered = [file for file in folder.glob("*.md") if is_story_file(file.name) and file.name != STORY_FILE]
    parts = [*numbered, *(story.glob("*.md") if isinstance(story, Path) else ())]
    for file in [folder / STORY_FILE, *sorted(parts, key=lambda file: (file.parent != folder, *_order(file)))]:
        if lexists(file):
            yield file.relative_to(folder).as_posix(), read(file, folder)


def _order(file: Path) -> tuple[object, ...]:
    return in_reading_order(file.name)


def make_page(inputs: Inputs, choices: Choices, cache: Cache) -> SetPage:
    """The finished page of one set; for a record that cannot be read, a page that says what is wrong.

    Its problems quote nothing private unless the site publishes that.
    """
    from ..archive.on_card import for_card
    from ..pages.compose import broken, composed
    from ..record.remarks import folded
    from .figures import kept_figures
    from .link_pictures import with_link_picture

    if inputs.record is None:
        return broken(inputs, list(inputs.refused), ())
    file = f"{inputs.label}/{RECORD_FILE}"
    examination = _examination(inputs.record, inputs.folder, file, choices, cache, inputs.table)
    # What leaves this room is published: page, log and lists are told the public form.
    found = [*inputs.refused, *examination.problems]
    published = (problem if choices.publish_private else problem.public() for problem in found)
    problems = [problem.in_dialect(DIALECTS[choices.dialect]) for problem in published]
    unread = examination.unread
    if examination.examined is None:
        return broken(inputs, sorted(problems), examination.depends)
    examined = examination.examined

    def figures(chapter: Chapter) -> dict[str, Figure]:
        return kept_figures(chapter, examined, cache)

    page = composed(inputs, choices, figures, examined, problems, examination.depends, unread)
    if choices.sets_url:
        page = with_link_picture(page, str(examined.record.year or ""), cache)
    card = (page.card or {}) | for_card(examined, page.title) | {"not_understood": list(unread)}
    remarks = examination.remarks
    told = remarks if choices.publish_private else _told_in_public(remarks, inputs.record, file)
    return replace(page, card=card, remarks=tuple(map(str, folded(told))))


def examined_record(data: bytes, folder: Path, file: str, choices: Choices) -> tuple[Examined | None, list[Problem]]:
    """What could be read of a record, examined without its page or its photos, and every problem; None for nothing."""
    examination = examination_of(data, folder, file, choices)
    return examination.examined, list(examination.problems)


def written_out(
    data: bytes, folder: Path, file: str, choices: Choices, form: str, write: Callable[[Examined], str], cache: Cache
) -> tuple[str | None, list[Problem]]:
    """The same as the text that ``write`` makes of it, None for nothing, and every problem.

    The text comes from the ``cache`` where nothing that goes in has changed; ``form`` tells one way of writing from
    another. What is told is worked out each time.
    """
    from .fingerprint import fingerprint
    from .follow import look_over

    table = own_files(folder)[0]
    if cache.folder is None:
        examined, problems = examined_record(data, folder, file, choices)
        return (write(examined) if examined else None), problems
    looked = look_over(data, folder, file, table, choices.manner)
    found = _to_examine(looked, data, file)
    told = list(told_of(looked.problems, data, file) if looked.references else looked.problems)
    if found is None:
        return None, told
    depends = (*table, *_depends(found, folder, cache))
    entry = key(fingerprint(), form, json.dumps(asdict(choices), sort_keys=True), file, data, repr(depends))
    kept = cache.get(_WRITTEN_OUT, entry)
    if kept is not None:
        return kept.decode(), told
    from ..chapters.examine import examine

    text = write(examine(_bench(choices, found, {})))
    cache.put(_WRITTEN_OUT, entry, text.encode())
    return text, told


def examination_of(data: bytes, folder: Path, file: str, choices: Choices) -> Examination:
    """The same with the lines that were not understood."""
    return _examination(data, folder, file, choices, None, own_files(folder)[0])


@dataclass(frozen=True)
class Examination:
    """A record examined as far as it could be read, with all that is told of it; ``unread`` are its lines left out."""

    examined: Examined | None
    problems: tuple[Problem, ...]
    unread: tuple[int, ...] = ()
    depends: tuple[tuple[str, str | None], ...] = ()
    remarks: tuple[Remark, ...] = ()


def _examination(
    data: bytes, folder: Path, file: str, choices: Choices, cache: Cache | None, table: OwnFiles
) -> Examination:
    """Read, look up and examine. Photos are made ready only where there is a ``cache`` to put them in."""
    from ..chapters.examine import examine
    from .follow import look_over

    looked = look_over(data, folder, file, table, choices.manner)
    found = _to_examine(looked, data, file)
    if found is None:
        return Examination(None, told_of(looked.problems, data, file) if looked.references else looked.problems)
    pictures, unfit = _pictures(found, folder, file, cache) if cache else ({}, ())
    depends = _depends(found, folder, cache) if cache else ()
    told = told_of((*looked.problems, *unfit), data, file)
    lines = tuple(sorted({problem.line for problem in looked.unread}))
    return Examination(examine(_bench(choices, found, pictures)), told, lines, depends, looked.remarks)


def _to_examine(looked: LookedOver, data: bytes, file: str) -> References | None:
    """What of a record is examined, where what could be read of it has a page."""
    from ..record.encoding import decode

    found = looked.references
    if found is None:
        return None
    record = found.circuit.record
    if looked.unread and not may_be_shown(record, looked.unread, decode(data, file)[0]):
        return None
    if record.lost.may_reach_a_hand:
        return replace(found, circuit=replace(found.circuit, record=record.with_line_side_aside()))
    return found


def _depends(found: References, folder: Path, cache: Cache) -> tuple[tuple[str, str | None], ...]:
    """The files that a record names, with the hash of what is in each; None for one that is not there to be read."""
    used = [*found.photos.values(), *found.neighbours.values(), *found.tables.values(), *found.missing]
    named = dict.fromkeys(_relative(path, folder) for path in used)
    return tuple((path, digest(folder, path, cache)) for path in named)


def _told_in_public(remarks: Iterable[Remark], data: bytes, file: str) -> Iterator[Remark]:
    """Remarks as a log may hold them."""
    from ..record.encoding import decode
    from ..record.private import remarks_in_public

    return remarks_in_public(remarks, decode(data, file)[0])


def told_of(problems: Iterable[Problem], data: bytes, file: str) -> tuple[Problem, ...]:
    """The problems of a record, those of its private lines marked."""
    from ..record.encoding import decode
    from ..record.private import marked

    return tuple(marked(problems, decode(data, file)[0], file))


def may_be_shown(record: Record, unread: Iterable[Problem], text: str) -> bool:
    """Whether what could be read of a record has a page: it is known whose it is, and nothing private was mistyped.

    ``text`` is what its file holds.
    """
    from ..record.partial import UNKNOWN
    from ..record.private import withhold

    return UNKNOWN not in (record.maker, record.model) and not withhold(unread, text)


def _relative(path: Path, folder: Path) -> str:
    from os.path import relpath

    return Path(relpath(path, folder)).as_posix()


def _bench(choices: Choices, found: References, pictures: Mapping[str, Picture]) -> Bench:
    from ..circuit.place import place
    from ..electrics.limits import LIMITS

    others: dict[str, Circuit] = {}
    for name, path in found.neighbours.items():
        data = read(path, path.parent.parent)
        other, unread = read_record(data, name, choices.manner) if isinstance(data, bytes) else (None, [])
        if other and not unread:
            others[name] = place(other.read_with(found.circuit.record.tube_table), Slips(name))
    words, limit = DIALECTS[choices.dialect], LIMITS[choices.touch_limit]
    return Bench(found.circuit, words, limit, others, pictures, choices.how_it_works)


def _pictures(
    found: References, folder: Path, label: str, cache: Cache
) -> tuple[dict[str, Picture], tuple[Problem, ...]]:
    """Each photo made ready to publish, or the problem that keeps it from being."""
    from .photos.originals import PhotoProblem
    from .photos.pictures import publishable

    pictures: dict[str, Picture] = {}
    slips = Slips(label)
    for name, photo in found.circuit.record.photos.items():
        for file in photo.files().values():
            if str(file) not in found.photos:
                continue
            made = publishable(found.photos[str(file)], folder, cache)
            if isinstance(made, PhotoProblem):
                slips.add(file, f"photos.{name}", made.found, made.expected, made.remedy)
            else:
                pictures[str(file)] = made
    return pictures, slips.problems()
