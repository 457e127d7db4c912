"""What a tried fault explains of the readings, at its bounds: worked by hand on places that are off by so many volts.

With nothing wrong every place stands at 0 V and is known to 1 V, so that volts are standard deviations.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from benchleaf.chapters.readings.explained import Explained, explained, makes_part_of, told_by
from benchleaf.circuit.supposed_faults.supposed_fault import FaultSite, SupposedFault
from benchleaf.electrics.dc_elements import BOTTOM, DcVariant
from benchleaf.words import AMERICAN

NODE = 7


def fault(subject: str, where: str = "coupling", at: str = "", **more: Any) -> SupposedFault:
    place: Any = SimpleNamespace(tube=at) if at else None
    site = FaultSite(where, place, frozenset({NODE, BOTTOM}))
    return SupposedFault(subject, "leaks" if subject else "nothing wrong", 1.0, DcVariant(), site, **more)


def place(name: str, tube: str, kind: str) -> Any:
    return SimpleNamespace(name=lambda _: name, tube=tube, kind=kind)


def tried(read: float, *foretold: tuple[SupposedFault, float], kind: str = "grid", **more: Any) -> Any:
    """One place of V4 that was read, and what each fault foretells there; the heaviest are those told first."""
    faults = [fault(""), *(each for each, _ in foretold)]
    means = np.array([[0.0], *([volts] for _, volts in foretold)])
    trial = SimpleNamespace(
        faults=faults,
        foretold=SimpleNamespace(means=means),
        probes=[SimpleNamespace(place=place(f"V4 {kind}", "V4", kind), node=NODE)],
        off=lambda row, probe, volts: volts - means[row, probe],
    )
    weight = more.get("weight", [1.0 / (row + 1) for row in range(len(faults))])
    return SimpleNamespace(trial=trial, read={0: read}, ranking=SimpleNamespace(weight=weight))


C7 = fault("C7")
C2 = fault("C2", measured=True, in_set=True)
C3 = fault("C3", measured=True, in_set=True)
BOTH = fault("C2", measured=True, in_set=True, with_others=("C3",))
PLACE = ("V4 grid",)


@pytest.mark.parametrize(
    ("read", "foretold", "explains", "leaves"),
    [
        (1.95, 1.95, (), ()),
        (2.0, 2.0, PLACE, ()),
        (-2.0, -2.0, PLACE, ()),
        (3.0, 1.05, PLACE, ()),
        (3.0, 1.0, (), PLACE),
        (30.0, 20.1, PLACE, ()),
        (30.0, 20.0, (), PLACE),
        (30.0, 39.9, PLACE, ()),
        (30.0, 40.1, (), PLACE),
        (2.2, 0.53, (), PLACE),
        (2.2, 0.56, PLACE, ()),
    ],
)
def test_a_fault_explains_what_it_brings_near_to_what_was_read(
    read: float, foretold: float, explains: tuple[str, ...], leaves: tuple[str, ...]
) -> None:
    """Other than foretold from two deviations on; near within two, or a third of what was off; moved by a quarter."""
    assert explained(C7, tried(read, (C7, foretold)), AMERICAN) == Explained(explains, leaves, (), ())


@pytest.mark.parametrize(("foretold", "explains"), [(21.0, True), (20.9, False), (30.0, True)])
def test_what_a_fault_moves_counts_from_the_set_with_what_meters_found(foretold: float, explains: bool) -> None:
    """C2 as measured makes 18 of 30 V, too far off to foretell it; a quarter of the way on from there is 21 V."""
    one = tried(30.0, (C7, foretold), (C2, 18.0))
    expected = Explained(PLACE, (), (), ()) if explains else Explained((), PLACE, (), ())
    assert explained(C7, one, AMERICAN) == expected


def test_a_place_that_a_part_found_bad_foretells_as_read_is_that_parts() -> None:
    one = tried(30.0, (C7, 30.0), (C2, 25.0))
    assert explained(C7, one, AMERICAN) == Explained((), (), (("C2", PLACE),), ())
    assert explained(C2, one, AMERICAN) == Explained(PLACE, (), (), ())


def test_a_place_that_all_parts_found_bad_foretell_together_is_theirs() -> None:
    one = tried(30.0, (C7, 30.0), (C2, 5.0), (C3, 5.0), (BOTH, 28.0))
    assert explained(C7, one, AMERICAN) == Explained((), (), (("C2 and C3", PLACE),), ())


def test_what_another_tube_or_rectifier_reads_bad_is_no_part_that_is_in_the_set() -> None:
    tube = fault("V6", "tube", measured=True, in_set=True)
    assert explained(C7, tried(30.0, (C7, 30.0), (tube, 30.0)), AMERICAN) == Explained(PLACE, (), (), ())


def test_of_a_part_in_several_sizes_the_one_counts_that_the_readings_speak_for() -> None:
    small = fault("C2", measured=True, in_set=True, size=1.0)
    one = tried(30.0, (C7, 30.0), (small, 1.0), (C2, 25.0), weight=[0.1, 0.2, 0.1, 0.6])
    assert explained(C7, one, AMERICAN).by_others == (("C2", PLACE),)
    one = tried(30.0, (C7, 30.0), (small, 1.0), (C2, 25.0), weight=[0.1, 0.2, 0.6, 0.1])
    assert explained(C7, one, AMERICAN).explains == PLACE


@pytest.mark.parametrize(
    ("read", "foretold", "against"),
    [
        (1.2, -0.3, True),
        (1.2, -0.29, False),
        (1.25, -0.29, False),
        (1.15, -0.31, False),
        (1.2, 0.3, False),
        (-1.2, 0.3, True),
    ],
)
def test_a_cathode_moved_the_other_way_than_it_was_read_speaks_against_a_fault(
    read: float, foretold: float, against: bool
) -> None:
    """From one and a half deviations off, and 0.3 more than without the fault."""
    of_stage = fault("C7", at="V4")
    one = tried(read, (of_stage, foretold), kind="cathode")
    assert explained(of_stage, one, AMERICAN).against == (("V4 cathode",) if against else ())


@pytest.mark.parametrize(
    ("subject", "at", "kind", "against"),
    [
        ("V4", "", "cathode", True),
        ("C7", "", "cathode", False),
        ("C7", "V3", "cathode", False),
        ("V4", "", "grid", False),
    ],
)
def test_only_a_cathode_of_its_own_stage_speaks_against_it(subject: str, at: str, kind: str, against: bool) -> None:
    own = fault(subject, at=at)
    assert bool(explained(own, tried(1.5, (own, -1.5), kind=kind), AMERICAN).against) is against


@pytest.mark.parametrize(
    ("read", "foretold", "off"),
    [(2.0, 2.0, 2.0), (1.95, 1.95, 0.0), (-9.0, -9.0, 9.0), (9.0, 1.0, 0.0), (2.4, 0.6, 2.4), (2.4, 0.58, 0.0)],
)
def test_how_odd_the_reading_at_a_faults_own_ends_is_that_it_foretells(
    read: float, foretold: float, off: float
) -> None:
    assert told_by(C7, tried(read, (C7, foretold))) == off
    elsewhere = fault("C7")
    far = tried(read, (elsewhere, foretold))
    far.trial.probes[0].node = NODE + 1
    assert told_by(elsewhere, far) == 0.0


@pytest.mark.parametrize(
    ("foretold", "part"), [(3.0, True), (2.9, False), (7.4, True), (7.5, False), (30.0, False), (-3.0, False)]
)
def test_a_part_found_bad_makes_a_part_of_a_reading_from_a_tenth_of_the_way_up_to_a_quarter(
    foretold: float, part: bool
) -> None:
    expected = [(C2, PLACE)] if part else []
    assert list(makes_part_of(tried(30.0, (C2, foretold)), AMERICAN)) == expected
    assert list(makes_part_of(tried(2.0, (C2, 0.4)), AMERICAN)) == [(C2, PLACE)]
    assert list(makes_part_of(tried(1.95, (C2, 1.95 / 5)), AMERICAN)) == []
    assert list(makes_part_of(tried(30.0, (BOTH, foretold)), AMERICAN)) == []
    out = fault("C2", measured=True)
    assert list(makes_part_of(tried(30.0, (out, foretold)), AMERICAN)) == []
