"""How sure a cause is said to be, which are told and named as alike, what to measure next: each at its bounds."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from benchleaf.chapters.readings.ranked_causes import (
    ANOTHER_TUBE,
    CANNOT_TELL,
    FITS_BEST,
    LIFT_AN_END,
    LIKELY,
    POSSIBLE,
    SET_OFF,
)
from benchleaf.chapters.readings.ranking import Ranking, how_to_settle, next_measurements
from benchleaf.circuit.supposed_faults.supposed_fault import FaultSite, SupposedFault
from benchleaf.electrics.dc_elements import DcVariant
from benchleaf.electrics.posterior import Foretold

SURE = 50.0
"""A logarithm of a likelihood by which no chance is in question."""


def fault(subject: str, kind: str = "high", where: str = "plate", nodes: tuple[int, ...] = (1, 2), **more: Any) -> Any:
    return SupposedFault(subject, kind, 1.0, DcVariant(), FaultSite(where, None, frozenset(nodes)), **more)


def ranked(
    shares: Mapping[str, float], likelihoods: Mapping[str, float] | None = None, *faults: Any, flagged: bool = False
) -> Ranking:
    """Faults of parts of their own, without common points, but for those that are given."""
    own = {name: fault(name, nodes=(10 + n,)) for n, name in enumerate(shares)}
    own |= {each.subject: each for each in faults}
    told = {name: SURE * bool(name) for name in ("", *shares)} | dict(likelihoods or {})
    heaviest = dict(sorted(shares.items(), key=lambda one: -one[1]))
    return Ranking(heaviest, own, told, flagged, np.array([shares[name] for name in shares]))


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (0.9, FITS_BEST), (0.89, LIKELY), (0.6, LIKELY), (0.595, POSSIBLE), (0.3, POSSIBLE), (0.299, CANNOT_TELL),
    ],
)  # fmt: skip
def test_how_sure_a_cause_is_said_to_be(share: float, said: str) -> None:
    assert ranked({"C7": share, "": 1 - share}).said("C7") == said


def test_no_cause_fits_best_where_none_explains_the_readings_or_another_makes_the_same() -> None:
    assert ranked({"C7": 0.95, "": 0.05}, flagged=True).said("C7") == LIKELY
    assert ranked({"C7": 0.5, "": 0.5}, flagged=True).said("C7") == POSSIBLE
    assert ranked({"C7": 0.95, "C8": 0.05}, {"C8": SURE - 60}).said("C7") == FITS_BEST
    assert ranked({"C7": 0.95, "C8": 0.05}).said("C7") == LIKELY


@pytest.mark.parametrize(("better", "said"), [(3.32, FITS_BEST), (3.31, POSSIBLE), (-1.0, POSSIBLE)])
def test_a_cause_that_chance_would_find_as_well_is_only_possible(better: float, said: str) -> None:
    """One of two tried: half of 2.576 squared, the normal's point for 0.5 % in either tail (tables of the normal)."""
    shares = {"C7": 0.95, "": 0.05}
    assert ranked(shares, {"C7": better, "": 0.0}).said("C7") == said
    sound = ranked({"C7": 0.05, "": 0.95}, {"C7": better, "": 0.0})
    assert (sound.said(""), sound.alike("")) == (FITS_BEST, ())


def test_the_more_are_tried_the_more_a_cause_must_explain_but_not_one_that_a_meter_found() -> None:
    """Of four, 2.807 squared over two, for 0.25 % in either tail."""
    shares = {"C7": 0.7, "C8": 0.1, "C9": 0.1, "": 0.1}
    few = {"C7": 3.93, "": 0.0, "C8": -9.0, "C9": -9.0}
    assert ranked(shares, few).said("C7") == POSSIBLE
    assert ranked(shares, few | {"C7": 3.95}).said("C7") == LIKELY
    assert ranked(shares, few, fault("C7", measured=True)).said("C7") == LIKELY


@pytest.mark.parametrize(
    ("share", "behind", "told"),
    [
        (0.02, 40.0, True), (0.0195, 40.0, False), (0.0195, math.log(3), True), (0.0195, math.log(3) + 0.01, False),
        (0.002, 0.0, True), (0.00195, 0.0, False),
    ],
)  # fmt: skip
def test_which_causes_are_told(share: float, behind: float, told: bool) -> None:
    """From a fiftieth on, or a five-hundredth where the readings speak for it within a factor three of the first."""
    found = ranked({"C7": 0.9, "C8": share}, {"C8": SURE - behind})
    assert found.subjects == (("C7", "C8") if told else ("C7",))


def test_no_more_than_three_causes_are_told() -> None:
    assert ranked({"C1": 0.25, "C2": 0.25, "C3": 0.25, "C4": 0.25}).subjects == ("C1", "C2", "C3")


@pytest.mark.parametrize(
    ("share", "behind", "nodes", "alike"),
    [
        (0.301, 40.0, (9,), True),
        (0.29, 40.0, (9,), False),
        (0.1, math.log(3), (9,), True),
        (0.1, math.log(3) + 0.01, (9,), False),
        (0.1, -math.log(3) - 0.01, (9,), False),
        (0.002, 0.0, (9,), True),
        (0.0019, 0.0, (9,), False),
        (0.1, 40.0, (1, 2), True),
        (0.0019, 40.0, (1, 2), False),
        (0.1, 40.0, (1, 3), False),
    ],
)
def test_what_is_named_as_alike(share: float, behind: float, nodes: tuple[int, ...], alike: bool) -> None:
    """As heavy as the best within a factor three; as well spoken for; or between the same two points."""
    found = ranked({"C7": 0.9, "C8": share}, {"C8": SURE - behind}, fault("C7"), fault("C8", nodes=nodes))
    assert found.alike("C7") == (("C8",) if alike else ())


