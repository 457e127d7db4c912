"""One set made: its record read, its names looked up, its photos made ready, its findings worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from os.path import lexists
from pathlib import Path
from typing import TYPE_CHECKING

from .bench import Bench
from .cache import Cache
from .dialect import DIALECTS
from .record import read_record
from .record.problems import Problem
from .set_files import Refusal, digest, located_folder, read
from .set_page import RECORD_FILE, Choices, SetPage

if TYPE_CHECKING:
    from .chapters.photos.pictures import Picture
    from .examine import Examined
    from .record.model import Record
    from .references import References


@dataclass(frozen=True)
class Inputs:
    """What lies in a set's folder in the writer's own words: the record and the parts of the story, by file name.

    ``record`` is None where the file must not be read; ``refused`` says so, and of the parts of the story too.
    """

    folder: Path
    label: str
    record: bytes | None
    story: tuple[tuple[str, bytes], ...]
    refused: tuple[Problem, ...] = ()

    def parts(self) -> Iterator[str | bytes]:
        """What a page depends on, for its key in the cache."""
        yield from (self.label, self.record or b"")
        for name, data in self.story:
            yield from (name, data)
        yield from (str(problem) for problem in self.refused)


def read_inputs(folder: Path) -> Inputs:
    """The writer's files of a set, and a Problem for each that is none of its own."""
    label = f"{folder.parent.name}/{folder.name}"
    files = dict(_written(folder))
    refused = tuple(c.problem(f"{label}/{name}") for name, c in files.items() if isinstance(c, Refusal))
    record = files.pop(RECORD_FILE)
    story = tuple((name, content) for name, content in files.items() if isinstance(content, bytes))
    return Inputs(folder, label, record if isinstance(record, bytes) else None, story, refused)


def _written(folder: Path) -> Iterator[tuple[str, bytes | Refusal]]:
    """The record and the parts of the story in their order, by their path in the set's ``folder``."""
    yield RECORD_FILE, read(folder / RECORD_FILE, folder)
    story = located_folder(folder / "story", folder)
    if isinstance(story, Refusal):
        yield "story", story
    parts = sorted(story.glob("*.md")) if isinstance(story, Path) else []
    for file in [folder / "story.md", *parts]:
        if lexists(file):
            yield file.relative_to(folder).as_posix(), read(file, folder)


def make_page(inputs: Inputs, choices: Choices, cache: Cache) -> SetPage:
    """The finished page of one set; for a record that cannot be read, a page that says what is wrong."""
    from .compose import broken, composed

    if inputs.record is None:
        return broken(inputs, list(inputs.refused))
    file = f"{inputs.label}/{RECORD_FILE}"
    examination = _examination(inputs.record, inputs.folder, file, choices, cache)
    problems = [*inputs.refused, *examination.problems]
    if examination.examined is None:
        return broken(inputs, sorted(problems))
    return composed(inputs, choices, cache, examination.examined, problems, examination.depends)


def examined_record(data: bytes, folder: Path, file: str, choices: Choices) -> tuple[Examined | None, list[Problem]]:
    """A record examined without making its page or its photos; None, with the problems, where it cannot be read."""
    examination = _examination(data, folder, file, choices, None)
    return examination.examined, list(examination.problems)


@dataclass(frozen=True)
class _Examination:
    examined: Examined | None
    problems: tuple[Problem, ...]
    depends: tuple[tuple[str, str | None], ...] = ()


def _examination(data: bytes, folder: Path, file: str, choices: Choices, cache: Cache | None) -> _Examination:
    """Read, look up and examine. Photos are made ready only where there is a ``cache`` to put them in."""
    from .examine import examine
    from .references import follow

    record, problems = read_record(data, file)
    if record is None:
        return _Examination(None, tuple(problems))
    found = follow(record, folder, file)
    pictures, unfit = _pictures(found, folder, file, cache) if cache else ({}, [])
    bench = _bench(choices, found, pictures)
    used = [*found.photos.values(), *found.neighbours.values(), *found.tables.values(), *found.missing]
    named = dict.fromkeys(_relative(path, folder) for path in used)
    depends = tuple((path, digest(folder, path, cache)) for path in named) if cache else ()
    return _Examination(examine(found.record, bench), (*found.problems, *unfit), depends)


def _relative(path: Path, folder: Path) -> str:
    from os.path import relpath

    return Path(relpath(path, folder)).as_posix()


def _bench(choices: Choices, found: References, pictures: Mapping[str, Picture]) -> Bench:
    from .electrics.limits import LIMITS

    others: dict[str, Record] = {}
    for name, path in found.neighbours.items():
        data = read(path, path.parent.parent)
        other = read_record(data, name)[0] if isinstance(data, bytes) else None
        if other:
            others[name] = other
    return Bench(DIALECTS[choices.dialect], LIMITS[choices.touch_limit], found.tubes, others, pictures)


def _pictures(found: References, folder: Path, label: str, cache: Cache) -> tuple[dict[str, Picture], list[Problem]]:
    """Each photo made ready to publish, or the problem that keeps it from being."""
    from .chapters.photos.originals import PhotoProblem
    from .chapters.photos.pictures import publishable

    pictures: dict[str, Picture] = {}
    problems: list[Problem] = []
    for name, photo in found.record.photos.items():
        for file in photo.files().values():
            if str(file) not in found.photos:
                continue
            made = publishable(found.photos[str(file)], folder, cache)
            if isinstance(made, PhotoProblem):
                problems.append(Problem(label, *file.place, f"photos.{name}", made.found, made.expected, made.remedy))
            else:
                pictures[str(file)] = made
    return pictures, problems
