"""A measurement on the line side as it is said at the bench, in the words that its line knows."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..line_items import items
from ..line_values import BOUND_WORDS, PART_NAME
from ..problems import quoted
from ..text import Entries, Listing, Text
from ..unknown import kind_by_unit
from ..written_days import opening_day
from .before_power import day_before_a_comma
from .touchable_words import opening_part, part_named

_TOUCHED = re.compile(
    r"\b(?:touch|leakage|leak|body) current\b\s*(?::|=|\b(?:of|from|to|at|on|is)\b(?=\s+[^\W\d]))?\s*", re.I
)
"""What a current to earth is called; the value that follows says the same."""
_INSULATION = re.compile(
    r"\b(?:insulation resistance|isolation resistance|isolationswiderstand|isolatieweerstand|isolatie|isolation"
    r"|aislamiento|isolement)\b"
    r"(?:\s+(?=between\b)|\s*:\s*)?",
    re.I,
)
_BETWEEN_TWO = re.compile(
    r"(?:primary|line|mains|plug|both (?:pins|leads))\s+to\s+(?:the )?chassis\s+[<>~≥]?\s?\d[\d.,]*\s?(?:M|G|meg)", re.I
)
"""Millions of ohms between the line and the chassis, which are those of the insulation."""
_A_VALUE = re.compile(r"[<>~≥≤]?\s?\.?\d")
_WHEN = re.compile(r"(?:before|after|as found|as received|as it came|at first|at the end)(?: work| the work)?", re.I)
_IS_EARTHED = re.compile(r"(?:the\s+)?chassis\s+(?:is|was|now)\s+(?:\w+\s+)?(?:earthed|grounded)", re.I)
_TO_EARTH = re.compile(
    r"\s+(?:to|against) (?:the |a |an |my |real |true |good |house |mains |outlet |cold |hot )*"
    r"(?:earth|ground(?: rod)?|(?:water|heating|gas) ?pipe|pipe|radiator|(?:water )?tap|faucet)"
    rf"(?=\s*(?:,|;|\Z|(?:{BOUND_WORDS} |[<>≤≥~]\s?)?\.?\d|\s(?:thru|through|across|via|with|w/|plug|switch)\s))",
    re.I,
)
"""What every part is measured to."""
_ARTICLE = re.compile(r"\Athe\s+(?=chassis\b|metal\b|shafts?\b)", re.I)
_SWITCHED = re.compile(
    r"\A(?:with\s+)?(?:(?:the\s+)?(?:set|receiver|radio|switch)\s+(?:is\s+|was\s+)?(?:switched\s+)?|switched\s+|switch\s*:\s*)"
    r"(?P<way>on|off)\Z",
    re.I,
)
"""How the switch stood, in other words: ``switched on``, ``with the set off``."""
_CIRCUMSTANCE = re.compile(r"(?:after|before|with|without|while|all)\s+(?!the plug|plug)[^\W\d]", re.I)
"""How it stood when something was measured: ``after changing C12``."""
PLUG_WAYS = {
    **dict.fromkeys(
        ("normal", "correct", "right way", "the right way", "right way round", "the right way round"), "right"
    ),
    **dict.fromkeys(
        (
            *("flipped", "turned", "turned over", "turned round", "turned around", "swapped", "backward", "backwards"),
            *(
                f"{the}{way} way{of}"
                for the in ("", "the ")
                for way in ("other", "wrong")
                for of in ("", " round", " around", " up")
            ),
        ),
        "reversed",
    ),
}
"""How the plug stood, in other words."""
_WAYS = "|".join(sorted((*PLUG_WAYS, "right", "reversed"), key=len, reverse=True))
_BY_ITSELF = "|".join(f"(?:the )?{way} way(?: round| around| up)" for way in ("wrong", "right"))
_PLUG = re.compile(
    rf"(?:plug|prongs)\s+(?:was\s+|in\s+)?(?P<way>{_WAYS})(?:\s+(?P<note>\S.*))?|(?P<alone>{_BY_ITSELF})", re.I
)
_PART_AND_WAY = re.compile(rf"(?P<part>chassis)\s+(?P<way>{_BY_ITSELF})", re.I)
_PLUG_SAID = re.compile(rf"(?:^|,\s+)(?:plug|prongs)\s+(?:was\s+|in\s+)?(?P<way>{_WAYS})(?=\s*(?:,|;|\Z))", re.I)
_JUDGED_WAY = re.compile(
    r"(?:^|,\s+)(?P<said>(?:(?:plug|prongs)\s+)?(?:the\s+)?(?:worst|worse|bad|best|better|good|one|first|this|second)\s+(?:plug\s+)?way(?:\s+(?:round|around|up))?)"
    r"(?=\s*(?:,|;|\Z))",
    re.I,
)
"""How the plug stood by what came of it, or by nothing: ``worst way``, ``one way``."""
_OTHER_WAY = re.compile(
    r"(?:^|,\s+)(?P<said>(?:(?:plug|prongs)\s+)?(?:the\s+)?other\s+way(?:\s+(?:round|around|up))?)(?=\s*(?:,|;|\Z))",
    re.I,
)
_ANOTHER_WAY = re.compile(r"\b(?:other|wrong)\s+way\b|\breversed\b|\bflipped\b", re.I)
"""What makes a line the other half of the one before it."""
_ACROSS = re.compile(r"\b(?:w|w/|with|thro|thro'|on)\s+(?=(?:an? )?\.?\d[\d.]*\s?(?:k|ohms?|Ω)\w*\b)", re.I)
_NETWORK = re.compile(
    r"(?P<ohms>1[.,]5\s?k\w*|1500(?:\s?(?:ohms?|Ω))?)\s*(?:/|\+|\|\||and|&)\s*(?P<farads>0?[.,]15)(?P<unit>\s?[uµ]f|\s?mfd?)?",
    re.I,
)
"""The load that a hand is taken for: 1500 ohms beside 0.15 microfarads, as UL's and ANSI's leakage tests have it."""
_EITHER_WAY = re.compile(
    r"plug (?:in )?(?:both|either|any) (?:ways?|positions?|directions?)(?: (?:a?round|up))?|any way(?: (?:a?round|up))?"
    r"|(?:in )?(?:both|either|any) (?:plug )?(?:positions?|directions?)(?: of (?:the )?plug)?",
    re.I,
)
_BY_A_METER = re.compile(
    r"\s+(?P<meter>(?:on|with|by)\s+(?:(?:the|my|an?)\s+)?(?:dmm|meter|multimeter|vtvm|ammeter|avo|simpson)\b.*)", re.I
)
"""With what it was read."""
_AT = re.compile(r"\s+(?:bij|bei)\s+(?=\d+\s?V)", re.I)
_LIFTED = re.compile(
    rf"(?:(?:with|and|&|\+|plus|both)\s+|{PART_NAME.pattern}\s+)*{PART_NAME.pattern}\s+"
    r"(?:both\s+|one end\s+|one leg\s+)?"
    r"(?:off|out|lifted|disconnected|removed|unsoldered|cut|clipped(?: out)?|open|in|back in|fitted|isolated)",
    re.I,
)
"""Which parts were in or out while it was measured."""


def with_ways_told(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """The line side with what was measured as the plug stood, where that is said of the line before: ``other way``.

    Which way is the worse a page cannot know: it stands in the note.
    """
    key = next((key for key in table or () if str(key).casefold() == "measured"), None)
    value = table[key] if table is not None and key is not None else None
    if table is None or not isinstance(value, Listing):
        return table
    told = Listing(value.place)
    before, day = "", None
    for row in map(_with_its_colon, value):
        line, before = _with_way(row, before) if isinstance(row, Text) else (row, before)
        if isinstance(line, Text):
            end = opening_day(line, with_year=True) or day_before_a_comma(line)
            if day is not None and not end and isinstance(row, Text) and _ANOTHER_WAY.search(row):
                both = day.and_then(line)
                line = both.taken_as(str(both), f"taken as of {day}, the day of the line before")
            day = line.cut(0, end) if end else day
        told.append(line)
    return {**table, key: told}


def _with_its_colon(row: Any) -> Any:
    """A line with a colon and a blank in it, which YAML takes for a name and its value, as the line it is."""
    if not isinstance(row, Entries) or len(row) != 1 or row.empty:
        return row
    ((key, said),) = row.items()
    whole = isinstance(key, Text) and isinstance(said, Text) and "," in key
    return key.taken_as(f"{key} {said}") if whole else row


def _with_way(line: Text, before: str) -> tuple[Text, str]:
    """A line with its plug's way in words that it knows, and that way; ``before`` is the way of the line before."""
    if judged := _JUDGED_WAY.search(line):
        told = f"{quoted(judged['said'])} kept as a note: write “plug right” or “plug reversed” where it is known"
        return _worded(line, judged, f"note {judged['said']}", told), "judged"
    if other := _OTHER_WAY.search(line):
        way = {"right": "reversed", "reversed": "right"}.get(before, "" if before else "reversed")
        if not way:
            told = f"{quoted(other['said'])} kept as a note: write “plug right” or “plug reversed” where it is known"
            return _worded(line, other, f"note {other['said']}", told), before
        told = f"{quoted(other['said'])} read as “plug {way}”"
        return _worded(line, other, f"plug {way}", told), way
    said = _PLUG_SAID.search(line)
    return line, PLUG_WAYS.get(said["way"].casefold(), said["way"].casefold()) if said else before


