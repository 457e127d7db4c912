"""What a record names must be there: tubes, electrodes, parts, photos, other records. Each slip is a Problem.

A condition of the set (wrong tube, positive grid) is never a Problem; a name that leads nowhere is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .chapters.photos.originals import PhotoProblem, inside
from .record.problems import Problem, did_you_mean, one_of, quoted
from .record.text import NOWHERE, Text

if TYPE_CHECKING:
    from .chapters.line_up.model import FittedTube
    from .record.model import Record
    from .tubes import Tube

_DESIGNATOR = re.compile(r"(?<![\w.+-])([A-Z]{1,2}\d{1,3})(?![\w.])")


@dataclass(frozen=True)
class References:
    """What the record's names lead to, and the ones that lead nowhere.

    ``record`` is the record with the readings of its spreadsheets put in.
    """

    record: Record
    tubes: Mapping[str, Tube]
    photos: Mapping[str, Path]
    neighbours: Mapping[str, Path]
    tables: Mapping[str, Path]
    problems: tuple[Problem, ...]


def follow(record: Record, folder: Path, file: str) -> References:
    """Look up every name in the record. ``file`` is the name its problems carry; ``folder`` is the set's own."""
    slips = _Slips(file)
    record, tables = _with_tables(record, folder, slips)
    tubes = _tubes(record, slips)
    _heaters(record, slips)
    _readings(record, tubes, slips)
    _places(record, tubes, slips)
    _mentions(record, slips)
    _dates(record, slips)
    photos = dict(_photos(record, folder, slips))
    neighbours = dict(_neighbours(record, folder, slips))
    return References(record, tubes, photos, neighbours, tables, tuple(sorted(slips.found)))


class _Slips:
    """The problems found so far."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[Problem] = []

    def add(self, at: object, field: str, found: str, expected: str, remedy: str = "") -> None:
        place = getattr(at, "place", None) or NOWHERE
        line, column = place
        file = getattr(at, "file", self.file)
        self.found.append(Problem(file, line, column, field, found, expected, remedy))


def _with_tables(record: Record, folder: Path, slips: _Slips) -> tuple[Record, dict[str, Path]]:
    """The record with the readings of its spreadsheets put in, and the files by the name of their run."""
    from .chapters.readings.spreadsheet import locate, read_spreadsheet

    runs, files = dict(record.readings), {}
    for name, run in record.readings.items():
        if not run.table:
            continue
        path = locate(folder, str(run.table))
        if isinstance(path, str):
            expected = "a spreadsheet in the set's folder, such as “readings.csv”"
            others = sorted(p.name for p in folder.glob("*.csv"))
            slips.add(
                run.table, f"readings.{name}.table", f"{quoted(run.table)}: {path}", expected, _near(run.table, others)
            )
            continue
        files[str(name)] = path
        points, problems = read_spreadsheet(_bytes(path), str(Path(slips.file).with_name(path.name)))
        slips.found += problems
        runs[name] = run.model_copy(update={"points": points | run.points})
    return (record.model_copy(update={"readings": runs}) if files else record), files


def _bytes(path: Path) -> bytes:
    """A file's bytes; none where the disk refuses them."""
    try:
        return path.read_bytes()
    except OSError:
        return b""


def _tubes(record: Record, slips: _Slips) -> dict[str, Tube]:
    from .tubes import find, nearest

    tubes: dict[str, Tube] = {}
    for position, fitted in record.tubes.items():
        tube = find(str(fitted.type)) if fitted.heater is None else _own_tube(fitted, position, slips)
        if tube:
            tubes[str(position)] = tube
        elif fitted.heater is None:
            near = nearest(str(fitted.type), 1)
            remedy = f"did you mean {quoted(near[0])}? If not, add “heater … V … A”" if near else "add “heater … V … A”"
            slips.add(fitted.type, f"tubes.{position}", quoted(fitted.type), "a type in the tube table", remedy)
    for position, changed in record.changed_tubes.items():
        if position not in record.tubes:
            slips.add(
                position,
                "changed tubes",
                quoted(position),
                "a position listed under tubes",
                _near(position, record.tubes),
            )
        for side in (changed.was, changed.now):
            if side and find(str(side.type)) is None:
                near = nearest(str(side.type), 1)
                remedy = f"did you mean {quoted(near[0])}?" if near else ""
                slips.add(side.type, f"changed tubes.{position}", quoted(side.type), "a type in the tube table", remedy)
    return tubes


