"""Which of several things that may be wrong explains what was read: likelihoods, weights, and what to measure next.

A hypothesis foretells each reading with a mean and with slopes: how far the reading moves when each uncertain value
of the set moves by its standard deviation. What is left of a reading is normal with Student's tails, so that one wild
reading does not decide alone (Lange, Little and Taylor 1989, from memory: the t distribution in place of the normal).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

FREEDOM = 6.0
"""Degrees of freedom of the tails. Six let a reading be three times its error off now and then; no source."""

TEMPER = 0.65
"""The power that takes off what the model is too sure of; log loss was least with it on the sets it was picked on."""

SHARE_ERROR, SHARE_ERROR_UNPUBLISHED, LEAST_ERROR_VOLTS = 0.02, 0.03, 0.12
"""What a reading is off besides the parts' and tubes' spread: a share of it, more without a sheet, and some volts."""

FLAG_QUANTILE = 0.01
"""No hypothesis explains readings that the best would make in fewer than one set of a hundred."""

WITHIN_FACTOR = 3.0
"""Weights within this factor are alike."""

FAR_UP = 1.5
"""From here on a place is lifted far: what stands above it, and not its own stage, says where it ends. No source."""

_GRID = 400
_REACH = 5.0
_MOST_MIXED = 40


@dataclass(frozen=True)
class Foretold:
    """What each hypothesis foretells: ``means[hypothesis, place]`` and ``slopes[hypothesis, place, parameter]``, volts.

    A slope is for one standard deviation of its parameter.
    """

    means: Floats
    slopes: Floats

    def at(self, places: Sequence[int]) -> Foretold:
        """The same of some places only."""
        return Foretold(self.means[:, places], self.slopes[:, places, :])

    def with_between(self, pairs: Sequence[tuple[int, int]], shares: Sequence[float]) -> Foretold:
        """The same with hypotheses added between each pair of neighbours, at ``shares`` of the way to the second.

        Each then stands for what lies nearer to it than to the next: an even spread over as much is uncertain in it.
        """
        import numpy as np

        if not pairs:
            return self
        one, other = [first for first, _ in pairs], [second for _, second in pairs]
        way = np.asarray(shares)
        means, slopes = (
            (np.multiply.outer(1 - way, of[one]) + np.multiply.outer(way, of[other])).swapaxes(0, 1)
            for of in (self.means, self.slopes)
        )
        cell = (self.means[other] - self.means[one]) / (len(shares) + 1) / math.sqrt(12)
        at_ends, neighbours = np.zeros(self.means.shape), np.zeros((len(self.means), 1))
        for ends in (one, other):
            np.add.at(at_ends, ends, cell)
            np.add.at(neighbours, ends, 1)
        even = np.concatenate([at_ends / np.maximum(neighbours, 1), np.repeat(cell, len(shares), axis=0)])
        return Foretold(
            np.concatenate([self.means, *means]),
            np.concatenate([np.concatenate([self.slopes, *slopes]), even[:, :, None]], axis=2),
        )

    def covariances(self, share: float, read: Floats | None = None) -> Floats:
        """``[hypothesis, place, place]`` in volts squared: parts and tubes, and ``share`` of each reading for itself.

        Of what was not ``read`` the mean stands in. What was read has one error whatever is foretold of it, or a fault
        that foretells little everywhere would be thought the surer.
        """
        import numpy as np

        shared = self.slopes @ self.slopes.swapaxes(1, 2)
        own = (share * (self.means if read is None else np.broadcast_to(read, self.means.shape))) ** 2
        own = own + LEAST_ERROR_VOLTS**2
        return np.asarray(shared + own[:, :, None] * np.eye(own.shape[1]))


def held_to_sheet(foretold: Foretold, meant: Floats, sheet: Mapping[int, float], least_volts: float = 3.0) -> Foretold:
    """What is foretold when the maker's own volts are known at some places.

    ``meant`` is what is foretold of each place in the set as its maker meant it. A place of ``sheet`` (volts by its
    index) is moved in the ratio that the fault moves it, or by the difference where it stands at no more than
    ``least_volts``. Where some fault lifts it far, as a dead tube lifts a plate to its rail, the ratio fades out on
    the way: the rail is what it is.
    """
    import numpy as np

    means, slopes = foretold.means.copy(), foretold.slopes.copy()
    for place, volts in sheet.items():
        sound = float(meant[place])
        if abs(sound) > least_volts:
            ratio = _to_sheet(foretold.means[:, place], sound, volts)
            means[:, place] *= ratio
            slopes[:, place, :] *= ratio[:, None]
        else:
            means[:, place] += volts - sound
    return Foretold(np.asarray(means), np.asarray(slopes))


def _to_sheet(means: Floats, sound: float, volts: float) -> Floats:
    """What multiplies each hypothesis' volts at a place where the sheet has ``volts`` for the ``sound`` ones."""
    import numpy as np

    ratio, top = volts / sound, means.max()
    if ratio <= 0 or sound <= 0 or top < FAR_UP * sound:
        return np.full(means.shape, ratio)
    way = np.clip((means - sound) / (top - sound), 0.0, 1.0)
    return np.asarray(ratio ** (1 - way**2))


