"""Swept responses, S-curves, AVC, distortion, class A and the dummy aerial: closed forms, scipy, printed values."""

from __future__ import annotations

import doctest
import importlib
import math
import random

import pytest

from benchleaf.electrics import dummy_aerial
from benchleaf.electrics.level_curves import avc_hold, class_a_limit, power_at_distortion
from benchleaf.electrics.response import band_at, in_decibels, s_curve, swept

IF = 455e3


def single(hertz: float, q: float) -> float:
    """Decibels of one tuned circuit (Terman, Radio Engineers' Handbook, 1943, universal resonance curve)."""
    return -10 * math.log10(1 + (q * (hertz / IF - IF / hertz)) ** 2)


def sampled(q: float, step: float = 250.0) -> list[tuple[float, float]]:
    return [(IF + n * step, single(IF + n * step, q)) for n in range(-80, 81)]


@pytest.mark.parametrize("module", ["response", "level_curves", "dummy_aerial"])
def test_the_examples_hold(module: str) -> None:
    found = doctest.testmod(importlib.import_module(f"benchleaf.electrics.{module}"))
    assert found.attempted
    assert not found.failed


@pytest.mark.parametrize("q", [30.0, 57.0, 90.0])
def test_one_tuned_circuit_has_the_q_it_was_made_with(q: float) -> None:
    """Width at half power is f/Q; at 6 dB it is the square root of 10^0.6 - 1 as many times as much."""
    said = swept(sampled(q), IF)
    assert said is not None
    assert said.q == pytest.approx(q, rel=0.01)
    assert said.three.width is not None
    assert said.six.width is not None
    assert said.six.width / said.three.width == pytest.approx(math.sqrt((10**0.6 - 1) / (10**0.3 - 1)), rel=0.01)
    assert said.evenness == pytest.approx(1, abs=0.03)
    assert said.dip_db == 0


def test_two_coupled_circuits_have_two_humps_where_they_are_coupled_tightly() -> None:
    """Of k = 2/Q the dip is 10 log((1 + (kQ)^2)^2 / (4 (kQ)^2)), 1.94 dB (Terman 1943, coupled circuits of equal Q)."""
    q, coupling = 100.0, 2.0

    def level(hertz: float) -> float:
        x = q * (hertz / IF - IF / hertz)
        return -10 * math.log10(((1 + coupling**2 - x**2) ** 2 + 4 * x**2) / (1 + coupling**2) ** 2)

    points = [(IF + n * 100.0, level(IF + n * 100.0)) for n in range(-150, 151)]
    said = swept(points, IF)
    assert said is not None
    assert said.dip_db == pytest.approx(10 * math.log10((1 + coupling**2) ** 2 / (4 * coupling**2)), abs=0.01)
    assert said.evenness == pytest.approx(1, abs=0.03)


def test_widths_are_those_that_scipy_finds() -> None:
    """Oracle: scipy's root finder on its own straight-line interpolation of points made by chance."""
    from scipy.interpolate import interp1d
    from scipy.optimize import brentq

    random.seed(11)
    for _ in range(40):
        count = random.randint(4, 12)
        left = sorted(random.uniform(-30, -0.2) for _ in range(count))
        right = sorted((random.uniform(-30, -0.2) for _ in range(count)), reverse=True)
        levels = [*left, 0.0, *right]
        hertz = [440e3 + 1.3e3 * n for n in range(len(levels))]
        points = list(zip(hertz, levels, strict=True))
        line = interp1d(hertz, [level + 6 for level in levels])
        band = band_at(random.sample(points, len(points)), 6.0)
        ends = [(band.low, hertz[0], hertz[count], left[0]), (band.high, hertz[count], hertz[-1], right[-1])]
        for found, low, high, outer in ends:
            if outer > -6:
                assert found is None
            else:
                assert found == pytest.approx(brentq(line, low, high), rel=1e-9)


def test_what_the_points_do_not_reach_is_not_said() -> None:
    said = swept([(450e3, -2.0), (455e3, 0.0), (460e3, -9.0)], IF)
    assert said is not None
    assert (said.three.low, said.six.low, said.q, said.evenness) == (None, None, None, None)
    assert swept([(450e3, -2.0), (455e3, 0.0)]) is None
    assert swept([(450e3, -2.0), (450e3, -2.0), (455e3, 0.0)]) is None


