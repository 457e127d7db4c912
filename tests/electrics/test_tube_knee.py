"""Where a pentode's plate stops taking what the cathode gives: the law against curves that were measured."""

from __future__ import annotations

import pytest

from benchleaf.electrics.tube_law import KNEE_OF_SCREEN, PublishedPoint, converter, plate_amps, through_point
from benchleaf.tubes import find
from benchleaf.tubes.fitted_models import fitted_models
from random_nets import published

MEASURED = {
    (200, -3.0, 5.61, 1.39, 6.22): ((8.47, 2.73), (15.94, 4.21), (23.09, 4.88), (30.59, 5.14), (45.59, 5.28)),
    (200, -2.5, 8.70, 2.17, 6.58): ((9.83, 2.65), (15.93, 5.07), (23.40, 6.89), (30.89, 7.63), (45.54, 8.08)),
    (250, -3.5, 8.53, 2.18, 5.90): ((8.80, 3.30), (15.92, 5.39), (23.40, 6.83), (30.55, 7.54), (45.55, 7.92)),
    (250, -4.0, 5.62, 1.42, 5.90): ((8.81, 2.86), (15.95, 4.09), (23.44, 4.75), (30.93, 5.10), (45.59, 5.23)),
    (300, -4.5, 8.35, 2.15, 6.03): ((8.46, 3.36), (15.92, 5.38), (23.40, 6.67), (30.89, 7.31), (45.55, 7.71)),
}
"""An EF80 on a curve tracer, in public test files of a program that fits models (EF80_200, _250, _300): screen and grid
volts, plate and screen mA at 201 V on the plate, mA/V between neighbouring curves; volts and mA below the knee."""


@pytest.mark.handbook
@pytest.mark.parametrize(("at", "below"), MEASURED.items())
def test_an_rf_pentodes_knee_is_where_it_was_measured(
    at: tuple[float, ...], below: tuple[tuple[float, float], ...]
) -> None:
    """With its knee at the drive, 2 V, the plate had 90 % of its current at 5 V; measured were 90 % at 30 V."""
    screen, grid, plate_ma, screen_ma, slope_ma = at
    point = PublishedPoint(201.0, plate_ma / 1e3, grid, screen, screen_ma / 1e3, gm_siemens=slope_ma / 1e3)
    law = through_point(point)
    for volts, measured_ma in below:
        told = plate_amps(law, volts, screen, grid) * 1e3
        assert abs(told - measured_ma) <= 0.2 * plate_ma, volts
    assert law.knee > 3


@pytest.mark.handbook
@pytest.mark.parametrize("type_", ["6V6GT", "6AQ5", "6L6G", "5881"])
def test_an_output_tubes_knee_is_that_of_models_fitted_to_its_sheet(type_: str) -> None:
    """Koren's arc tangent with the knee that others fitted; these tubes' drive is 7 % of the screen's volts itself."""
    tube = find(type_)
    assert tube is not None
    point = next(p for p in tube.typical if p.gm_siemens and p.screen_amps and p.grid_volts and p.plate_volts)
    law, model = through_point(published(point)), next(m for m in fitted_models(type_) if m.form == "koren pentode")
    for volts in (5.0, 10.0, 20.0, 30.0, 50.0):
        fitted = model.currents(volts, point.grid_volts, point.screen_volts)[0]
        whole = model.currents(point.plate_volts, point.grid_volts, point.screen_volts)[0]
        told = plate_amps(law, volts, point.screen_volts, point.grid_volts) / point.plate_amps
        assert abs(told - fitted / whole) <= 0.12, volts


def test_the_published_point_stays_on_the_law_with_its_wider_knee() -> None:
    for type_ in ("EL84", "EF86", "6AU6", "50L6GT", "1S5", "3S4"):
        tube = find(type_)
        assert tube is not None
        point = next(p for p in tube.typical if p.screen_amps and p.screen_volts and not p.section)
        law = through_point(published(point))
        grid = (
            point.grid_volts
            if point.grid_volts is not None
            else -(point.cathode_ohms or 0) * ((point.plate_amps or 0) + (point.screen_amps or 0))
        )
        assert plate_amps(law, point.plate_volts, point.screen_volts, grid) == pytest.approx(point.plate_amps, rel=0.01)


def test_a_converters_knee_follows_its_screen() -> None:
    law = converter(2.6e-3, 7.5e-3, 100.0, 250.0)
    assert law.knee * 100.0 / 20.0 == pytest.approx(KNEE_OF_SCREEN * 100.0)
    assert plate_amps(law, 250.0, 100.0, 0.0) == pytest.approx(2.6e-3, rel=1e-6)
