"""What a part comes to, verdict by verdict: each judgement with what decides it, on rows made by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

import makers
from benchleaf.chapters.parts import verdicts
from benchleaf.circuit.pieces import Tolerance
from benchleaf.report.sentence import Judged, Styled, text_of
from benchleaf.report.verdict import Verdict
from benchleaf.words import AMERICAN

TEN = Tolerance(-0.1, 0.1)
WIDE = Tolerance(-0.2, 0.5)
NOTHING: dict[str, Any] = {
    "state": "kept", "reformed": None, "was_in_tolerance": None, "was_in_assumed": None, "assumed_tolerance": None,
    "was_tolerance": None, "now_in_tolerance": None, "now_tolerance": None, "buffer": None, "was_held": None,
    "now_held": None, "old_is_fitted": True, "new_is_fitted": False, "heat": None, "volts_rating_lower": False,
    "watts_rating_lower": False, "class_needed": "", "class_enough": None, "safety_class": "", "polarity": "",
    "positive_at": "", "foil_at": "", "outside_foil": "",
}  # fmt: skip


def row(**told: Any) -> Any:
    return SimpleNamespace(**(NOTHING | told))


def held(**told: Any) -> Any:
    given = {"leakage_enough": None, "leakage_limit_amps": None, "esr_enough": None, "esr_limit_ohms": None}
    return SimpleNamespace(**(given | told))


def said(judged: Any) -> tuple[str, str] | None:
    """The verdict and the words of a judgement, with an assumed one marked; None where none is passed."""
    if judged is None:
        return None
    if isinstance(judged, Styled):
        (inner,) = judged.words
        assert isinstance(inner, Judged)
        return f"{inner.verdict.name} assumed", makers.plain(inner.text)
    return judged.verdict.name, makers.plain(text_of((judged,)))


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, ("UNKNOWN", "no tolerance written")),
        ({"was_tolerance": TEN}, ("UNKNOWN", "cannot be told")),
        ({"was_tolerance": TEN, "was_in_tolerance": True}, ("GOOD", "within ±10 %")),
        ({"was_tolerance": WIDE, "was_in_tolerance": False}, ("FAULT", "out of −20 % to +50 %")),
        ({"assumed_tolerance": TEN}, ("UNKNOWN", "cannot be told")),
        ({"assumed_tolerance": TEN, "was_in_assumed": True}, ("PLAIN assumed", "within assumed ±10 %")),
        ({"assumed_tolerance": TEN, "was_in_assumed": False}, ("WATCH assumed", "out of assumed ±10 %")),
        ({"was_in_assumed": False}, ("UNKNOWN", "no tolerance written")),
        (
            {"assumed_tolerance": WIDE, "was_in_assumed": False, "was_tolerance": TEN, "was_in_tolerance": True},
            ("GOOD", "within ±10 %"),
        ),
    ],
)
def test_the_old_part_against_its_tolerance_or_the_one_that_is_assumed(
    told: dict[str, Any], words: tuple[str, str]
) -> None:
    assert said(verdicts.as_found(row(**told))) == words


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, ("UNKNOWN", "no tolerance written")),
        ({"assumed_tolerance": TEN}, ("UNKNOWN", "no tolerance written")),
        ({"now_tolerance": TEN}, ("UNKNOWN", "cannot be told")),
        ({"now_tolerance": TEN, "now_in_tolerance": False}, ("FAULT", "out of ±10 %")),
    ],
)
def test_the_new_part_against_its_own_tolerance(told: dict[str, Any], words: tuple[str, str]) -> None:
    assert said(verdicts.as_new(row(**told))) == words


@pytest.mark.parametrize(
    ("old", "fitted", "words"),
    [
        (None, True, None),
        (held(), True, None),
        (held(leakage_enough=True), True, ("GOOD", "leakage within the limit")),
        (held(leakage_enough=False, leakage_limit_amps=1e-3), True, ("FAULT", "leaks too much")),
        (held(leakage_enough=False), True, ("WATCH", "leaks too much")),
        (held(leakage_enough=False, leakage_limit_amps=1e-3), False, ("PUT_RIGHT", "leaks too much as found")),
    ],
)
def test_the_leakage_of_the_old_one(old: Any, fitted: bool, words: tuple[str, str] | None) -> None:
    """An electrolytic's limit is published, so that over it is a fault; that of others is common practice."""
    assert said(verdicts.found_leakage(row(was_held=old, old_is_fitted=fitted))) == words


