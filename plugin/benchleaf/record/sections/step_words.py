"""A step of a power-up as it is jotted down: the lamp of this step, volts at the set, a battery and its current."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..line_items import items
from ..problems import quoted
from ..text import Entries, Listing, Text
from ..times_in_words import TIME_ANYWHERE, times_in_figures
from .step_items import step_in_items

_BULB = r"(?:light |dim |series )?(?:lamp|bulb|globe)s?"
_BEFORE_A_LAMP = r"(?:(?:with|through|on|behind)\s+)?(?:an?\s+)?"
_WATTS_BEHIND = rf"{_BULB}\s+(?:of\s+)?\d{{1,3}}\s?(?:w|watts?)"
_OWN_LAMP = re.compile(
    rf"{_BEFORE_A_LAMP}(?:\d{{1,3}}\s?(?:w|watts?)(?:\s+{_BULB})?|{_WATTS_BEHIND})(?:\s+in series)?",
    re.I,
)
"""A lamp that an item is, at the head of a step: ``40w``, ``60 W bulb``."""
_NAMED_LAMP = re.compile(
    rf"{_BEFORE_A_LAMP}(?:\d{{1,3}}\s?(?:w|watts?)\s+{_BULB}|{_WATTS_BEHIND})(?:\s+in series)?",
    re.I,
)
_VARIAC = re.compile(
    r"(?:on |with )?(?:the |a )?(?:variac|variable (?:auto)?transformer|isolation transformer)s?", re.I
)
_NO_LAMP = re.compile(
    rf"(?:no|w/o|without(?: the| a)?)\s+{_BULB}|(?:the\s+)?{_BULB}\s+(?:now\s+|was\s+)?"
    r"(?:out|removed|taken out|bridged|bypassed|shorted(?: out)?)"
    r"(?:\s+(?:for|of|at) (?:this|the) (?:step|one|circuit))?",
    re.I,
)
_NO_LAMP_BEFORE = re.compile(rf"(?:no|w/o|without(?: the| a)?)\s+{_BULB}\s+(?=\.?\d)", re.I)
_VOLTS_AND_AMPERES = re.compile(r"(?<=\d)(?P<unit>\s?v(?:olts?)?)\s+(?=\.?\d[\d.,]*\s?m?a\b)", re.I)
_OF_A_BATTERY = re.compile(
    r"(?P<at>(?:A|B|C|LT|HT|A\+|B\+|HT\+|LT\+|bias)\s+[.\d][\d.,]*\s?(?:V|volts?)),?\s+(?P<amps>[.\d][\d.,]*\s?(?:m?A|amps?))",
    re.I,
)
"""A battery's volts and the current that it gave: ``B 22.5 V, 2.1 mA``."""
_BARE_AMPERES = re.compile(
    r"(?P<before>[.\d][\d.,]*\s?v(?:olts?)?(?:\s?ac)?,?\s+)(?P<amps>[0-2]?[.,]\d{1,3})(?=\s*(?:,\s|;|\Z))", re.I
)
"""Behind the line's volts a small number with no unit, ``228 V, .27``, ``80 v .36``: the line's current."""
_SPEAKS_OF_IT = re.compile(
    rf"\b{_BULB}\b[^,;]*\b(?:glow\w*|bright\w*|dim\w*|dark|lit|lights?|orange|red)|\b(?:glow|light)\b[^,;]*\b{_BULB}\b",
    re.I,
)
_VOLTS = re.compile(r"\.?\d[\d.,]*\s?(?:V|volts?)(?:\s?AC)?", re.I)
_LINE_OR_SET = re.compile(r"\b(?:line|mains|set|radio|receiver)\s+\.?\d", re.I)
_TO_BEGIN = re.compile(
    rf"(?P<first>{_BULB}(?:\s+in series)?)\s+(?:to (?:begin|start)(?: with)?|at first|for the first steps?)(?!\w)", re.I
)
"""That a lamp was there when it began, with nothing said of when it was taken out."""
_THEN = re.compile(r"[,;]?\s+then\s+", re.I)


