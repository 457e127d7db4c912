"""Within its band or not: heaters are judged at the nominal line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from .bands import BAND, FILAMENT_BAND, RISEN_LINE
from .rated import Rating
from .running import RunningLine
from .string import HeaterString

BATTERY_FILAMENT_VOLTS = 3.0


@dataclass(frozen=True, slots=True)
class JudgedHeater:
    """One tube at the nominal line: ``within``, ``low``, ``high`` or ``not known``, and the band it is held to.

    ``graded`` says how much that matters: ``good``, ``watch``, ``bad`` or ``unknown``. ``by_reading`` says that the
    share is that of a reading within the band, which overrules what is computed. ``low_of_rated`` and
    ``high_of_rated`` are what a computed share may be; None where it is known.
    """

    verdict: str
    of_rated: float | None
    low: float
    high: float
    held: str
    graded: str
    by_reading: bool = False
    low_of_rated: float | None = None
    high_of_rated: float | None = None


_GRADES = {"within": "good", "low": "bad", "high": "bad", "not known": "unknown"}


def judged(
    ratings: Sequence[Rating],
    nominal: RunningLine | None,
    *,
    no_dropper: bool = False,
    read: Mapping[str, float] | None = None,
) -> dict[str, JudgedHeater]:
    """Each tube against its band; a lamp's tap section is left out of its rectifier's share.

    ``read`` are the shares of battery filaments that were measured within their band, as they are at the nominal line.

    With ``no_dropper``, in a string that was built without one, all running high only as far as the line may have risen
    since is something to watch.
    """
    found: dict[str, JudgedHeater] = {}
    for one in ratings:
        running = nominal.tubes.get(one.tube) if nominal else None
        share = running.judged_of_rated if running else None
        low, high = band(one)
        if read and one.tube in read:
            found[one.tube] = JudgedHeater("within", read[one.tube], low, high, one.held, _GRADES["within"], True)
            continue
        ends = (running.low_of_rated, running.high_of_rated) if running else (None, None)
        verdict = _verdict(share, low, high)
        if verdict in ("low", "high") and ends[0] is not None and ends[1] is not None:
            nearest = _verdict(ends[1] if verdict == "low" else ends[0], low, high)
            verdict = verdict if verdict == nearest else "not known"
        found[one.tube] = JudgedHeater(verdict, share, low, high, one.held, _grade(verdict, (low, high)), False, *ends)
    if no_dropper and all(_risen(j) for j in found.values()):
        return {tube: replace(j, graded="watch") if j.verdict == "high" else j for tube, j in found.items()}
    return found


def _grade(verdict: str, held_to: tuple[float, float]) -> str:
    """A band from memory makes no fault: outside it a filament is to be watched."""
    return "watch" if held_to == FILAMENT_BAND and verdict in ("low", "high") else _GRADES[verdict]


def built_without_dropper(string: HeaterString) -> bool:
    """Whether the record shows nothing in series with heaters of one current, and nothing that would change them."""
    return not (string.dropper or string.mixed or string.thermistor or string.shunts)


def _risen(one: JudgedHeater) -> bool:
    """Whether the line of its day could have run a heater within its band."""
    return one.of_rated is not None and one.low * (1 - 1e-9) <= one.of_rated <= one.high * RISEN_LINE * (1 + 1e-9)


def band(one: Rating) -> tuple[float, float]:
    """Lowest and highest share of rated volts."""
    if one.direct and one.volts is not None and one.volts <= BATTERY_FILAMENT_VOLTS and not one.rectifier:
        return FILAMENT_BAND
    return BAND


def _verdict(share: float | None, low: float, high: float) -> str:
    if share is None:
        return "not known"
    # A hair is rounding, not a fault: 110 % computed as 1.1000000000000001 is within.
    if share < low * (1 - 1e-9):
        return "low"
    return "high" if share > high * (1 + 1e-9) else "within"