@pytest.mark.parametrize(
    ("new", "leaks", "resists"),
    [
        (None, None, None),
        (held(), None, None),
        (
            held(leakage_enough=True, esr_enough=True),
            ("GOOD", "leakage within the limit"),
            ("GOOD", "ESR within the limit"),
        ),
        (
            held(leakage_enough=False, leakage_limit_amps=1e-3, esr_enough=False, esr_limit_ohms=2.0),
            ("FAULT", "the new one leaks too much"),
            ("FAULT", "ESR of the new one too high limit 2 Ω"),
        ),
        (held(leakage_enough=False), ("WATCH", "the new one leaks too much"), None),
    ],
)
def test_the_leakage_and_resistance_of_the_new_one(new: Any, leaks: Any, resists: Any) -> None:
    assert said(verdicts.new_leakage(row(now_held=new))) == leaks
    assert said(verdicts.new_esr(row(now_held=new))) == resists


@pytest.mark.parametrize(
    ("enough", "fitted", "words"),
    [
        (None, True, None),
        (True, True, None),
        (False, True, ("FAULT", "ESR too high as found, limit 2 Ω")),
        (False, False, ("PUT_RIGHT", "ESR too high as found, limit 2 Ω")),
    ],
)
def test_the_resistance_of_the_old_one_is_told_where_it_is_over_its_limit(
    enough: bool | None, fitted: bool, words: tuple[str, str] | None
) -> None:
    old = held(esr_enough=enough, esr_limit_ohms=2.0)
    assert said(verdicts.found_esr(row(was_held=old, old_is_fitted=fitted))) == words
    assert verdicts.found_esr(row()) is None


@pytest.mark.parametrize(
    ("watts", "rated", "enough", "beside", "alone"),
    [
        (0.2, 0.5, True, ("GOOD", "makes 0.2 W, rated 0.5 W"), ("GOOD", "0.5 W")),
        (0.3, 0.5, False, ("WATCH", "makes 0.3 W, rated 0.5 W"), ("WATCH", "0.5 W")),
        (0.5, 0.5, False, ("WATCH", "makes 0.5 W, rated 0.5 W"), ("WATCH", "0.5 W")),
        (0.6, 0.5, False, ("FAULT", "makes 0.6 W, rated 0.5 W"), ("FAULT", "0.5 W")),
        (0.6, None, None, None, ("UNKNOWN", "not written")),
        (0.6, 0.5, None, None, ("UNKNOWN", "not written")),
    ],
)
def test_the_heat_of_a_resistor_beside_its_rating(
    watts: float, rated: float | None, enough: bool | None, beside: Any, alone: Any
) -> None:
    """Rated for less than it makes is a fault, for less than twice of it one to watch (common practice)."""
    found: Any = SimpleNamespace(watts=watts, rated_watts=rated, enough=enough)
    assert said(verdicts.heat_and_rating(row(heat=found))) == beside
    assert said(verdicts.heat_rated(found)) == alone
    assert verdicts.heat_and_rating(row()) is None


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({}, None),
        (
            {"class_needed": "Y1", "class_enough": True, "safety_class": "Y1"},
            ("GOOD", "class Y1 in a place for class Y1"),
        ),
        ({"class_needed": "X", "class_enough": False}, ("DANGER", "no class written in a place for class X")),
        (
            {"class_needed": "X", "class_enough": False, "state": "reformed"},
            ("DANGER", "no class written in a place for class X"),
        ),
        (
            {"class_needed": "X", "class_enough": False, "state": "to do"},
            ("FAULT", "no class written in a place for class X"),
        ),
        (
            {"class_needed": "X", "class_enough": False, "state": "removed"},
            ("PUT_RIGHT", "no class written in a place for class X"),
        ),
        (
            {"class_needed": "X", "class_enough": False, "state": "to do", "new_is_fitted": True, "safety_class": "Y3"},
            ("DANGER", "class Y3 in a place for class X"),
        ),
        (
            {"class_needed": "Y1", "class_enough": False, "safety_class": "X2"},
            ("DANGER", "class X2 in a place for class Y1"),
        ),
    ],
)
def test_a_safety_class_against_what_its_place_needs(told: dict[str, Any], words: tuple[str, str] | None) -> None:
    assert said(verdicts.safety_class(row(**told))) == words


