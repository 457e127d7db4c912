"""The list of readings that a line belongs to: the one named, or that of the day, made where there is none."""

from __future__ import annotations

from collections.abc import Mapping

from ..problems import quoted
from ..sections.list_names import day_of, is_measured
from ..sections.readings import Run
from ..text import Entries, Text
from .as_written import Added
from .open_record import AskedError, OpenRecord

CONDITIONS = (
    "line", "mains", "mains selector", "meter", "to", "from", "table", "date", "tolerance", "controls", "after", "note",
)  # fmt: skip
"""What a list says besides its readings."""
_TAKEN_OVER = ("meter", "to")


def todays_list(into: OpenRecord) -> tuple[str, Mapping[str, Added], str]:
    """The list's name, what a new one begins with, and how it is told of. Raises AskedError."""
    runs = into.record.readings
    if into.run:
        name = into.as_named("readings", into.run)
        if name in into.named("readings"):
            return name, {}, f"readings {quoted(name, 60)}"
        begun, told = _begun(into)
        return name, begun, f"readings {quoted(name, 60)}, a new list{told}"
    own = [str(n) for n, run in runs.items() if _is_of_volts(n, run) and day_of(str(n), run) == into.day]
    if len(own) > 1:
        choices = " or ".join(f"--run {quoted(name, 60)}" for name in own)
        raise AskedError(f"{len(own)} lists of {into.day.isoformat()}", "one of them", f"say which: {choices}")
    if own:
        return own[0], {}, f"readings {quoted(own[0], 60)}"
    begun, told = _begun(into)
    name = into.day.isoformat()
    if name in into.named("readings"):
        raise AskedError(f"a list {quoted(name)} of another sort", "one for these readings", "name it with --run")
    return name, begun, f"readings {quoted(name)}, a new list{told}"


def _is_of_volts(name: str, run: Run) -> bool:
    """Whether a list is of one's own readings of volts: not the sheet's, and no resistance chart."""
    return is_measured(name, run) and bool(run.points or not run.resistance)


def _begun(into: OpenRecord) -> tuple[dict[str, Added], str]:
    """What a new list takes over from the last of one's own: the meter and the point of reference, and that it does."""
    if into.written_out:
        return {}, ""
    lists = into.named("readings")
    own = [name for name, run in into.record.readings.items() if _is_of_volts(name, run) and run.points]
    taken: dict[str, Added] = {}
    last = lists.get(Text(own[-1])) if own else None
    if isinstance(last, Entries):
        taken = {
            key: str(value) for key, value in last.items() if key.casefold() in _TAKEN_OVER and isinstance(value, str)
        }
    said = ", ".join(f"{key} {value}" for key, value in taken.items())
    return taken, f" ({said}, as in {quoted(own[-1], 60)})" if taken else " (no meter in an earlier list to take)"
