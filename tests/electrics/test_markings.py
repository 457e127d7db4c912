"""Markings both ways: the published worked examples, the digits of IEC 60062, and there and back again."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from benchleaf.electrics.colours import COLOURS, colour
from benchleaf.electrics.markings import (
    CENTIMETRE,
    read_bands,
    read_body_end_dot,
    read_dots,
    read_marking,
    read_printed,
)
from benchleaf.electrics.markings_of import bands_of, body_end_dot_of, digits_of, mica_dots_of, rkm_of
from benchleaf.electrics.preferred import series_values


@pytest.mark.handbook
def test_digits_and_tolerances_of_the_colours() -> None:
    """IEC 60062 as charted in Popular Electronics, March 1955 (digits), and its later editions (tolerances)."""
    names = ["black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"]
    assert [COLOURS[name].digit for name in names] == list(range(10))
    off = {"brown": 0.01, "red": 0.02, "green": 0.005, "blue": 0.0025, "violet": 0.001, "gold": 0.05, "silver": 0.10}
    assert {name: COLOURS[name].tolerance for name in off} == off
    assert (COLOURS["gold"].exponent, COLOURS["silver"].exponent, COLOURS["none"].tolerance) == (-1, -2, 0.20)


@pytest.mark.handbook
def test_volts_and_tolerances_of_mica_dots() -> None:
    """RMA: a colour's digit in hundreds of volts, gold 1000, silver 2000, no dot 500; vcomp.co.uk, mica codes."""
    digits = ["brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"]
    volts = {name: 100.0 * digit for digit, name in enumerate(digits, 1)} | {"gold": 1000, "silver": 2000, "none": 500}
    assert {name: c.mica_volts for name, c in COLOURS.items() if c.mica_volts} == volts
    off = {name: 0.01 * digit for digit, name in enumerate(digits, 1)}
    off |= {"black": 0.20, "gold": 0.05, "silver": 0.10, "none": 0.20}
    assert {name: c.mica_tolerance for name, c in COLOURS.items()} == pytest.approx(off)
    (found,) = [r for r in read_dots(["brown", "black", "brown", "white", "green"]) if "five" in r.how]
    assert (found.volts, found.low, found.high) == (900, -0.05, 0.05)


@pytest.mark.handbook
def test_temperature_coefficients_of_the_colours() -> None:
    """IEC 60062 (from memory): ppm/K of the sixth band, black to grey; white has none."""
    names = ["black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey"]
    assert [COLOURS[name].ppm for name in names] == [250, 100, 50, 15, 25, 20, 10, 5, 1]
    assert {COLOURS[name].ppm for name in ("white", "gold", "silver", "none")} == {None}


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("letter", "low", "high"),
    [
        ("F", -0.01, 0.01), ("G", -0.02, 0.02), ("H", -0.03, 0.03), ("J", -0.05, 0.05), ("K", -0.10, 0.10),
        ("M", -0.20, 0.20), ("N", -0.30, 0.30), ("Q", -0.10, 0.30), ("T", -0.10, 0.50), ("S", -0.20, 0.50),
        ("Z", -0.20, 0.80), ("P", 0.0, 1.0),
    ],
)  # fmt: skip
def test_tolerance_letters_of_capacitors(letter: str, low: float, high: float) -> None:
    """IEC 60062 and EIA, as tabled by FOSSEE 2240 and keith-snook.info (F to M, Z, P); N, Q, T and S from memory."""
    found = next(r for r in read_printed(f"473{letter}") if r.unit == "F" and "noughts" in r.how)
    assert (found.value, found.low, found.high) == (pytest.approx(47e-9), low, high)


@pytest.mark.handbook
@pytest.mark.parametrize(("letter", "picofarads"), [("B", 0.1), ("C", 0.25), ("D", 0.5), ("F", 1.0)])
def test_letters_that_count_in_picofarads_up_to_ten(letter: str, picofarads: float) -> None:
    """IEC 60062 and EIA (FOSSEE 2240): on 4.7 pF the letter is a difference and no share."""
    (found,) = [r for r in read_printed(f"4p7{letter}") if r.unit == "F"]
    assert (found.low, found.high) == (pytest.approx(-picofarads / 4.7), pytest.approx(picofarads / 4.7))


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("letter", "off"),
    [("B", 0.001), ("C", 0.0025), ("D", 0.005), ("F", 0.01), ("G", 0.02), ("J", 0.05), ("K", 0.10), ("M", 0.20)],
)
def test_tolerance_letters_of_resistors(letter: str, off: float) -> None:
    """IEC 60062, letters for symmetrical relative tolerances."""
    (found,) = [r for r in read_printed(f"4K7{letter}") if r.unit == "ohm"]
    assert (found.value, found.low, found.high) == (4700, -off, off)


