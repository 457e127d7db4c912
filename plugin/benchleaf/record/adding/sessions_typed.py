"""A step of an alignment or of a first power-up as it is typed, put into the session of the day."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..line_items import items
from ..problems import quoted
from ..quantities import QuantityError, read_quantity
from ..sections.alignment import Alignment
from ..sections.power_up import PowerUp
from ..text import Text
from .as_written import Added, InItem
from .open_record import Addition, AskedError, OpenRecord

_WAVELENGTH = re.compile(r"\d{2,4}\s*(?:m|metres?|meters?)", re.I)


def step_of(line: str, into: OpenRecord) -> Addition:
    """The addition of an alignment step. Raises AskedError."""
    return _into_session("alignment", into.record.alignment, line, into)


def power_up_of(line: str, into: OpenRecord) -> Addition:
    """The addition of a step of a first power-up. Raises AskedError."""
    return _into_session("power-up", into.record.power_up, line, into)


def is_step(line: str, into: OpenRecord) -> bool:
    """Whether a line begins with a frequency or a wavelength, as an alignment step does."""
    first = str(next(items(Text(line))))
    if _WAVELENGTH.fullmatch(first):
        return True
    try:
        return read_quantity(first, "frequency").si is not None
    except QuantityError:
        return False


def _into_session(section: str, sessions: Sequence[Alignment | PowerUp], line: str, into: OpenRecord) -> Addition:
    written = into.sections.get(section)
    day = into.day.isoformat()
    if isinstance(written, list) and len(written) != len(sessions):
        raise AskedError(f"an entry of {quoted(section)} that is not understood", "all of them", "put it right first")
    of_today = [n for n, session in enumerate(sessions) if session.date == into.day]
    if len(of_today) > 1:
        raise AskedError(f"{len(of_today)} entries of {quoted(section)} of {day}", "one", "write the step in the file")
    if of_today:
        return Addition(section, InItem(of_today[0], {"steps": [line]}), [{"steps": [line]}], f"{section} of {day}")
    entry: dict[str, Added] = {"date": day, "steps": [line]}
    return Addition(section, [entry], [entry], f"{section} of {day}, a new one")
