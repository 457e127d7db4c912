"""Cabinet and mechanics as written: the dial cord's route, and what was found and done at each thing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, NamedTuple

from pydantic_core import InitErrorDetails

from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..line_items import items
from ..problems import one_of, quoted
from ..quantities import QuantityError, read_quantity
from ..section import Section, form, refused
from ..text import Entries, Text
from ..values import Date, Name, Reads, Wording, as_text

STOPS = ("drum", "pulley", "shaft", "spring", "pointer", "anchor")
_KINDS = {
    "drum": "drum|wheel|gang pulley", "pulley": "pulleys?|roller|idler", "shaft": "shaft|spindle|tuning knob",
    "spring": "spring", "pointer": "pointer|needle|carriage", "anchor": "anchor|eyelet|hook|knot|tie|start|end",
}  # fmt: skip
_KIND = re.compile("|".join(rf"(?P<{kind}>\b(?:{words})\b)" for kind, words in _KINDS.items()), re.I)
_TURNS = re.compile(
    r"(?P<turns>(?<![\d/.,])(?:\d{1,2}[\s-]?)?(?:1/2|1/4|3/4|[½¼¾])|\d+(?:[.,]\d+)?|half a|one|two|three|four)"
    r"\s*(?:full\s+)?turns?\b"
    r"|(?P<once>\bonce round)",
    re.I,
)
_SIZE = re.compile(
    r"(?<![\w.,])(?:ø\s*)?(?P<size>(?:\d{1,2}[\s-](?=\d{1,2}/\d))?[.\d][\d.,/]*\s?(?:mm|cm|in(?:ch(?:es)?)?\b|\"))",
    re.I,
)
_IN_METRES = re.compile(r"\d\s?(?:mm|cm|in(?:ch(?:es)?)?\b)", re.I)
_BELOW_ZERO = re.compile(r"(?<!\S)[-−–]\s?[.\d]")
_IN_WORDS = {"half a": 0.5, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0}
_FRACTIONS = {"1/2": 0.5, "½": 0.5, "1/4": 0.25, "¼": 0.25, "3/4": 0.75, "¾": 0.75}
_MOST_TURNS = 20.0
_LEAST_METRES, _MOST_METRES = 0.5e-3, 1.0


class CordStop(NamedTuple):
    """A thing that a dial cord passes: its ``kind``, its diameter in metres, and how often the cord goes round it."""

    kind: str
    said: str
    metres: float | None
    turns: float | None


def stop_of(text: str) -> CordStop | None:
    """The stop that an item of a route says; None where it names none that is known, or a size nobody made."""
    kind = _KIND.search(text)
    if kind is None or kind.lastgroup is None or _BELOW_ZERO.search(text):
        return None
    size = _SIZE.search(text)
    if size is None and _IN_METRES.search(text):
        return None
    turns = _TURNS.search(text)
    try:
        metres = read_quantity(size["size"], "length").si if size else None
    except QuantityError:
        return None
    round_ = _turns(turns) if turns else None
    if metres is not None and not _LEAST_METRES <= metres <= _MOST_METRES:
        return None
    if round_ is not None and not 0 < round_ <= _MOST_TURNS:
        return None
    return CordStop(kind.lastgroup, " ".join(text.split()), metres, round_)


def _turns(found: re.Match[str]) -> float:
    if found["once"]:
        return 1.0
    said = " ".join(found["turns"].casefold().split())
    if said in _IN_WORDS:
        return _IN_WORDS[said]
    mixed = re.fullmatch(rf"(\d*)[\s-]?({'|'.join(_FRACTIONS)})", said)
    return int(mixed[1] or 0) + _FRACTIONS[mixed[2]] if mixed else float(said.replace(",", "."))


def _read_route(value: Any) -> tuple[Text, ...]:
    stops = [as_text(one) for one in value] if isinstance(value, list | tuple) else list(items(as_text(value)))
    for stop in stops:
        if stop_of(stop) is None:
            expected = f"{one_of(STOPS)} with its diameter and turns, such as “drum 80 mm 1.5 turns”"
            raise refused(quoted(stop), expected, at=stop)
    return tuple(stops)


CordRoute = Annotated[tuple[Text, ...], Reads(_read_route, one_or_more(TEXT_SCHEMA))]


_WORK = re.compile(
    r"(?:(?:re|hand[- ]?)?(?:washed|cleaned|polished|dusted|waxed|oiled|lubricated|greased|buffed|scrubbed|tightened)"
    r"|re(?:-?)(?:covered|finished|fitted|placed|stained|painted|lacquered|varnished|glued|soldered|strung|sprayed))\b",
    re.I,
)
"""How a line begins that says what was done and not what was found (common practice, no source)."""


_MENDED = re.compile(
    rf"(?<!\S)(?:{_WORK.pattern}|(?:glued|stuck down|soldered|sewn|patched|sealed|filled|mended|repaired|replaced"
    r"|bleached|straightened|flattened|ironed|painted|touched up|touched in|sanded|french polished)\b)",
    re.I,
)
"""What was done, within a line that begins with what was found: ``chip glued in with epoxy``."""
_BY_OTHERS = re.compile(
    r"\b(?:badly|poorly|wrongly|old|earlier|previous(?:ly)?|already|once|was|been|is|not|never|to be|by)\b", re.I
)
"""Words by which the work was somebody else's, or not done."""


