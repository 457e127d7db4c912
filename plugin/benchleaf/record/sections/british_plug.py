"""What a 13 A plug (BS 1363) settles: it goes in one way only, has an earth pin, and its fuse is in the live lead.

That the fuse of such a plug lies there is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..line_items import items
from ..problems import quoted
from ..text import Text

THIRTEEN = re.compile(r"\b13[\s-]?a(?:mps?)?\b|\bbs[\s-]?1363\b", re.I)
WITH_EARTH, NO_EARTH = "13 A with earth", "13 A, no earth"
BESIDE = (" (with earth)", " (no earth)")
"""What is put behind a plug whose earth stands elsewhere."""
ONE_WAY_ONLY = "a 13 A plug goes in one way only, and no earth is joined to its third pin"
_IN_A_PLUG = re.compile(r"\b(?:in )?(?:the |a )?(?:13[\s-]?a(?:mps?)? )?plug(?:[- ]?top)?(?!\w)", re.I)
_AMPERES = re.compile(r"(?<![\w.,])[.\d][\d.,]*\s?m?A(?:mps?)?\b", re.I)
_EARTH_SAID = re.compile(
    r"\b(?:un)?(?:earth|ground)(?:ed)?\b|\b(?:two|2|three|3)[- ]?(?:pins?|prongs?|core|wire)\b", re.I
)
EARTH_ABSENT = (
    r"(?:none|no|without|not (?:connected|joined|used|fitted|made off)|(?:found |just )?"
    r"(?:cut|twisted|snipped|broken|taken|left|pulled|chopped|hanging)(?: (?:off|back|away|loose|short|out|free))?"
    r"|removed|disconnected|unconnected|missing|floating|loose|open|off|gone|absent)"
)
"""How the words begin that say of an earth wire that it joins nothing: ``twisted off``."""
_NO_EARTH = re.compile(rf"\s*{EARTH_ABSENT}\b", re.I)
_TWO_CORE = re.compile(r"\b(?:two|2|twin)[- ]?(?:core|wire|conductor)", re.I)
_THREE_CORE = re.compile(r"\b(?:three|3)[- ]?(?:core|wire|conductor)", re.I)
_EARTHS = frozenset({"earth lead", "earth", "ground", "earth wire", "ground wire", "ground lead"})
_CORDS = frozenset({"cord", "flex", "mains lead", "line cord", "power cord"})


def in_the_plug(fuse: Text) -> Text | None:
    """That a fuse sits in a 13 A plug, ``in 13A plug``, of the line that says so; None where it says no such thing."""
    said = _IN_A_PLUG.search(fuse)
    return fuse.cut(*said.span()) if said and THIRTEEN.search(said[0]) else None


def fuse_of_the_plug(fuses: Text) -> tuple[Text, Text] | None:
    """The amperes of the fuse in a 13 A plug, and the line of the set's own fuse, where a line has both; else None.

    ``3A in 13A plug, 1 A in live``.
    """
    listed = list(items(fuses))
    of_plug = [item for item in listed if in_the_plug(item)]
    own = [item for item in listed if item not in of_plug]
    if len(of_plug) != 1 or not any(_AMPERES.search(item) for item in own):
        return None
    amps = _AMPERES.search(_IN_A_PLUG.sub(lambda plug: " " * len(plug[0]), of_plug[0]))
    if amps is None:
        return None
    start = fuses.find(str(own[0]))
    line = own[0] if len(own) == 1 else fuses.cut(start).taken_as(", ".join(own))
    told = "read as the fuse in the plug, beside the set’s own"
    return of_plug[0].cut(*amps.span()).taken_as(amps[0], told), line


def in_the_live_lead(place: Text) -> Text:
    """The lead of a fuse that sits in a 13 A plug, with the remark that it is taken so."""
    return place.taken_as("hot lead", f"{quoted(place)} read as “hot lead”: a 13 A plug has its fuse there")


def with_its_plug(table: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """A line side whose 13 A plug is said to be earthed or not by its earth lead or cord, and whose fuse is in it."""
    plug = _under(table, frozenset({"plug"}))
    if plug is None or not THIRTEEN.search(plug[1]):
        return table
    found = dict(table)
    if not _EARTH_SAID.search(plug[1]) and (earthed := _earthed(table)) is not None:
        found[plug[0]] = plug[1].taken_as(f"{plug[1]}{BESIDE[not earthed]}")
    fuse = _under(table, frozenset({"fuse"}))
    said = _IN_A_PLUG.search(fuse[1]) if fuse else None
    if fuse and said and not THIRTEEN.search(said[0]):
        found[fuse[0]] = fuse[1].taken_as(f"{fuse[1][: said.start()]}in 13 A plug{fuse[1][said.end() :]}")
    return found


def _earthed(table: Mapping[Any, Any]) -> bool | None:
    """What the earth lead says, or else the wires of the cord; None where neither does."""
    earth, cord = _under(table, _EARTHS), _under(table, _CORDS)
    if earth:
        return not _NO_EARTH.match(earth[1])
    if cord and (_TWO_CORE.search(cord[1]) or _THREE_CORE.search(cord[1])):
        return not _TWO_CORE.search(cord[1])
    return None


def _under(table: Mapping[Any, Any], names: frozenset[str]) -> tuple[Text, Text] | None:
    """The name and the line that stand under one of some names."""
    found = ((key, value) for key, value in table.items() if isinstance(key, Text) and isinstance(value, Text))
    return next(((key, value) for key, value in found if " ".join(key.split()).casefold() in names), None)