@pytest.mark.handbook
def test_body_green_end_grey_dot_red() -> None:
    """Popular Electronics, March 1955: 5800 ohm, ±20 %."""
    found = read_body_end_dot("green", "grey", "red")
    assert (found.value, found.low, found.high) == (5800.0, -0.2, 0.2)
    assert read_marking("body green, tip grey, dot red")[0] == found


@pytest.mark.handbook
def test_missing_end_or_dot_has_the_body_colour() -> None:
    """The 1955 chart and vintageradioworld.co.uk agree: a missing tip or dot has the colour of the body."""
    assert read_body_end_dot("red", None, "orange").value == 22e3
    assert read_body_end_dot("yellow", "violet", None, "gold").value == 470e3


@pytest.mark.handbook
def test_three_dots_red_green_black() -> None:
    """vcomp.co.uk, mica codes: 25 mmfd."""
    (found,) = read_dots(["red", "green", "black"])
    assert found.value == pytest.approx(25e-12)


@pytest.mark.handbook
def test_six_dots_of_the_army() -> None:
    """Army OD1647: white, brown, red; multiplier red: 1200 pF. Its blue of 2 % disagrees with other charts."""
    values = {r.how: r for r in read_dots(["white", "brown", "red", "red", "blue", "red"])}
    found = values["six dots, mica (EIA)"]
    assert found.value == pytest.approx(1200e-12)
    assert "both codes" in found.caution


@pytest.mark.handbook
def test_six_dots_black_blue_red() -> None:
    """FOSSEE 2240, Ex. 16.9 (Grob): upper row black blue red, lower row from the right red, gold: 6200 pF ±5 %."""
    (found,) = read_dots(["black", "blue", "red", "brown", "gold", "red"])
    assert (found.value, found.high, found.letter) == (pytest.approx(6200e-12), 0.05, "B")


@pytest.mark.handbook
def test_six_dots_of_a_command_set() -> None:
    """AN 16-40BC224-2 as read on the arc5 list: black green brown, red yellow black is 51 mmf, C, 4 %."""
    (found,) = read_dots(["black", "green", "brown", "red", "yellow", "black"])
    assert (found.value, found.letter, found.high) == (pytest.approx(51e-12), "C", 0.04)


def test_rma_dots_with_three_digits() -> None:
    (found,) = read_dots(["red", "green", "black", "green", "silver", "brown"])
    assert (found.value, found.volts, found.high) == (pytest.approx(2500e-12), 500.0, 0.10)


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("marking", "farads", "low", "high"),
    [
        ("479C", 4.7e-12, -0.25 / 4.7, 0.25 / 4.7),  # FOSSEE 2240, Ex. 16.7
        (".047Z Z5V", 47e-9, -0.2, 0.8),  # FOSSEE 2240, Ex. 16.8
        ("473J", 47e-9, -0.05, 0.05),  # regiscoyne.com
        ("105K 330V", 1e-6, -0.1, 0.1),  # primidi.com
        ("104", 100e-9, None, None),  # imapenguin
        ("4R7", 4.7e-12, None, None),  # imapenguin
        ("3n3", 3.3e-9, None, None),  # repeater-builder.com
        ("2U2", 2.2e-6, None, None),  # repeater-builder.com
        ("3P3", 3.3e-12, None, None),  # repeater-builder.com
    ],
)
def test_printed_codes(marking: str, farads: float, low: float | None, high: float | None) -> None:
    found = [r for r in read_printed(marking) if r.unit == "F" and r.value == pytest.approx(farads)]
    assert len(found) == 1
    assert (found[0].low, found[0].high) == (pytest.approx(low, abs=1e-6), pytest.approx(high, abs=1e-6))


