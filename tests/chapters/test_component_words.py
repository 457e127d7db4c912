"""A component in words: its value as the trade prints it, what was measured of it, and the record's own spelling."""

from __future__ import annotations

from typing import Any

import pytest

import makers
from benchleaf.chapters.parts import component_words
from benchleaf.circuit.pieces import Seen
from benchleaf.report.amount import Origin
from benchleaf.report.sentence import text_of


def text(phrase: Any) -> str:
    return makers.plain(text_of(phrase))


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        (None, ""),
        (Seen(value=1e-8, unit="F", value_typed="10 nF", volts=630.0, type="film"), "10 nF 630 V film"),
        (
            Seen(value=1e-8, unit="F", value_typed="10 nF", volts=275.0, volts_mark="ac", safety_class="X2"),
            "10 nF 275 V AC X2",
        ),
        (Seen(value=470.0, unit="ohm", value_typed="470 ohm", watts=0.5), "470 Ω 0.5 W"),
        (Seen(amps=0.5), "500 mA"),
        (Seen(value_range=(1e-8, 2e-8), unit="F", value_typed="10-20 nF"), "10 nF to 20 nF"),
        (Seen(value_typed="a big one"), "a big one"),
        (Seen(value_typed="a big one", condition="leaky"), "leaky"),
        (Seen(typed="wax"), "wax"),
        (Seen(), "not described"),
        (
            Seen(value=1e-8, unit="F", value_typed="10 nF", esl_henries=1e-8, leads_metres=0.02),
            "10 nF ESL 10 nH leads 20 mm",
        ),
    ],
)
def test_what_it_is(seen: Seen | None, said: str) -> None:
    assert text(component_words.component(seen)) == said


@pytest.mark.parametrize(
    ("typed", "value", "own"),
    [
        ("10 nF", 1e-8, ""),
        ("0.01 uF", 1e-8, "0.01 uF"),
        ("10nF", 1e-8, ""),
        ("10,0 nF", 1e-8, "10,0 nF"),
        ("10 + 20 nF", 1e-8, "10 + 20 nF"),
    ],
)
def test_its_own_spelling_stands_where_its_figures_are_others(typed: str, value: float, own: str) -> None:
    assert component_words.own_spelling(Seen(value=value, unit="F", value_typed=typed)) == own
    assert component_words.own_spelling(Seen(value_typed=typed)) == ""
    assert component_words.own_spelling(None) == ""


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        (None, ""),
        (Seen(), ""),
        (Seen(measured=1.36e-8, unit="F", measured_typed="13.6 nF", measured_bound="exact"), "13.6 nF"),
        (Seen(measured=2e7, unit="ohm", measured_typed="> 20 meg", measured_bound="at least"), "at least 20 MΩ"),
        (Seen(measured_typed="OL", measured_bound="over range"), "OL"),
    ],
)
def test_what_the_meter_showed(seen: Seen | None, said: str) -> None:
    assert text(component_words.measured(seen)) == said


@pytest.mark.parametrize(
    ("seen", "said"),
    [
        (None, ""),
        (Seen(leakage_ohms=1e7), ""),
        (
            Seen(leakage_typed="27 uA at 200 V", leakage_amps=2.7e-5, leakage_volts=200.0, leakage_bound="exact"),
            "27 µA at 200 V",
        ),
        (
            Seen(leakage_typed="< 1 uA at 200 V", leakage_amps=1e-6, leakage_volts=200.0, leakage_bound="at least"),
            "at most 1 µA at 200 V",
        ),
        (
            Seen(leakage_typed="> 1 uA at 200 V", leakage_amps=1e-6, leakage_volts=200.0, leakage_bound="at most"),
            "at least 1 µA at 200 V",
        ),
        (Seen(leakage_typed="> 5 meg", leakage_bound="at least"), "> 5 meg"),
        (Seen(leakage_typed="some", leakage_amps=1e-6), "some"),
    ],
)
def test_a_leakage_is_told_as_it_was_measured(seen: Seen | None, said: str) -> None:
    """What leaks at most so many microamperes has at least so many megohms: the bound is that of the ohms."""
    assert text(component_words.leakage(seen)) == said


def test_a_series_resistance_is_told_where_it_is_written() -> None:
    assert text(component_words.series_resistance(Seen(esr_ohms=9.0), Origin.MEASURED)) == "ESR 9 Ω"
    assert component_words.series_resistance(Seen(), Origin.MEASURED) == ()
    assert component_words.series_resistance(None, Origin.MEASURED) == ()


@pytest.mark.parametrize(
    ("typed", "digits"), [("10 nF", 3), ("0.0047 uF", 3), ("1234 ohm", 4), ("1,234.5 ohm", 5), ("OL", 3)]
)
def test_no_figure_that_was_written_is_rounded_away(typed: str, digits: int) -> None:
    assert component_words.figures(typed) == digits
