"""What bears out an operating point that was only remembered, or one figure of it.

The same point read of the same triode or system, or of the same type by another source; the same slope or factor, read
at these plate volts or where its point is not printed; the same bias (or what makes it) and current, where a source
prints no volts; heat under a rating that was read; a triode's three figures that fit each other; a public model
(`fitted_models.py`). What lies with it on the tube law is in `second_points.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from benchleaf.tubes.build_tube import tube_of
from benchleaf.tubes.fitted_models import MODEL_TOLERANCE, FittedModel, fitted_models
from benchleaf.tubes.rectifiers import Drop, rectifier_figures
from benchleaf.tubes.sisters import Shares, relatives
from benchleaf.tubes.tube import Tube, Typical, from_memory

__all__ = ["MU_TOLERANCE", "drop_checks", "figures_fit", "grid_volts", "kin", "models", "point_checks", "rating_checks"]

MU_TOLERANCE = 0.15
"""How far slope times plate resistance may lie from the amplification factor: sheets round each to two figures."""

_LEAST_HEAT, _LEAST_VOLTS = 0.25, 0.8
"""The least share of the rated dissipation and volts at which a use speaks for them. Common practice, no source."""


def kin(tube: Tube, sharing: Shares = "system") -> Iterator[Tube]:
    """The tubes of the table that share a system, a triode or the pins with this one."""
    return (tube_of(relative.type) for relative in relatives(tube.type) if sharing in relative.shares)


def point_checks(tube: Tube, typical: Typical, figure: str = "") -> Iterator[str]:
    """In words, each thing that bears out a point, or one ``figure`` of it (a field of `Typical`)."""
    for other in kin(tube, "triode"):
        if _read_alike(typical, other, figure):
            yield f"the {other.type} has the same point"
    if _read_alike(typical, tube, figure):
        yield "another source has the same"
    yield from _figures_read(typical, tube, figure)
    yield from _bias_read(typical, tube, figure)
    if figure in ("", "mu", "gm_siemens", "rp_ohms") and figures_fit(typical):
        yield "slope times internal resistance is the amplification factor"
    if figure in ("", "plate_volts", "plate_amps"):
        yield from _heat_checks(tube, typical)
    yield from islice(_model_checks(tube, typical, figure), 1)


def _read_alike(typical: Typical, other: Tube, figure: str) -> bool:
    """True where a point of ``other`` that was read is the same, and has the same figure if one is asked for."""
    same = (o for o in other.typical if _same_point(typical, o) and not from_memory(o.sources))
    return any(not figure or getattr(o, figure) == getattr(typical, figure) for o in same)


def _same_point(one: Typical, read: Typical) -> bool:
    """True for the same volts and current; a source may leave the screen's volts unsaid."""
    if one.plate_amps is None or (one.section, one.plate_volts) != (read.section, read.plate_volts):
        return False
    return one.plate_amps == read.plate_amps and read.screen_volts in (None, one.screen_volts)


def _readings(typical: Typical, tube: Tube) -> Iterator[tuple[str, list[Typical]]]:
    """The points that were read of this section, of the type and of its kin, each with who it is in words."""
    for other in (tube, *kin(tube, "triode")):
        read = [o for o in other.typical if o.section == typical.section and not from_memory(o.sources)]
        yield "another source" if other is tube else f"the {other.type}", read


def _figures_read(typical: Typical, tube: Tube, figure: str) -> Iterator[str]:
    """Who prints the slope or factor asked for, of the type or its kin, at these plate volts or without any."""
    for name, words in (("gm_siemens", "slope"), ("mu", "amplification factor")):
        value = getattr(typical, name) if figure == name else None
        for who, read in _readings(typical, tube) if value is not None else ():
            if any(getattr(o, name) == value and o.plate_volts in (None, typical.plate_volts) for o in read):
                yield f"{who} has the same {words}"
                break


def _bias_read(typical: Typical, tube: Tube, figure: str) -> Iterator[str]:
    """Who prints the same grid volts and plate current, without the plate's volts."""
    if figure not in ("", "grid_volts", "plate_amps") or typical.grid_volts is None or typical.plate_amps is None:
        return
    for who, read in _readings(typical, tube):
        bare = [o for o in read if o.plate_volts is None and o.plate_amps == typical.plate_amps]
        if any(o.grid_volts == typical.grid_volts for o in bare):
            yield f"{who} has the same bias and current"
        elif any(_makes_bias(o.cathode_ohms, typical) for o in bare):
            yield f"{who} has the same current, and a cathode resistor that makes the bias"


def _makes_bias(cathode_ohms: float | None, typical: Typical) -> bool:
    """True where a cathode resistor of this section and a small one beside it makes a point's bias."""
    if not (cathode_ohms and typical.plate_amps and typical.grid_volts):
        return False
    made = cathode_ohms * (typical.plate_amps + (typical.screen_amps or 0.0))
    return abs(made + typical.grid_volts) <= MU_TOLERANCE * abs(typical.grid_volts)


