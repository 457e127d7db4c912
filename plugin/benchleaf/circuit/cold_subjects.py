"""What an ohmmeter lay at before power, from the words at the bench: two places, the plug, a winding, a heater."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.place_words import AVC, B_MINUS, B_PLUS, CHASSIS, FIRST_RAILS, LINE, NEUTRAL, folded, read_rail
from .elements import WINDING
from .places import Place, rail
from .winding_halves import both_halves

if TYPE_CHECKING:
    from .circuit import Circuit
    from .elements import Element
    from .listed import Listed

(
    PLUG, LINE_TO_CHASSIS, LINE_TO_B_MINUS, EARTH_WIRE, STRING, HEATER, HEATER_WINDING, VOICE_COIL, FIELD, PART,
    BETWEEN, APART, OTHER,
) = (
    "plug", "line to chassis", "line to B-", "earth wire", "string", "heater", "heater winding", "voice coil", "field",
    "part", "between", "apart", "other",
)  # fmt: skip
HOT, RETURN, OFF = "hot", "return", "off"
PRIMARY, SECONDARY, OUTPUT_PRIMARY, OUTPUT_SECONDARY, LINE_TRANSFORMER = (
    "primary", "secondary", "output primary", "output secondary", "line transformer",
)  # fmt: skip

_FILLERS = re.compile(
    r"\b(?:the|from|between|across|resistance|cold|ohms|of|winding|each|insulation|reading|dc|through|valve|tube)\b",
    re.I,
)
_BOTH = re.compile(r"\s+(?:to|and|&|-|–|→|->)\s+|(?<=\w)\s?[–→]\s?(?=\w)", re.I)
_PINS = re.compile(
    r"(?:(?:both|either|other|one|plug|mains|line|power|heater|prongs?|blades?|pins?|cord|lead|ends?|a|c)\s*)*"
    r"(?:plug|cord|prongs?|blades|pins?)(?:\s+(?:pins?|prongs|blades|ends?|tied|together|joined))*",
    re.I,
)
_EARTH_PIN = re.compile(r"(?:plug\s+)?(?:earth|ground|third)\s+(?:pin|wire|prong|lead|conductor)(?:\s+plug)?", re.I)
_HEATERS = re.compile(r"(?:heaters?|filaments?)\s*(?:string|chain|line)?(?:\s+end(?: to end)?)?|string|chain", re.I)
_HEATER_WINDING = re.compile(
    r"\b(?:heat(?:er|ers|ing)|filaments?|l\.?t\.?|low[- ]tension|(?P<volts>\d+(?:[.,]\d+)?)\s?v(?:olts?)?)"
    r"\s+(?:winding|secondary|sec)\b",
    re.I,
)
"""A winding that a transformer heats its tubes from, by its use or its volts."""
_MOST_HEATER_VOLTS = 60.0
_HEATER = re.compile(r"(?:heater|filament)s?", re.I)
_VOICE = re.compile(r"(?:speaker|loudspeaker)?\s*(?:voice coil|speech coil|v\.?c\.?)|speaker|loudspeaker", re.I)
_FIELD = re.compile(r"(?:speaker\s+)?field(?:\s+coil)?", re.I)
_OUTPUT = re.compile(
    r"output\s*(?:transformer|trans\.?|tx|xfmr)?\s*(?P<which>primary|secondary|pri|sec)?|o\.?\s?p?\.?\s?t\b\.?\s*(?P<opt>\w+)?",
    re.I,
)
_OF_LINE = re.compile(
    r"(?:mains|power|line)\s*(?:(?:transformer|tx|xfmr)\s*(?:primary|pri)?|primary)|p\.?t\.?(?:\s+(?:primary|pri))?",
    re.I,
)
_WHICH = re.compile(
    r"\b(?:(?P<primary>primary|pri)|(?P<secondary>secondary|sec|h\.?t\.?|h\.?v\.?|plates?|anodes?|high))", re.I
)
_HEATER_PINS = re.compile(r"\bpins?\s*\d+\s*(?:and|to|-|–|/|,|&)\s*(?:pin\s*)?\d+\b", re.I)
_SWITCH = re.compile(r"\b(?:with\s+)?(?:the\s+)?switch(?:ed)?\s+(?:on|off)\b", re.I)
_DIRECT = {LINE: LINE, NEUTRAL: NEUTRAL}

SECTION = "section"
"""Of a heater: what lies between two of its pins, a tap among them."""


@dataclass(frozen=True, slots=True)
class ColdSubject:
    """What was measured: its ``kind``, and as far as the kind has them two ``places``, a ``tube``, a ``part``.

    ``which`` is the winding of a transformer (``primary``, ``secondary`` …), the lead of the line (``hot``, ``return``)
    or, at the plug, ``off`` with the switch so. Two are the same where the meter lay at the same points.
    """

    kind: str
    places: tuple[Place, ...] = ()
    tube: str = ""
    part: str = ""
    which: str = ""


def subject_of(circuit: Circuit, written: str) -> ColdSubject | None:
    """What the words mean in this set; None where nothing of the set is known by them."""
    if _is_heater_winding(circuit, written):
        return ColdSubject(HEATER_WINDING)
    whole = _plain(_HEATER_PINS.sub(" ", written) if _HEATER.search(written) else written)
    text = _plain(_SWITCH.sub(" ", whole))
    off = OFF if text != whole and re.search(r"\boff\b", whole, re.I) else ""
    sides = [side for side in (_plain(piece) for piece in _BOTH.split(text, maxsplit=1)) if side]
    if len(sides) == 2:
        return _between(circuit, *sides)
    if _EARTH_PIN.fullmatch(text):
        return ColdSubject(EARTH_WIRE)
    if _PINS.fullmatch(text) or re.fullmatch(r"L[\s/-]?N", text):
        return ColdSubject(PLUG, which=off)
    if _HEATERS.fullmatch(text):
        return ColdSubject(STRING)
    if _FIELD.fullmatch(text):
        return _field(circuit)
    if _VOICE.fullmatch(text):
        return ColdSubject(VOICE_COIL)
    return _heater(circuit, text) or _part(circuit, text) or _winding(circuit, text) or _rail(circuit, text)


def _is_heater_winding(circuit: Circuit, written: str) -> bool:
    """Whether the meter lay at a transformer's heater winding; in a set whose heaters hang on one, at all heaters."""
    found = _HEATER_WINDING.search(written)
    if found is not None:
        return not found["volts"] or float(found["volts"].replace(",", ".")) < _MOST_HEATER_VOLTS
    heaters = circuit.record.heaters
    wound = circuit.mains.double_wound and not (heaters and heaters.order)
    return wound and _HEATERS.fullmatch(_plain(written)) is not None


