"""The points of a set that have a word of the trade: the bottom of the supply, the chassis, B+, the line, sockets."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from ..words import DIALECTS, Words

B_MINUS, CHASSIS, B_PLUS, LINE, NEUTRAL, AVC, SOCKET = "B-", "chassis", "B+", "line", "neutral", "AVC", "socket"
FIRST_RAILS = (f"{B_PLUS}1", B_PLUS)
"""The rail that the rectifier feeds, as it is called where there are several, and where it is the only one."""

_MINUS = str.maketrans("−–—‒", "----")
_B_PLUS_NAME = re.compile(
    r"(?:b\s?(?:\+|plus|positive)|h\.?\s?t\.?\s?(?:\+|plus|positive)?)\s?(?P<after>\d{0,2})(?: (?:rail|line|bus))?"
    r"|(?:b|h\.?t\.?)\s?(?P<before>\d{1,2})\s?\+|\+(?P<alone>\d)"
)
_RAIL = re.compile(r"B\+\d*")
PIN_BEHIND = re.compile(r"(?P<at>.*[\w)])(?:\s?[-–./]\s?(?P<pin>\d{1,2})|[-–/](?P<word>[a-z]\w*))", re.I)
"""A pin or an electrode behind its tube with a sign between: ``V3-6``, ``V3/6``, ``V3-plate``."""
_NAMED_RAIL = re.compile(r"(?:b ?\+|h\.?t\.?(?: ?\+)?) (am|fm|rf|if|af|lw|mw|sw)")
"""A rail told apart by what it feeds: ``HT FM``, ``B+ AM``."""
_OF_HT = r"(?:h\.?\s?[tv]\.?|high[- ]voltage|plate|p\.?t\.?|power|mains|secondary|sec|winding|transformer|xfmr)"
_OF_THE_HT = r" (?:of|van|der) (?:the |de )?(?:h\.?\s?[tv]\.?|high[- ]voltage|plate|secondary|winding| )+"
_MIDDLE = r"(?:mid(?:dle)?|cent(?:re|er)|mid[- ]?(?:point|tap)|midden|mitte)(?: (?:tap|point))?"
_CENTRE_TAP = re.compile(
    rf"(?:{_OF_HT} )*(?:cent(?:re|er)[- ]?tap|c\.?t\.?)(?:{_OF_THE_HT})?|(?:{_OF_HT} )+{_MIDDLE}|{_MIDDLE}{_OF_THE_HT}"
)
"""The tap in the middle of the winding that feeds the rectifier, by a name that is no other transformer's: the middle
of it where it says of what."""
_HOT = re.compile(r"(?:hot|live)( (?:lead|side))?")
_SOCKET = re.compile(r"(aerial|antenna|earth|ground|speaker|pick-?up|phono)\s+(?:socket|terminal|post)(.*)")
_SOCKET_OF = {"antenna": "aerial", "ground": "earth", "phono": "pick-up", "pickup": "pick-up"}

THINGS = re.compile(
    r"\b(?:aerial|antenna|ant|battery|bias|cell|choke|coil|contact|control|ctl|cord|crystal|detector|dial|divider|dropper"
    r"|field|fil(?:ament)?|fuse|gang|headphone|earphone|heater|jack|junction|lamp|lead|link|loop|oscillator|padder"
    r"|phono|pick-?up|pickup|plug|post|primary|reed|screw|secondary|shield|slider|socket|speaker|string|switch|tag|tail|tank"
    r"|tap|terminal|tone|transformer|trimmer|vibrator|vol(?:ume)?|winding|wiper)s?\b"
)
"""Things of a receiver that a part may lie at though nothing else is written there."""

_WHOLE = (
    (B_MINUS, re.compile(r"(?:b|h\.?\s?t\.?)\s?(?:-|minus|neg(?:ative|\.)?)(?: (?:rail|line|bus))?")),
    (B_MINUS, re.compile(r"common(?: negative)?|floating ground")),
    (CHASSIS, re.compile(r"(?:chassis )?(?:chassis|ground|gnd|earth)(?: (?:lug|tag|point))?")),
    (AVC, re.compile(r"(?:a\.?[vg]\.?c|c\.?a\.?[vg])\.?(?: (?:rail|line|bus))?")),
    (NEUTRAL, re.compile(r"neutral|return|(?:return|cold|neutral) (?:lead|side)")),
    (LINE, re.compile(r"line|mains|hot|live|(?:hot|live|active) (?:lead|side)|line hot|hot line")),
)
"""Every spelling of a point that a set has one of."""

_BEGINS = (
    (
        B_PLUS,
        re.compile(
            r"b\s?\+|h\.?\s?t\.?\s?\+|b plus"
            r"|ht\b(?!\s*-|.*\b(?:winding|secondary|fuse|c\.?t\.?|tap|middle|midden|mitte|mid|midpoint|neg)(?!\w))"
        ),
    ),
    (B_MINUS, re.compile(r"b\s?-|h\.?t\.?\s?-|b minus")),
    (CHASSIS, re.compile(r"(?:chassis|ground|gnd|earth)\b")),
    (AVC, re.compile(r"(?:a\.?[vg]\.?c|c\.?a\.?[vg])\b")),
    (SOCKET, re.compile(r"(?:aerial|antenna)$")),
    (NEUTRAL, re.compile(r"(?:neutral|return lead|cold lead)\b")),
    (LINE, re.compile(r"(?:line|mains|hot|live)\b")),
)
"""What a name of the writer's own is about, by what it begins with: ``B+ after the choke``, ``line side of F1``."""
_SAID_OF_A_RAIL = re.compile(r" (?:ripple|hum)\Z")
"""What is read at a rail and is no point of its own: ``B+1 ripple``."""


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """A point by its name: its ``kind`` (empty for a name of the writer's own), its ``key`` and how the page says it.

    ``known`` says that the name is a word of the trade and not one of the writer's own.
    """

    kind: str
    key: str
    said: str
    known: bool

    def says(self) -> dict[str, str]:
        """What each dialect calls it, by the dialect's name; nothing for a name of the writer's own."""
        return {name: said for name, words in DIALECTS.items() if (said := self._in(words))}

    def _in(self, words: Words) -> str:
        if self.key == B_MINUS:
            return words.b_minus
        if self.kind == B_PLUS and _RAIL.fullmatch(self.key):
            number = self.key.removeprefix(B_PLUS)
            return words.rail.format(number) if number else words.b_plus
        if self.kind == B_PLUS and (named := _NAMED_RAIL.fullmatch(self.key)):
            return words.rail.format(f" {named[1].upper()}")
        if self.key == LINE:
            return f"{words.hot}{lead}" if (lead := self._lead()) is not None else words.line
        of = {"aerial": words.aerial, "earth": words.earth}.get(self.key.partition(" ")[0])
        return f"{of} {self.key.partition(' ')[2]}" if self.kind == SOCKET and of and self.key != "aerial" else ""

    def _lead(self) -> str | None:
        """What stands behind the word for the lead of the line that is not earthed; None where another names it."""
        match = _HOT.fullmatch(folded(self.said))
        return match[1] or "" if match else None