@pytest.mark.handbook
def test_470_is_two_values() -> None:
    """keith-snook.info: an old 470JN is 470 pF ±5 %, a modern 470 is 47 pF."""
    farads = [r for r in read_printed("470JN") if r.unit == "F"]
    assert [r.value for r in farads] == [pytest.approx(47e-12), pytest.approx(470e-12)]
    assert all(r.caution for r in farads)
    assert not any(r.caution for r in read_printed("471") if r.unit == "F")


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("marking", "ohms"),
    [("3K3", 3.3e3), ("2M2", 2.2e6), ("1R0", 1.0), ("R47", 0.47), ("4K7", 4.7e3), ("2G2", 2.2e9), ("4E7", 4.7)],
)
def test_letter_for_the_point(marking: str, ohms: float) -> None:
    """IEC 60062 (E for the point from memory); the first three as printed at repeater-builder.com."""
    assert ohms in [pytest.approx(r.value) for r in read_printed(marking) if r.unit == "ohm"]


@pytest.mark.handbook
def test_centimetres() -> None:
    """The jar of the Royal Navy, 1000 cm, is 1/(9·10^8) F (usefullinks.org): one centimetre is 1.11 pF."""
    assert pytest.approx(1 / 9e8 / 1000, rel=2e-3) == CENTIMETRE
    (found,) = read_printed("500 cm")
    assert found.value == pytest.approx(556e-12, rel=1e-3)


def test_bands_of_five_and_six() -> None:
    assert read_bands(["brown", "black", "black", "red", "brown"]).value == 10e3
    six = read_bands(["orange", "blue", "black", "brown", "green", "red"])
    assert (six.value, six.high, six.ppm) == (3.6e3, 0.005, 50)
    old = read_bands(["yellow", "violet", "orange", "silver", "brown"], reliability=True)
    assert (old.value, old.high, "reliability" in old.caution) == (47e3, 0.10, True)


def test_gold_or_silver_as_fourth_of_five_bands_is_multiplier_or_tolerance() -> None:
    """Read both ways; of six bands the fourth is the multiplier, since nothing stands behind a temperature's."""
    both = [r for r in read_marking("yellow violet orange silver brown") if r.unit == "ohm"]
    assert [(r.value, r.high) for r in both] == [(pytest.approx(4.73), 0.01), (pytest.approx(47e3), 0.10)]
    (six,) = [r for r in read_marking("yellow violet orange silver brown red") if r.unit == "ohm"]
    assert (six.value, six.ppm) == (pytest.approx(4.73), 50)


def test_grey_tolerance_has_changed_its_meaning() -> None:
    """IEC 60062:2016, second hand (the standard was not opened): grey ±0.01 %, orange ±0.05 %, yellow ±0.02 %; before,
    grey was ±0.05 % (Kuphaldt, Lessons in Electric Circuits, reference volume)."""
    now, before = read_marking("orange orange black red grey")[:2]
    assert (now.value, now.low, now.high) == (33e3, -0.0001, 0.0001)
    assert (before.value, before.high) == (33e3, 0.0005)
    assert (now.how, before.how) == ("5 bands, IEC 60062:2016", "5 bands, IEC 60062 before 2016")
    assert (COLOURS["orange"].tolerance, COLOURS["yellow"].tolerance) == (0.0005, 0.0002)
    four = [r.high for r in read_marking("red violet red grey")]
    assert four == [0.0001, 0.0005]
    assert not any("2016" in r.how for r in read_marking("grey red black red brown"))


def test_letter_that_is_tolerance_or_multiplier() -> None:
    """IEC 60062: 104K is two digits, four noughts and ±10 %; with K for the point it would be 104 kohm."""
    farads, by_digits, by_sign = read_marking("104K")
    assert (farads.unit, farads.value, farads.high) == ("F", pytest.approx(100e-9), 0.10)
    assert (by_digits.value, by_digits.high) == (100e3, 0.10)
    assert (by_sign.value, by_sign.high) == (104e3, None)
    assert by_digits.caution == by_sign.caution != ""
    assert farads.caution == ""
    assert [r.caution for r in read_marking("4K7") if r.unit == "ohm"] == [""]


