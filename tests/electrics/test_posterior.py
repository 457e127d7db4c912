"""Likelihoods, weights and expected information: against scipy.stats and cases worked by hand."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import scipy

from benchleaf.electrics.posterior import (
    FREEDOM,
    LEAST_ERROR_VOLTS,
    SHARE_ERROR,
    Foretold,
    as_heavy,
    chi_squared_beyond,
    entropy,
    expected_information,
    grouped,
    held_to_sheet,
    log_likelihoods,
    none_explains,
    weights,
)


def chance(seed: int, hypotheses: int = 5, places: int = 4, parameters: int = 6) -> tuple[Foretold, np.ndarray]:
    rng = np.random.default_rng(seed)
    means = rng.uniform(1, 200, (hypotheses, places))
    return Foretold(means, rng.normal(0, 3, (hypotheses, places, parameters))), means[0] + rng.normal(0, 4, places)


def plain(*means: float, deviation: float = 1.0) -> Foretold:
    """One place; each hypothesis foretells one mean, with this standard deviation in all."""
    own = np.array([SHARE_ERROR * mean for mean in means]) ** 2 + LEAST_ERROR_VOLTS**2
    return Foretold(np.array(means)[:, None], np.sqrt(deviation**2 - own)[:, None, None])


@pytest.mark.parametrize("seed", range(5))
def test_likelihood_is_the_multivariate_t_density(seed: int) -> None:
    """scipy.stats.multivariate_t has the same density but for a factor that all hypotheses share."""
    foretold, read = chance(seed)
    found, distance = log_likelihoods(foretold, read)
    scales = foretold.covariances(SHARE_ERROR, read)
    expected = [
        scipy.stats.multivariate_t(mean, scale, df=FREEDOM).logpdf(read)
        for mean, scale in zip(foretold.means, scales, strict=True)
    ]
    assert np.asarray(found) - found[0] == pytest.approx(np.asarray(expected) - expected[0], abs=1e-9)
    inverse = np.linalg.inv(scales[0])
    assert distance[0] == pytest.approx((read - foretold.means[0]) @ inverse @ (read - foretold.means[0]))


def test_covariance_has_what_places_share_and_what_each_has_for_itself() -> None:
    """By hand: one parameter moves two places by 3 V and -4 V; 2 % of 100 V is 2 V, of 50 V 1 V."""
    foretold = Foretold(np.array([[100.0, 50.0]]), np.array([[[3.0], [-4.0]]]))
    least = LEAST_ERROR_VOLTS**2
    assert foretold.covariances(0.02)[0] == pytest.approx(np.array([[9 + 4 + least, -12], [-12, 16 + 1 + least]]))


def test_sheet_moves_in_the_ratio_of_the_fault_and_small_volts_by_the_difference() -> None:
    foretold = Foretold(np.array([[100.0, 1.0], [50.0, 2.5]]), np.ones((2, 2, 1)))
    held = held_to_sheet(foretold, foretold.means[0], {0: 120.0, 1: 1.4})
    assert held.means == pytest.approx(np.array([[120.0, 1.4], [60.0, 2.9]]))
    assert held.slopes[:, :, 0] == pytest.approx(np.array([[1.2, 1.0], [1.2, 1.0]]))
    assert foretold.means[0, 0] == 100, "what was handed in stays as it was"


def test_the_ratio_fades_out_where_a_fault_lifts_a_place_to_its_rail() -> None:
    """A plate of 40 V that the sheet has at 20 V: a dead tube leaves it at the rail of 90 V in both."""
    means = np.array([[40.0], [20.0], [65.0], [90.0]])
    held = held_to_sheet(Foretold(means, np.ones((4, 1, 1))), means[0], {0: 20.0})
    assert held.means[:, 0] == pytest.approx(np.array([20.0, 10.0, 65 * 0.5**0.75, 90.0]))
    assert held.slopes[3, 0, 0] == pytest.approx(1.0)


def test_weights_are_bayes_theorem() -> None:
    """By hand: 1 x 0.5 and 3 x 0.1 are 0.8 together."""
    assert weights(np.array([1.0, 3.0]), np.log([0.5, 0.1])) == pytest.approx([0.625, 0.375])
    assert weights(np.array([1.0, 1.0]), np.array([-1e4, -1e4 - 1])).sum() == pytest.approx(1), "none is lost in size"


def test_groups_are_summed_then_tempered_then_made_one() -> None:
    found = grouped(np.array([0.2, 0.7, 0.1]), ["C7", "V4", "C7"], power=0.5)
    assert list(found) == ["V4", "C7"], "the heaviest first"
    whole = math.sqrt(0.7) + math.sqrt(0.3)
    assert found == pytest.approx({"V4": math.sqrt(0.7) / whole, "C7": math.sqrt(0.3) / whole})
    assert grouped(np.array([0.2, 0.8]), ["a", "b"])["b"] < 0.8, "tempered says less than the weight"


def test_alike_are_those_within_a_factor_three() -> None:
    assert as_heavy({"V4": 0.6, "C7": 0.21, "R3": 0.19}) == ("V4", "C7")
    assert as_heavy({}) == ()


@pytest.mark.parametrize("count", [1, 4, 11])
def test_flag_stands_at_the_99_percent_point_of_chi_squared(count: int) -> None:
    point = scipy.stats.chi2.ppf(0.99, count)
    assert none_explains(point * 1.001, count)
    assert not none_explains(point * 0.999, count)
    assert not none_explains(1e9, 0), "without readings nothing is unexplained"


def test_entropy_by_hand() -> None:
    assert entropy([1, 1]) == pytest.approx(math.log(2))
    assert entropy([0.3, 0, 0]) == 0
    assert entropy([2, 1, 1]) == pytest.approx(1.5 * math.log(2))


def test_a_reading_that_parts_two_equal_causes_surely_tells_ln_2() -> None:
    """By hand: two means 100 standard deviations apart leave no doubt; the same mean tells nothing."""
    half = np.array([0.5, 0.5])
    apart, same = plain(0.0, 3.0, deviation=0.15), plain(2.0, 2.0)
    assert expected_information(apart, half, [], np.array([]), [0], SHARE_ERROR)[0] == pytest.approx(
        math.log(2), abs=1e-3
    )
    assert expected_information(same, half, [], np.array([]), [0], SHARE_ERROR)[0] == pytest.approx(0, abs=1e-3)


def test_expected_information_is_that_of_a_sample() -> None:
    """Two normals at 0 and 2 standard deviations: the entropy of their mixture by a million draws, seeded."""
    foretold = plain(0.0, 2.0)
    found = expected_information(foretold, np.array([0.5, 0.5]), [], np.array([]), [0], SHARE_ERROR)[0]
    draws = np.random.default_rng(1).normal(0, 1, 400_000) + np.repeat([0.0, 2.0], 200_000)
    density = 0.5 * (scipy.stats.norm.pdf(draws, 0) + scipy.stats.norm.pdf(draws, 2))
    assert found == pytest.approx(-np.log(density).mean() - scipy.stats.norm.entropy(), abs=5e-3)


def test_a_place_that_goes_with_one_already_read_tells_little() -> None:
    """Both places move together with one parameter, so that once one is read the other is known; a third is its own."""
    means = np.array([[100.0, 100.0, 10.0], [120.0, 120.0, 20.0]])
    slopes = np.array([[[30.0], [30.0], [0.0]]] * 2)
    read, own = np.array([110.0]), np.array([0.5, 0.5])
    along, alone = expected_information(Foretold(means, slopes), own, [0], read, [1, 2], SHARE_ERROR)
    assert along < 0.1 * alone


def test_order_of_places_and_hypotheses_changes_nothing() -> None:
    foretold, read = chance(3)
    found, _ = log_likelihoods(foretold, read)
    order, places = [3, 1, 0, 4, 2], [2, 0, 3, 1]
    turned = Foretold(foretold.means[order][:, places], foretold.slopes[order][:, places])
    assert log_likelihoods(turned, read[places])[0] == pytest.approx(found[order])


def test_truth_is_weighed_as_often_as_it_is_so() -> None:
    """Drawn by prior and with the tails assumed, the weights are calibrated: their mean is the share right."""
    rng, picked = random.Random(5), []
    draws = np.random.default_rng(5)
    foretold, prior = plain(0.0, 2.0, 4.0), np.array([0.5, 0.3, 0.2])
    for _ in range(3000):
        so = rng.choices(range(3), prior)[0]
        read = np.array([foretold.means[so, 0] + draws.standard_t(FREEDOM)])
        weight = weights(prior, log_likelihoods(foretold, read)[0])
        best = int(weight.argmax())
        picked.append((float(weight[best]), best == so))
    assert np.mean([w for w, _ in picked]) == pytest.approx(np.mean([right for _, right in picked]), abs=0.04)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 11, 60])
@pytest.mark.parametrize("distance", [1e-9, 0.5, 3.0, 40.0, 900.0])
def test_chi_squared_is_that_of_scipy(count: int, distance: float) -> None:
    assert chi_squared_beyond(distance, count) == pytest.approx(scipy.stats.chi2.sf(distance, count), rel=1e-11)


def test_chi_squared_has_an_answer_at_its_ends() -> None:
    assert [chi_squared_beyond(at, 3) for at in (0.0, math.nan, math.inf, 1e300)] == [1.0, 1.0, 0.0, 0.0]


def test_sizes_between_lie_on_a_line_and_each_stands_for_what_is_nearest_to_it() -> None:
    """An even spread over a width w has w over the root of twelve for its deviation; at an end one side is known."""
    means, slopes = np.array([[0.0, 100.0], [8.0, 100.0], [24.0, 60.0]]), np.zeros((3, 2, 1))
    found = Foretold(means, slopes).with_between([(0, 1), (1, 2)], (0.25, 0.5, 0.75))
    assert found.means[:, 0] == pytest.approx([0, 8, 24, 2, 4, 6, 12, 16, 20])
    widths = [2.0, 3.0, 4.0, 2.0, 2.0, 2.0, 4.0, 4.0, 4.0]
    assert found.slopes[:, 0, 1] * math.sqrt(12) == pytest.approx(widths)
    assert found.slopes[:, 1, 1] * math.sqrt(12) == pytest.approx([0, -5, -10, 0, 0, 0, -10, -10, -10])
    assert np.all(found.slopes[:, :, 0] == 0)


def test_what_lies_between_two_sizes_that_were_tried_is_not_held_against_the_fault() -> None:
    """Read to a tenth of a volt, with ten volts between the sizes: halfway is no less likely than on one."""
    tried = Foretold(np.array([[0.0], [10.0], [20.0]]), np.zeros((3, 1, 1)))
    between = tried.with_between([(0, 1), (1, 2)], ())
    on, off = (float(log_likelihoods(between, np.array([volts]), 0.0)[0].max()) for volts in (10.0, 15.0))
    assert on - off < 2.0
    on, off = (float(log_likelihoods(tried, np.array([volts]), 0.0)[0].max()) for volts in (10.0, 15.0))
    assert on - off > 15.0