_VOLTS_OF_THE_LINE = r"(?P<volts>\.?\d[\d.,]*\s?v(?:olts?)?(?:\s?ac)?)"
_LINE_BEHIND = re.compile(rf"\A{_VOLTS_OF_THE_LINE}\s+line(?=\s|,|;|\Z)", re.I)
_LINE_AT = re.compile(r"\A(?:the\s+)?(?P<line>line|mains)\s+(?:is\s+)?(?:at|on|up to|to)\s+(?=\.?\d)", re.I)
_ON_THE_VARIAC = re.compile(
    rf"\A{_VOLTS_OF_THE_LINE}\s+(?P<on>(?:on|from|by) the variac)(?:\s+(?=[^\s,;/–-])|(?=\s|,|;|\Z))", re.I
)
_TIME_BEHIND = re.compile(
    rf"(?P<value>\d\s?(?:V|volts?|m?A|amps?|amperes?|milliamps?)(?:\s?AC)?)\s+(?={TIME_ANYWHERE})", re.I
)
"""Between a value and a time in words: ``160 V twenty minutes``."""


def _in_order(line: Text) -> Text:
    """A step's line with the word for its line before the volts: ``80 V line``, ``line at 80 V``."""
    said = _LINE_AT.sub(r"\g<line> ", _LINE_BEHIND.sub(r"line \g<volts>", line))
    if on := _ON_THE_VARIAC.match(said):
        behind = said[on.end() :]
        said = f"{on['volts']}, {on['on']}{', ' if behind[:1].strip(' ,;/-–') else ''}{behind}"
    said = _TIME_BEHIND.sub(r"\g<value>, ", said)
    return line.taken_as(said) if said != line else line


def step_said(line: Text) -> tuple[Text, Text | None]:
    """A step's line without the lamp that stood before the set in this step alone, and that lamp or its absence."""
    line = times_in_figures(step_in_items(times_in_figures(_in_order(line))))
    if bare := _BARE_AMPERES.match(line):
        line = line.taken_as(f"{line[: bare.end()]} A{line[bare.end() :]}")
    said = _VOLTS_AND_AMPERES.sub(r"\g<unit>, ", line)
    if "battery" in line.manner.power.casefold():
        said = _OF_A_BATTERY.sub(r"\g<at> \g<amps>", said)
    line = line.taken_as(said) if said != line else line
    if before := _NO_LAMP_BEFORE.match(line):
        return line.cut(before.end()), line.cut(0, before.end())
    body, mark, remark = line.partition(";")
    left: list[str] = []
    lamp: Text | None = None
    for number, item in enumerate(items(line.cut(0, len(body)))):
        of_step = (_OWN_LAMP if number == 0 else _NAMED_LAMP).fullmatch(item) or _NO_LAMP.fullmatch(item)
        if lamp is None and of_step:
            lamp = item
        else:
            left.append(str(item))
    first, _, behind = remark.partition(",")
    if lamp is None and _NO_LAMP.fullmatch(first.strip()):
        start = len(body) + 1
        lamp, mark, remark = line.cut(start, start + len(first)), "", ""
        left += [behind.strip()] if behind.strip() else []
    if lamp is None or not any(left):
        return line, None
    return line.taken_as(f"{', '.join(left)}{mark}{remark}"), lamp


def named_by_its_lamp(step: Any) -> Any:
    """A step whose name is the lamp that stood before the set, ``dim bulb 60w: lit, then dimmed``, as a line."""
    named = isinstance(step, Entries) and len(step) == 1 and not step.empty
    ((key, said),) = step.items() if named else ((None, None),)
    if not (isinstance(key, Text) and isinstance(said, Text) and _OWN_LAMP.fullmatch(key)):
        return step
    return key.taken_as(f"{key}, {said}")


def steps_by_name(session: Any) -> Any:
    """A session in which lamps and a variac stand as names: each is a step, and the variac what it was done with."""
    if not isinstance(session, Entries) or any(str(key).casefold() == "steps" for key in session):
        return session
    lamps = {key for key in session if _OWN_LAMP.fullmatch(key)}
    named = {key for key in session if key in lamps or _VARIAC.fullmatch(key)}
    if not named or not all(isinstance(session[key], Text) for key in named):
        return session
    steps = Listing(next(key for key in session if key in named).place)
    whole = Entries(session.place, session.line)
    whole.empty, whole.whole, whole.given = session.empty, session.whole, session.given
    for key, said in session.items():
        if key not in named:
            whole[key] = said
            continue
        steps.append(key.taken_as(f"{key}, {said}") if key in lamps else said)
        if key not in lamps and Text("with") not in whole:
            whole[Text("with", key.place)] = key
    whole[Text("steps", steps.place)] = steps
    return whole


