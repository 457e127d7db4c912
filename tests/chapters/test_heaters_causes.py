"""What readings of heaters point to: each cause by its verdict, its share and the way the heaters are fed."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.heaters.causes import COMMON, LOVELL, Cause, of_sum, of_tube, of_whole_string
from benchleaf.report.verdict import Verdict
from benchleaf.words import AMERICAN, BRITISH


@pytest.mark.parametrize(
    ("verdict", "share", "lamp", "series", "cause", "source"),
    [
        ("open", None, False, True, "its heater is open", LOVELL),
        ("dark", None, False, True, "no volts across it: its heater is shorted", COMMON),
        ("dark", None, False, False, "no volts reach its pins", COMMON),
        ("far off", 0.3, False, False, "a bad joint or socket contact between winding and tube", COMMON),
        ("far off", -0.3, True, False, "a bad joint or socket contact between winding and tube", COMMON),
        ("far off", 0.3, True, True, "the pilot lamp is out or loose", "Nuts and Volts, questions and answers"),
        ("far off", 0.3, False, True, "a type of lower heater current in this socket", COMMON),
        ("far off", -0.3, True, True, "a type of higher heater current in this socket", COMMON),
        ("far off", -0.3, False, True, "a type of higher heater current in this socket", COMMON),
    ],
)
def test_what_one_heater_points_to(
    verdict: str, share: float | None, lamp: bool, series: bool, cause: str, source: str
) -> None:
    """The volts of a string go where the current is least: its tube has the larger share (Ohm's law)."""
    found = of_tube(verdict, share, lamp, series, AMERICAN)
    assert isinstance(found, Cause)
    assert found.cause.startswith(cause)
    assert found.source.startswith(source)
    assert found.next
    british = of_tube(verdict, share, lamp, series, BRITISH)
    assert british is not None
    assert " tube" not in f" {british.cause} {british.next}"


@pytest.mark.parametrize(("verdict", "share"), [("within", 0.3), ("off", 0.3), ("far off", None), ("", None)])
def test_what_is_not_far_off_points_to_nothing(verdict: str, share: float | None) -> None:
    assert of_tube(verdict, share, lamp=True, series=True, words=AMERICAN) is None


@pytest.mark.parametrize(
    ("ratio", "cause"),
    [(None, ""), (1.0, ""), (0.96, ""), (1.04, ""), (0.94, "all tubes run lower"), (1.06, "all tubes run higher")],
)
def test_what_the_whole_string_points_to(ratio: float | None, cause: str) -> None:
    """From 5 % on: less is a meter's and a moving line's (common practice, no source)."""
    found = of_whole_string(ratio, AMERICAN)
    assert (found.cause[: len(cause)] if found and cause else "" if found is None else "?") == cause


@pytest.mark.parametrize(
    ("off", "dropper", "cause"),
    [
        (None, False, ""),
        (0.03, False, ""),
        (-0.03, True, ""),
        (-0.031, False, "something in series that is not written"),
        (-0.031, True, "a bad switch, joint or socket in series, a dropper of another value"),
        (0.031, False, "a reading that is wrong, or a line that was higher"),
        (0.031, True, "a reading that is wrong, or a line that was higher"),
    ],
)
def test_what_volts_that_do_not_add_up_point_to(off: float | None, dropper: bool, cause: str) -> None:
    found = of_sum(off, dropper, AMERICAN)
    assert (found.cause[: len(cause)] if found and cause else "" if found is None else "?") == cause


@pytest.mark.parametrize(("line", "verdict"), [("", Verdict.NOTE), ("line: 120 V\n", Verdict.FAULT)])
def test_a_type_of_another_current_is_a_fault_where_it_runs_off_its_volts(line: str, verdict: Verdict) -> None:
    """A heater of 0.3 A in a string of 0.15 A has too few volts; without a line nobody can say how many."""
    text = f"{line}power: series string\ntubes:\n  V1: 12BE6\n  V2: 25L6GT\n  V3: 35W4\n  V4: 12BA6\nheaters:\n"
    told = makers.standouts("heaters", f"{text}  order: V3, V2, V4, V1\n")
    (mixed,) = (one for one in told if "is rated for" in one.text)
    assert (mixed.verdict, mixed.text.startswith("V2 (25L6GT) is rated for")) == (verdict, True)