def _plain(text: str) -> str:
    return " ".join(_FILLERS.sub(" ", str(text).replace("(", " ").replace(")", " ")).split()).strip(" ,:")


def _between(circuit: Circuit, one: str, other: str) -> ColdSubject | None:
    ends = {_end(circuit, one), _end(circuit, other)}
    if None in ends:
        return _apart(circuit, one, other)
    if ends == {PLUG} or ends == {LINE, NEUTRAL}:
        return ColdSubject(PLUG)
    chassis = rail(CHASSIS)
    if chassis in ends and ends & {PLUG, LINE, NEUTRAL}:
        return ColdSubject(LINE_TO_CHASSIS)
    if rail(B_MINUS) in ends and ends & {PLUG, LINE, NEUTRAL}:
        return ColdSubject(LINE_TO_B_MINUS, which=HOT if LINE in ends else RETURN if NEUTRAL in ends else "")
    if EARTH_WIRE in ends and chassis in ends:
        return ColdSubject(EARTH_WIRE)
    places = [end for end in (_end(circuit, one), _end(circuit, other)) if isinstance(end, Place)]
    return placed(circuit, *places) if len(places) == 2 else ColdSubject(OTHER, which=f"{one} to {other}")


def placed(circuit: Circuit, one: Place, other: Place) -> ColdSubject:
    """The subject of two places: in the order of their names, the bottom of the supply last."""
    common = circuit.network.is_common
    if one.electrode == other.electrode == "heater" and one.tube == other.tube:
        return ColdSubject(HEATER, tube=one.tube, which=SECTION)
    points = [
        rail(B_MINUS) if common(at) and _one_bottom(circuit, at) else circuit.network.point(_first_rail(circuit, at))
        for at in (one, other)
    ]
    if points[0] == points[1]:
        return ColdSubject(OTHER, which=points[0].name())
    return ColdSubject(BETWEEN, tuple(sorted(points, key=lambda at: (common(at), at.tube, at.key, at.pin))))