def _worded(line: Text, found: re.Match[str], said: str, told: str) -> Text:
    return line.taken_as(f"{line[: found.start('said')]}{said}{line[found.end('said') :]}", told)


def as_measured(line: Text) -> Text:
    """The line with each of its items in the words that it knows; what says how it stood becomes its note."""
    body, mark, remark = line.partition(";")
    day = opening_day(line, with_year=True)
    pieces = [str(line.cut(0, day))] if day else []
    pieces += [_said(item) for item in items(line.cut(day, len(body))) if item or not day]
    said = f"{', '.join(pieces)}{mark}{remark}"
    return line if said == line else line.taken_as(said)


def between_said(said: Text, line: Text) -> Text:
    """What an insulation was measured between; where its ohms alone are said, the line and the chassis."""
    alone = _A_VALUE.match(said)
    if not alone and (word := _INSULATION.search(line)) and word[0].strip().casefold() != "insulation resistance":
        return said.taken_as(str(said), f"{quoted(word[0].strip())} read as insulation")
    return said.taken_as(f"line to chassis {said}", "insulation read as that from line to chassis") if alone else said


def _said(item: Text) -> str:
    """One item of it."""
    plain = _SWITCHED.sub(r"switch \g<way>", _ARTICLE.sub("", item))
    item = item.taken_as(plain) if plain != item else item
    insulated = f"insulation {item}" if _BETWEEN_TWO.match(item) else _INSULATION.sub("insulation ", item)
    said = _TOUCHED.sub("", insulated).strip() if insulated == item else insulated
    if not said:
        return str(item)
    if "insulation" not in said.casefold():
        said = _TO_EARTH.sub("", said) if _TO_EARTH.sub("", said).strip() else said
    if both := _PART_AND_WAY.fullmatch(said):
        return f"{both['part']}, plug {both['way']}"
    if plug := _PLUG.fullmatch(said):
        note = f", note {plug['note']}" if plug["note"] else ""
        return f"plug {plug['way'] or plug['alone']}{note}"
    if _WHEN.fullmatch(said) or _LIFTED.fullmatch(said) or _CIRCUMSTANCE.match(said) or _warmth(said):
        return f"note {said}"
    if _EITHER_WAY.fullmatch(said) or _IS_EARTHED.fullmatch(said):
        return f"note {said}"
    said = _BY_A_METER.sub(r", note \g<meter>", _AT.sub(" at ", said))
    said = _NETWORK.sub(r"\g<ohms> and \g<farads> uF", said)
    across = _ACROSS.sub("across ", said)
    said = f"across {across}" if across == said and _NETWORK_SAID.fullmatch(said) else across
    if named := part_named(said):
        return named
    opened = opening_part(item.taken_as(said))
    return f"{part_named(opened[0])} {opened[1]}" if opened and re.match(r"[<>~]?\.?\d", opened[1]) else said


_NETWORK_SAID = re.compile(r"1[.,]?5\d{0,2}\s?\S* and 0?[.,]15 uF", re.I)


def _warmth(said: str) -> bool:
    """Whether an item is how warm it was: ``17 °C``, ``room 18 °C``."""
    return kind_by_unit(re.sub(r"^(?:at|room|ambient|air)\s+", "", said, flags=re.I)) == "temperature"
