"""The string drawn from the line to B- and as a bar, bars for each heater's share and its band, a sweep of the line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.heater_names import DROPPER, LAMP
from ...record.units import say
from ...words import Words
from .running import RunningLine
from .say import fed_by
from .string import HeaterString
from .string_bar import string_bar

if TYPE_CHECKING:
    from ...drawing import Figure
    from ...drawing.schematic import Sketch, Symbol
    from ..bench import Bench
    from .findings import HeatersFindings
    from .rated import Rating

DRAWING, SWEEP, WARM_UP = "heater-supply-drawing", "heater-supply-sweep", "heater-supply-warm-up"
SHARE, BAND = "heater-supply-share-", "heater-supply-band-"
SHOWN_SECONDS = 40.0
MOST_LETTERS = 15
MOST_MEMBERS = 40
BESIDE_LAMP = 0.65

_SYMBOLS: dict[str, Symbol] = {"capacitor": "capacitor", "diode": "diode"}
_BULGE, _SECTION, _GAP = 0.5, 1.1, 0.45
_APART = 1.2


def drawn_from(findings: HeatersFindings) -> HeatersFindings:
    """The findings without what was measured, which no figure shows: another reading draws no curve again."""
    return replace(findings, measured=None)


def draw(findings: HeatersFindings, bench: Bench) -> tuple[Figure, ...]:
    """The string, where there is one, with its bars and its sweep."""
    string = findings.string
    if string is None or not string.tubes or len(string.chain) > MOST_MEMBERS:
        return ()
    plots = (*_sweep(findings, bench), *_warm_up(findings))
    return (_string(findings, string, bench), *string_bar(findings, bench), *plots, *_bars(findings, bench))


def _bars(findings: HeatersFindings, bench: Bench) -> Iterator[Figure]:
    """For the table: each heater's share of the line, and where it stands in its band."""
    from ...drawing import Figure
    from ...drawing.bars import deviation_bar, share_bar

    running = findings.nominal
    for tube, at in running.tubes.items() if running else ():
        if running is None or at.volts is None:
            continue
        share = at.volts / (findings.feed.volts or running.line_volts)
        words = f"{say(share, '1', digits=2)} of the {fed_by(findings, bench.words)}"
        yield Figure(f"{SHARE}{tube}", words, words, share_bar(share, words), 100, 12)
        held = findings.judged.get(tube)
        if held and held.of_rated is not None:
            bar = deviation_bar(held.of_rated - 1, round(held.high - 1, 9))
            yield Figure(f"{BAND}{tube}", "", "", bar, 120, 12)


def _sweep(findings: HeatersFindings, bench: Bench) -> Iterator[Figure]:
    """How the heaters follow the line, with the band they are held to."""
    from ...drawing.plot import Limit, LinePlot, Series, to_figure

    points = findings.sweep
    if len(points) < 2 or findings.line_volts is None:
        return
    line_volts = [p.line_volts for p in points]
    lowest, highest = [p.lowest * 100 for p in points], [p.highest * 100 for p in points]
    apart = any(high - low > 0.5 for low, high in zip(lowest, highest, strict=True))
    series = [Series(line_volts, highest, "highest")] if apart else []
    series.append(Series(line_volts, lowest, "lowest" if apart else "all heaters"))
    line = bench.words.line
    plot = LinePlot(
        series,
        x_label=f"{line} voltage, V",
        y_label="heater volts, % of rated",
        limits=[
            Limit(90, 110, "90 to 110 %"),
            Limit(findings.line_volts, findings.line_volts, f"nominal {line}", across="x"),
        ],
    )
    first, last = points[0], points[-1]
    yield to_figure(
        plot,
        name=SWEEP,
        title=f"Heater volts as the {line} changes",
        description=(
            f"From {say(first.line_volts, 'V')}, where the lowest heater has {say(first.lowest, '1', digits=2)} of its "
            f"rated volts, to {say(last.line_volts, 'V')}, where the highest has {say(last.highest, '1', digits=2)}; "
            "the band from 90 to 110 % is shaded."
        ),
    )


