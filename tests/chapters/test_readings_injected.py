"""What is said of sets with a fault put in: nothing wrong, the right part by name, and no less for knowing more.

The sets are solved with another tube law and another solver than the code's (``injected_sets``). Every fault is put
into a set of its own in the ordinary run, into 48 sets each with ``--whole`` (a quarter of an hour).
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from itertools import pairwise

import pytest

import makers
from benchleaf.chapters.readings.comparison import compared
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.suggestions import Suggestion, suggestions
from injected_faults import LADDER, LESS, Known, as_read, faults, record
from injected_sets import Built, Fault, build, solve, spread

RUNS = 48
NAMED = 2
"""Told alone, or as one of two that look alike."""

NO_CLAIM = {"more to read"}
HEALTHY = Fault("healthy", frozenset())
NAMES = [fault.name for fault in faults(build(random.Random(0)), random.Random(0))]

AT_LEAST = {"coupling capacitor leaky": 38, "gas": 16, "R3 high": 24, "screen bypass leaky": 24, "R5 high": 24}
AT_LEAST |= {f"bypass of {place} {how}": 24 for place in ("V2", "V3", "V4") for how in ("leaky", "shorted")}
"""Of 48 sets, in how many the right part is named alone or as one of two."""


@cache
def found(seed: int, number: int) -> tuple[Built, Built, Fault, dict[str, float], dict[str, float]]:
    """A set as meant and as it is, one fault in it, the sheet's voltages and those read."""
    rng = random.Random(seed)
    built = build(rng)
    meant = solve(built, HEALTHY)
    real = spread(built, rng)
    fault = faults(built, rng)[number]
    return built, real, fault, as_read(meant, rng, off=0.0), as_read(solve(real, fault, meant), rng)


@cache
def told(seed: int, number: int, known: Known) -> tuple[Suggestion, ...]:
    built, real, fault, sheet, read = found(seed, number)
    bench = makers.bench(record(built, real, fault, sheet, read, known))
    expected, (run,) = told_apart(bench)
    return suggestions([compared(bench.circuit, run, expected, bench.circuit.resistors(run.date))], bench)


def is_right(suggestion: Suggestion, fault: Fault) -> bool:
    """Whether one of the causes that are told is the fault, or follows from it."""
    said = {suggestion.rule, suggestion.fault, *(x for a in suggestion.alike for x in (a.rule, a.fault))}
    return any(tube in ("", suggestion.tube) and what in said for tube, what in fault.right)


def is_named(suggestion: Suggestion, fault: Fault) -> bool:
    return is_right(suggestion, fault) and 1 + len(suggestion.alike) <= NAMED


def runs(number: int, step: int) -> Iterator[int]:
    """The seeds a fault is tried with; in a sample each has another."""
    return (seed for seed in range(RUNS) if (seed + number) % step == 0)


@pytest.mark.parametrize("number", range(len(NAMES)), ids=NAMES)
def test_a_fault_put_in_is_named_and_nothing_else(number: int, sampled: Callable[[int], int]) -> None:
    named, tried = 0, 0
    for seed in runs(number, sampled(RUNS)):
        tried += 1
        fault = found(seed, number)[2]
        for known in (*LADDER, *LESS):
            wrong = [s for s in told(seed, number, known) if s.rule not in NO_CLAIM and not is_right(s, fault)]
            assert not wrong, (seed, known, wrong, found(seed, number)[3:])
        for less, more in pairwise(LADDER):
            for so in (is_right, is_named):
                before, after = (any(so(s, fault) for s in told(seed, number, k)) for k in (less, more))
                assert after or not before, (so, seed, more, told(seed, number, more))
        named += any(is_named(s, fault) for s in told(seed, number, Known()))
    if tried == RUNS:
        assert named >= AT_LEAST.get(NAMES[number], 0)


def test_in_the_sample_most_faults_are_named(sampled: Callable[[int], int]) -> None:
    step = sampled(RUNS)
    count = Counter(
        any(is_named(s, found(seed, number)[2]) for s in told(seed, number, Known()))
        for number in range(1, len(NAMES))
        for seed in runs(number, step)
    )
    assert count[True] >= 0.7 * count.total()
