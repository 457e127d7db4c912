"""From a line as it is said at the bench to what it adds to a record: which section, and what it says there."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from pydantic import ValidationError

from ..line_items import items
from ..problems import Nearest, one_of, quoted
from ..quantities import QuantityError, read_quantity
from ..sections.line_measured import LineSideMeasurement
from ..sections.touchable_words import TOUCHABLE_PARTS
from ..text import Text
from ..written_days import looks_like_a_date
from .as_written import Added
from .faults_typed import fault_of, is_fault
from .open_record import Addition, AskedError, OpenRecord
from .readings_typed import is_reading, places_apart, reading_of
from .sessions_typed import is_step, power_up_of, step_of
from .tubes_typed import exchange_of, is_exchange, is_tube, name_and_rest, tube_of

LONGEST = 2_000
"""Characters that a line may have."""

_PART = re.compile(r"(?P<name>[A-Z]{1,3}\d{1,4}[A-Za-z]?)(?::\s*|\s+)(?P<rest>\S.*)")
_RESULT = re.compile(
    r"(?P<name>[^:]{1,100}?)\s*(?::\s+|\s+(?=(?:before|after|sheet)\s))(?P<rest>(?:before|after|sheet)\s.+)", re.I
)
_NAME = re.compile(r"(?P<name>[^:]{1,100}?)\s*:\s+(?P<rest>\S.*)")
_TIME_FIRST = re.compile(r"(?P<time>\d+(?:[.,]\d+)?\s*(?:h|hrs?|hours?|min|mins|minutes?))\s+(?=[^\W\d])", re.I)
_LONE_VALUE = re.compile(r"(?P<name>[^:\d]{1,60}?)\s*:?\s+(?P<value>[-+−<>~]?[.,]?\d.*)")
_ON_LINE_SIDE = re.compile(
    rf"(?P<part>{'|'.join(TOUCHABLE_PARTS)})(?:\s+to\s+(?:earth|ground))?[\s,:]+(?P<rest>\S.*)", re.I
)

_MEASURED_KINDS = ("voltage", "current", "power", "resistance", "frequency", "ratio")

Meant = Callable[[str, OpenRecord], Addition]


def addition_of(line: str, into: OpenRecord) -> Addition:
    """What a typed line adds to the record. Raises AskedError where it could be two things, or none that is known."""
    if len(line) > LONGEST:
        raise AskedError(f"a line of {len(line):,} characters", f"at most {LONGEST:,}", "put long text into story.md")
    if any(not c.isprintable() for c in line):
        raise AskedError(f"{quoted(line)} with a control character", "plain text", "delete it")
    section, said = _named_section(line, into)
    if not said:
        raise AskedError("nothing", "a line such as “V4 grid 2.4”")
    if section:
        return _SECTIONS[section](said, into)
    if of_the_set := _of_the_set(said, into):
        return of_the_set
    for is_meant, section in _TOLD_BY:
        if is_meant(said, into):
            return _SECTIONS[section](said, into)
    raise AskedError(quoted(said, 60), "a line that says by its first words what it is about", _offered(said, into))


def _offered(said: str, into: OpenRecord) -> str:
    """What to write where a line does not say what it is about: for a quantity, what can have one."""
    lone = _LONE_VALUE.fullmatch(said)
    if lone is None or not any(_reads(lone["value"], kind) for kind in _MEASURED_KINDS):
        return f"write {one_of([quoted(f'{word} {said}', 120) for word in ('log', 'readings', 'fault')])}"
    if touch := _ON_LINE_SIDE.fullmatch(said):
        line = f"{into.day.isoformat()}, {touch['part']}, {touch['rest']}"
        where = "what a hand may touch is typed in the file, below “line side:” and “measured:”"
        as_stood = "with “plug reversed” and “switch on” as they stood"
        return f"{where}: {quoted(f'- {line}', 120)}, {as_stood}" if _is_touch(line) else f"{where}, {as_stood}"
    name = lone["name"].rstrip(" ,")
    offers = [f"results {name}: {side} {lone['value']}" for side in ("before", "after")]
    return f"write {one_of([quoted(offer, 120) for offer in (*offers, f'log {said}')])}"


def _is_touch(line: str) -> bool:
    try:
        LineSideMeasurement.model_validate(Text(line))
    except ValidationError:
        return False
    return True


def lines_apart(line: str, into: OpenRecord) -> list[str]:
    """A line of readings as one for each tube or rail that it names: “HT1 209 V, HT2 180 V”. Raises AskedError."""
    section, said = _named_section(line, into)
    parts = places_apart(said, into) if section in ("", "readings") else []
    return [part if into.section else f"readings {part}" for part in parts] if len(parts) > 1 else [line]


def section_named(word: str) -> str:
    """The section that a word names; empty where it names none."""
    return _BY_WORD.get(" ".join(word.split()).casefold(), "")


def _named_section(line: str, into: OpenRecord) -> tuple[str, str]:
    """The section that was named, by an option or by the line's first word, and the rest of the line."""
    said = line.strip()
    if into.section:
        section = section_named(into.section)
        if not section:
            near = Nearest(into.section, tuple(_SECTIONS)).told()
            raise AskedError(f"the section {quoted(into.section)}", one_of(_SECTIONS), near)
        return section, said
    folded = said.casefold()
    for word in sorted(_BY_WORD, key=len, reverse=True):
        if folded == word or folded.startswith((f"{word} ", f"{word}:")):
            return _BY_WORD[word], said[len(word) :].lstrip(" :")
    return "", said