def amperes_told(line: Any, table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A step's table with the remark that a number behind the line's volts was taken for amperes."""
    bare = _BARE_AMPERES.match(line) if isinstance(line, Text) else None
    amps = table.get(Text("amps")) if bare and table else None
    if table is None or bare is None or not isinstance(amps, Text):
        return table
    told = f"{quoted(bare['amps'])} read as amperes"
    return {**table, Text("amps", amps.place): amps.taken_as(str(amps), told)}


def volts_of_neither(line: Text, lamp: Text) -> Text | None:
    """Volts of a step behind its own lamp that may be the line's or the set's; None where that is said."""
    first = next(items(line))
    said = _NO_LAMP.fullmatch(lamp) or _NO_LAMP_BEFORE.match(f"{lamp} 1") or _LINE_OR_SET.search(line)
    return first if _VOLTS.fullmatch(first) and not said else None


def with_both_at_once(session: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A session whose ``with`` has a lamp and something behind ``then``, with the remark how that is taken.

    Where a step speaks of the lamp it was still in the line, and “then” is the order along it.
    """
    key = next((key for key in session or () if str(key).casefold() == "with"), None)
    using = session[key] if session is not None and key is not None else None
    if session is not None and key is not None and isinstance(using, Text) and (start := _TO_BEGIN.search(using)):
        told = f"{quoted(using)}: the lamp is taken to be there at every step; one without it says “no lamp”"
        first = start["first"] or ""
        whole = f"{using[: start.start()]}{first}{using[start.end() :]}"
        return {**session, key: using.taken_as(whole, told)}
    if session is None or key is None or not isinstance(using, Text) or not _THEN.search(using):
        return session
    first = _THEN.split(using)[0]
    if not re.search(_BULB, first, re.I):
        return session
    lit = any(_SPEAKS_OF_IT.search(step) for step in _texts(session.get(Text("steps"))))
    if lit:
        both = _THEN.sub(", ", using)
        told = f"{quoted(using)} read as both in the line at once: a step speaks of the lamp"
        return {**session, key: using.taken_as(both, told)}
    told = f"{quoted(using)} read as the lamp out again for these steps; for both at once write “and”"
    return {**session, key: using.taken_as(str(using), told)}


def _texts(node: Any) -> list[str]:
    if isinstance(node, Text):
        return [node]
    held = node.values() if isinstance(node, Entries) else node if isinstance(node, list) else ()
    return [text for one in held for text in _texts(one)]


_OF_A_SOAK = (
    (re.compile(r"(?:^|(?<=,))(?P<gap>\s*)(?:for|played|ran(?: for)?|on for)\s+(?=\d)", re.I), r"\g<gap>"),
    (
        re.compile(r"(?:^|(?<=,))(?P<gap>\s*)(?:at|on)\s+(?=\.?\d[\d.,]*\s?v(?:olts?)?(?:\s?AC)?\s*(?:,|;|\Z))", re.I),
        r"\g<gap>line ",
    ),
    (
        re.compile(
            r"(?:^|(?<=,))(?P<gap>\s*)(?:it\s+)?(?:draws|drawing|drew|takes|taking|took|pulls|I\s*=)\s*"
            r"(?=\.?\d[\d.,]*\s?m?(?:a|amps?|amperes?)\b)",
            re.I,
        ),
        r"\g<gap>",
    ),
)
"""Words before the time, the line and the current of a soak: ``for 4 h, on 230 V, draws 0.25 A``."""


def soak_in_words(line: Text) -> Text:
    """A soak's line without the words before its time and its current, and with that before its line."""
    said = str(line)
    for pattern, instead in _OF_A_SOAK:
        said = pattern.sub(instead, said)
    return line.taken_as(said) if said != line else line