def _first_rail(circuit: Circuit, at: Place) -> Place:
    """The rail that the rectifier feeds, where a set with several is read at “B+”."""
    first, only = (rail(name) for name in FIRST_RAILS)
    listed = {end for element in circuit.network.elements for end in element.ends}
    return first if at == only and first in listed and only not in listed else at


def _one_bottom(circuit: Circuit, at: Place) -> bool:
    """Whether a place is B-, and not a chassis that a resistor or a capacitor parts from it."""
    return at.kind != CHASSIS or circuit.grounding.one_point or not circuit.grounding.chassis_on_line


def _end(circuit: Circuit, text: str) -> Place | str | None:
    """One end: a lead of the line, the pins of the plug, the earth wire or a place; None where it is none of them."""
    if _EARTH_PIN.fullmatch(text):
        return EARTH_WIRE
    bare = re.sub(r"\s*\b(?:pins?|prong|blade|lead|side|plug)\b\s*", " ", text, flags=re.I).strip()
    if _PINS.fullmatch(text) or (not bare and text):
        return PLUG
    if folded(bare) in ("l", "l1", "n", "hot", "live"):
        return NEUTRAL if folded(bare) == "n" else LINE
    split = circuit.places.split(text)
    if split and split[1]:
        return circuit.places.at_tube(*split)[0]
    for said in (bare, text):
        if said and read_rail(said).known:
            place = circuit.places.read(said)
            return _DIRECT.get(place.kind, place)
    place = circuit.places.read(text)
    return place if any(circuit.network.same(place, end) for e in circuit.network.elements for end in e.ends) else None


def _apart(circuit: Circuit, one: str, other: str) -> ColdSubject | None:
    """Two windings, or a winding and the core, that nothing joins: ``T3 primary to secondary``."""
    first = _part(circuit, one) or _winding(circuit, one)
    second = _end(circuit, other)
    winding = first is not None and (first.which or first.kind in (FIELD, VOICE_COIL))
    onward = second is not None or _WHICH.fullmatch(other) or folded(other) in ("core", "frame", "case", "can")
    if first is not None and winding and onward:
        return ColdSubject(APART, part=first.part, which=f"{first.which} to {folded(other)}")
    return None


def _heater(circuit: Circuit, text: str) -> ColdSubject | None:
    words = text.split()
    rest = " ".join(word for word in words if not _HEATER.fullmatch(word))
    pins = re.sub(r"\s*pins?\s*\d+(?:\s*[,/-]?\s*\d+)?$", "", rest, flags=re.I)
    position = circuit.places.position(pins) if len(rest.split()) < len(words) else None
    return ColdSubject(HEATER, tube=position) if position else None


