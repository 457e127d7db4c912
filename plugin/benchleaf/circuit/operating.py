"""One stage's operating point: its currents with how each is known, the heat of plate and screen, and their ratings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ..tubes import grade
from .places import Place
from .resistors import Through
from .stages import Stage, maxima_of

if TYPE_CHECKING:
    from ..tubes import Rated, Tube

AGREE = 0.1
"""Currents that should be one agree within 10 %: two measured resistors and two readings allow that much. Common
practice, no source."""

_PAGE = {"json": False}


@dataclass(frozen=True, slots=True)
class Operating:
    """One stage's currents in amperes and dissipations in watts, of three figures; None where they cannot be known.

    ``cathode_by``, ``plate_by`` and ``screen_by`` say how a current came about: ``resistor``, ``sum``, ``difference``,
    ``cathode`` (all of the cathode's) or ``assumed share``. ``low`` and ``high`` are ends where a share was assumed, or
    where the drop is small beside what its two readings may be off by. ``drop_amps`` is the plate's current by such a
    drop where the cathode's resistor tells it better, and ``drop_off_amps`` what that may be off by.
    ``sum_over_cathode`` is plate and screen current over cathode current, where they were found independently; a
    screen's that is not known is left out where the plate's alone is more than the cathode's.
    """

    cathode_amps: float | None = None
    plate_amps: float | None = None
    screen_amps: float | None = None
    plate_watts: float | None = None
    screen_watts: float | None = None
    run: str = ""
    tube: str = ""
    section: str = ""
    cathode_by: str = ""
    plate_by: str = ""
    screen_by: str = ""
    plate_to_cathode_volts: float | None = None
    screen_to_cathode_volts: float | None = None
    plate_amps_low: float | None = None
    plate_amps_high: float | None = None
    plate_watts_low: float | None = None
    plate_watts_high: float | None = None
    screen_share: float | None = None
    screen_share_source: str = ""
    sharing_cathode: int = 1
    max_plate_watts: float | None = None
    max_plate_watts_source: str = ""
    max_screen_watts: float | None = None
    max_screen_watts_source: str = ""
    sum_over_cathode: float | None = None
    drop_amps: float | None = None
    drop_off_amps: float | None = None
    through: tuple[Through, ...] = field(default=(), metadata=_PAGE)
    lacks: tuple[str, ...] = field(default=(), metadata=_PAGE)

    @property
    def plate_over(self) -> bool | None:
        """Whether the plate turns more into heat than its rating; None where it depends on what was assumed."""
        return _over(self.max_plate_watts, self.plate_watts, self.plate_watts_low, self.plate_watts_high)

    @property
    def screen_over(self) -> bool | None:
        known = self.screen_watts if self.screen_by != "assumed share" else None
        return _over(self.max_screen_watts, known, None, None)

    @property
    def disagrees(self) -> bool:
        """Whether plate and screen together are not the cathode's current, by more than two resistors allow."""
        return self.sum_over_cathode is not None and abs(self.sum_over_cathode - 1) > AGREE

    @property
    def above_cathode(self) -> bool:
        """Whether the plate is said to take more than the cathode gives, though no more than readings may be off by."""
        over = self.plate_amps is not None and self.cathode_amps is not None and self.plate_amps > self.cathode_amps
        return over and not self.disagrees

    @property
    def drop_agrees(self) -> bool | None:
        """Whether the plate's current by its small drop is the one told, within what it may be off by."""
        if self.drop_amps is None or self.drop_off_amps is None or self.plate_amps is None:
            return None
        low, high = self.plate_amps_low or self.plate_amps, self.plate_amps_high or self.plate_amps
        return low - self.drop_off_amps <= self.drop_amps <= high + self.drop_off_amps


def _over(most: float | None, watts: float | None, low: float | None, high: float | None) -> bool | None:
    if most is None or watts is None:
        return None
    if low is None or high is None:
        return watts > most
    return None if low <= most < high else low > most


def with_heat(point: Operating, stage: Stage, volts: Mapping[Place, float], tube: Tube | None) -> Operating:
    """An operating point with what plate and screen turn into heat, and the ratings of the tube's section."""
    return _rated(_heated(point, stage, volts), stage, tube)


def _heated(point: Operating, stage: Stage, volts: Mapping[Place, float]) -> Operating:
    """Plate-to-cathode volts times plate current, and the same for the screen."""
    cathode = volts.get(stage.cathode) if stage.cathode else None
    if cathode is None:
        return replace(point, lacks=(*point.lacks, "the cathode was not read"))
    plate = volts.get(stage.plates[0]) if len(stage.plates) == 1 else None
    screen = volts.get(stage.screens[0]) if len(stage.screens) == 1 else None
    across = plate - cathode if plate is not None else None
    across_screen = screen - cathode if screen is not None else None
    return replace(
        point,
        plate_to_cathode_volts=across,
        screen_to_cathode_volts=across_screen,
        plate_watts=_product(across, point.plate_amps),
        plate_watts_low=_product(across, point.plate_amps_low),
        plate_watts_high=_product(across, point.plate_amps_high),
        screen_watts=_product(across_screen, point.screen_amps),
    )


def _product(volts: float | None, amps: float | None) -> float | None:
    return volts * amps if volts is not None and amps is not None else None


def _rated(point: Operating, stage: Stage, tube: Tube | None) -> Operating:
    maxima = maxima_of(stage, tube) if tube else None
    if tube is None or maxima is None:
        return point
    plate, screen = maxima.plate_watts, maxima.screen_watts

    def source(name: str, limit: Rated | None) -> str:
        return grade.said(limit.sources[:1], grade.rated(tube, maxima.section, name, limit)) if limit else ""

    return replace(
        point,
        max_plate_watts=plate.value if plate else None,
        max_plate_watts_source=source("plate_watts", plate),
        max_screen_watts=screen.value if screen else None,
        max_screen_watts_source=source("screen_watts", screen),
    )