SLOPED = [(100.0, -9.0), (200.0, -3.0), (400.0, 0.0), (800.0, -6.0), (1600.0, -12.0)]


@pytest.mark.parametrize(
    ("down", "reference", "logarithmic", "low", "high"),
    [
        (3.0, None, False, 200.0, 600.0),
        (6.0, None, False, 150.0, 800.0),
        (6.0, None, True, 100.0 * 2**0.5, 800.0),
        (9.0, None, False, 100.0, 1200.0),
        (9.0, None, True, 100.0, 800.0 * 2**0.5),
        (9.1, None, False, None, 800.0 + 800.0 * 3.1 / 6.0),
        (12.1, None, False, None, None),
        (3.0, -3.0, False, 150.0, 800.0),
    ],
)
def test_a_band_ends_where_the_line_between_two_points_has_fallen_so_far(
    down: float, reference: float | None, logarithmic: bool, low: float | None, high: float | None
) -> None:
    """By hand, over the frequency or over its logarithm."""
    found = band_at(SLOPED, down, reference=reference, logarithmic=logarithmic)
    assert (found.low, found.high) == (
        pytest.approx(low) if low is not None else None,
        pytest.approx(high) if high is not None else None,
    )
    known = low is not None and high is not None
    assert (found.width is None, found.middle is None) == (not known, not known)


@pytest.mark.parametrize(
    ("levels", "dip"),
    [
        ((-6, 0, -6), 0.0),
        ((0, -3, -1), 2.0),
        ((-6, 0, -2, -1, -6), 1.0),
        ((-6, -1, -3, 0, -6), 2.0),
        ((-6, -1, -3, -2, -4, 0), 3.0),
        ((0, -1, -2), 0.0),
    ],
)
def test_a_dip_counts_from_the_lower_of_two_humps(levels: tuple[float, ...], dip: float) -> None:
    found = swept([(450e3 + 1e3 * n, float(level)) for n, level in enumerate(levels)])
    assert found is not None
    assert found.dip_db == pytest.approx(dip)


@pytest.mark.parametrize(
    ("levels", "evenness"),
    [
        ((-12, -6, 0, -6, -12), 1.0),
        ((-12, -6, 0, -3, -6), 2.0),
        ((-6, -3, 0, -6, -12), 0.5),
        ((-4, -3, 0, -3, -4), 1.0),
        ((-4, 0, -3, -4, -5), 4 / 3),
        ((-2, 0, -3, -4, -5), None),
    ],
)
def test_a_response_is_as_even_as_its_widths_about_the_if(levels: tuple[float, ...], evenness: float | None) -> None:
    """At -6 dB, or at -3 dB where the points do not reach that."""
    peak = 450e3 + 1e3 * levels.index(0)
    found = swept([(450e3 + 1e3 * n, float(level)) for n, level in enumerate(levels)], peak)
    assert found is not None
    assert found.evenness == (pytest.approx(evenness) if evenness is not None else None)


@pytest.mark.parametrize(
    ("levels", "balance", "zero"),
    [
        ((-2.0, 0.0, 1.0), 0.5, 1.0),
        ((-1.0, 0.0, 0.0, 2.0), 0.5, 1.0),
        ((0.0, 2.0, -2.0, 0.0), 1.0, 1.5),
        ((2.0, -1.0, 0.5), 0.5, 2 / 3),
        ((0.0, 1.0, 2.0), None, None),
        ((0.0, -1.0, -2.0), None, None),
    ],
)
def test_a_detector_goes_through_zero_between_its_peaks(
    levels: tuple[float, ...], balance: float | None, zero: float | None
) -> None:
    found = s_curve([(float(n), level) for n, level in enumerate(levels)])
    assert (found is None) is (balance is None)
    if found is not None:
        assert (found.balance, found.zero_hertz) == (pytest.approx(balance), pytest.approx(zero))


