"""The faults tried in a run, ranked by what was read: by part or tube, with those alike and what to measure next."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING

from ...electrics.posterior import (
    WITHIN_FACTOR,
    as_heavy,
    entropy,
    expected_information,
    grouped,
    log_likelihoods,
    none_explains,
    weights,
)
from ...record.place_words import B_PLUS
from .ranked_causes import (
    ANOTHER_TUBE,
    CANNOT_TELL,
    FITS_BEST,
    LIFT_AN_END,
    LIKELY,
    MOST_CAUSES,
    POSSIBLE,
    SET_OFF,
    SET_ON,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from ...circuit.places import Place
    from ...circuit.supposed_faults.supposed_fault import SupposedFault
    from .trial import Probe, Trial

    Floats = NDArray[np.float64]

FROM = ((0.9, FITS_BEST), (0.6, LIKELY), (0.3, POSSIBLE))
"""The tempered weight from which a cause is said so."""

TOLD = 0.02
"""Below this a cause is not told, nor named as alike."""

LEAST_SHARE = 0.002
"""Below this a cause is not named as alike even where the readings speak for it as well."""

CHANCE = 0.02
"""A part is called likely where the readings of so few sound sets would speak for any as much."""

COST = {SET_ON: 1.0, SET_OFF: 2.0, LIFT_AN_END: 3.0, ANOTHER_TUBE: 4.0}
"""What a measurement costs in trouble. Common practice, no source."""

MOST_NEXT = 3
_ALIKE = math.log(WITHIN_FACTOR)
_ALIKE_AT_A_GRID = math.log(20.0)
"""Gas and a leak onto one grid are the same at direct current, unless the plate before it tells beyond doubt."""
_LEAST_NATS = 0.02
_FED = ("plate", "screen", "cathode", "grid")


@dataclass(frozen=True)
class Ranking:
    """``shares`` has the tempered weight of each subject, the heaviest first, and of nothing wrong as ``""``.

    ``faults`` has each subject's heaviest fault, ``likelihoods`` the logarithm of its own likelihood at its best, and
    ``weight`` that of every fault tried.
    """

    shares: Mapping[str, float]
    faults: Mapping[str, SupposedFault]
    likelihoods: Mapping[str, float]
    flagged: bool
    weight: Floats

    @property
    def subjects(self) -> tuple[str, ...]:
        """Those that are told: what has a share worth telling, and what the readings speak for as well as the first."""
        first = next(iter(self.shares))
        told = (
            subject
            for subject, share in self.shares.items()
            if share >= TOLD or (share >= LEAST_SHARE and self.likelihoods[first] - self.likelihoods[subject] <= _ALIKE)
        )
        return tuple(told)[:MOST_CAUSES]

    def said(self, subject: str) -> str:
        """How sure a subject is: never that it is so."""
        share = self.shares[subject]
        word = next((word for least, word in FROM if share >= least), CANNOT_TELL)
        if word in (FITS_BEST, LIKELY) and not self._is_needed(subject):
            return POSSIBLE
        return LIKELY if word == FITS_BEST and (self.flagged or self._rivals(subject)) else word

    def _is_needed(self, subject: str) -> bool:
        """Whether the readings are better explained by a subject than chance would have it in a sound set.

        Many were tried, and the best of them always explains something: by the likelihood ratio (Wilks 1938) with one
        degree of freedom, and Bonferroni's share of ``CHANCE`` for each. What a meter has found bad needs no more.
        """
        if not subject or self.faults[subject].measured:
            return True
        deviations = NormalDist().inv_cdf(1 - CHANCE / (2 * len(self.shares)))
        return self.likelihoods[subject] - self.likelihoods[""] >= deviations**2 / 2

    def alike(self, subject: str) -> tuple[str, ...]:
        """Other subjects that make about the same readings, the heaviest first, at most three.

        They are as heavy as the best, or the readings speak for them as well (where only the trade's weights tell them
        apart), or they lie between the same two points. What a meter has found bad is so, whatever else is: it stands
        in no other's place.
        """
        own = self.faults[subject]
        others = ((other, self.faults[other]) for other in self._rivals(subject))
        found = (name for name, other in others if not (other.in_set or (own.measured and other.measured)))
        return tuple(found)[:MOST_CAUSES]

    def _rivals(self, subject: str) -> tuple[str, ...]:
        """Those that make about the same readings, what a meter has found bad among them."""
        if not subject:
            return ()
        others = (other for other in self.shares if other not in ("", subject))
        return tuple(other for other in others if self._are_alike(subject, other))

    def _are_alike(self, one: str, other: str) -> bool:
        first, second = self.faults[one], self.faults[other]
        if other in first.with_others or (first.in_set and not second.measured):
            return False  # the other was tried beside it, and not in its place
        heavy = as_heavy(self.shares)
        if one in heavy and other in heavy:
            return True
        apart = abs(self.likelihoods[one] - self.likelihoods[other])
        if apart <= (_ALIKE_AT_A_GRID if _drive_one_grid(first, second) else _ALIKE):
            return self.shares[other] >= LEAST_SHARE
        nodes = first.site.nodes
        return self.shares[other] >= LEAST_SHARE and len(nodes) > 1 and second.site.nodes == nodes


def ranking(trial: Trial, read: Mapping[int, float]) -> Ranking:
    """The faults weighed by readings in volts, each by the index of its probe."""
    import numpy as np

    places = list(read)
    volts = np.array([read[n] for n in places])
    log, distance = log_likelihoods(trial.foretold.at(places), volts, trial.share)
    # Two that are alike differ in the last digits, by how a machine adds: no order and no page may hang on those.
    weight = np.array([float(f"{one:.8e}") for one in weights(np.array([f.weight for f in trial.faults]), log)])
    faults: dict[str, SupposedFault] = {}
    likelihoods: dict[str, float] = {}
    for n in np.argsort(-weight, kind="stable"):
        subject = trial.faults[n].subject
        faults.setdefault(subject, trial.faults[n])
        likelihoods[subject] = max(likelihoods.get(subject, -math.inf), float(log[n]))
    shares = grouped(weight, [fault.subject for fault in trial.faults])
    return Ranking(shares, faults, likelihoods, none_explains(float(distance.min()), len(places)), weight)


def _drive_one_grid(first: SupposedFault, second: SupposedFault) -> bool:
    """Whether one is gas in a tube and the other a leak onto its grid: the same at the meter, whoever is likelier."""
    pairs = ((gas, leak) for gas, leak in ((first, second), (second, first)) if gas.fault == "gas")
    leaks = ((gas, leak) for gas, leak in pairs if leak.fault == "leaks" and leak.site.where == "coupling")
    return any(gas.site.nodes < leak.site.nodes for gas, leak in leaks)


Proposed = tuple[str, str, "Place | None"]
"""Something to measure: the part or tube, or empty; how; the place, or None."""


def next_measurements(trial: Trial, found: Ranking, read: Mapping[int, float]) -> tuple[Proposed, ...]:
    """What to measure next, the most telling for its trouble first.

    Where nothing tells more, it is what settles the first cause. A place is read with the set on, and never one on the
    line side.
    """
    worth = [*_with_the_set_on(trial, found, read), *_of_parts(found)]
    worth.sort(key=lambda one: -one[0])
    told = tuple(one[1:] for one in worth if one[0] >= _LEAST_NATS)[:MOST_NEXT]
    return told or tuple(_settling(found))


def _settling(found: Ranking) -> Iterator[Proposed]:
    """The first cause's own test; none where nothing is wrong."""
    first = next(iter(found.shares), "")
    how = how_to_settle(found.faults[first]) if first else ""
    if how:
        yield first, how, None


