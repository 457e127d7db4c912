"""Tracking: exact at three points, scaling laws, published and independent figures."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest

from benchleaf.electrics.tracking import (
    CannotCoverError,
    NoPadderError,
    OscillatorCircuit,
    SignalCircuit,
    dial,
    error,
    half_width,
    image,
    image_rejection,
    images_in_band,
    least_error_points,
    loss,
    oscillator_through,
    signal_circuit,
    spread_points,
    whistles,
)

LOW, HIGH, IF, GANG = 540e3, 1620e3, 455e3, (12e-12, 365e-12)


def greatest(signal: SignalCircuit, oscillator: OscillatorCircuit) -> float:
    return max(abs(error(hertz, IF, signal, oscillator)) for hertz in dial(LOW, HIGH))


def test_the_figures_this_was_designed_with() -> None:
    """design's prototype, an own program: points 598, 1019 and 1532 kHz, 4.8 kHz, 399 pF, 20 kHz for 5 % of padder."""
    signal = signal_circuit(LOW, HIGH, *GANG)
    points = least_error_points(LOW, HIGH, IF, signal)
    assert points == pytest.approx((598e3, 1019e3, 1532e3), abs=1e3)
    oscillator = oscillator_through(points, IF, signal)
    assert greatest(signal, oscillator) == pytest.approx(4.8e3, rel=0.02)
    assert oscillator.padder_farads == pytest.approx(399e-12, rel=2e-3)
    small = replace(oscillator, padder_farads=0.95 * oscillator.padder_farads)
    assert error(LOW, IF, signal, small) - error(LOW, IF, signal, oscillator) == pytest.approx(13e3, rel=0.05)
    assert error(LOW, IF, signal, small) == pytest.approx(20e3, rel=0.12)


@pytest.mark.handbook
def test_against_a_published_example() -> None:
    """Scilab Textbook Companion 1409, ex. 8.5: 400-1650 kHz, IF 455 kHz, 300 pF: 17.65 pF, padder 138.8 pF, 365 uH.

    It fits two points, the ends, without a trimmer: that is an oscillator of ours whose trimmer is 0.
    """
    least = 300e-12 / (1650 / 400) ** 2
    assert least == pytest.approx(17.65e-12, rel=2e-3)
    signal = signal_circuit(400e3, 1650e3, least, 300e-12)
    assert signal.trimmer_farads == pytest.approx(0, abs=1e-16)
    printed = OscillatorCircuit(365e-6, 138.8e-12, 0.0)
    assert error(400e3, 455e3, signal, printed) == pytest.approx(0, abs=2e-3 * 855e3)
    assert error(1650e3, 455e3, signal, printed) == pytest.approx(0, abs=2e-3 * 2105e3)


def test_against_a_root_finder_on_the_circuit_itself() -> None:
    """worked_examples.csv, scipy's root finder: 200 uH, 600, 1000 and 1400 kHz: 113.486 uH, 448.012 pF, 11.228 pF.

    That one has no trimmer across the signal coil, so that its gang is whatever tunes 200 uH.
    """
    oscillator = oscillator_through((600e3, 1000e3, 1400e3), 455e3, SignalCircuit(200e-6, 0.0))
    found = (oscillator.henries, oscillator.padder_farads, oscillator.trimmer_farads)
    assert found == pytest.approx((113.486e-6, 448.012e-12, 11.228e-12), rel=1e-4)


def test_no_other_points_do_better() -> None:
    """Three hundred triples by chance; and the greatest error is as far up as down, as it is where it is least."""
    signal = signal_circuit(LOW, HIGH, *GANG)
    best = oscillator_through(least_error_points(LOW, HIGH, IF, signal), IF, signal)
    chance = random.Random(4)
    for _ in range(300):
        first, second, third = sorted(chance.uniform(LOW, HIGH) for _ in range(3))
        try:
            other = oscillator_through((first, second, third), IF, signal)
        except NoPadderError:
            continue
        assert greatest(signal, other) >= greatest(signal, best) * 0.995
    errors = [error(hertz, IF, signal, best) for hertz in dial(LOW, HIGH)]
    assert max(errors) == pytest.approx(-min(errors), rel=0.02)