def _warm_up(findings: HeatersFindings) -> Iterator[Figure]:
    """The string's current from switching on."""
    from ...drawing.plot import LinePlot, Series, to_figure

    on = findings.switch_on
    if on is None or not on.seconds:
        return
    shown = [k for k, second in enumerate(on.seconds) if second <= SHOWN_SECONDS]
    seconds = [on.seconds[k] for k in shown]
    series = [Series(seconds, [on.amps[k] for k in shown], "without NTC" if on.amps_with_thermistor else "current")]
    if on.amps_with_thermistor:
        series.append(Series(seconds, [on.amps_with_thermistor[k] for k in shown], "with NTC"))
    plot = LinePlot(series, x_label="time, s", y_label="string current, A")
    yield to_figure(
        plot,
        name=WARM_UP,
        title="The string from cold",
        description=f"{say(on.peak_amps, 'A', digits=2)} at first, {say(on.running_amps, 'A', digits=2)} when warm.",
    )


def _string(findings: HeatersFindings, string: HeaterString, bench: Bench) -> Figure:
    from ...drawing.schematic import sketch

    sheet = sketch()
    running = findings.nominal
    line = _feed(findings, bench)
    fed = findings.feed.volts
    line = f"{line} {say(fed, 'V')}" if fed else line
    sheet.terminal((0, 0), line)
    sheet.wire((0, -0.09), (0, -_GAP))
    level = -_GAP
    ratings = {r.tube: r for r in string.tubes}
    for member in string.chain:
        if member == DROPPER:
            level = _dropper(sheet, string, running, level, bench.words)
        elif member == LAMP:
            level = _lamp(sheet, string, running, level)
        elif member in ratings and string.beside(member)[0] == member:
            level = _heater(sheet, ratings[member], string, running, level, bench.words)
    sheet.terminal((0, level - 0.09), bench.words.b_minus)
    at = f" at {say(fed, 'V')}" if fed else ""
    return sheet.figure(
        name=DRAWING,
        title=f"The heater string{at}",
        description=_described(findings, string, _feed(findings, bench), bench.words),
    )


def _feed(findings: HeatersFindings, bench: Bench) -> str:
    return "A+" if findings.feed.kind == "battery" else fed_by(findings, bench.words)


def _short(words: str) -> str:
    return words if len(words) <= MOST_LETTERS else words[: MOST_LETTERS - 1] + "…"


def _heater(
    sheet: Sketch, one: Rating, string: HeaterString, running: RunningLine | None, top: float, words: Words
) -> float:
    """One heater as a bent wire; a tapped one in two sections, its lamp beside the first."""
    tapped = string.tapped is one
    bottom = top - _SECTION
    _bend(sheet, top, bottom)
    if tapped:
        _tap_lamp(sheet, string, running, top, bottom)
        sheet.wire((0, bottom), (0, bottom - 0.2))
        top, bottom = bottom - 0.2, bottom - 0.2 - _SECTION
        _bend(sheet, top, bottom)
    middle = (top + _SECTION + 0.2 + bottom) / 2 if tapped else (top + bottom) / 2
    _group(sheet, string.beside(one.tube), top, bottom)
    _beside(sheet, one.tube, string, running, top, bottom)
    sheet.text((0, middle), *_heater_words(one, running, tapped, string, words), gap=0.42)
    sheet.wire((0, bottom), (0, bottom - _GAP))
    return bottom - _GAP


def _group(sheet: Sketch, names: tuple[str, ...], top: float, bottom: float) -> None:
    """The other heaters of a group, to the left of its first."""
    for k in range(1, len(names)):
        right, x = _APART * (1 - k), -_APART * k
        for level in (top, bottom):
            sheet.wire((right, level), (x, level))
            sheet.junction((right, level))
        _bend(sheet, top, bottom, x)


def _beside(
    sheet: Sketch, name: str, string: HeaterString, running: RunningLine | None, top: float, bottom: float
) -> None:
    """What lies across one heater or the lamp: its shunt, or else a lamp across the whole heater."""
    group = string.beside(name)
    shunt = next((s for s in string.shunts if s.over == group and not s.tap), None)
    lamp = string.across is not None and string.across.at in group
    if shunt is None and not lamp:
        return
    right = -_APART * (len(group) - 1)
    x = right - 1.6
    for level in (top, bottom):
        sheet.wire((right, level), (x, level))
        sheet.junction((right, level))
    if shunt:
        sheet.part("resistor", (x, top), (x, bottom))
        sheet.text((x, (top + bottom) / 2), say(shunt.ohms, "ohm"), side="left", gap=0.4)
    else:
        sheet.part("lamp", (x, bottom), (x, top))
        sheet.text((x, (top + bottom) / 2), *_lamp_words(string, running), side="left", gap=BESIDE_LAMP)


