"""Where the set's voltage selector stands, held against the line that the set hangs on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
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


@dataclass(frozen=True, slots=True)
class Selected:
    """``volts`` are those it stands on. ``of_rated`` is what the heaters then have on the nominal line, the highest."""

    written: str
    volts: float
    line_volts: float | None
    of_rated: float | None
    better: str = ""

    @property
    def outside(self) -> bool:
        """Whether the heaters are out of their band for it."""
        return self.of_rated is not None and not BAND[0] <= self.of_rated <= BAND[1]

    def is_on(self, tap: MainsTap) -> bool:
        """Whether it stands on a setting."""
        return bool(tap.low_volts and tap.high_volts and tap.low_volts <= self.volts <= tap.high_volts)


def selected(written: Text | None, taps: Sequence[MainsTap], line: float | None, *, wound: bool) -> Selected | None:
    """What follows from the selector's place; None where it names no voltage, or only words."""
    volts = selector_volts(written)
    if volts is None or written is None:
        return None
    stands = Selected(str(written), volts, line, None)
    tap = next((t for t in taps if stands.is_on(t)), None)
    share = tap.here_highest_of_rated if tap else None
    if share is None and wound and line:
        share = line / volts
    nearest = next((t.name for t in taps if t.nearest and t is not tap), "")
    return replace(stands, of_rated=to_figures(share), better=nearest if tap else "")


def said_of_selector(found: Selected | None, words: Words) -> Iterator[Sentence]:
    """A selector that leaves the heaters out of their band, or that has a better place for this line."""
    if found is None or found.line_volts is None or not (found.outside or found.better):
        return
    heaters = f": the heaters have {say(found.of_rated, '1', digits=2)} of their volts" if found.of_rated else ""
    better = f". {found.better} is nearer" if found.better else ""
    yield Sentence(
        Verdict.WATCH,
        f"The {words.line} selector stands on {say(found.volts, 'V')} and the {words.line} has "
        f"{say(found.line_volts, 'V')}{heaters}{better}.",
        "heaters",
    )
