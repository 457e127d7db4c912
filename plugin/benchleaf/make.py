"""One set made: its record read, its names looked up, its photos made ready, its findings worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .bench import Bench
from .cache import Cache
from .dialect import DIALECTS
from .record import read_record
from .record.problems import Problem
from .set_page import RECORD_FILE, Choices, SetPage

if TYPE_CHECKING:
    from .chapters.photos.pictures import Picture
    from .examine import Examined
    from .record.model import Record


@dataclass(frozen=True)
class Inputs:
    """What lies in a set's folder in the writer's own words: the record and the parts of the story, by file name."""

    folder: Path
    label: str
    record: bytes
    story: tuple[tuple[str, bytes], ...]

    def parts(self) -> Iterator[str | bytes]:
        """What a page depends on, for its key in the cache."""
        yield from (self.label, self.record)
        for name, data in self.story:
            yield from (name, data)


def read_inputs(folder: Path) -> Inputs:
    """The writer's files of a set. Links that lead out of the folder are passed over."""
    inside = folder.resolve()
    files = [folder / "story.md", *sorted((folder / "story").glob("*.md"))]
    story = tuple(
        (file.relative_to(folder).as_posix(), file.read_bytes())
        for file in files
        if file.is_file() and file.resolve().is_relative_to(inside)
    )
    label = f"{folder.parent.name}/{folder.name}"
    return Inputs(folder, label, (folder / RECORD_FILE).read_bytes(), story)


def make_page(inputs: Inputs, choices: Choices, cache: Cache) -> SetPage:
    """The finished page of one set; for a record that cannot be read, a page that says what is wrong.

    Its problems quote nothing private unless the site publishes that.
    """
    from .compose import broken, composed

    file = f"{inputs.label}/{RECORD_FILE}"
    examination = _examination(inputs.record, inputs.folder, file, choices, cache)
    # What leaves this room is published: page, log and lists are told the public form.
    told = [p if choices.publish_private else p.public() for p in examination.problems]
    if examination.examined is None:
        return broken(inputs, told)
    return composed(inputs, choices, cache, examination.examined, told, examination.depends)


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
    from .record.encoding import decode
    from .record.private import marked
    from .references import follow

    record, problems = read_record(data, file)
    if record is None:
        return _Examination(None, tuple(problems))
    found = follow(record, folder, file)
    pictures, unfit = _pictures(found.record, found.photos, file, cache) if cache else ({}, [])
    bench = _bench(choices, found.tubes, found.neighbours, pictures)
    used = [*found.photos.values(), *found.neighbours.values(), *found.tables.values()]
    depends = tuple((_relative(path, folder), cache.file_digest(path)) for path in used) if cache else ()
    told = marked((*found.problems, *unfit), decode(data, file)[0], file)
    return _Examination(examine(found.record, bench), tuple(told), depends)


def _relative(path: Path, folder: Path) -> str:
    from os.path import relpath

    return Path(relpath(path, folder)).as_posix()


def _bench(
    choices: Choices, tubes: Mapping[str, object], neighbours: Mapping[str, Path], pictures: Mapping[str, Picture]
) -> Bench:
    from .electrics.limits import LIMITS

    others: dict[str, Record] = {}
    for name, path in neighbours.items():
        other, _ = read_record(path.read_bytes(), name)
        if other:
            others[name] = other
    return Bench(DIALECTS[choices.dialect], LIMITS[choices.touch_limit], tubes, others, pictures)  # type: ignore[arg-type]


def _pictures(
    record: Record, files: Mapping[str, Path], label: str, cache: Cache
) -> tuple[dict[str, Picture], list[Problem]]:
    """Each photo made ready to publish, or the problem that keeps it from being."""
    from .chapters.photos.originals import PhotoProblem
    from .chapters.photos.pictures import publishable

    pictures: dict[str, Picture] = {}
    problems: list[Problem] = []
    for name, photo in record.photos.items():
        for file in photo.files().values():
            if str(file) not in files:
                continue
            made = publishable(files[str(file)], cache)
            if isinstance(made, PhotoProblem):
                problems.append(Problem(label, *file.place, f"photos.{name}", made.found, made.expected, made.remedy))
            else:
                pictures[str(file)] = made
    return pictures, problems
