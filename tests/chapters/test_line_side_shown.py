"""Which of the states of a line side a page shows: faults from where they are worse, and what comes to the same."""

from __future__ import annotations

from typing import Any

import pytest

from benchleaf.chapters.line_side.shown import no_worse, rows_of
from benchleaf.chapters.line_side.single_faults import NONE
from benchleaf.chapters.line_side.states import TouchState


def state(amps: float | None, fault: str = NONE, plug: str = "right", switch: str = "on", **more: Any) -> TouchState:
    """A hand on the chassis, or as ``more`` says."""
    volts = more.pop("volts", 117.0)
    given: dict[str, Any] = {"part": "chassis", "over_limit": False, "listed": True, "short_circuit": False} | more
    return TouchState(
        plug=plug, switch=switch, fault=fault, no_load_volts=volts, touch_amps_rms=amps, touch_amps_peak=None,
        u1_volts=None, u2_volts=None, body_amps=None, prospective_amps=None, short_circuit_if_earthed=False,
        residual_current_device_5_ma=None, residual_current_device_30_ma=None, **given,
    )  # fmt: skip


SHORT: dict[str, Any] = {"short_circuit": True}


@pytest.mark.parametrize(
    ("normal", "fault", "worse"),
    [
        (state(1e-3), state(1.00202e-3, "a fault"), True),
        (state(1e-3), state(1.00198e-3, "a fault"), False),
        (state(0.0), state(1.02e-6, "a fault"), True),
        (state(0.0), state(0.98e-6, "a fault"), False),
        (state(1e-3), state(0.5e-3, "a fault"), False),
        (state(None), state(1e-3, "a fault"), True),
        (state(1e-3), state(None, "a fault", **SHORT), True),
        (state(None, **SHORT), state(None, "a fault", **SHORT), False),
        (state(None, **SHORT), state(1e-3, "a fault"), True),
        (state(1e-3, part="knob"), state(0.0, "a fault"), True),
        (state(1e-3, plug="reversed"), state(0.0, "a fault"), True),
        (state(1e-3, switch="off"), state(0.0, "a fault"), True),
    ],
)
def test_a_fault_is_shown_where_it_is_worse_than_the_same_position_without_it(
    normal: TouchState, fault: TouchState, worse: bool
) -> None:
    """By a thousandth and a microampere; a short circuit is worse than none; what is nowhere else is worse."""
    states = (normal, fault)
    assert ("a fault",) in [row.faults for row in rows_of((), states)] or not worse
    assert no_worse((), states) == (() if worse else ("a fault",))
    assert no_worse(states, ()) == (() if worse else ("a fault",))


def test_what_no_hand_reaches_is_not_shown() -> None:
    hidden = state(1e-3, "a fault", listed=False)
    assert [row.faults for row in rows_of((), (state(0.0), hidden))] == [()]


@pytest.mark.parametrize(
    ("other", "rows"),
    [
        (state(1e-3, plug="reversed"), 1),
        (state(1e-3, plug="reversed", volts=117.49), 1),
        (state(1e-3, plug="reversed", volts=117.5), 2),
        (state(1e-3, plug="reversed", volts=None), 2),
        (state(1.00098e-3, plug="reversed"), 1),
        (state(1.00102e-3, plug="reversed"), 2),
        (state(1e-3, plug="reversed", part="knob"), 2),
        (state(1e-3, plug="reversed", **SHORT), 2),
    ],
)
def test_positions_stand_in_one_row_where_a_page_says_the_same_of_them(other: TouchState, rows: int) -> None:
    """To half a volt and a microampere."""
    found = rows_of((), (state(1e-3), other))
    assert len(found) == rows
    assert found[0].plugs == (("right", "reversed") if rows == 1 else ("right",))
    assert found[0].before is None


def test_each_position_has_its_own_state() -> None:
    found = rows_of((), (state(1e-3), state(2e-3, plug="reversed"), state(3e-3, plug="reversed", switch="off")))
    assert [(row.plugs, row.switches, row.after.touch_amps_rms) for row in found if row.after] == [
        (("right",), ("on",), 1e-3),
        (("reversed",), ("on",), 2e-3),
        (("reversed",), ("off",), 3e-3),
    ]


def test_faults_that_come_to_the_same_before_and_after_stand_in_one_row() -> None:
    sound, one, other = state(0.0), state(1e-3, "a fault"), state(1e-3, "another")
    assert [row.faults for row in rows_of((), (sound, one, other))] == [(), ("a fault", "another")]
    reversed_ = state(1e-3, "another", plug="reversed")
    apart = rows_of((), (sound, one, reversed_, state(0.0, plug="reversed")))
    assert [row.faults for row in apart if row.faults] == [("a fault",), ("another",)]
    before = (sound, state(2e-3, "a fault"))
    assert [row.faults for row in rows_of(before, (sound, one, other)) if row.faults] == [("a fault",), ("another",)]


def test_the_gravest_after_the_work_comes_first_then_the_gravest_before() -> None:
    after = (state(0.0), state(1e-3, "small"), state(2e-3, "large"), state(None, "short", **SHORT))
    assert [row.faults for row in rows_of((), after)][1:] == [("short",), ("large",), ("small",)]
    before = (state(0.0), state(1e-3, "small"), state(2e-3, "large"))
    assert [row.faults for row in rows_of(before, ())][1:] == [("large",), ("small",)]


def test_a_fault_stands_at_its_worst_position_of_those_where_it_matters() -> None:
    states = (
        state(5e-3), state(1e-3, plug="reversed"),
        state(5e-3, "a fault"), state(2e-3, "a fault", plug="reversed"),
    )  # fmt: skip
    (row,) = [row for row in rows_of((), states) if row.faults]
    assert row.after is not None
    assert (row.after.plug, row.after.touch_amps_rms) == ("reversed", 2e-3)
