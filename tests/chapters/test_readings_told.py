"""How the causes of a run are told: together where they are alike, once where a rail makes them, and not by guess."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.signs import cathode_share
from benchleaf.chapters.readings.suggestions import Suggestion

SET = (
    "line: 120 V\npower: transformer\n"
    "tubes:\n  V1: 12AX7\n  V2: EF89\n  V3: 6J5\n  V4: 6V6GT\n  V5: 5Y3GT\n"
    "readings:\n  sheet:\n"
    "    V1: plate 1 120, cathode 1 1.2, plate 2 150, cathode 2 1.4\n"
    "    V2: plate 250, screen 97, grid 0, cathode 1.95\n"
    "    V3: plate 130, grid 0, cathode 5\n"
    "    V4: plate 250, screen 250, grid 0, cathode 12.5\n"
    "    V5: cathode 265\n    B+2: 250\n  as found:\n"
)
CATHODES = "  C8: 25 uF electrolytic, between V4 cathode and B-\n"


def told(readings: str, parts: str = "") -> tuple[Suggestion, ...]:
    lines = "".join(f"    {line}\n" for line in readings.split("; "))
    found = makers.found("readings", SET + lines + (f"parts:\n{parts}" if parts else ""))
    suggestions: tuple[Suggestion, ...] = found.suggestions
    return suggestions


def test_two_that_look_alike_are_told_as_one_with_what_tells_them_apart() -> None:
    (one,) = told("V4: plate 252, screen 250, grid 0, cathode 8; V5: cathode 265", CATHODES)
    assert (one.rule, [a.rule for a in one.alike]) == ("leaky cathode bypass", ["weak tube"])
    assert (one.part, one.alike[0].part, one.parts) == ("C8", None, ("C8",))
    assert "C8 across the cathode’s resistor leaks, or the tube is weak: little emission" in one.cause
    assert one.cause.endswith("these readings fit both")
    assert one.next.startswith("switch off; lift one end of C8")
    assert "; then read with another tube" in one.next


def test_the_plate_current_tells_a_leak_from_a_weak_tube() -> None:
    """The drop across what feeds the plate is the plate current over what is expected there."""
    primary = "  T2: 600 ohm, job output transformer, between V4 plate and V5 cathode\n"
    body = SET.replace("V4: plate 250", "V4: plate 230")
    for plate, rules in (("190", ["leaky cathode bypass", "cathode resistor low"]), ("252", ["weak tube"])):
        run = f"    V4: plate {plate}, screen 250, grid 0, cathode 8\n    V5: cathode 265\n"
        (one,) = makers.found("readings", f"{body}{run}parts:\n{CATHODES}{primary}").suggestions
        assert [one.rule, *(a.rule for a in one.alike)] == rules


def test_the_top_of_the_page_suspects_all_that_is_told() -> None:
    both = "V4: plate 252, screen 250, grid 0, cathode 8; V5: cathode 265"
    body = SET + "".join(f"    {line}\n" for line in both.split("; ")) + f"parts:\n{CATHODES}"
    assert any("suspect C8 or the tube" in text for text in makers.said("readings", body))


def test_tubes_that_are_low_alike_are_one_matter() -> None:
    low = "V2: plate 190, screen 72, grid 0, cathode 1.5; V3: plate 98, grid 0, cathode 3.8; V4: plate 249, screen 248"
    (one,) = told(low)
    assert (one.rule, one.cause) == ("low together", "V2 and V3 are low alike: less than meant reaches all of them")
    (rail,) = told(low + "; V5: cathode 264; B+2: 190")
    assert (rail.tube, rail.rule) == ("B+2", "filter resistor high")


def test_more_causes_than_help_are_not_told_but_what_to_read() -> None:
    (one,) = told("V2: screen 60, plate 250; V5: cathode 265")
    assert (one.rule, one.next, one.part, one.alike) == ("more to read", "read grid and cathode here too", None, ())


def test_both_sections_of_a_twin_are_looked_at() -> None:
    (one,) = told("V1: plate 1 118, cathode 1 1.2, plate 2 60, cathode 2 0.7; V5: cathode 265")
    assert (one.tube, one.section, one.rule) == ("V1", "triode 2", "plate load high")
    (dead,) = told("V1: plate 1 118, cathode 1 1.2, plate 2 0, cathode 2 0; V5: cathode 265")
    assert "oscillator" not in dead.cause
    assert dead.rule == "open plate load"


def test_b_plus_is_low_at_the_first_rail_where_the_rectifier_was_not_read() -> None:
    body = SET.replace("B+2: 250", "B+1: 262") + "    B+1: 190\n"
    (one,) = makers.found("readings", body).suggestions
    assert (one.tube, one.rule) == ("B+1", "weak supply")
    assert one.cause.startswith("the line is low, the rectifier is weak, or the first filter capacitor")
    (gone,) = makers.found("readings", SET.replace("B+2: 250", "B+1: 262") + "    B+1: 2\n").suggestions
    assert gone.rule == "no B+"


@pytest.mark.parametrize(("volts", "rule"), [("13.25", "weak supply"), ("13.2", "no B+")])
def test_b_plus_is_gone_below_a_twentieth_of_it(volts: str, rule: str) -> None:
    (one,) = told(f"V5: cathode {volts}")
    assert (one.tube, one.rule) == ("V5", rule)


def test_b_plus_comes_before_the_tubes_that_it_feeds() -> None:
    supply, tube = told("V3: plate 30, grid 0, cathode 1.1; V5: cathode 190")
    assert [(s.tube, s.rule) for s in (supply, tube)] == [("V5", "weak supply"), ("V3", "plate load high")]


def test_the_power_is_switched_off_once_in_the_next_steps() -> None:
    (one,) = told("V2: plate 250, screen 55, grid 0, cathode 1.1; V5: cathode 265")
    assert [one.rule, *(a.rule for a in one.alike)] == ["screen resistor high", "leaky screen capacitor"]
    assert one.next.count("power off") == 1


@pytest.mark.parametrize("bias", [0.3, 0.5, 0.7, 0.9])
@pytest.mark.parametrize("pull", [0.3, 0.7, 1.0, 1.4])
def test_the_share_of_a_cathode_obeys_the_three_halves_law(bias: float, pull: float) -> None:
    k = cathode_share(pull, bias)
    assert k == pytest.approx(max(0.0, (pull - bias * k) / (1 - bias)) ** 1.5, abs=1e-6)
    assert cathode_share(1.0, bias) == pytest.approx(1.0)
