"""Public SPICE models of tubes: the currents by parameters that somebody fitted to published curves.

`fitted_models.csv` has the parameters as their makers print them. A model is no reading of a sheet; it bears out a
point that lies on it. Three sets of equations are worked out here, for a grid at or below the cathode: those of
N. Koren, Glass Audio 5/1996; those that A. Nakabayashi published with his models; and Child's law (1911) for a diode.
Koren's screen current is left out: at the table's points it is far off for every tube (EL84: 1.4 mA for 5.5).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from benchleaf.tubes.tables import CsvRow, rows_of, sources_of
from benchleaf.tubes.tube import TableSource

__all__ = ["MODEL_TOLERANCE", "FittedModel", "fitted_models"]

MODEL_TOLERANCE = 0.15
"""How far a figure may lie from a model that bears it out. Common practice, no source: fits follow curves so."""

_STEP_VOLTS = 0.05


@dataclass(frozen=True, slots=True)
class FittedModel:
    """A model of a type's ``section``: its ``name`` in the library, its equations' ``form``, and its parameters."""

    type: str
    section: str
    name: str
    form: str
    fitted_to: str
    sources: tuple[TableSource, ...]
    parameters: Mapping[str, float]

    @property
    def screened(self) -> bool:
        """True for a model with a screen grid."""
        return self.form.endswith("pentode")

    def currents(self, plate: float, grid: float, screen: float | None = None) -> tuple[float, float | None]:
        """Plate current in amperes and the screen's, None where the model has no fit of it; volts above the cathode.

        Raises ValueError for a diode, for a grid above the cathode, and for a screened model without screen volts.
        """
        if self.form == "diode" or grid > 0 or (self.screened and not screen):
            raise ValueError(f"the model of the {self.type} has no plate current there")
        p = self.parameters
        if self.form == "koren triode":
            return _koren_triode(p, plate, grid), None
        if self.form == "nakabayashi triode":
            return min(_cathode_amps(p, plate, grid), p["limit"] * plate**1.5), None
        return (
            _koren_pentode(p, plate, screen or 0.0, grid)
            if self.form.startswith("koren")
            else _nakabayashi_pentode(p, plate, screen or 0.0, grid)
        )

    def slope(self, plate: float, grid: float, screen: float | None = None) -> float:
        """The slope of the plate current in siemens at the grid's volts. Raises ValueError as `currents` does."""
        low, high = grid - _STEP_VOLTS, min(grid + _STEP_VOLTS, 0.0)
        return (self.currents(plate, high, screen)[0] - self.currents(plate, low, screen)[0]) / (high - low)

    def drop_volts(self, amps: float) -> float:
        """What a diode drops in volts at a current in amperes (Child). Raises ValueError for another form."""
        if self.form != "diode":
            raise ValueError(f"the model of the {self.type} is no diode")
        return float((amps / self.parameters["perveance"]) ** (2 / 3))


def _koren_triode(p: Mapping[str, float], plate: float, grid: float) -> float:
    """Koren 1996, equations 4 and 5, with a contact potential where the library has one."""
    inner = p["kp"] * (1 / p["mu"] + (grid + p.get("contact", 0.0)) / math.sqrt(p["kvb"] + plate * plate))
    return float(2 * (plate / p["kp"] * math.log1p(math.exp(inner))) ** p["power"] / p["kg1"])


def _koren_pentode(p: Mapping[str, float], plate: float, screen: float, grid: float) -> tuple[float, None]:
    """Koren 1996: the screen pulls, the plate's knee is an arc tangent."""
    inner = screen / p["kp"] * math.log1p(math.exp(p["kp"] * (1 / p["mu"] + grid / screen)))
    return float(2 * inner ** p["power"] / p["kg1"] * math.atan(plate / p["kvb"])), None


def _cathode_amps(p: Mapping[str, float], pull: float, grid: float) -> float:
    """Nakabayashi: the three-halves law above the contact potential, a steeper one that joins it below."""
    drive = grid + p["offset"]
    if drive >= 0:
        return float(p["perveance"] * max(drive + pull / p["mu"], 0.0) ** 1.5)
    tail = p["scale"] * max(drive + pull / p["mu_cut"], 0.0)
    return float(p["gain"] * (p["spread"] * pull) ** -p["power"] * tail ** (1.5 + p["power"]))


def _nakabayashi_pentode(p: Mapping[str, float], plate: float, screen: float, grid: float) -> tuple[float, float]:
    """Nakabayashi: what the cathode gives, grown with the plate's volts, less the screen's share of it."""
    given = _cathode_amps(p, screen, grid) * (1 - 0.4 * (math.exp(-15 * plate / screen) - math.exp(-15)))
    to_screen = given * ((1 - p["share"]) * (10 / (plate + 10)) ** 1.5 + p["share"])
    grown = given * (plate + p["reach"]) / (screen + p["reach"])
    whole = min(grown, p["limit"] * max(plate, screen) ** 1.5)
    to_plate = min(whole - to_screen, p["limit"] * plate**1.5)
    return float(to_plate), float(whole - to_plate)


def fitted_models(type_: str) -> tuple[FittedModel, ...]:
    """The models of a type of the table, none for most."""
    return tuple(_model(row) for row in rows_of("fitted_models.csv").get(type_, ()))


def _model(row: CsvRow) -> FittedModel:
    given = (part.split("=") for part in row["parameters"].split())
    return FittedModel(
        row["type"],
        row["section"],
        row["name"],
        row["form"],
        row["fitted_to"],
        sources_of(row["source"]),
        {name: float(value) for name, value in given},
    )
