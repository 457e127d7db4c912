"""What the record does not say about the heaters, and what was taken for granted in its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ...circuit.line_scaling import selector_volts
from ...circuit.mains import LineVolts
from ...record.model import Record
from ...record.units import say
from ...tubes.barretter_types import barretter_type
from ...words import Words
from ..bench import Bench
from .ballast import coded_ballast, said_of_ballast
from .feeding import beside_filaments, three_way
from .rated import RatedLamp, Rating
from .running import cannot_run
from .string import HeaterString
from .windings import Windings


def missing_of(
    bench: Bench, arrangement: str, string: HeaterString | None, windings: Windings | None
) -> tuple[str, ...]:
    """One sentence for each thing that is missing, with what to write."""
    record, words = bench.record, bench.words
    found = [*_line(bench), *_nothing(record, words, arrangement)]
    ratings = string.tubes if string else ()
    if windings:
        ratings = (*ratings, *windings.unfed, *(r for w in windings.windings for r in w.ratings))
    found += [_unknown_type(r, words) for r in ratings if not r.known]
    apart = string is not None and three_way(bench, string.tubes)
    found += _of_string(string, words, apart=apart) if string else ()
    found += _of_filaments(bench, string) if string and apart else ()
    found += _of_lamp(string.lamp if string else _lamp(record), words, string, windings)
    found += _of_windings(record, words, arrangement, windings) if windings else ()
    return tuple(dict.fromkeys(found))


def _lamp(record: Record) -> RatedLamp | None:
    from .rated import pilot_lamp

    return pilot_lamp(record, map(str, record.tubes))


def _line(bench: Bench) -> Iterator[str]:
    written, line = bench.record.line, bench.words.line
    if written is None:
        yield f"The {line} voltage is not written, so how they run cannot be known. Write “line:” at the top."
    elif bench.circuit.mains.volts is None:
        yield f"The {line} voltage “{written.volts.written}” is not one that a set like this is fed from."


def _nothing(record: Record, words: Words, arrangement: str) -> Iterator[str]:
    if not record.tubes:
        yield f"No {words.tubes} are written, so no heater is known."
    elif arrangement == "unknown":
        yield (
            f"How the heaters are fed is not written. For a string write “order:” from the {words.line} end to "
            f"{words.b_minus}, for a "
            "transformer write “windings:”."
        )


def _unknown_type(one: Rating, words: Words) -> str:
    named = f"{one.tube}, {one.type}" if one.type else one.tube
    if known := barretter_type(one.type or ""):
        line = f"dropper: barretter {known.low_volts:g}-{known.high_volts:g} V {known.amps:g} A, type {known.type}"
        return (
            f"{named} is a barretter: it has no heater, and holds the string’s current. Write it under “heaters:” as "
            f"“{line}” ({known.source.title}), and “dropper” for {one.tube} in the order."
        )
    return (
        f"The heater of {named} is not known: the type is not in the {words.tube} table. Write its heater’s volts and "
        "amperes behind the type, such as “heater 12.6 V 0.15 A”."
    )


def _of_string(string: HeaterString, words: Words, *, apart: bool) -> Iterator[str]:
    for name in string.unknown_names:
        what = "a dropper" if name == "dropper" else "a pilot lamp" if name == "lamp" else name
        yield f"The order of the string names {what}, which is not written elsewhere in the record."
    if string.left_out:
        yield (
            f"{_listed(string.left_out)} {_is(string.left_out)} not in the order of the string "
            f"and {_is(string.left_out)} left out of it here."
        )
    if string.doubled:
        yield f"{_listed(string.doubled)} stands twice in the order of the string and is counted once."
    if string.unread_shunts:
        names = _listed(string.unread_shunts)
        yield f"The shunt across {names} lies across no heater of this string, or across one twice."
    why = "" if apart else cannot_run(string, string.frequency_hertz)
    sentences = {
        "lamp": "The lamp in the string is not in the lamp table. Write its volts and amperes.",
        "dropper": "The dropper’s value is not written, so the string cannot be computed as it runs. Write its ohms.",
        "barretter": _barretter(string),
        "capacitor": "The series capacitor’s value is not written.",
        "capacitor on DC": f"A series capacitor passes no direct current: on this {words.line} the heaters stay cold.",
        "frequency": f"The {words.line} frequency is not written, and a series capacitor drops by it.",
    }
    if why:
        yield sentences[why]


def _of_filaments(bench: Bench, string: HeaterString) -> Iterator[str]:
    """What says how the filaments of a three-way set run on the line."""
    written, line = bench.record.heaters, bench.words.line
    if written is None or written.filament_supply is None:
        yield (
            f"What feeds the filaments on the {line} is not written, so how they run on it cannot be known. Write "
            "“filament supply:”, the direct volts ahead of the filament dropper."
        )
    elif string.dropper is None:
        yield (
            "No dropper between the filament supply and the filaments is written, so how they run on the "
            f"{line} cannot be known."
        )
    elif string.dropper.ohms is None:
        yield "The dropper’s value is not written, and nothing but ohms drops a direct voltage here. Write its ohms."


def _barretter(string: HeaterString) -> str:
    """What is not written of a barretter."""
    fitted = string.dropper
    unheld = fitted is None or fitted.holds_amps is None
    unranged = fitted is None or None in (fitted.low_volts, fitted.high_volts)
    both = "range of volts and its current are"
    what = both if unheld and unranged else "current is" if unheld else "range of volts is"
    return f"The barretter’s {what} not written: “barretter 95-165 V 0.3 A”."


def _of_lamp(
    lamp: RatedLamp | None, words: Words, string: HeaterString | None, windings: Windings | None
) -> Iterator[str]:
    if lamp is None:
        return
    if lamp.volts is None and lamp.place != "series":
        yield f"The pilot lamp “{lamp.label}” is not in the lamp table and is left out. Write its volts and amperes."
    elif string is not None and lamp.place == "unknown":
        yield "Where the pilot lamp sits is not clear, so it is left out. Write “across V5 tap” or “in series”."
    elif string is not None and lamp.place == "tap" and string.tapped is None and lamp.volts is not None:
        yield f"The {words.tube} table has no tap for {lamp.at}, so the lamp across it is left out of the computation."
    elif windings is not None and windings.lamp_unplaced and string is None and windings.windings:
        yield "Which winding lights the pilot lamp is not clear, so its current is in no winding’s load."


def _of_windings(record: Record, words: Words, arrangement: str, windings: Windings) -> Iterator[str]:
    if arrangement == "parallel" and not windings.windings:
        yield "The heater windings are not written. Write “windings:” with volts and amperes, and the measured volts."
    elif windings.unfed and arrangement != "mixed":
        names = [r.tube for r in windings.unfed]
        yield f"No winding is known to feed {_listed(names)}: write it, or “feeds” with the {words.tubes} on it."
    for winding in windings.windings:
        if winding.volts is None:
            yield f"The volts of winding {winding.name} are not one value above zero."
        if winding.rated_amps is None and not winding.battery:
            yield f"Winding {winding.name} has no current rating, so its load is judged against nothing."
        if winding.unread:
            yield f"Winding {winding.name} feeds “{' '.join(winding.unread)}”, which is no {words.tube} of this set."
    if windings.twice:
        yield f"{_listed(windings.twice)} hangs on more than one winding as written and is counted on each."


def assumed_of(bench: Bench, string: HeaterString | None, windings: Windings | None) -> tuple[str, ...]:
    """One sentence for each thing that was taken for granted."""
    words = bench.words
    found = list(_limits(bench.circuit.mains.volts, words))
    if string is not None:
        found += _assumed_string(bench.record, string, words)
    if string is not None and (beside := sorted(beside_filaments(bench))):
        they = f"is no battery {words.tube} and is" if len(beside) == 1 else f"are no battery {words.tubes} and are"
        found.append(f"{_listed(beside)} {they} taken to be fed apart from the filaments.")
    sorted_ = [w.name for w in windings.windings if w.tubes and not w.feeds_written] if windings else []
    if sorted_ and not (windings and windings.windings[0].battery):
        found.append(
            f"What {_listed(sorted_)} feeds is not written: the {words.tubes} are sorted to the windings by their "
            "rated volts."
        )
    ratings = (
        *(string.tubes if string else ()),
        *(r for w in (windings.windings if windings else ()) for r in w.ratings),
    )
    side = [r.tube for r in ratings if r.side_by_side]
    if side:
        found.append(f"The two halves of {_listed(side)} are taken to be joined side by side, which is what fits here.")
    for borne_out, how in ((False, "from memory"), (True, "from memory and cross-checked")):
        memory = dict.fromkeys(r.type for r in ratings if r.from_memory and r.borne_out is borne_out)
        if memory:
            found.append(f"Heater ratings without a publication behind them, {how}: {_listed(memory)}.")
    found += [f"{r.type}: {r.disagreement.rstrip('.')}." for r in ratings if r.disagreement]
    return tuple(dict.fromkeys(found))


def _limits(line: LineVolts | None, words: Words) -> Iterator[str]:
    """What stands in for a low or high line that nobody wrote."""
    source = "(common practice, no source)"
    if line is None or not line.limits_assumed:
        return
    if line.low_assumed and line.high_assumed:
        yield f"Low and high {words.line} are not written: ten per cent either way is taken {source}."
    elif line.low_assumed:
        yield f"Low {words.line} is not written: ten per cent under the nominal {words.line} is taken {source}."
    else:
        yield f"High {words.line} is not written: ten per cent over the nominal {words.line} is taken {source}."


def _assumed_string(record: Record, string: HeaterString, words: Words) -> Iterator[str]:
    if not string.order_written and string.tubes:
        yield (
            f"The order of the string is not written. The {words.tubes} are drawn as listed; sums and shares do not "
            "depend on it."
        )
    if string.dropper and string.dropper.tap:
        tap = string.dropper.tap
        why = "where the selector stands" if _on_selector(record) else f"nearest to the {words.line}"
        yield f"No dropper is written: the {words.line} tap {tap}, {why}, counts as in use."
    if string.dropper and string.dropper.beside:
        beside = " and ".join(f"{name}, {say(ohms, 'ohm')}," for name, ohms in string.dropper.beside)
        yield f"{beside} in series with the dropper counts with it: {say(string.dropper.ohms, 'ohm')} together."
    if string.dropper and string.dropper.from_drop:
        yield (
            f"The {words.of_key(string.dropper.kind)} is taken as the resistance that drops its volts at "
            "the rated current."
        )
    if string.dropper and string.dropper.kind == "ballast":
        yield "The ballast is taken as a plain resistance, as most American ones are; a barretter would regulate."
    dropper = record.heaters.dropper if record.heaters else None
    ballast = coded_ballast(dropper.now or dropper if dropper else None, string.current_amps)
    yield from said_of_ballast(ballast, string.current_amps)
    if string.tapped:
        yield (
            f"A {words.b_plus} current of 60 mA is assumed to flow through the tap of {string.tapped.tube} and its "
            "lamp, the most "
            "the rectifier may give with a lamp there and no shunt."
        )


def _on_selector(record: Record) -> bool:
    return bool(record.heaters and selector_volts(record.heaters.mains_selector))


def _listed(names: Iterable[str]) -> str:
    items = list(names)
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}"


def _is(names: tuple[str, ...]) -> str:
    return "is" if len(names) == 1 else "are"