def test_class_y_alone_before_a_hand_is_one_to_watch() -> None:
    """Y1, or two Y2 in series (IEC 950, draft amendment 4, read second hand)."""
    alone = verdicts.safety_class(row(class_needed="Y1", class_enough=False, safety_class="Y2"))
    assert alone is not None
    assert (alone.verdict, text_of(alone.words)) == (Verdict.WATCH, "class Y2")


@pytest.mark.parametrize(
    ("buffer", "fault", "rating", "timing"),
    [
        (None, None, None, None),
        (
            {"fault": "", "rating_enough": None, "rated_volts": None, "timing": "", "change": None},
            None, ("UNKNOWN", "buffer’s DC rating not written at least 1.6 kV needed"), None,
        ),
        (
            {"fault": "shorted", "rating_enough": True, "rated_volts": 1600.0, "timing": "close", "change": 0.02},
            ("DANGER", "shorted: the first part to replace in a vibrator supply"),
            ("GOOD", "buffer rated 1.6 kV, at least 1.6 kV needed"),
            ("GOOD", "timing kept +2 % against what it replaces"),
        ),
        (
            {"fault": "leaky", "rating_enough": False, "rated_volts": 630.0, "timing": "off", "change": -0.3},
            ("WATCH", "leaky: the first part to replace in a vibrator supply"),
            ("WATCH", "buffer rated 630 V, at least 1.6 kV needed"),
            ("WATCH", "timing shifted −30 % against what it replaces"),
        ),
    ],
)  # fmt: skip
def test_the_buffer_of_a_vibrator(buffer: dict[str, Any] | None, fault: Any, rating: Any, timing: Any) -> None:
    made = row(buffer=SimpleNamespace(**buffer) if buffer else None)
    assert said(verdicts.buffer_fault(made)) == fault
    assert said(verdicts.buffer_rating(made)) == rating
    assert said(verdicts.buffer_timing(made)) == timing


@pytest.mark.parametrize(
    ("shifts", "volts", "away", "words"),
    [
        (None, 0.3, False, ("UNKNOWN", "cannot be told")),
        (None, None, False, ("UNKNOWN", "cannot be known")),
        (False, 0.1, False, ("GOOD", "little")),
        (True, 0.6, False, ("WATCH", "shifts the bias")),
        (True, 9.0, True, ("FAULT", "takes away the bias of 6 V")),
    ],
)
def test_a_leak_onto_a_grid(shifts: bool | None, volts: float | None, away: bool, words: tuple[str, str]) -> None:
    grid: Any = SimpleNamespace(shifts_bias=shifts, volts=volts, takes_bias_away=away, bias_volts=6.0)
    assert said(verdicts.on_the_grid(grid)) == words


@pytest.mark.parametrize(
    ("otherwise", "return_volts", "words"),
    [
        (False, None, ""),
        (True, None, ", read +2.4 V"),
        (False, -12.0, " from where its leak returns, at −12 V"),
        (True, -12.0, ", read +2.4 V from where its leak returns, at −12 V"),
    ],
)
def test_what_was_read_on_a_grid(otherwise: bool, return_volts: float | None, words: str) -> None:
    grid: Any = SimpleNamespace(read_volts=2.4, read_otherwise=otherwise, return_volts=return_volts)
    assert makers.plain(text_of(verdicts.read_on_the_grid(grid))) == words


@pytest.mark.parametrize(
    ("agrees", "readings", "words"),
    [
        (False, ("10 nF",), ("WATCH", "not the value written")),
        (None, (), ("UNKNOWN", "no code that is known here")),
        (None, ("10 nF",), None),
        (True, ("10 nF",), None),
    ],
)
def test_a_marking(agrees: bool | None, readings: tuple[str, ...], words: tuple[str, str] | None) -> None:
    read: Any = SimpleNamespace(agrees=agrees, readings=readings)
    assert said(verdicts.marking(read)) == words


