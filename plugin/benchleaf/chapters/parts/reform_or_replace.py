"""Reform or replace: a reasoned line for each electrolytic, from its reforming log and from what was measured of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...electrics.capacitor_limits import electrolytic_leakage_limit
from ...electrics.reforming import Outlook, outlook, volts_across
from ...record.part_types import POLARISED_TYPES
from ...record.units import say
from ...words.decimal_sign import with_decimal_sign
from .findings import Reformed
from .held import held

if TYPE_CHECKING:
    from ...circuit.pieces import Seen
    from ...record.model import Record
    from ...record.sections.power_up import Reforming
    from .findings import PartFindings


LEAST_OF_VALUE = 0.8
"""Below this share of its marked value an electrolytic is dried out (common practice, no source)."""
_NEARLY = 0.9
"""Of its rating: what was taken so far has been taken to it (common practice, no source)."""
_HELD = re.compile(r"\b(?:held|holds|formed)\b", re.I)
_NOT_HELD = re.compile(r"\b(?:not|never|no longer|barely|hardly|until|given up|hot)\b|n[’']t\b", re.I)


def reformed(record: Record, parts: Mapping[str, PartFindings]) -> tuple[Reformed, ...]:
    """A judgement for each old electrolytic that has a log, or that is still in the set and was measured."""
    logs = {str(name).casefold(): log for name, log in record.reforming.items()}
    found = []
    for part in parts.values():
        for row in part.sections.values() or (part,):
            log = logs.get(row.name.casefold()) or logs.get(row.part.casefold())
            old = row.piece.was or row.piece.sheet
            if old and old.type.casefold() in POLARISED_TYPES and (log or (row.old_is_fitted and _measured(old))):
                found.append(_judged(row, old, log))
    return tuple(found)


def held_its_voltage(found: Reformed, row: PartFindings) -> bool:
    """Whether its log ends the work on it: nothing speaks against it, and it held what its place asks, or is said to.

    Its place asks for the volts across it while the set plays, or for nine tenths of its rating where that is less or
    those are not known.
    """
    if found.leans != "reform" or found.said_held or found.reached_volts is None:
        return found.leans == "reform" and found.said_held
    asked = [volts for volts in (row.least_volts, _NEARLY * found.rated_volts if found.rated_volts else None) if volts]
    return bool(asked) and found.reached_volts >= min(asked)


def _measured(old: Seen) -> bool:
    return bool(old.measured_bound or old.leakage_typed or old.esr_ohms is not None)


def _judged(row: PartFindings, old: Seen, log: Reforming | None) -> Reformed:
    limit = electrolytic_leakage_limit(old.value, old.volts) if old.value and old.volts else None
    readings = tuple(
        (e.after.si if e.after else None, abs(e.current.si))
        for e in (log.log if log else ())
        if e.current and e.current.si is not None
    )
    seen = outlook(readings, limit)
    reached = _reached(log, readings)
    against = [*_of_itself(row, old)]
    held = _says_held(log)
    forms = [*_of_log(seen, limit, reached, old), *(["it held its voltage, as written"] if held else [])]
    leans = _leaning(against, seen, said_held=held)
    lacks = [] if limit is not None else ["its value and rated voltage, for the leakage limit"]
    lacks += [] if readings else ["a log of its leakage"]
    lacks += [] if old.esr_ohms is not None else ["its ESR"]
    reasons = (*against, *forms)
    return Reformed(leans, seen, reached, old.volts, readings, row.name, row.anchor, reasons, tuple(lacks), held)


def _says_held(log: Reforming | None) -> bool:
    """Whether its log says in words that it held, and nothing to the contrary."""
    said = " ".join(str(text) for text in (log.to, log.note, *(e.note for e in log.log)) if text) if log else ""
    return _HELD.search(said) is not None and _NOT_HELD.search(said) is None


def _of_itself(row: PartFindings, old: Seen) -> list[str]:
    """What speaks against it whatever its leakage does."""
    said = []
    nominal = row.piece.nominal[0]
    if (
        old.measured_bound == "exact"
        and old.measured is not None
        and nominal
        and old.measured < LEAST_OF_VALUE * nominal
    ):
        said.append(f"it has {say(old.measured, 'F')} left of {say(nominal, 'F')}: reforming does not bring that back")
    judged = held(old, None)
    if judged and judged.esr_enough is False and old.esr_ohms is not None:
        said.append(
            f"its ESR of {say(old.esr_ohms, 'ohm')} is over {say(judged.esr_limit_ohms, 'ohm')}: it has dried out"
        )
    return said


def _of_log(seen: Outlook | None, limit: float | None, reached: float | None, old: Seen) -> list[str]:
    if seen is None:
        return []
    said = []
    now = say(seen.last_amps, "A")
    if limit is not None:
        said.append(f"it leaks {now}, {'under' if seen.under_limit else 'over'} the limit of {say(limit, 'A')}")
    if seen.rising:
        said.append("its leakage has risen since the reading before: stop")
    elif seen.settled:
        said.append("it has settled: the last two readings differ by less than a tenth")
    elif seen.settled is False:
        said.append("it is still falling")
    if seen.under_limit is False and seen.seconds_to_limit is not None:
        hours = with_decimal_sign(f"{seen.seconds_to_limit / 3600:.2g}")
        said.append(f"at this rate it meets the limit {hours} hours after the start")
    elif seen.hopeless:
        said.append("at this rate it never meets the limit")
    if reached is not None and old.volts and reached < _NEARLY * old.volts:
        said.append(f"it has been taken to {say(reached, 'V')} of its {say(old.volts, 'V')}")
    return said


def _leaning(against: list[str], seen: Outlook | None, *, said_held: bool) -> str:
    if against or (seen and (seen.rising or seen.hopeless)):
        return "replace"
    if seen is None or seen.under_limit is None:
        return "reform" if said_held else "either"
    return "reform" if seen.under_limit else "go on"


_TO = re.compile(r"(.+?)(?:\s+(?:through|via|behind)\s+(.+))?", re.I)


def _reached(log: Reforming | None, readings: tuple[tuple[float | None, float], ...]) -> float | None:
    """Volts across the capacitor at the last reading: as read, or from ``to: 350 V through 47 kohm``.

    ``to: 350 V`` is taken as across it.
    """
    from ...record.quantities import QuantityError, read_quantity

    if log is None or not readings or not log.log:
        return None
    last = log.log[-1]
    if last.at is not None and last.at.si is not None:
        return float(last.at.si)
    match = _TO.fullmatch(str(log.to or "").split(",")[0].strip())
    if not match:
        return None
    try:
        volts = read_quantity(match[1], "voltage").si
        ohms = read_quantity(match[2], "resistance").si if match[2] else 0.0
    except QuantityError:
        return None
    return volts_across(volts, ohms, readings[-1][1]) if volts is not None and ohms is not None else None