def _with_the_set_on(
    trial: Trial, found: Ranking, read: Mapping[int, float]
) -> Iterator[tuple[float, str, str, Place | None]]:
    import numpy as np

    unread = [n for n, probe in enumerate(trial.probes) if n not in read and _may_be_proposed(probe)]
    known = list(read)
    volts = np.array([read[n] for n in known])
    nats = expected_information(trial.foretold, _tempered(trial, found), known, volts, unread, trial.share)
    for n, told in zip(unread, nats, strict=True):
        yield told / COST[SET_ON], "", SET_ON, trial.probes[n].place


def _may_be_proposed(probe: Probe) -> bool:
    return probe.place.kind in (_FED if probe.place.tube else (B_PLUS,))


def _tempered(trial: Trial, found: Ranking) -> Floats:
    """Each fault's weight as its subject's share leaves it."""
    import numpy as np

    own: dict[str, float] = {}
    for fault, weight in zip(trial.faults, found.weight, strict=True):
        own[fault.subject] = own.get(fault.subject, 0.0) + float(weight)
    scale = [found.shares[f.subject] / own[f.subject] if own[f.subject] else 0.0 for f in trial.faults]
    return np.asarray(found.weight * np.array(scale))


def _of_parts(found: Ranking) -> Iterator[tuple[float, str, str, Place | None]]:
    """What a part by itself would tell: whether it is at fault."""
    for subject, share in found.shares.items():
        how = how_to_settle(found.faults[subject])
        if how and share >= TOLD:
            yield entropy((share, 1 - share)) / COST[how], subject, how, None


def how_to_settle(fault: SupposedFault) -> str:
    """How a fault is told by its part alone: by its resistance, with an end lifted, or by another tube."""
    if fault.site.where in ("tube", "rectifier"):
        return ANOTHER_TUBE
    return {"high": SET_OFF, "low": SET_OFF, "open": SET_OFF, "shorted": SET_OFF, "dried out": SET_OFF}.get(
        fault.fault if fault.site.where != "line" else "", LIFT_AN_END if fault.fault.startswith("leaks") else ""
    )