@pytest.mark.parametrize("band", [(150e3, 285e3), (540e3, 1720e3), (5.8e6, 18e6)])
@pytest.mark.parametrize("between", [110e3, 465e3])
def test_in_step_at_three_points_and_laws_of_scale(band: tuple[float, float], between: float) -> None:
    """All frequencies times k at the same gang: the same capacitances, coils over k squared, errors times k."""
    signal, points = signal_circuit(*band, *GANG), spread_points(*band)
    oscillator = oscillator_through(points, between, signal)
    assert [error(hertz, between, signal, oscillator) for hertz in points] == pytest.approx(
        [0, 0, 0], abs=1e-7 * band[0]
    )
    assert signal.gang_at(band[0]) == pytest.approx(GANG[1])
    assert signal.gang_at(band[1]) == pytest.approx(GANG[0])
    k = 3.0
    other = signal_circuit(band[0] * k, band[1] * k, *GANG)
    scaled = oscillator_through(tuple(k * hertz for hertz in points), between * k, other)  # type: ignore[arg-type]
    assert scaled.padder_farads == pytest.approx(oscillator.padder_farads, rel=1e-6)
    assert scaled.trimmer_farads == pytest.approx(oscillator.trimmer_farads, rel=1e-6)
    assert scaled.henries * k**2 == pytest.approx(oscillator.henries, rel=1e-6)
    at = band[0] * 1.01
    assert error(at * k, between * k, other, scaled) == pytest.approx(
        k * error(at, between, signal, oscillator), rel=1e-4
    )
    larger = signal_circuit(*band, GANG[0] * k, GANG[1] * k)
    assert oscillator_through(points, between, larger).padder_farads == pytest.approx(k * oscillator.padder_farads)


def test_what_has_no_figure_says_why() -> None:
    with pytest.raises(CannotCoverError):
        signal_circuit(LOW, HIGH, 50e-12, 365e-12)
    with pytest.raises(NoPadderError):
        oscillator_through(spread_points(LOW, HIGH), 0.0, signal_circuit(LOW, HIGH, *GANG))
    with pytest.raises(NoPadderError) as told:  # an oscillator below the signal is not reached by a padder there
        oscillator_through((600e3, 1000e3, 1400e3), -100e3, SignalCircuit(200e-6, 32e-12))
    assert told.value.lacking == "coil"


def test_images_and_whistles() -> None:
    assert image(1000e3, IF) == 1910e3
    assert images_in_band(LOW, HIGH, IF) == (540e3, 710e3)
    assert images_in_band(LOW, 1400e3, IF) is None
    assert whistles(LOW, HIGH, IF) == (910e3, 1365e3)
    assert whistles(150e3, 285e3, 128e3) == (256e3,)
    assert whistles(5.8e6, 18e6, 465e3) == ()


def test_more_intermediate_frequency_never_brings_the_image_nearer() -> None:
    for hertz in (150e3, 1e6, 18e6):
        steps = [
            (image(hertz, between), image_rejection(hertz, between, 100))
            for between in range(110_000, 2_000_000, 90_000)
        ]
        assert steps == sorted(steps)
        assert [rejection for _, rejection in steps] == sorted(rejection for _, rejection in steps)


def test_half_a_width_off_costs_three_decibels() -> None:
    """By the definition of Q: 3 dB down at f/(2 Q) to either side; 5 kHz at 1 MHz and Q 100."""
    assert half_width(1e6, 100) == 5e3
    assert loss(1e6, 5e3, 100) == pytest.approx(10 * math.log10(2))
    assert loss(1e6, 0.0, 100) == 0.0


def test_image_rejection_by_hand() -> None:
    """Q 50 at 1 MHz with 455 kHz: 1.91 - 1/1.91 = 1.3864, times 50 = 69.3, which is 36.8 dB."""
    assert image_rejection(1e6, IF, 50) == pytest.approx(36.8, abs=0.05)