def _heat_checks(tube: Tube, typical: Typical) -> Iterator[str]:
    for other in (tube, *kin(tube)):
        for maxima in (other.maxima, *other.other_maxima):
            rated = maxima.plate_watts if maxima.section == typical.section else None
            if rated and not from_memory(rated.sources) and _fits_heat(typical, rated.value):
                whose = "" if other is tube else f" of the {other.type}"
                yield f"its heat, {_heat_of(typical)}, is under the {rated.value:g} W read{whose}"


def rating_checks(tube: Tube, section: str, name: str, most: float) -> Iterator[str]:
    """In words, what bears out a rated value (``name`` is its field of `Maxima`): a point that was read of the type,
    or else of its kin, whose heat or volts are at most the rating and no small part of it."""
    for other in (tube, *kin(tube)):
        whose = "" if other is tube else f" of the {other.type}"
        read = [p for p in other.typical if p.section == section and not from_memory(p.sources)]
        if name == "plate_watts" and (warm := [p for p in read if _fits_heat(p, most)]):
            yield from (f"the heat of a point{whose} that was read, {_heat_of(p)}, is under it" for p in warm)
            return
        used = [volts for p in read if (volts := _used(p, name)) and _LEAST_VOLTS * most <= volts <= most]
        if used:
            yield f"a point{whose} that was read has {max(used):g} V there"
            return


def _used(typical: Typical, name: str) -> float | None:
    return {"plate_volts": typical.plate_volts, "screen_volts": typical.screen_volts}.get(name)


def _fits_heat(typical: Typical, most_watts: float) -> bool:
    """True where plate volts times plate current are at most the rating, and no small part of it."""
    if not (typical.plate_volts and typical.plate_amps):
        return False
    return _LEAST_HEAT * most_watts <= typical.plate_volts * typical.plate_amps <= most_watts


def _heat_of(typical: Typical) -> str:
    watts = (typical.plate_volts or 0.0) * (typical.plate_amps or 0.0)
    return f"{watts:.3g} W at {typical.plate_volts:g} V"


def figures_fit(typical: Typical) -> bool:
    """True for a triode's point whose slope times internal resistance is its amplification factor within 15 %."""
    if typical.screen_volts is not None or not (typical.mu and typical.gm_siemens and typical.rp_ohms):
        return False
    return abs(typical.gm_siemens * typical.rp_ohms - typical.mu) <= MU_TOLERANCE * typical.mu


def _model_checks(tube: Tube, typical: Typical, figure: str) -> Iterator[str]:
    """The public models of the type and its kin that have this point's current, screen current or slope."""
    for other in (tube, *kin(tube, "triode")):
        for model in fitted_models(other.type):
            grid = grid_volts(typical)
            if grid is not None and models(model, typical):
                yield from _by_model(model, typical, grid, figure)


def models(model: FittedModel, typical: Typical) -> bool:
    """True where a model has a plate current at a point: the same section and grids, the grid not above the cathode."""
    grid = grid_volts(typical)
    fits = (model.section, model.screened) == (typical.section, bool(typical.screen_volts)) and model.form != "diode"
    return fits and bool(typical.plate_volts and typical.plate_amps) and grid is not None and grid <= 0


def grid_volts(typical: Typical) -> float | None:
    """A point's grid volts as printed, or by its cathode's resistor; None where neither is printed."""
    if typical.grid_volts is not None or not (typical.cathode_ohms and typical.plate_amps):
        return typical.grid_volts
    return -typical.cathode_ohms * (typical.plate_amps + (typical.screen_amps or 0.0))


def _by_model(model: FittedModel, typical: Typical, grid: float, figure: str) -> Iterator[str]:
    at = (typical.plate_volts or 0.0, grid, typical.screen_volts)
    plate, screen = model.currents(*at)
    who = f"a public SPICE model of the {model.type}"
    if figure in ("", "plate_amps") and _near(plate, typical.plate_amps):
        yield f"{who} has {plate * 1e3:.3g} mA there"
    elif figure == "screen_amps" and screen is not None and _near(screen, typical.screen_amps):
        yield f"{who} has {screen * 1e3:.3g} mA there"
    elif figure == "gm_siemens" and _near(model.slope(*at), typical.gm_siemens):
        yield f"{who} has {model.slope(*at) * 1e3:.3g} mS there"


def _near(found: float, value: float | None) -> bool:
    return value is not None and abs(found - value) <= MODEL_TOLERANCE * value


def drop_checks(tube: Tube, drop: Drop) -> Iterator[str]:
    """In words, each thing that bears out what a rectifier drops: kin that was read, and public models."""
    for other in (tube, *kin(tube)):
        figures = rectifier_figures(other)
        for read in figures.drops if figures else ():
            if (read.volts, read.amps) == (drop.volts, drop.amps) and not from_memory(read.sources):
                yield f"the {other.type} drops the same"
    yield from islice(_drop_by_model(tube, drop), 1)


def _drop_by_model(tube: Tube, drop: Drop) -> Iterator[str]:
    for other in (tube, *kin(tube)):
        for model in fitted_models(other.type):
            if model.form == "diode" and _near(model.drop_volts(drop.amps), drop.volts):
                yield f"a public SPICE model of the {model.name} drops {model.drop_volts(drop.amps):.3g} V there"