def log_likelihoods(foretold: Foretold, read: Floats, share: float = SHARE_ERROR) -> tuple[Floats, Floats]:
    """For each hypothesis the logarithm of the readings' likelihood, but for what all share, and the squared distance.

    The multivariate t density of ``FREEDOM`` degrees with the covariance as its scale. ``read`` is in volts, a value a
    place; the distance is Mahalanobis's.
    """
    import numpy as np

    scale = foretold.covariances(share, read)
    off = read[None, :] - foretold.means
    solved = np.linalg.solve(scale, off[:, :, None])[:, :, 0]
    distance = np.einsum("hp,hp->h", off, solved)
    _, log_volume = np.linalg.slogdet(scale)
    log_density = -0.5 * log_volume - (FREEDOM + read.size) / 2 * np.log1p(distance / FREEDOM)
    return np.asarray(log_density), np.asarray(distance)


def weights(prior: Floats, log_likelihood: Floats) -> Floats:
    """The weight of each hypothesis after the readings; they add up to one. ``prior`` needs not."""
    import numpy as np

    log = np.log(prior) + log_likelihood
    found = np.exp(log - log.max())
    return np.asarray(found / found.sum())


def grouped(weight: Floats, groups: Sequence[str], power: float = TEMPER) -> dict[str, float]:
    """The hypotheses' weights by the group of each, the heaviest first, tempered; they add up to one."""
    summed: dict[str, float] = {}
    for group, own in zip(groups, weight.tolist(), strict=True):
        summed[group] = summed.get(group, 0.0) + own
    tempered = {group: own**power for group, own in summed.items()}
    total = sum(tempered.values())
    return {g: tempered[g] / total for g in sorted(tempered, key=lambda g: -tempered[g])}


def as_heavy(by_group: Mapping[str, float]) -> tuple[str, ...]:
    """The groups whose weight is within a factor three of the heaviest, that one first."""
    heaviest = max(by_group.values(), default=0.0)
    return tuple(group for group, own in by_group.items() if own * WITHIN_FACTOR >= heaviest)


def none_explains(distance: float, count: int) -> bool:
    """Whether readings at this squared distance from the best hypothesis are ones that it would hardly make.

    By the 99 % point of chi squared with as many degrees as there are readings. A hint: parts, tubes and meter are
    spread as assumed, no better.
    """
    return count > 0 and chi_squared_beyond(distance, count) < FLAG_QUANTILE


def chi_squared_beyond(distance: float, count: int) -> float:
    """The probability that chi squared of ``count`` degrees of freedom, a whole number, lies beyond ``distance``.

    The finite sums of Abramowitz and Stegun 1964, 26.4.4 and 26.4.5 (from memory); a library that has it takes longer
    to load than most sets to work out.
    """
    half = distance / 2
    if not half > 0 or math.isinf(half):
        return 0.0 if half > 0 else 1.0
    first = count % 2 / 2
    powers = [first + k for k in range(int(count / 2 - first))]
    tail = math.fsum(math.exp(power * math.log(half) - math.lgamma(power + 1) - half) for power in powers)
    return tail + (math.erfc(math.sqrt(half)) if first else 0.0)


def entropy(shares: Sequence[float]) -> float:
    """Shannon's entropy in nats of shares that add up to anything above zero."""
    total = sum(shares)
    return -sum(s / total * math.log(s / total) for s in shares if s > 0)


def expected_information(
    foretold: Foretold, weight: Floats, known: Sequence[int], read: Floats, places: Sequence[int], share: float
) -> list[float]:
    """In nats, what a reading at each of ``places`` is expected to tell of which hypothesis is so.

    ``known`` are the places read, with ``read`` in volts. Each hypothesis foretells a further reading as a normal,
    given what was read (Gauss's conditional); the information is the entropy of their mixture less the mean of their
    own entropies, over the heaviest forty. De Kleer and Williams 1987 choose probes alike (from memory).
    """
    import numpy as np

    heaviest = np.argsort(-weight)[:_MOST_MIXED]
    of_these = Foretold(foretold.means[heaviest], foretold.slopes[heaviest])
    own = weight[heaviest] / weight[heaviest].sum()
    scale, n = of_these.covariances(share), len(known)
    told = []
    for place in places:
        means = of_these.means[:, place].copy()
        spread = scale[:, place, place].copy()
        if n:
            inner = scale[:, known][:, :, known]
            across = scale[:, known, place]
            gain = np.linalg.solve(inner, across[:, :, None])[:, :, 0]
            means += np.einsum("hp,hp->h", gain, read[None, :] - of_these.means[:, known])
            spread -= np.einsum("hp,hp->h", gain, across)
        told.append(_information_of(means, np.sqrt(np.maximum(spread, LEAST_ERROR_VOLTS**2)), own))
    return told


def _information_of(means: Floats, deviations: Floats, own: Floats) -> float:
    """Entropy of a mixture of normals less their mean entropy, on a grid that is fine where a normal is narrow."""
    import numpy as np

    steps = np.linspace(-_REACH, _REACH, _GRID // 8)
    grid = np.unique((means[:, None] + deviations[:, None] * steps).ravel())
    density = np.exp(-0.5 * ((grid[None, :] - means[:, None]) / deviations[:, None]) ** 2)
    mixed = (own[:, None] * density / (deviations[:, None] * math.sqrt(2 * math.pi))).sum(axis=0)
    surprise = -mixed * np.log(np.maximum(mixed, 1e-300))
    of_mixture = float((np.diff(grid) * (surprise[1:] + surprise[:-1]) / 2).sum())
    of_each = float((own * (0.5 * np.log(2 * math.pi * math.e) + np.log(deviations))).sum())
    return max(0.0, of_mixture - of_each)
