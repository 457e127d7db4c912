"""Plugs, switches and a whole line side as they are said in a few words, each to what it means, or asked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Any

from pydantic_core import PydanticCustomError

from ..line_items import items
from ..problems import one_of, quoted
from ..section import refused
from ..text import Entries, Text
from ..values import as_text
from ..written_days import lacks_its_year, looks_like_a_date
from .british_plug import BESIDE, EARTH_ABSENT, NO_EARTH, ONE_WAY_ONLY, THIRTEEN, WITH_EARTH
from .touchable_words import opening_part, part_named

EITHER_WAY, POLARISED, THREE_PIN, NONE = "two-pin, either way", "two-pin polarised", "three-pin with earth", "none"
PLUGS = (EITHER_WAY, POLARISED, THREE_PIN, NONE)
SWITCH_LEADS = ("hot lead", "B- lead", "double-pole")
CONTROLS = ("volume", "tone")
ON_A_CONTROL = re.compile(rf"\s*\bon the (?:{'|'.join(CONTROLS)}) control$")

HOW_MEASURED = (
    "both ways round", "both ways", "either way", "either way round", "plug either way", "worst way of plug",
    "ground wire", "ground lead", "earth wire", "earth lead", "in the ground wire", "in the ground lead",
    "in the earth wire", "in the earth lead",
    "parts lifted", "all parts lifted", "part lifted", "one end lifted", "one leg lifted", "set disconnected",
)  # fmt: skip
"""How it stood while something was measured, which is a note of it."""
IN_THE_EARTH_LEAD = re.compile(
    r"\b(?:ground(?:ing)?|earth(?:ing)?|green|third|PE)[- ](?:wire|lead|conductor|pin|prong)\b"
    r"|\bprotective[- ]conductor\b",
    re.I,
)
"""Words for the wire that joins the chassis to the earth of the house."""
_NOT_POLARISED = re.compile(
    r"\b(?:non|not|un)[- ]?pol(?:ari[sz]ed|['’.]?d\b)|\b(?:no|without|w/o) polari(?:ty|[sz]ation)\b"
    r"|\beither way(?: (?:up|round))?|\breversible|\bplain\b(?=.*\b(?:prong|pin|blade)s?\b)"
)
_NOT_EARTHED = re.compile(
    r"\bun(?:earth|ground)ed\b|\b(?:not|never) (?:earth|ground)ed\b"
    r"|\b(?:no|without|w/o) (?:earth|ground|gnd)(?: pin)?\b"
)
_POLARISED = re.compile(
    r"\bpol(?:ari[sz]ed|['’.]?d)(?!\w)"
    r"(?:,? (?:the )?wider? (?:blade|prong|pin) (?:=|is|to|on) (?:the )?(?:b-|b minus|return|neutral|cold|chassis))?"
)
_TWO = re.compile(
    r"\b(?:two|2)[- ]?(?:round |flat )?(?:pin|prong|pole|blade|wire)s?\b|\beuro[- ]?(?:plug|stecker)\b|\beurostecker\b"
)
_THREE = re.compile(
    r"\b(?:three|3)[- ]?(?:pin|prong)s?\b|\bschuko(?:stecker)?\b|\b(?:earth|ground)ed\b"
    r"|\b(?:with |w/ ?)(?:earth|ground|gnd)\b"
)
_NO_PLUG = re.compile(
    r"(?:none|no plug|missing|cut off|gone|bare (?:ends|wires))"
    r"(?:,? (?:the )?(?:cord|plug|lead|flex) (?:had been |has been |was |is )?"
    r"(?:cut(?: off)?|missing|gone|chopped off))?\Z"
)
_RATING = re.compile(r"\b\d+(?:[.,]\d+)?\s?(?:a|amps?|amperes?)\b")
_HARMLESS = re.compile(
    r"\b(?:plug|stekker|continental|fuse|fused|new|old|original|moulded|molded|replacement|wall|bakelite|rubber|brown|black|white|type|us|uk|eu|with|and"
    r"|(?:the )?wider? (?:blade|prong|pin) (?:=|is|to|on|goes to) (?:the )?"
    r"(?:b-|b minus|return|neutral|cold|chassis)(?: side| lead)?"
    r"|a|the|flat|round|modern|wide|blade|goes in|goes|fits|can go in)\b|[,;.()-]"
)
_ASIDE = re.compile(r"\((?![^()]*\b(?:earth|ground|gnd|pins?|prongs?|polar\w*|ways?|revers\w*|cut|none|no)\b)[^()]*\)")
"""Brackets that say nothing of what sort of plug it is: ``13 A (I had a 3 A fuse in it)``."""
_SWITCH_WORDS = (
    (
        "double-pole",
        re.compile(
            r"\b(?:double[- ]?pole|d[/.]?p\b\.?|(?:two|2)[- ]?pole|dpst|zweipolig|tweepolig|both leads|both sides)\b"
        ),
    ),
    (
        "B- lead",
        re.compile(
            r"(?<![\w-])(?:b-|b minus|ht-|ht minus|return|neutral|cold|chassis)(?: (?:lead|side|line|leg))?(?![\w-])"
        ),
    ),
    ("hot lead", re.compile(r"\b(?:hot|live|active)(?: (?:lead|side|line|leg))?\b")),
)
_ON_CONTROL = re.compile(
    rf"\b(?:(?:on|with|at|behind) (?:the )?)?(?P<control>{'|'.join(CONTROLS)}|vol\b\.?)"
    r"(?: control| ctr?l\.?| cont\.?| pot)?(?!\w)"
)
_ONE_POLE = re.compile(r"\b(?:(?:single|one|1)[- ]?pole|spst|s[/.]?p\b\.?)")
_AS_THE_PLUG_LIES = re.compile(
    r"(?:in )?(?:either|one) (?:side|lead|leg)(?: of the (?:line|mains))?,? (?:as|whichever way|depending on how)"
    r" the plug (?:lies|sits|goes in|is(?: put)? in)"
)
"""One lead of a cord whose plug goes in either way: the hot one, or with the plug turned the other."""
_SWITCH_HARMLESS = re.compile(
    r"\b(?:switch|in|the|of|on|with|new|old|original|leg|a|and|back|rear|side|behind|mounted"
    r"|one side|line|mains|push[- ]?button|key|on[/ -]off|off|toggle|rotary|rocker)\b|[,;.()]"
)
_TIMER = re.compile(
    r",?\s*\b(?:(?:and|through|thru|with|via)\s+)?(?:the\s+)?(?:clock|timer|sleep)\b(?:[- ](?:switch|contacts?|timer))?"
    r"(?:\s+(?:in series|is in series)(?:\s+(?:with|w)\s+[^,;]*)?)?",
    re.I,
)
"""Contacts of a clock that lie in series with the switch."""
_AND = re.compile(r"^(?:and|&)\s+", re.I)
_MINUS = str.maketrans("−–—", "---")


def read_plug(value: Any) -> Text:
    """What sort of plug is meant, whatever else is said of it. What could be two is asked: nobody may be taken in."""
    text = as_text(value)
    said = " ".join(_ASIDE.sub(" ", text.translate(_MINUS).casefold()).split())
    text = text.cut(0, len(text) - max(len(end) * text.endswith(end) for end in BESIDE))
    if said in (plug.casefold() for plug in PLUGS):
        return text.taken_as(next(plug for plug in PLUGS if plug.casefold() == said))
    if _NO_PLUG.match(said):
        return text.read_as(NONE)
    unpolarised = bool(_NOT_POLARISED.search(said))
    without_earth = bool(_NOT_EARTHED.search(said))
    rest = _NOT_EARTHED.sub(" ", _NOT_POLARISED.sub(" ", said))
    for rating in (THIRTEEN, _RATING):
        rest = rating.sub(" ", rest)
    two, three, polarised = (bool(form.search(rest)) for form in (_TWO, _THREE, _POLARISED))
    for form in (_TWO, _THREE, _POLARISED, _HARMLESS):
        rest = form.sub(" ", rest)
    found = [p for p, so in ((THREE_PIN, three), (POLARISED, polarised), (EITHER_WAY, unpolarised)) if so]
    british = bool(THIRTEEN.search(said)) and not (two or unpolarised)
    if british and without_earth and not rest.strip():
        return text.taken_as(POLARISED, f"“{text}” read as {quoted(POLARISED)}: {ONE_WAY_ONLY}")
    if three and without_earth:
        remedy = f"write {quoted(POLARISED)} if its pins cannot change places, else {quoted(EITHER_WAY)}"
        raise refused(f"{quoted(text)}, three pins without earth", one_of(map(quoted, PLUGS)), remedy, at=text)
    if two and not found:
        found = [EITHER_WAY]
    if british and not found and not without_earth:
        said_of = f"{quoted(text)}, three pins"
        raise refused(
            said_of, f"{quoted(WITH_EARTH)} or {quoted(NO_EARTH)}", "write whether its earth is joined", at=text
        )
    if rest.strip() or len(found) != 1 or (two and three):
        raise refused(quoted(text), one_of(map(quoted, PLUGS)), "write the one it is", at=text)
    return text.taken_as(found[0], f"“{text}” read as {quoted(found[0])}") if "(" in text else text.read_as(found[0])


def read_switch(value: Any) -> Text:
    """Which lead a switch breaks, and on which control it sits."""
    text = as_text(value)
    said = " ".join(text.translate(_MINUS).casefold().split())
    if said in (NONE, "no switch"):
        return text.taken_as(NONE)
    if _AS_THE_PLUG_LIES.fullmatch(said):
        if not re.search(r"transform|trafo", text.manner.power, re.I) or "auto" in text.manner.power.casefold():
            expected = f"the lead of the set’s own wiring: {quoted(SWITCH_LEADS[0])} or {quoted(SWITCH_LEADS[1])}"
            raise refused(quoted(text), expected, "write “B- lead” if it breaks the one that B- hangs on", at=text)
        told = f"{quoted(text)} read as {quoted(SWITCH_LEADS[0])}: with the plug turned it breaks the other"
        return text.taken_as(SWITCH_LEADS[0], told)
    control = _ON_CONTROL.search(said)
    rest = _ON_CONTROL.sub(" ", said)
    leads = [lead for lead, form in _SWITCH_WORDS if form.search(rest)]
    for _, form in (*_SWITCH_WORDS, ("", _ONE_POLE)):
        rest = form.sub(" ", rest)
    if not leads and not control and not _SWITCH_HARMLESS.sub(" ", rest).strip() and _ONE_POLE.search(said):
        remedy = "write the lead that it breaks, such as “single-pole in the hot lead”"
        raise refused(quoted(text), "the lead that a single-pole switch breaks", remedy, at=text)
    if _SWITCH_HARMLESS.sub(" ", rest).strip() or len(leads) > 1 or not (leads or control):
        expected = one_of(map(quoted, (*SWITCH_LEADS, NONE)))
        remedy = "with “on the volume control” behind it where it sits there"
        raise refused(quoted(text), expected, remedy, at=text)
    knob = next((one for one in CONTROLS if control and one.startswith(control["control"].rstrip("."))), "")
    said_of = f" on the {knob} control" if knob else ""
    return text.read_as(f"{leads[0] if leads else ''}{said_of}".strip())


_ITEMS = (
    ("switch", re.compile(r"\bswitch\b:?", re.I)),
    ("fuse", re.compile(r"\bfused?\b:?", re.I)),
    ("plug", re.compile(r"\bplug\b|\bprongs?\b|polari[sz]ed|[- ]pins?\b|schuko", re.I)),
    (
        "cord",
        re.compile(
            r"\bcord\b|\bflex\b|\bbattery leads\b|\bclips\b|\bcable\b|\b(?:mains|power) lead\b|[- ](?:wire|core)\b",
            re.I,
        ),
    ),
    ("touchable", re.compile(r"\btouchable\b:?", re.I)),
)
_PLACES = re.compile(
    r"(B- to chassis|across (?:the )?(?:line|mains)|(?:line|mains) to chassis|earth lead)\b:?\s*", re.I
)
_PLACE_BEHIND = re.compile(
    r"(?P<part>(?!no\b)\S.*?)\s+(?:from\s+)?"
    r"(?P<place>B- to chassis|across (?:the )?(?:line|mains)|(?:line|mains) to chassis)",
    re.I,
)
_CORD_WITH_A_PLUG = re.compile(r"(?:\w+ )?(?:non-|un)?polari[sz]ed (?:line )?(?:cord|flex)\Z", re.I)
_EARTH_ITEM = re.compile(
    rf"(?P<none>(?:no|without(?: an?)?) (?:earth|ground))|(?:earth|ground)(?:ed)?\s+(?P<to>to (?:the )?chassis)"
    rf"|(?:earth|ground)(?: (?:wire|lead|core|pin))?:?\s+(?:is |was )?(?P<off>{EARTH_ABSENT}\b[^,;]*)",
    re.I,
)
_WAY_ALONE = re.compile(r"(?:goes in )?either way(?: (?:round|up))?|reversible", re.I)
"""How a plug goes in, behind the item that says which it is."""
_DATED = re.compile(r"(?:all )?(?:fitted|done|rewired|changed|renewed)\s+(?:on\s+)?(?P<day>\S.{2,28})", re.I)
_WITH_NO_FUSE = re.compile(r"(?<=\w)\s+(?:with|and)\s+(?P<fuse>no fuse)\Z", re.I)
_NAMED_FIRST = frozenset({"switch", "fuse", "touchable"})


_SIGN = re.compile(
    r";(?=\s)|(?<=[\w)-])\s[-–—](?=\s+(?:\S+\s+){0,4}?(?:plug|cord|flex|switch|fused?|touchable|prongs?)\b)", re.I
)
_STATE = re.compile(r"new|old|original|replaced|renewed|perished|cracked|hardened|anchored|knotted", re.I)
"""How the cord is, behind it."""


def line_side_of(text: Text) -> Entries:
    """One line for a line side: each item under the name that its words belong to. What belongs to none is asked."""
    table = Entries(text.place)
    text = text.taken_as(_SIGN.sub(lambda sign: ",".ljust(len(sign[0])), text)) if _SIGN.search(text) else text
    for item in (each for one in items(text) for each in _fuse_apart(_place_first(one))):
        if not item:
            continue
        if place := _PLACES.match(item):
            _put(
                table,
                place[1].replace("mains", "line").replace("across line", "across the line"),
                item.cut(place.end()),
                item,
            )
            continue
        if earth := _EARTH_ITEM.fullmatch(item):
            lead = item.taken_as("none") if earth["none"] else item.cut(*earth.span("to" if earth["to"] else "off"))
            _put(table, "earth lead", lead, item)
            continue
        if (way := _WAY_ALONE.fullmatch(item)) and isinstance(plug := table.get(Text("plug")), Text):
            table[Text("plug")] = plug.taken_as(f"{plug} {way[0]}", f"{quoted(f'{plug}, {item}')} read together")
            continue
        if (dated := _DATED.fullmatch(item)) and (looks_like_a_date(dated["day"]) or lacks_its_year(dated["day"])):
            note = item.taken_as(str(item), f"kept as a note: {item}")
            before = table.get(Text("note"))
            table[Text("note", item.place)] = before.and_then(note) if isinstance(before, Text) else note
            continue
        if _STATE.fullmatch(item) and isinstance(cord := table.get(Text("cord")), Text):
            table[Text("cord")] = cord.and_then(item)
            continue
        thirteen = THIRTEEN.search(item) and re.search(r"\bplug\b", item, re.I)
        key = "plug" if thirteen else next((key for key, form in _ITEMS if form.search(item)), "")
        touchable = table.get(Text("touchable"))
        if not key and isinstance(touchable, Text) and (part_named(item) or opening_part(item)):
            table[Text("touchable")] = touchable.and_then(item)
            continue
        if not key:
            names = one_of(quoted(name) for name in ("plug", "cord", "switch", "fuse", "touchable"))
            raise refused(quoted(item), f"an item with its name: {names}", "write its name before it", at=item)
        if key == "plug" and _CORD_WITH_A_PLUG.search(item):
            _put(table, "cord", item.taken_as(str(item), f"{quoted(item)} read as the cord and what its plug is"), item)
            item = item.taken_as("polarized" if not _NOT_POLARISED.search(item.casefold()) else "non-polarized")
        said = dict(_ITEMS)[key].search(item)
        bare = item.cut(said.end()) if said and key in _NAMED_FIRST and said.start() == 0 else item
        _put(table, key, bare or item, item)
    return table


def _place_first(item: Text) -> Text:
    """``C7 from line to chassis`` with its place before it."""
    behind = _PLACE_BEHIND.fullmatch(item)
    return item.taken_as(f"{behind['place']} {behind['part']}") if behind else item


def _fuse_apart(item: Text) -> Iterator[Text]:
    """``battery leads with no fuse`` are two items."""
    without = _WITH_NO_FUSE.search(item)
    yield item.cut(0, without.start()) if without else item
    if without:
        yield item.cut(without.start("fuse"))


def _put(table: Entries, key: str, value: Text, item: Text) -> None:
    before = table.get(Text(key))
    if key == "cord" and isinstance(before, Text):
        table[Text(key)] = before.and_then(item)
        return
    if before is not None:
        found = f"{quoted(item)}, where {quoted(str(before))} is {quoted(key)} already"
        raise refused(found, f"one value for {quoted(key)}", "delete one of them", at=item)
    table[Text(key, item.place)] = value


def timer_apart(table: Mapping[Any, Any]) -> Mapping[Any, Any]:
    """A line side in which the clock's contacts, in series with its switch, are the note."""
    key = next((key for key in table if str(key).casefold() == "switch"), None)
    said = table[key] if key is not None else None
    timer = _TIMER.search(said) if isinstance(said, Text) else None
    if key is None or not isinstance(said, Text) or timer is None:
        return table
    behind = _AND.sub("", said[timer.end() :].strip(" ,"))
    left = f"{said[: timer.start()]}, {behind}".strip(" ,")
    if not left:
        return table
    words = said.cut(*timer.span())
    note = words.taken_as(f"switch: {words.strip(' ,')}", f"kept as a note: {words.strip(' ,')}")
    apart = Entries(getattr(table, "place", said.place), getattr(table, "line", None))
    apart.empty, apart.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    apart.update({**table, key: said.taken_as(left)})
    name = next((key for key in apart if str(key).casefold() == "note"), Text("note", said.place))
    before = apart.get(name)
    apart[name] = before.and_then(note) if isinstance(before, Text) else note
    return apart


_SAME = re.compile(r"(?:the )?same (?P<key>switch|fuse|plug|cord|flex|mains lead)", re.I)
_KEY_OF = {"flex": "cord", "mains lead": "cord"}


def same_as_before(before: Any, after: Any) -> Any:
    """The line of a line side in which ``same switch`` is the one of the line before the work."""
    if not (isinstance(before, Text) and isinstance(after, Text)):
        return after
    apart = [_SAME.fullmatch(item) for item in items(after)]
    if not any(apart):
        return after
    with suppress(PydanticCustomError):
        old = line_side_of(before)
        whole: Text | None = None
        for item, said in zip(items(after), apart, strict=True):
            key = said["key"].casefold() if said else ""
            key = _KEY_OF.get(key, key)
            known = old.get(Text(key)) if key else None
            if isinstance(known, Text):
                words = known if key in known.casefold() else f"{key} {known}"
                item = item.taken_as(str(words), f"{quoted(item)} read as {quoted(words)}, as before the work")
            whole = item if whole is None else whole.and_then(item)
        return whole
    return after