class Fitting(Section):
    """One thing of cabinet or mechanics: ``rotted, replaced with linen``; what it was like, then what was done."""

    FORM = form(
        ["found", "did", "material", "date", "note"],
        first=("found",),
        rest="did",
        remark="note",
        values={"date": "date"},
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """What was found ends where what was done begins; a line that begins with that has nothing that was found."""
        table = super()._table(data, errors)
        found = table.get(Text("found")) if isinstance(data, Text) and isinstance(table, Entries) else None
        if not isinstance(table, Entries) or not isinstance(found, Text):
            return table
        did = table.get(Text("did"))
        did = did if isinstance(did, Text) else None
        if _WORK.match(found):
            del table[Text("found")]
            table[Text("did", found.place)] = found.and_then(did) if did else found
        else:
            table.update(_parted(found, did))
        return table

    found: Wording | None = None
    did: Wording | None = None
    material: Wording | None = None
    date: Date | None = None
    note: Wording | None = None


def _parted(found: Text, did: Text | None) -> dict[Text, Text]:
    """What was found and what was done, where the first item says both, or more than one says what was found.

    ``chip glued in with epoxy`` is a chip, and that it was glued; ``plastic, yellowed, polished`` was yellowed.
    """
    steps = list(items(did)) if did else []
    first = next((n for n, step in enumerate(steps) if _MENDED.match(step)), None)
    if first:
        seen = found
        for step in steps[:first]:
            seen = seen.and_then(step)
        done = _joined(steps[first:])
        return {Text("found", seen.place): seen, Text("did", done.place): done}
    begins = _MENDED.search(found)
    if first == 0 or begins is None or begins.start() == 0 or _BY_OTHERS.search(found):
        return {}
    seen, done = found.cut(0, begins.start()), found.cut(begins.start())
    done = done.taken_as(str(done), f"{quoted(found)} read as found {quoted(seen)} and done {quoted(done)}")
    done = _joined([done, *steps])
    return {Text("found", seen.place): seen, Text("did", done.place): done}


def _joined(pieces: list[Text]) -> Text:
    whole = pieces[0]
    for piece in pieces[1:]:
        whole = whole.and_then(piece)
    return whole


_DRIVE = "dial drive"


class Mechanics(Section):
    """Section ``mechanics`` of a record: the dial cord, and everything else by its name."""

    OTHERS = "fittings"
    SYNONYMS = {"dial string": "dial cord", "cord": "dial cord"}

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A dial drive is the cord where its line says a route, else a thing of its own, such as a rim drive."""
        table = super()._table(data, errors)
        drive = next((key for key in table or () if " ".join(str(key).split()).casefold() == _DRIVE), None)
        if table is None or drive is None:
            return table
        route = table.get(drive)
        stops = list(items(route)) if isinstance(route, Text) else route
        if not isinstance(stops, list) or not all(isinstance(s, Text) and stop_of(s) for s in stops):
            return table
        return {(Text("dial cord", drive.place) if key is drive else key): value for key, value in table.items()}

    dial_cord: CordRoute = ()
    fittings: dict[Name, Fitting] = {}
