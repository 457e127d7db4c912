"""Where the set's voltage selector stands, held against the line that the set hangs on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.line_scaling import selector_volts
from ...record.figures import to_figures
from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from .bands import BAND

if TYPE_CHECKING:
    from ...record.text import Text
    from ...words import Words
    from .taps import MainsTap
    from .windings import HeaterWinding

NEAR_THE_MIDDLE = 0.015
"""A line is in the middle of two settings within this share of it, 3.5 V of 230. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Selected:
    """``volts`` are those it stands on. ``of_rated`` is what the heaters then have on the nominal line, the highest:
    as ``read`` at their windings, else as computed."""

    written: str
    volts: float
    line_volts: float | None
    of_rated: float | None
    better: str = ""
    read: bool = field(default=False, metadata={"json": False})

    @property
    def outside(self) -> bool:
        """Whether the heaters are out of their band for it."""
        return self.of_rated is not None and not BAND[0] <= self.of_rated <= BAND[1]

    def is_on(self, tap: MainsTap) -> bool:
        """Whether it stands on a setting."""
        return bool(tap.low_volts and tap.high_volts and tap.low_volts <= self.volts <= tap.high_volts)


def selected(
    written: Text | None,
    taps: Sequence[MainsTap],
    line: float | None,
    *,
    wound: bool,
    read_of_rated: float | None = None,
) -> Selected | None:
    """What follows from the selector's place; None where it names no voltage, or only words.

    ``read_of_rated`` is what of their volts the windings of the heaters were read to have on this line: it goes before
    what is computed, and where it is in its band no other setting is better.
    """
    volts = selector_volts(written)
    if volts is None or written is None:
        return None
    stands = Selected(str(written), volts, line, None)
    tap = next((t for t in taps if stands.is_on(t)), None)
    share = read_of_rated or (tap.here_highest_of_rated if tap else None)
    if share is None and wound and line:
        share = line / volts
    stands = replace(stands, of_rated=to_figures(share), read=read_of_rated is not None)
    nearest = next((t for t in taps if t.nearest and t is not tap), None)
    settled = (stands.read and not stands.outside) or (nearest and line and _between(volts, nearest, line))
    return stands if nearest is None or tap is None or settled else replace(stands, better=nearest.name)


def _between(volts: float, nearest: MainsTap, line: float) -> bool:
    """Whether a line lies so near to the middle of two settings that it is no reason to take the other."""
    other = nearest.volts
    return other is not None and abs(line - (volts + other) / 2) <= NEAR_THE_MIDDLE * line


def read_of_rated(windings: Sequence[HeaterWinding], read_at: float | None, line: float | None) -> float | None:
    """The highest share of their volts that windings of heaters were read to have, in proportion to the line."""
    read = (w.measured_of_nominal for w in windings if w.measured_of_nominal and not w.plates)
    highest = max(read, default=None)
    return highest * line / (read_at or line) if highest and line else None


def said_of_selector(found: Selected | None, words: Words) -> Iterator[Sentence]:
    """A selector that leaves the heaters out of their band, or that has a better place for this line."""
    if found is None or found.line_volts is None or not (found.outside or found.better):
        return
    how = ", as was read at their winding" if found.read else ""
    heaters = f": the heaters have {say(found.of_rated, '1', digits=2)} of their volts{how}" if found.of_rated else ""
    better = f". {found.better} is nearer" if found.better else ""
    yield Sentence(
        Verdict.WATCH,
        f"The {words.line} selector stands on {say(found.volts, 'V')} and the {words.line} has "
        f"{say(found.line_volts, 'V')}{heaters}{better}.",
        "heaters",
    )