def _own_tube(fitted: FittedTube, position: Text, slips: _Slips) -> Tube | None:
    """A tube described by the record itself: heater, base and, in pin order, its electrodes."""
    from .tubes import described

    assert fitted.heater is not None
    pins: dict[int | str, str] = {number: str(name) for number, name in enumerate(fitted.pins or (), 1)}
    try:
        return described(
            str(fitted.type),
            fitted.heater.volts.si or 0.0,
            fitted.heater.amps.si or 0.0,
            base=str(fitted.base) if fitted.base else None,
            pins=pins or None,
        )
    except ValueError as error:
        slips.add(
            fitted.type, f"tubes.{position}", quoted(fitted.type), "a heater, base and pins that can be", str(error)
        )
        return None


def _near(word: str, known: Iterable[str]) -> str:
    return did_you_mean(word, known) or f"known here: {one_of(known)}" if (known := list(known)) else ""


def _heaters(record: Record, slips: _Slips) -> None:
    supply = record.heaters
    if supply is None:
        return
    field = "heaters.order"
    seen: set[str] = set()
    for name in supply.order or ():
        if name not in record.tubes:
            slips.add(name, field, quoted(name), "a position listed under tubes", _near(name, record.tubes))
        elif name in seen:
            slips.add(name, field, f"{quoted(name)} a second time", "each heater once")
        seen.add(name)
    if supply.order and record.power in ("series string", None):
        missing = [t for t in record.tubes if t not in seen]
        if missing:
            slips.add(
                supply.order[0], field, f"no {one_of(missing)}", "every tube of the string once", "add what is missing"
            )
    if supply.measured:
        for name in supply.measured.volts:
            if name not in record.tubes and name not in supply.windings:
                known = [*record.tubes, *supply.windings, "line", "dropper"]
                slips.add(name, "heaters.measured", quoted(name), "a position listed under tubes", _near(name, known))
    _lamp(record, slips)
    for name, winding in supply.windings.items():
        for fed in re.findall(r"[^\s,]+", winding.feeds or ""):
            if fed not in ("and", "lamp", "lamps") and fed not in record.tubes:
                slips.add(
                    winding.feeds,
                    f"heaters.windings.{name}",
                    quoted(fed),
                    "a position listed under tubes",
                    _near(fed, record.tubes),
                )


def _lamp(record: Record, slips: _Slips) -> None:
    from .tubes import lamp, lamps

    pilot = record.heaters.pilot_lamp if record.heaters else None
    if pilot is None:
        return
    if not (pilot.volts and pilot.amps) and lamp(str(pilot.type)) is None:
        remedy = did_you_mean(pilot.type, lamps()) or "give its volts and amperes: “6.3 V 0.15 A”"
        slips.add(pilot.type, "heaters.pilot lamp", quoted(pilot.type), "a lamp number in the table", remedy)
    if pilot.across and (position := pilot.across.split()[0]) not in record.tubes:
        slips.add(
            pilot.across,
            "heaters.pilot lamp",
            quoted(position),
            "a position listed under tubes",
            _near(position, record.tubes),
        )


def _readings(record: Record, tubes: Mapping[str, Tube], slips: _Slips) -> None:
    for run_name, run in record.readings.items():
        for name, points in run.points.items():
            field = f"readings.{run_name}.{name}"
            if name in record.tubes:
                for point in points:
                    _electrode(tubes.get(str(name)), str(point.at), point.at, field, slips)
            elif _looks_like_tube(name, record) or any(point.at for point in points):
                known = [*record.tubes, "line", "meter", "to"]
                slips.add(
                    name,
                    f"readings.{run_name}",
                    quoted(name),
                    "a position listed under tubes, or a rail with one value",
                    _near(name, known),
                )


def _looks_like_tube(name: str, record: Record) -> bool:
    letters = {re.sub(r"\d+.*", "", t) for t in record.tubes}
    match = re.fullmatch(r"([A-Za-z]+)\d+", name)
    return bool(match) and match[1] in letters if match else False


def _electrode(tube: Tube | None, word: str, at: Text, field: str, slips: _Slips) -> None:
    from .tubes import Electrode, electrode
    from .tubes.bases import PIN_COUNT

    if tube is None:
        return
    if word == "":
        slips.add(at, field, "a value with no electrode", "an electrode and its volts, such as “plate 92.4”")
        return
    if word.isdigit():
        most = PIN_COUNT.get(tube.base or "", 9)
        if not 1 <= int(word) <= most:
            slips.add(at, field, f"pin {word}", f"pins 1 to {most}: the {tube.type} has {most}")
        return
    found = electrode(tube, word)
    if isinstance(found, Electrode):
        return
    offered = one_of(found.offered) if found.offered else "an electrode of this tube"
    remedy = f"did you mean {quoted(found.nearest[0])}?" if found.nearest else ""
    what = f"{quoted(word)}, which a {tube.type} has more than one of" if found.reason == "several" else quoted(word)
    slips.add(at, field, what, f"an electrode of a {tube.type}: {offered}", remedy)