@pytest.mark.parametrize(
    ("state", "leans", "wanted"),
    [
        ("to do", None, True), ("reform", None, False), ("reform", "reform", False), ("reform", "replace", True),
        ("kept", "replace", False), ("on order", None, False),
    ],
)  # fmt: skip
def test_whether_a_new_part_is_still_to_be_got(state: str, leans: str | None, wanted: bool) -> None:
    reformed = SimpleNamespace(leans=leans) if leans else None
    assert verdicts.new_one_wanted(row(state=state, reformed=reformed)) is wanted


@pytest.mark.parametrize(
    ("state", "checked", "open_"),
    [
        ("to do", True, True), ("reform", True, True), ("looked at", False, True), ("looked at", True, False),
        ("kept", False, False), ("on order", False, False),
    ],
)  # fmt: skip
def test_whether_a_part_has_still_to_be_dealt_with(state: str, checked: bool, open_: bool) -> None:
    assert verdicts.still_to_handle(state, checked=checked) is open_


def test_what_is_wrong_with_a_part_that_is_out_of_the_set_is_worth_knowing_and_no_more() -> None:
    assert verdicts.of_the_set(Verdict.FAULT, inside=True) is Verdict.FAULT
    assert verdicts.of_the_set(Verdict.FAULT, inside=False) is Verdict.PUT_RIGHT
    assert verdicts.of_the_set(Verdict.GOOD, inside=False) is Verdict.GOOD


def test_what_is_counted_of_the_old_part_is_what_could_be_judged() -> None:
    bad = row(assumed_tolerance=TEN, was_in_assumed=False, was_held=held(leakage_enough=False, esr_enough=False))
    assert [one.verdict.name for one in verdicts.old_part(bad)] == ["WATCH", "WATCH", "FAULT"]
    assert verdicts.old_part(row(was_held=held())) == ()


@pytest.mark.parametrize(
    ("told", "worst"),
    [
        ({"was_in_tolerance": False, "was_tolerance": TEN}, "FAULT"),
        ({"was_in_tolerance": False, "was_tolerance": TEN, "old_is_fitted": False}, "PUT_RIGHT"),
        ({"was_in_tolerance": True, "was_tolerance": TEN, "volts_rating_lower": True}, "WATCH"),
        ({"now_in_tolerance": False, "now_tolerance": TEN, "watts_rating_lower": True}, "FAULT"),
        ({"was_held": held(leakage_enough=True)}, None),
        ({"polarity": "reversed"}, "FAULT"),
        ({"polarity": "written", "positive_at": "B+1"}, None),
    ],
)
def test_the_worst_that_is_said_of_a_part(
    told: dict[str, Any], worst: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verdicts, "rating", lambda *_: None)
    found = verdicts.worst(row(**told), AMERICAN)
    assert (found.name if found else None) == worst


@pytest.mark.parametrize(
    ("told", "lines"),
    [
        ({}, []),
        ({"volts_rating_lower": True, "watts_rating_lower": True},
         ["lower voltage rating than before", "lower power rating than before"]),
        ({"safety_class": "Y2"}, ["class Y2"]),
        ({"safety_class": "Y1", "class_needed": "Y1", "class_enough": True}, ["class Y1 in a place for class Y1"]),
        ({"polarity": "missing"}, ["polarity not written"]),
        ({"polarity": "misplaced"}, ["positive end on a part without polarity"]),
        ({"polarity": "implied"}, ["positive end by its place"]),
        ({"polarity": "written", "positive_at": "B+1"}, ["positive at B+1"]),
        ({"outside_foil": "written", "foil_at": "chassis"}, ["outside foil at chassis"]),
        ({"outside_foil": "missing"}, ["outside foil not written"]),
        ({"was_held": held(leakage_enough=False)}, ["leaks too much"]),
    ],
)  # fmt: skip
def test_what_is_said_of_ratings_and_marks(
    told: dict[str, Any], lines: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verdicts, "rating", lambda *_: None)
    assert [makers.plain(text_of(line)) for line in verdicts.ratings(row(**told), AMERICAN)] == lines