def test_two_at_one_point_alone_are_not_alike() -> None:
    found = ranked({"C7": 0.9, "C8": 0.1}, {"C8": 0.0}, fault("C7", nodes=(1,)), fault("C8", nodes=(1,)))
    assert found.alike("C7") == ()


@pytest.mark.parametrize(
    ("behind", "gas_at", "leak_at", "where", "alike"),
    [
        (math.log(19.9), (1,), (1, 2), "coupling", True),
        (math.log(20.1), (1,), (1, 2), "coupling", False),
        (math.log(19.9), (3,), (1, 2), "coupling", False),
        (math.log(19.9), (1,), (1, 2), "plate", False),
    ],
)
def test_gas_and_a_leak_onto_one_grid_are_the_same_at_direct_current(
    behind: float, gas_at: tuple[int, ...], leak_at: tuple[int, ...], where: str, alike: bool
) -> None:
    gas, leak = fault("V4", "gas", "tube", gas_at), fault("C7", "leaks", where, leak_at)
    for heavy, light in (("C7", "V4"), ("V4", "C7")):
        found = ranked({heavy: 0.9, light: 0.1}, {light: SURE - behind}, gas, leak)
        assert found.alike(heavy) == ((light,) if alike else ())


def test_what_a_meter_has_found_bad_stands_in_no_others_place() -> None:
    both = {"C7": 0.5, "C8": 0.5}
    beside = fault("C7", with_others=("C8",))
    in_set = fault("C8", measured=True, in_set=True)
    assert ranked(both, None, beside, in_set).said("C7") == POSSIBLE
    assert ranked(both, None, beside, in_set).alike("C7") == ()
    assert ranked(both, None, fault("C7"), in_set).alike("C7") == ()
    assert ranked(both, None, fault("C7"), fault("C8", measured=True)).alike("C7") == ("C8",)
    assert ranked(both, None, fault("C7", measured=True), fault("C8", measured=True)).alike("C7") == ()
    assert ranked(both, None, in_set, fault("C7")).alike("C8") == ()


def test_no_more_than_three_are_named_as_alike() -> None:
    assert ranked(dict.fromkeys(("C1", "C2", "C3", "C4", "C5"), 0.2)).alike("C1") == ("C2", "C3", "C4")


@pytest.mark.parametrize(
    ("kind", "where", "how"),
    [
        ("weak", "tube", ANOTHER_TUBE), ("weak", "rectifier", ANOTHER_TUBE), ("high", "plate", SET_OFF),
        ("low", "cathode", SET_OFF), ("open", "rail", SET_OFF), ("shorted", "screen", SET_OFF),
        ("dried out", "reservoir", SET_OFF), ("leaks", "coupling", LIFT_AN_END),
        ("leaks to its can", "reservoir", LIFT_AN_END), ("low", "line", ""), ("nothing wrong", "elsewhere", ""),
    ],
)  # fmt: skip
def test_how_a_cause_is_told_by_its_part_alone(kind: str, where: str, how: str) -> None:
    assert how_to_settle(fault("C7", kind, where)) == how


def proposed(found: Ranking) -> tuple[tuple[str, str], ...]:
    """What to measure where no place of the set is left to read."""
    count = len(found.shares)
    trial: Any = SimpleNamespace(
        faults=[found.faults[name] for name in found.shares],
        probes=[],
        foretold=Foretold(np.zeros((count, 0)), np.zeros((count, 0, 0))),
        share=0.02,
    )
    return tuple((subject, how) for subject, how, _ in next_measurements(trial, found, {}))


def test_of_parts_as_likely_the_least_trouble_comes_first() -> None:
    """The set off and an ohmmeter, an end to unsolder, another tube to find; three of them and no more."""
    four = {"V4": 0.25, "C7": 0.25, "R7": 0.25, "R8": 0.25}
    faults = (fault("V4", "weak", "tube"), fault("C7", "leaks", "coupling"), fault("R7"), fault("R8"))
    assert proposed(ranked(four, None, *faults)) == (("R7", SET_OFF), ("R8", SET_OFF), ("C7", LIFT_AN_END))
    three = dict.fromkeys(("V4", "C7", "R7"), 1 / 3)
    assert proposed(ranked(three, None, *faults[:3]))[-1] == ("V4", ANOTHER_TUBE)


@pytest.mark.parametrize(
    ("heavy", "light", "first"),
    [("C7", "R7", "R7"), ("V4", "R7", "R7")],
)
def test_what_tells_less_comes_later(heavy: str, light: str, first: str) -> None:
    """Of 0.95 and 0.45 the even chance tells more, 0.69 nats and not 0.2 (Shannon 1948)."""
    kinds = {"C7": ("leaks", "coupling"), "V4": ("weak", "tube")}
    found = ranked({heavy: 0.95, light: 0.45}, None, fault(heavy, *kinds[heavy]), fault(light))
    assert proposed(found)[0][0] == first


def test_a_cause_beyond_doubt_is_still_settled_by_its_own_test() -> None:
    assert proposed(ranked({"C7": 0.9999, "R9": 1e-4}, None, fault("C7", "leaks", "coupling"))) == (
        ("C7", LIFT_AN_END),
    )
    assert proposed(ranked({"": 0.9999, "C7": 1e-4}, None, fault("", "nothing wrong", "elsewhere"))) == ()
