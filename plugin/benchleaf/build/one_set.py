"""One set made: its record read, its names looked up, its photos made ready, its findings worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from ..chapters.bench import Bench
from ..pages.set_page import Choices, SetPage
from ..record import read_record
from ..record.inputs import RECORD_FILE, Inputs
from ..record.problems import Problem
from ..report.dialect import DIALECTS
from .cache import Cache

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.order import Chapter
    from ..circuit.circuit import Circuit
    from ..drawing import Figure
    from ..record.model import Record
    from ..report.picture import Picture
    from .whereabouts import SetsFolder


def read_inputs(folder: Path, sets: SetsFolder | None = None) -> Inputs:
    """The writer's files of a set. Links that lead out of the folder are passed over."""
    inside = folder.resolve()
    files = [folder / "story.md", *sorted((folder / "story").glob("*.md"))]
    story = tuple(
        (file.relative_to(folder).as_posix(), file.read_bytes())
        for file in files
        if file.is_file() and file.resolve().is_relative_to(inside)
    )
    name = sets.name(folder) if sets else folder.name
    label = sets.label(folder) if sets else f"{folder.parent.name}/{folder.name}"
    return Inputs(folder, name, label, (folder / RECORD_FILE).read_bytes(), story)


def make_page(inputs: Inputs, choices: Choices, cache: Cache) -> SetPage:
    """The finished page of one set; for a record that cannot be read, a page that says what is wrong."""
    from ..archive.parts_lists import for_card
    from ..pages.compose import broken, composed
    from .figures import kept_figures

    file = f"{inputs.label}/{RECORD_FILE}"
    examination = _examination(inputs.record, inputs.folder, file, choices, cache)
    if examination.examined is None:
        return broken(inputs, list(examination.problems))
    examined = examination.examined

    def figures(chapter: Chapter) -> dict[str, Figure]:
        return kept_figures(chapter, examined, cache)

    page = composed(inputs, choices, figures, examined, list(examination.problems), examination.depends)
    return replace(page, card=(page.card or {}) | for_card(examined, page.title))


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
    from ..chapters.examine import examine
    from .follow import follow

    record, problems = read_record(data, file)
    if record is None:
        return _Examination(None, tuple(problems))
    found = follow(record, folder, file)
    pictures, unfit = _pictures(found.circuit.record, found.photos, file, cache) if cache else ({}, [])
    bench = _bench(choices, found.circuit, found.neighbours, pictures)
    used = [*found.photos.values(), *found.neighbours.values(), *found.tables.values()]
    depends = tuple((_relative(path, folder), cache.file_digest(path)) for path in used) if cache else ()
    return _Examination(examine(bench), (*found.problems, *unfit), depends)


def _relative(path: Path, folder: Path) -> str:
    from os.path import relpath

    return Path(relpath(path, folder)).as_posix()


def _bench(
    choices: Choices, circuit: Circuit, neighbours: Mapping[str, Path], pictures: Mapping[str, Picture]
) -> Bench:
    from ..circuit.place import place
    from ..electrics.limits import LIMITS
    from ..record.slips import Slips

    others: dict[str, Circuit] = {}
    for name, path in neighbours.items():
        other, _ = read_record(path.read_bytes(), name)
        if other:
            others[name] = place(other, Slips(name))
    return Bench(circuit, DIALECTS[choices.dialect], LIMITS[choices.touch_limit], others, pictures)


def _pictures(
    record: Record, files: Mapping[str, Path], label: str, cache: Cache
) -> tuple[dict[str, Picture], list[Problem]]:
    """Each photo made ready to publish, or the problem that keeps it from being."""
    from .photos.originals import PhotoProblem
    from .photos.pictures import publishable

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