def _bend(sheet: Sketch, top: float, bottom: float, x: float = 0) -> None:
    sheet.wire((x, top), (x - _BULGE, (top + bottom) / 2), (x, bottom))


def _heater_words(
    one: Rating, running: RunningLine | None, tapped: bool, string: HeaterString, words: Words
) -> list[str]:
    at = running.tubes.get(one.tube) if running else None
    types = {r.tube: r.type for r in string.tubes}
    others = [f"beside {_short(f'{name} {types[name]}')}" for name in string.beside(one.tube)[1:]]
    lines = [_short(f"{one.tube} {one.type}"), *others, f"{say(one.volts, 'V')} rated"]
    if at and at.volts is not None:
        lines.append(f"{say(at.volts, 'V')}, {say(at.of_rated, '1', digits=2)}")
    return [*lines, f"tap feeds {words.plate}"] if tapped else lines


def _tap_lamp(sheet: Sketch, string: HeaterString, running: RunningLine | None, top: float, bottom: float) -> None:
    """The lamp across the section between the line end of the heater and its tap."""
    x = -1.6
    sheet.wire((0, top), (x, top))
    sheet.wire((0, bottom), (x, bottom))
    # Lamps are drawn upwards: the drawing library turns its round symbols that way in any case.
    sheet.part("lamp", (x, bottom), (x, top))
    sheet.text((x, (top + bottom) / 2), *_lamp_words(string, running), side="left", gap=BESIDE_LAMP)
    sheet.junction((0, top))
    sheet.junction((0, bottom))


def _lamp_words(string: HeaterString, running: RunningLine | None) -> list[str]:
    name = [_short(string.lamp.name)] if string.lamp and string.lamp.name else []
    volts = [say(running.lamp_volts, "V")] if running and running.lamp_volts is not None else []
    return ["lamp", *name, *volts]


def _lamp(sheet: Sketch, string: HeaterString, running: RunningLine | None, top: float) -> float:
    bottom = top - 1.4
    sheet.part("lamp", (0, bottom), (0, top))
    _beside(sheet, LAMP, string, running, top, bottom)
    sheet.text((0, (top + bottom) / 2), *_lamp_words(string, running), gap=BESIDE_LAMP)
    sheet.wire((0, bottom), (0, bottom - _GAP))
    return bottom - _GAP


def _dropper(sheet: Sketch, string: HeaterString, running: RunningLine | None, top: float, words: Words) -> float:
    fitted = string.dropper
    if fitted is None:
        return top
    bottom = top - 1.6
    sheet.part(_SYMBOLS.get(fitted.kind, "resistor"), (0, top), (0, bottom), *_dropper_words(string, running, words))
    sheet.wire((0, bottom), (0, bottom - _GAP))
    return bottom - _GAP


def _dropper_words(string: HeaterString, running: RunningLine | None, words: Words) -> list[str]:
    fitted = string.dropper
    if fitted is None:
        return []
    values = [say(fitted.ohms, "ohm")] if fitted.ohms else []
    values += [say(fitted.farads, "F")] if fitted.farads else []
    lines = [words.of_key(fitted.kind), *values]
    if running and running.capacitor_volts:
        lines.append(say(running.capacitor_volts, "V"))
    elif running and running.dropper_volts:
        lines.append(f"{say(running.dropper_volts, 'V')}, {say(running.dropper_watts, 'W')}")
    return lines


def _described(findings: HeatersFindings, string: HeaterString, line: str, words: Words) -> str:
    """The drawing in words, with its numbers, for whoever does not see it."""
    running = findings.nominal
    ratings = {r.tube: r for r in string.tubes}
    said = []
    for member in string.chain:
        if member == DROPPER:
            said.append(", ".join(_dropper_words(string, running, words)))
        elif member == LAMP:
            said.append(" ".join(_lamp_words(string, running)))
        elif member in ratings and string.beside(member)[0] == member:
            lines = _heater_words(ratings[member], running, False, string, words)
            lamp = (
                f" with {' '.join(_lamp_words(string, running))} across its tap"
                if string.tapped is ratings[member]
                else ""
            )
            said.append(f"{lines[0]}, {', '.join(lines[1:])}{lamp}")
    return f"From {line if line == 'A+' else f'the {line}'} to {words.b_minus}: {'; '.join(said)}."
