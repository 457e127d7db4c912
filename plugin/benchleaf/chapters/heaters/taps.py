"""Settings of a dropper or of a transformer's primary: what the heaters run at on the voltage each is made for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from ...circuit.heater_names import DROPPER
from ...record.quantities import Quantity, QuantityError, read_quantity
from ...record.text import Text
from .bands import BAND
from .rated import si
from .running import RunningLine, run
from .string import FittedDropper, HeaterString
from .windings import HeaterWinding

_Shares = tuple[float | None, float | None]


@dataclass(frozen=True, slots=True)
class MainsTap:
    """A setting: its ohms, and the lowest and highest share of rated volts that the heaters have with it.

    It is made for ``volts`` (``low_volts`` to ``high_volts`` where its name is a range), and judged there: ``within``,
    ``outside`` or ``not known``. ``here_lowest_of_rated`` and ``here_highest_of_rated`` are on the nominal line;
    ``nearest`` marks the setting that is made for a voltage nearest to it. ``of_transformer``: a tap of its primary.
    """

    name: str
    volts: float | None
    low_volts: float | None
    high_volts: float | None
    ohms: float
    lowest_of_rated: float | None
    highest_of_rated: float | None
    here_lowest_of_rated: float | None
    here_highest_of_rated: float | None
    verdict: str
    nearest: bool
    of_transformer: bool = False


def dropper_taps(string: HeaterString, taps: Mapping[Text, Quantity], line: float | None) -> tuple[MainsTap, ...]:
    """Each setting as the string would run with its ohms in series; without a written dropper they are the dropper."""
    fitted = string.dropper or FittedDropper("resistor", None)
    if fitted.kind not in ("resistor", "resistance cord", "ballast"):
        return ()

    def shares(ohms: float, volts: float) -> _Shares:
        return _shares(run(replace(string, dropper=replace(fitted, ohms=ohms)), volts, ""))

    return _marked(tuple(_tap(name, ohms, shares, line) for name, ohms in _written(taps)), line)


def with_tap(
    string: HeaterString, taps: Mapping[Text, Quantity], line: float | None, selector: float | None = None
) -> HeaterString:
    """The string with the setting in use, where taps are written and no dropper is: that of the ``selector``'s volts,
    else that for the line."""
    if string.dropper is not None:
        return string
    settings = dropper_taps(string, taps, line)
    chosen = (t for t in settings if selector and t.low_volts and (t.low_volts <= selector <= (t.high_volts or 0)))
    used = next(chosen, None) or next((t for t in settings if t.nearest), None)
    if used is None:
        return string
    return replace(string, dropper=FittedDropper("resistor", used.ohms, tap=used.name), chain=(DROPPER, *string.chain))


def transformer_taps(
    windings: Sequence[HeaterWinding], taps: Mapping[Text, Quantity], line: float | None, *, wound: bool
) -> tuple[MainsTap, ...]:
    """Each setting of a transformer: on the voltage it is made for its windings have their nominal volts.

    ``wound`` is false where a transformer is not known to feed the set.
    """
    nominal = [t.of_rated for w in windings for t in w.tubes if t.of_rated is not None]
    found = []
    for name, ohms in _written(taps):
        made_for = _volts(name)[0]

        def shares(_: float, volts: float, made_for: float | None = made_for) -> _Shares:
            if not made_for or not nominal:
                return None, None
            return min(nominal) * volts / made_for, max(nominal) * volts / made_for

        found.append(replace(_tap(name, ohms, shares, line), of_transformer=wound))
    return _marked(tuple(found), line)


def _written(taps: Mapping[Text, Quantity]) -> list[tuple[Text, float]]:
    return [(name, ohms.si) for name, ohms in taps.items() if ohms.si is not None and ohms.si >= 0]


def _tap(name: Text, ohms: float, shares: Callable[[float, float], _Shares], line: float | None) -> MainsTap:
    volts, low, high = _volts(name)
    lowest = shares(ohms, low)[0] if low else None
    highest = shares(ohms, high)[1] if high else None
    here = shares(ohms, line) if line else (None, None)
    return MainsTap(str(name), volts, low, high, ohms, lowest, highest, *here, _verdict(lowest, highest), nearest=False)


def _verdict(lowest: float | None, highest: float | None) -> str:
    if lowest is None or highest is None:
        return "not known"
    low, high = BAND
    return "within" if low * (1 - 1e-9) <= lowest and highest <= high * (1 + 1e-9) else "outside"


def _shares(line: RunningLine) -> _Shares:
    known = [t.judged_of_rated for t in line.tubes.values() if t.judged_of_rated is not None]
    return min(known, default=None), max(known, default=None)


def _marked(found: tuple[MainsTap, ...], line: float | None) -> tuple[MainsTap, ...]:
    known = [t for t in found if t.volts]
    if not known or line is None:
        return found
    best = min(known, key=lambda t: (_outside(t, line), abs((t.volts or 0) - line)))
    return tuple(replace(t, nearest=t is best) for t in found)


def _outside(tap: MainsTap, line: float) -> float:
    """How far the line is from what a setting is made for; 0 within its range."""
    return max((tap.low_volts or 0) - line, line - (tap.high_volts or 0), 0.0)


def _volts(name: Text) -> tuple[float | None, float | None, float | None]:
    """Volts that a setting is named by, and their limits: ``220 V``, or ``200-220 V``, whose middle is the first."""
    try:
        read = read_quantity(str(name), "voltage", bare="V")
    except QuantityError:
        return None, None, None
    if read.low is not None and read.high is not None and 0 < read.low <= read.high:
        return (read.low + read.high) / 2, read.low, read.high
    value = si(read)
    return value, value, value