def test_decibels_of_volts_and_of_what_has_none() -> None:
    assert in_decibels([2.0, 1.0], 20) == pytest.approx([0, -6.0206], abs=1e-4)
    assert in_decibels([2.0, 0.0], 20) is None
    assert in_decibels([], 20) is None
    assert in_decibels([1.0, math.inf], 20) is None


def test_the_curve_of_a_detector() -> None:
    """Of x/(1 + x^2), whose peaks lie at -1 and 1 and whose middle is at 0."""
    points = [(10.7e6 + n * 5e3, -(n / 20) / (1 + (n / 20) ** 2)) for n in range(-60, 61)]
    said = s_curve(points)
    assert said is not None
    assert (said.zero_hertz, said.width_hertz) == (10.7e6, 200e3)
    assert said.balance == pytest.approx(1)
    assert said.volts_per_hertz == pytest.approx(-1.0 / 200e3)
    assert s_curve([(1.0, 1.0), (2.0, 2.0), (3.0, 3.0)]) is None
    assert s_curve(points[:2]) is None


def test_the_zero_of_a_detector_lies_between_two_points() -> None:
    said = s_curve([(10.6e6, -2.0), (10.69e6, -0.2), (10.71e6, 0.6), (10.8e6, 2.0)])
    assert said is not None
    assert said.zero_hertz == pytest.approx(10.695e6)


def test_how_far_avc_holds() -> None:
    """An output of the square root of the signal, for 10 dB less of output, takes 20 dB less of signal."""
    points = [(10 ** (-n / 4), -5.0 * n / 2) for n in range(12)]
    assert avc_hold(points) == (pytest.approx(20.0), False)
    held = avc_hold([(1e-3, 0.0), (1e-1, 3.0)])
    assert held == (pytest.approx(40.0), True)
    assert avc_hold([(1.0, 0.0)]) is None


def test_the_power_at_a_distortion() -> None:
    assert power_at_distortion([(0.1, 0.02), (1.0, 0.08), (4.0, 0.12)]) == pytest.approx(2.0)
    assert power_at_distortion([(0.1, 0.02), (1.0, 0.08)]) is None


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("volts", "amps", "ohms", "published"),
    [
        (250, 0.045, 5000, 4.5),  # 6V6GT, 250 V, -12.5 V: 4.5 W with 8 % (Tung-Sol data sheet)
        (250, 0.048, 5200, 5.7),  # EL84, 250 V, 135 ohm: 5.7 W with 10 % (Philips data sheet)
        (110, 0.049, 2500, 1.9),  # 50C5, 110 V, -7.5 V: 1.9 W with 9 % (from memory)
    ],
)
def test_published_powers_stay_below_the_limit_and_near_it(
    volts: float, amps: float, ohms: float, published: float
) -> None:
    limit = class_a_limit(volts, amps, ohms)
    assert published < limit < 1.5 * published


def test_no_sine_in_class_a_is_more_than_half_of_what_goes_in() -> None:
    """Half is reached with a load of volts over amperes alone (Terman, Radio Engineers' Handbook, 1943, class A)."""
    assert class_a_limit(250, 0.05) == pytest.approx(6.25)
    assert class_a_limit(250, 0.05, 5000) == pytest.approx(6.25)
    assert all(class_a_limit(250, 0.05, ohms) < 6.25 for ohms in (1000, 4900, 5100, 20000))


@pytest.mark.handbook
def test_the_network_for_all_waves_is_like_its_two_parts() -> None:
    """200 pF up to 1700 kHz and 400 ohm above (Dummy Antenna, radioexperimenter.us); resonant at “2.something” MHz
    (rec.antiques.radio+phono, 5 September 2006)."""
    at_low = dummy_aerial.impedance(200e3)
    assert abs(at_low) == pytest.approx(1 / (2 * math.pi * 200e3 * 200e-12), rel=0.01)
    assert abs(dummy_aerial.impedance(18e6)) == pytest.approx(400, rel=0.03)
    least = min(range(100, 1000), key=lambda n: abs(dummy_aerial.impedance(n * 1e4)))
    assert 2.0 <= least / 100 < 3.0
    assert (dummy_aerial.usual(1.4e6), dummy_aerial.usual(1.7e6), dummy_aerial.usual(6e6)) == (
        "capacitor", "capacitor", "resistor",
    )  # fmt: skip
