"""The heater string as one lying bar, to scale: how the volts share out from the line to B-.

Its lengths are per cent of the width it is given and its letters are not, so that it can be read on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from ...circuit.heater_names import DROPPER, LAMP
from ...record.units import BLANK, say
from ...report.verdict import Verdict
from ...words import Words

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import HeatersFindings

BAR = "heaters-bar"
WIDE_ENOUGH, NAMED_UPRIGHT = 0.095, 0.042
"""Shares of the bar from which a member has its words side by side, and on end; below that it is only drawn."""

_IN_STEP = ("resistor", "resistance cord", "ballast", "barretter")
"""Droppers whose volts add to those of the heaters."""
_LOW, _HIGH, _BELOW = 54, 86, 17
_NARROW, _WIDE, _LETTER = 320, 640, 6.9
"""Pixels: the narrowest the bar is shown, the least width with the types in it, a letter."""
_MARKS = {"bad": Verdict.FAULT.sign, "watch": Verdict.WATCH.sign}


@dataclass(frozen=True, slots=True)
class Share:
    """One member of the string: its share of the drawn volts, and ``of_rated``, the share it is judged by."""

    name: str
    type: str
    volts: float
    share: float
    of_rated: float | None
    graded: str
    heater: bool


def shares(findings: HeatersFindings, words: Words) -> tuple[Share, ...]:
    """The members in order from the line; none where the heaters form no string, or their volts are not known."""
    string, running = findings.string, findings.nominal
    if string is None or running is None or findings.arrangement not in ("series", "mixed"):
        return ()
    types = {rating.tube: rating.type for rating in string.tubes}
    found: list[tuple[str, str, float | None]] = []
    for name in string.chain:
        abreast = string.beside(name)
        if name in types and abreast[0] == name:
            found.append((name, " ".join(types.get(each, "") for each in abreast), running.tubes[name].volts))
        elif name == LAMP and string.series_lamp:
            found.append(("lamp", string.series_lamp.name, running.lamp_volts))
        elif name == DROPPER and string.dropper and string.dropper.kind in _IN_STEP:
            found.append((words.of_key(string.dropper.kind), "", running.dropper_volts))
    if string.thermistor and running.thermistor_volts:
        found.append(("NTC", "", running.thermistor_volts))
    known = [(name, type_, volts) for name, type_, volts in found if volts is not None]
    total = sum(volts for *_, volts in known)
    if len(known) < len(found) or len(known) < 2 or total <= 0:
        return ()
    return tuple(_share(findings, name, type_, volts, volts / total) for name, type_, volts in known)


def _share(findings: HeatersFindings, name: str, type_: str, volts: float, share: float) -> Share:
    judged = findings.judged.get(name)
    return Share(
        name,
        type_,
        volts,
        share,
        judged.of_rated if judged else None,
        judged.graded if judged else "",
        judged is not None,
    )


def string_bar(findings: HeatersFindings, bench: Bench) -> Iterator[Figure]:
    """The bar, where there is a string whose volts are known."""
    from ...drawing import Figure
    from .say import fed_by

    members = shares(findings, bench.words)
    if not members:
        return
    feed = "A+" if findings.feed.kind == "battery" else fed_by(findings, bench.words)
    volts = f" {say(findings.feed.volts, 'V')}" if findings.feed.volts else ""
    title = f"How the heaters share the{volts} of the {fed_by(findings, bench.words)}"
    told = "; ".join(_told(member) for member in members)
    description = f"To scale, from {feed} to {bench.words.b_minus}: {told}."
    deep = any(NAMED_UPRIGHT <= member.share < WIDE_ENOUGH for member in members)
    height = _HIGH if deep else _LOW
    svg = _drawn(members, height, (f"{feed}{volts}", bench.words.b_minus), title, description)
    yield Figure(BAR, title, description, svg, 900, height + _BELOW)


def _told(member: Share) -> str:
    name = f"{member.name} {member.type}".strip()
    share = f", {say(member.of_rated, '1', digits=2)} of rated" if member.of_rated is not None else ""
    return f"{name} {say(member.volts, 'V')}{share}"


def _drawn(members: tuple[Share, ...], height: int, ends: tuple[str, str], title: str, description: str) -> str:
    at, inside = 0.0, []
    for number, member in enumerate(members):
        inside.append(_member(member, at, height, number))
        at += member.share
    below = height + _BELOW - 4
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="bl-string bl-string-{height}" width="100%" '
        f'height="{height + _BELOW}" role="img" aria-labelledby="{BAR}-title {BAR}-desc" fill="currentColor" '
        f'font-size="11.5"><title id="{BAR}-title">{escape(title)}</title>'
        f'<desc id="{BAR}-desc">{escape(description)}</desc>{"".join(inside)}'
        f'<text x="0" y="{below}">{escape(ends[0])}</text>'
        f'<text x="100%" y="{below}" text-anchor="end">{escape(ends[1])}</text></svg>'
    )


def _member(member: Share, at: float, height: int, number: int) -> str:
    ground = f'fill="currentColor" fill-opacity="{0.07 if number % 2 else 0.15}"' if member.heater else 'fill="none"'
    line = "2.5" if member.graded in _MARKS else "1"
    dashes = "" if member.heater else ' stroke-dasharray="4 3"'
    box = (
        f'<rect x="{_percent(at)}" y="1.5" width="{_percent(member.share)}" height="{height - 3}" {ground} '
        f'stroke="currentColor" stroke-width="{line}"{dashes}/>'
    )
    return box + _words(member, at, height)


def _words(member: Share, at: float, height: int) -> str:
    """Name, volts and share of rating: one below the other, on end, or nothing where there is no room for either."""
    if member.share < NAMED_UPRIGHT:
        return ""
    volts = say(member.volts, "V").split(BLANK)[0]
    if member.share < WIDE_ENOUGH:
        line = f"{_bold(_fitting(member.name, height / 2))} {volts} {_of_rated(member)}"
        return (
            f'<svg x="{_percent(at + member.share / 2)}" y="{height - 6}" overflow="visible">'
            f'<text transform="rotate(-90)" y="4">{line}</text></svg>'
        )
    name = _fitting(member.name, member.share * _NARROW)
    fits = member.type and len(name) + len(member.type) < member.share * _WIDE / _LETTER
    type_ = _wide(f" {escape(member.type)}") if fits else ""
    lines = [
        f"{_bold(name)}{type_}",
        f"{volts}{_wide(BLANK + 'V')}",
        _of_rated(member, unit=_wide(BLANK + "%")),
    ]
    said = "".join(f'<text x="5" y="{17 + 14 * line}">{words}</text>' for line, words in enumerate(lines))
    return f'<svg x="{_percent(at)}" y="0" overflow="visible">{said}</svg>'


def _fitting(name: str, room: float) -> str:
    """The name, cut where it is longer than there is room for, in pixels."""
    letters = max(1, int(room / _LETTER))
    return name if len(name) <= letters else name[: letters - 1] + "…"


def _of_rated(member: Share, unit: str = "") -> str:
    if member.of_rated is None:
        return ""
    mark = f"{_MARKS[member.graded]} " if member.graded in _MARKS else ""
    return f"{mark}{say(member.of_rated, '1', digits=2).split(BLANK)[0]}{unit}"


def _bold(words: str) -> str:
    return f'<tspan font-weight="700">{escape(words)}</tspan>'


def _wide(words: str) -> str:
    """Words that a narrow screen leaves out."""
    return f'<tspan class="bl-wide-only">{words}</tspan>'


def _percent(ratio: float) -> str:
    return f"{round(ratio * 100, 2) + 0.0:g}%"