@pytest.mark.parametrize("wrong", ["gold red red gold", "red red", "red red gold white", "black red red gold"])
def test_what_is_no_band_code(wrong: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read_bands(wrong.split())


@pytest.mark.parametrize("wrong", ["", "paper", "47", "=1+1", "12345", "red", "4K7K7", "\u0664\u0667\u0663"])
def test_what_is_no_marking(wrong: str) -> None:
    with pytest.raises(ValueError, match="no marking"):
        read_marking(wrong)


def test_words_for_colours() -> None:
    assert colour("Gray") == colour("grey") == colour("slate")
    assert colour("purple").digit == 7
    with pytest.raises(ValueError, match="mauve"):
        colour("mauve")


@given(st.sampled_from(series_values("E96")), st.integers(-1, 5), st.sampled_from([0.01, 0.02, 0.05, 0.1, 0.2]))
def test_bands_there_and_back(figures: int, power: int, tolerance: float) -> None:
    ohms = float(f"{figures}e{power}")
    bands = bands_of(ohms, tolerance)
    assume(bands is not None)
    assert bands is not None
    found = read_bands(bands)
    assert (found.value, found.high) == (pytest.approx(ohms), tolerance)


@given(st.sampled_from(series_values("E24")), st.integers(0, 5), st.sampled_from([None, 0.05, 0.1]))
def test_body_end_dot_there_and_back(figures: int, power: int, tolerance: float | None) -> None:
    ohms = float(f"{figures}e{power}")
    marks = body_end_dot_of(ohms, tolerance)
    assert marks is not None
    found = read_body_end_dot(*marks)
    assert (found.value, found.high) == (pytest.approx(ohms), tolerance or 0.2)


@given(
    st.sampled_from(series_values("E24")), st.integers(-1, 5), st.sampled_from([None, 0.01, 0.02, 0.03, 0.05, 0.1, 0.2])
)
def test_capacitor_marks_there_and_back(figures: int, power: int, tolerance: float | None) -> None:
    farads = float(f"{figures}e{power - 12}")
    code = digits_of(farads, tolerance)
    assert code is not None
    if farads >= 10e-12 or tolerance is None or tolerance > 0.01:
        first = next(r for r in read_printed(code) if r.unit == "F")
        assert (first.value, first.high) == (pytest.approx(farads), tolerance)
    dots = mica_dots_of(farads, tolerance)
    assert dots is not None
    for row, how in zip(dots, ("JAN", "RMA"), strict=True):
        found = next(r for r in read_dots(row) if how in r.how)
        assert (found.value, found.high) == (pytest.approx(farads), tolerance or 0.2)


@given(st.sampled_from(series_values("E96")), st.integers(-2, 4), st.sampled_from(["ohm", "F"]))
def test_letters_there_and_back(figures: int, power: int, unit: str) -> None:
    value = float(f"{figures}e{power - (12 if unit == 'F' else 0)}")
    letters = rkm_of(value, unit)
    assert letters is not None
    assert value in [pytest.approx(r.value) for r in read_printed(letters) if r.unit == unit]


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = read_marking(text)
    except ValueError:
        return
    assert found


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("marked", "unit", "value"),
    [
        ("4p7", "F", 4.7e-12), ("4n7", "F", 4.7e-9), ("4u7", "F", 4.7e-6), ("4µ7", "F", 4.7e-6), ("4μ7", "F", 4.7e-6),
        ("4m7", "F", 4.7e-3), ("4P7", "F", 4.7e-12), ("4N7", "F", 4.7e-9), ("4U7", "F", 4.7e-6), ("4R7", "F", 4.7e-12),
        ("4R7", "ohm", 4.7), ("4E7", "ohm", 4.7), ("4K7", "ohm", 4700), ("4k7", "ohm", 4700), ("4M7", "ohm", 4.7e6),
        ("4G7", "ohm", 4.7e9),
    ],
)  # fmt: skip
def test_signs_in_the_place_of_the_decimal_point(marked: str, unit: str, value: float) -> None:
    """IEC 60062, letter and digit codes; capitals for the signs of farads are common practice, no source."""
    (found,) = [r for r in read_printed(marked) if r.unit == unit]
    assert found.value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("first", ["black", "white", "silver"])
def test_six_dots_are_read_in_their_order(first: str) -> None:
    """Kind, 4, 7; characteristic C, 5 %, times 10: 470 pF (army OD1647). White may also be a first digit."""
    found = {r.how: r for r in read_dots([first, "yellow", "violet", "red", "green", "brown"])}
    kind = {"black": "mica (JAN, AWS)", "white": "mica (EIA)", "silver": "paper (AWS)"}[first]
    read = found.pop(f"six dots, {kind}")
    assert (read.value, read.letter, read.low, read.high) == (pytest.approx(470e-12), "C", -0.05, 0.05)
    assert list(found) == (["six dots (RMA), three digits"] if first == "white" else [])
    if found:
        (rma,) = found.values()
        assert (rma.value, rma.volts) == (pytest.approx(9470e-12), 200)