def _part(line: str, into: OpenRecord) -> Addition:
    match = _PART.fullmatch(line) or _NAME.fullmatch(line)
    name, rest = (match["name"], match["rest"]) if match else name_and_rest(line)
    name = into.as_named("parts", name)
    there = into.record.parts.get(Text(name))
    first, _, more = rest.partition(" ")
    if there is not None and more and first.rstrip(":") in there.sections:
        of_section: dict[str, Added] = {name: {"sections": {first.rstrip(":"): more.strip()}}}
        return Addition("parts", of_section, of_section, f"parts {name}, section {first.rstrip(':')}")
    has_new = re.search(r"\bnow\b|\breplaced\b", rest, re.I) is not None
    is_in = re.search(r"\b(?:fitted|checked|restuffed)\b", rest, re.I) is not None
    waits = there is not None and there.state == "to do" and has_new and not is_in
    remarks = (f"{name} still says “to do” in the file: delete that when it is done",) if waits else ()
    added: dict[str, Added] = {name: rest}
    return Addition("parts", added, added, f"parts {name}", remarks)


def _log(line: str, into: OpenRecord) -> Addition:
    first = str(next(items(Text(line))))
    dated = looks_like_a_date(first) or looks_like_a_date(first.partition(":")[0])
    entry = _TIME_FIRST.sub(r"\g<time>, ", line)
    entry = entry if dated else f"{into.day.isoformat()}, {entry}"
    return Addition("log", [entry], [entry], "log")


def _is_log(line: str, into: OpenRecord) -> bool:
    if _TIME_FIRST.match(line):
        return True
    first = str(next(items(Text(line))))
    return looks_like_a_date(first) or _reads(first, "duration")


def _is_part(line: str, into: OpenRecord) -> bool:
    first = line.split(maxsplit=1)[0].rstrip(":")
    listed = {name.casefold() for name in into.named("parts")}
    return _PART.fullmatch(line) is not None or first.casefold() in listed


def _result(line: str, into: OpenRecord) -> Addition:
    match = _RESULT.fullmatch(line) or _NAME.fullmatch(line)
    if match is None:
        raise AskedError(quoted(line), "a name and what was measured", "such as “hum: before 38 mV, after 3.1 mV”")
    name = into.as_named("results", match["name"])
    added: dict[str, Added] = {name: match["rest"]}
    return Addition("results", added, added, f"results {quoted(name)}")


def _is_result(line: str, into: OpenRecord) -> bool:
    return _RESULT.fullmatch(line) is not None


def _of_the_set(line: str, into: OpenRecord) -> Addition | None:
    """A line of the record's first level that holds a text, such as ``state: finished``, where none was named."""
    match = _NAME.fullmatch(line)
    name = next((n for n in _OF_THE_SET if match and " ".join(match["name"].split()).casefold() == n.casefold()), "")
    if match is None or not name:
        return None
    there = into.sections.get(name)
    if there is not None:
        key = next(key for key in into.tree if into.tree[key] is there)
        told = f"{quoted(f'{key}:')} a second time (first on line {key.place[0]})"
        raise AskedError(told, "each once", "change that line in the file")
    return Addition(name, match["rest"], match["rest"], name)


def _named_in(section: str) -> Meant:
    """Reads an entry with a name of its own in a section."""

    def meant(line: str, into: OpenRecord) -> Addition:
        match = _NAME.fullmatch(line)
        name, rest = (match["name"], match["rest"]) if match else name_and_rest(line)
        name = into.as_named(section, name)
        added: dict[str, Added] = {name: rest}
        return Addition(section, added, added, f"{section} {quoted(name)}")

    return meant


def _wires(line: str, into: OpenRecord) -> Addition:
    return Addition("wires", [line], [line], "wires")


def _reads(text: str, kind: str) -> bool:
    try:
        read_quantity(text, kind)
    except QuantityError:
        return False
    return True


_SECTIONS: Mapping[str, Meant] = {
    "readings": reading_of,
    "parts": _part,
    "tubes": tube_of,
    "changed tubes": exchange_of,
    "changes": _named_in("changes"),
    "faults": fault_of,
    "power-up": power_up_of,
    "alignment": step_of,
    "results": _result,
    "log": _log,
    "wires": _wires,
    "photos": _named_in("photos"),
    "papers": _named_in("papers"),
}
"""The sections a line may be added to, and how it is read there."""

_OF_THE_SET = (
    "year", "chassis number", "serial", "owner", "member", "called", "by", "nameplate", "power", "chassis", "IF",
    "second IF", "gang", "aerial", "cabinet", "state", "came in", "finished", "summary", "advice", "note",
)  # fmt: skip
"""Names of the first level that hold one text."""

_TOLD_BY: tuple[tuple[Callable[[str, OpenRecord], bool], str], ...] = (
    (is_fault, "faults"),
    (is_step, "alignment"),
    (_is_result, "results"),
    (is_exchange, "changed tubes"),
    (is_tube, "tubes"),
    (is_reading, "readings"),
    (_is_part, "parts"),
    (_is_log, "log"),
)
"""What a line is by its first words, in the order in which it is asked."""

_BY_WORD: Mapping[str, str] = {
    **{name: name for name in _SECTIONS},
    **{
        name.removesuffix("s"): name
        for name in ("readings", "parts", "tubes", "changed tubes", "changes", "faults", "results", "wires", "photos")
    },
    "valves": "tubes",
    "valve": "tubes",
    "changed valves": "changed tubes",
    "changed valve": "changed tubes",
    "power up": "power-up",
    "align": "alignment",
}
"""The words that name a section."""