def _places(record: Record, tubes: Mapping[str, Tube], slips: _Slips) -> None:
    """Where parts sit: ``V3 plate`` must be a tube of the set and an electrode of it; a rail may have any name."""
    for name, part in record.parts.items():
        field = f"parts.{name}"
        for place in (*(part.between or ()), part.outside_foil, part.positive):
            _place(place, record, tubes, field, slips)
        for section_name, section in part.sections.items():
            for place in (*(section.between or ()), section.positive):
                _place(place, record, tubes, f"{field}.{section_name}", slips)
    for name, change in record.changes.items():
        for place in change.between or ():
            _place(place, record, tubes, f"changes.{name}", slips)


def _place(place: Text | None, record: Record, tubes: Mapping[str, Tube], field: str, slips: _Slips) -> None:
    if not place:
        return
    first, _, rest = place.partition(" ")
    if first in record.tubes:
        if rest:
            _electrode(tubes.get(first), rest.strip(), place, field, slips)
    elif record.tubes and _looks_like_tube(first, record):
        slips.add(place, field, quoted(first), "a position listed under tubes", _near(first, record.tubes))


def _mentions(record: Record, slips: _Slips) -> None:
    """Parts named in the prose of a fault, an alignment step or a change must be listed."""
    known = {str(n) for n in (*record.parts, *record.tubes, *record.changes)}
    for name in record.reforming:
        if name not in record.parts:
            slips.add(name, "reforming", quoted(name), "a part listed under parts", did_you_mean(name, record.parts))
    for text, field in _prose(record):
        for match in _DESIGNATOR.finditer(text or ""):
            if match[1] not in known and _is_ours(match[1], known):
                at = text.cut(match.start(), match.end()) if text else None
                slips.add(
                    at, field, quoted(match[1]), "a part or tube of this record", "list it under parts, even as “to do”"
                )
    for name, change in record.changes.items():
        if change.across:
            first, _, section = str(change.across).partition(" ")
            part = record.parts.get(Text(first))
            if part is None and not re.search(r"\sand\s|, ", change.across):
                slips.add(
                    change.across,
                    f"changes.{name}.across",
                    quoted(first),
                    "a part listed under parts",
                    did_you_mean(first, record.parts),
                )
            elif part and section and section not in part.sections:
                slips.add(
                    change.across,
                    f"changes.{name}.across",
                    quoted(section),
                    f"a section of {first}",
                    _near(section, part.sections),
                )


def _prose(record: Record) -> Iterator[tuple[Text | None, str]]:
    for fault in record.faults:
        yield from ((text, "faults") for text in (fault.found, fault.cause, fault.cure))
    for alignment in record.alignment:
        yield from ((step.adjust, "alignment.steps") for step in alignment.steps)


def _is_ours(designator: str, known: Iterable[str]) -> bool:
    """True where the letter is one that this trade numbers parts by, or that the record itself uses."""
    letter = re.sub(r"\d.*", "", designator)
    return letter in {"C", "R", "L", "T", "V"} | {re.sub(r"\d.*", "", name) for name in known}


def _dates(record: Record, slips: _Slips) -> None:
    if record.came_in and record.finished and record.finished < record.came_in:
        slips.add(
            record.maker, "finished", f"{record.finished}, before it came in on {record.came_in}", "the later day"
        )


def _photos(record: Record, folder: Path, slips: _Slips) -> Iterator[tuple[str, Path]]:
    for name, photo in record.photos.items():
        files = photo.files()
        if not files:
            slips.add(name, f"photos.{name}", "no picture", "a file, such as “photos/dial.jpg”")
        for file in files.values():
            found = inside(folder, str(file))
            if isinstance(found, PhotoProblem):
                slips.add(file, f"photos.{name}", found.found, found.expected, found.remedy)
            else:
                yield str(file), found


def _neighbours(record: Record, folder: Path, slips: _Slips) -> Iterator[tuple[str, Path]]:
    for run_name, run in record.readings.items():
        if not run.from_:
            continue
        name = run.from_.split(",")[0].strip()
        path = folder.parent / name / "record.yml"
        if re.fullmatch(r"[\w.-]+", name) and name not in (".", "..") and path.is_file():
            yield name, path
        else:
            others = sorted(p.parent.name for p in folder.parent.glob("*/record.yml"))
            slips.add(
                run.from_, f"readings.{run_name}", quoted(name), "the folder of another set", did_you_mean(name, others)
            )