def _part(circuit: Circuit, text: str) -> ColdSubject | None:
    """A part of the list, by its name; of a transformer its winding too."""
    first, _, rest = text.partition(" ")
    listed = circuit.component(text) or circuit.component(first)
    if listed is None:
        return _of_two_halves(circuit, first, rest)
    element = next((e for e in circuit.network.elements if e.name == listed.name), None)
    job = listed.piece.job.casefold()
    if "field" in job and not _WHICH.search(rest):
        return _field(circuit)
    which = _which(rest)
    if which and _is_output(element, job):
        return ColdSubject(PART, part=listed.name, which=OUTPUT_PRIMARY if which == PRIMARY else OUTPUT_SECONDARY)
    if which:
        return ColdSubject(PART, part=listed.name, which=which)
    if element is not None and element.kind == WINDING and _is_output(element, job):
        return ColdSubject(PART, part=listed.name, which=OUTPUT_PRIMARY)
    return ColdSubject(PART, part=listed.name)


def _of_two_halves(circuit: Circuit, part: str, rest: str) -> ColdSubject | None:
    """A transformer whose primary is listed by its halves: ``T2`` where those are ``T2 1`` and ``T2 2``."""
    one = next((one for one in circuit.components if folded(one.part) == folded(part)), None)
    if one is None or _whole(circuit, one) == one.name:
        return None
    second = _which(rest) == SECONDARY
    return ColdSubject(PART, part=one.part, which=OUTPUT_SECONDARY if second else OUTPUT_PRIMARY)


def _whole(circuit: Circuit, one: Listed) -> str:
    """The part that a winding is half of, by its name; else the winding's own."""
    return one.part if both_halves(circuit.network.elements, one.part) else one.name


def _which(said: str) -> str:
    found = _WHICH.search(said)
    return "" if found is None else PRIMARY if found["primary"] else SECONDARY


def _is_output(element: Element | None, job: str) -> bool:
    swings = element is not None and any(end.electrode == "plate" and end.swings for end in element.ends)
    return swings or "output transformer" in job


def _field(circuit: Circuit) -> ColdSubject:
    """The winding of the speaker's magnet, by its name in the parts list where it has one."""
    listed = next((one for one in circuit.components if re.search(r"\bfield\b", one.piece.job, re.I)), None)
    return ColdSubject(FIELD, part=listed.name if listed else "")


def _winding(circuit: Circuit, text: str) -> ColdSubject | None:
    """A transformer by its job: ``output transformer primary``, ``mains transformer primary``, ``HT winding``."""
    if found := _OUTPUT.fullmatch(text):
        one = next((o for o in circuit.components if "output transformer" in o.piece.job.casefold()), None)
        name = _whole(circuit, one) if one else ""
        second = (found["which"] or found["opt"] or "").casefold().startswith("s")
        return ColdSubject(PART, part=name, which=OUTPUT_SECONDARY if second else OUTPUT_PRIMARY)
    if _OF_LINE.fullmatch(text):
        return ColdSubject(PART, part=line_transformer(circuit), which=PRIMARY)
    if re.fullmatch(r"(?:h\.?t\.?|h\.?v\.?|high voltage)(?:\s+(?:secondary|winding))?", text, re.I) and "+" not in text:
        return ColdSubject(PART, part=line_transformer(circuit), which=SECONDARY) if circuit.mains.wound else None
    if re.fullmatch(r"(?:filter |smoothing )?choke", text, re.I):
        job = (o.name for o in circuit.components if "choke" in o.piece.job.casefold())
        return ColdSubject(PART, part=name) if (name := next(job, "")) else None
    return None


def line_transformer(circuit: Circuit) -> str:
    """The name of the transformer on the line in the parts list; empty where none is listed."""
    words = re.compile(r"\b(?:mains|power|line)\s+transformer\b|\bPT\b", re.I)
    return next((one.name for one in circuit.components if words.search(one.piece.job)), "")


def _rail(circuit: Circuit, text: str) -> ColdSubject | None:
    """A rail or an electrode by itself is read to the bottom of the supply, a heater's tap along the heater."""
    end = _end(circuit, text)
    if isinstance(end, Place) and end.electrode == "heater":
        return ColdSubject(HEATER, tube=end.tube, which=SECTION)
    if not isinstance(end, Place) or not (end.tube or end.kind in (B_PLUS, AVC)):
        return None
    return placed(circuit, end, rail(B_MINUS))