def folded(written: str) -> str:
    """A name for comparison: capitals, blanks and the sort of minus do not matter."""
    return _folded(str(written))


@lru_cache(maxsize=4096)
def _folded(written: str) -> str:
    return " ".join(written.translate(_MINUS).split()).casefold()


def is_centre_tap(written: str) -> bool:
    """Whether a name is that of the tap in the middle of the high-voltage winding: ``HT CT``, ``center tap``."""
    return _is_centre_tap(str(written))


@lru_cache(maxsize=4096)
def _is_centre_tap(written: str) -> bool:
    return bool(_CENTRE_TAP.fullmatch(folded(written)))


def read_rail(written: str) -> NamedPoint:
    """The point a name means; every spelling of one point has one key."""
    return _rail(str(written))


@lru_cache(maxsize=4096)
def _rail(written: str) -> NamedPoint:
    name = folded(written)
    for kind, pattern in _WHOLE:
        if pattern.fullmatch(name):
            said = kind if kind in (B_MINUS, CHASSIS) else " ".join(written.split())
            return NamedPoint(kind, kind, said, known=True)
    if match := _B_PLUS_NAME.fullmatch(name):
        number = match["before"] or match["after"] or match["alone"] or ""
        return NamedPoint(B_PLUS, f"{B_PLUS}{number}", " ".join(written.split()), known=True)
    if match := _NAMED_RAIL.fullmatch(name):
        return NamedPoint(B_PLUS, f"{B_PLUS.lower()} {match[1]}", " ".join(written.split()), known=True)
    if match := _SOCKET.fullmatch(name):
        first = _SOCKET_OF.get(match[1], match[1])
        return NamedPoint(SOCKET, f"{first} socket{match[2]}", " ".join(written.split()), known=True)
    of_it = _SAID_OF_A_RAIL.search(name) or is_centre_tap(name)
    kind = "" if of_it else next((kind for kind, pattern in _BEGINS if pattern.match(name)), "")
    return NamedPoint(kind, name, " ".join(written.split()), known=bool(kind))
