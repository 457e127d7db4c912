"""What a meter takes, on which range it read, and what it may be off by: by its ohms, ohms per volt and range."""

from __future__ import annotations

from typing import Any

import pytest

from benchleaf.chapters.readings.meters import scale_uncertainty, taken_amps, uncertainty
from benchleaf.chapters.readings.runs import MEASURED, Conditions, Readings

DIGITAL = {"meter_ohms": 10e6}
POINTER = {"meter_ohms_per_volt": 1e3, "meter_range_volts": 250.0}


def meter(of: dict[str, float], **more: float) -> Conditions:
    given: dict[str, Any] = {**of, **more}
    return Conditions(120.0, "the list", **given)


def of_list(conditions: Conditions) -> Readings:
    return Readings("as found", MEASURED, conditions, (), ())


@pytest.mark.parametrize(
    ("of", "volts", "amps", "off"),
    [
        (DIGITAL, 100.0, 10e-6, 0.0),
        (DIGITAL, -100.0, -10e-6, 0.0),
        (POINTER, 125.0, 0.5e-3, 0.0),
        (POINTER, 250.0, 1e-3, 0.0),
        # Above its range it was another, on which full scale takes one over the ohms per volt.
        (POINTER, 251.0, 0.5e-3, 0.5e-3),
        (POINTER, -251.0, -0.5e-3, 0.5e-3),
        ({"meter_ohms_per_volt": 20e3}, 100.0, 25e-6, 25e-6),
        ({"meter_ohms_per_volt": 20e3}, -100.0, -25e-6, 25e-6),
        ({}, 100.0, 0.0, 0.0),
        ({"meter_range_volts": 250.0}, 100.0, 0.0, 0.0),
    ],
)
def test_what_a_meter_takes(of: dict[str, float], volts: float, amps: float, off: float) -> None:
    assert taken_amps(volts, meter(of)) == (pytest.approx(amps), pytest.approx(off))


@pytest.mark.parametrize(
    ("of", "volts", "may_be_off"),
    [
        # 3 % of full scale and half a division of fifty, below a tenth of the range (common practice, no source).
        (POINTER, 24.9, 10.0),
        (POINTER, -24.9, 10.0),
        (POINTER, 25.0, None),
        ({**POINTER, "meter_error_of_range": 0.02}, 10.0, 7.5),
        ({**POINTER, "meter_error_of_range": 0.02, "meter_error": 0.1}, -10.0, 8.5),
        ({**POINTER, "meter_ohms": 1e6}, 10.0, None),
        ({"meter_ohms_per_volt": 1e3}, 10.0, None),
        (POINTER, None, None),
    ],
)
def test_what_a_pointer_far_down_its_scale_may_be_off_by(
    of: dict[str, float], volts: float | None, may_be_off: float | None
) -> None:
    assert scale_uncertainty(volts, meter(of)) == (None if may_be_off is None else pytest.approx(may_be_off))


@pytest.mark.parametrize(
    ("of", "volts", "may_be_off"),
    [
        ({**POINTER, "meter_error_of_range": 0.03}, 24.9, None),
        ({**POINTER, "meter_error_of_range": 0.03}, 25.0, 7.5),
        ({**POINTER, "meter_error_of_range": 0.03}, -250.0, 7.5),
        ({**POINTER, "meter_error_of_range": 0.03}, 251.0, None),
        ({**POINTER, "meter_error_of_range": 0.03, "meter_error": 0.01}, 100.0, 8.5),
        ({**POINTER, "meter_error": 0.01}, 10.0, 0.1),
        ({**DIGITAL, "meter_error": 0.01}, -10.0, 0.1),
        ({**DIGITAL, "meter_error_of_range": 0.03, "meter_range_volts": 250.0}, 10.0, 7.5),
        (DIGITAL, 10.0, None),
        (POINTER, None, None),
    ],
)
def test_what_a_reading_may_be_off_by(of: dict[str, float], volts: float | None, may_be_off: float | None) -> None:
    found = uncertainty(volts, of_list(meter(of)))
    assert found == (None if may_be_off is None else pytest.approx(may_be_off))


@pytest.mark.parametrize(
    ("of", "volts", "ohms"),
    [
        (DIGITAL, 400.0, 10e6),
        (POINTER, 250.0, 250e3),
        (POINTER, -250.0, 250e3),
        (POINTER, 251.0, 500e3),
        ({"meter_ohms_per_volt": 1e3}, 10.0, 10e3),
        ({"meter_ohms_per_volt": 1e3}, -10.1, 50e3),
        ({"meter_ohms_per_volt": 1e3}, 2000.0, 1e6),
        ({}, 10.0, None),
    ],
)
def test_what_a_meter_loads_a_place_with_on_the_range_that_holds_its_volts(
    of: dict[str, float], volts: float, ohms: float | None
) -> None:
    """10, 50, 250, 500 and 1000 V are the ranges of most meters with a pointer (common practice, no source)."""
    assert meter(of).ohms_at(volts) == ohms
