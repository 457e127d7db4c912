"""Spellings of quantities, what is asked of them, and the messages."""

from __future__ import annotations

import pickle

import pytest

from benchleaf.record.kinds import BY_NAME
from benchleaf.record.quantities import (
    KINDS,
    AmbiguousQuantity,
    QuantityError,
    UnreadableQuantity,
    read_any,
    read_quantity,
)
from written_quantities import ONE_KIND, outcome, readings, remedy, si


# Units
@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("16 MFDS.", "capacitance", 16e-6),
        ("250 mmf", "capacitance", 250e-12),
        ("250 MMFD", "capacitance", 250e-12),
        ("250 µµF", "capacitance", 250e-12),
        ("5 kpF", "capacitance", 5e-9),
        (".01-mfd", "capacitance", 0.01e-6),
        ("0.1 u", "capacitance", 0.1e-6),
        ("8 hys", "inductance", 8.0),
        ("2.5 mHy", "inductance", 2.5e-3),
        ("10 nH", "inductance", 10e-9),
        ("120 meg", "resistance", 120e6),
        ("20 mohm", "resistance", 0.02),
        ("4M7", "resistance", 4.7e6),
        ("R47", "resistance", 0.47),
        ("4k7 ohm", "resistance", 4700.0),
        ("10 gigohm", "resistance", 1e10),
        ("1.5 k-ohm", "resistance", 1500.0),
        ("5 mv", "voltage", 5e-3),
        ("38 uA", "current", 38e-6),
        ("60 milliamps", "current", 0.06),
        ("50 mW", "power", 0.05),
        ("10.7 Mc", "frequency", 10.7e6),
        ("10.7 MHz", "frequency", 10.7e6),
        ("10.7 MC", "frequency", 10.7e6),
        ("5.7 mc", "frequency", 5.7e6),
        ("60 cy.", "frequency", 60.0),
        ("60 cycles per second", "frequency", 60.0),
        ("-10 %", "ratio", -0.1),
        ("½ %", "ratio", 0.005),
        ("5000 micromhos", "transconductance", 5e-3),
        ("1.2 ma/v", "transconductance", 1.2e-3),
        ("68 deg F", "temperature", 293.15),
        ("293.15 K", "temperature", 293.15),
        ("20 C", "temperature", 293.15),
        ("90 s", "duration", 90.0),
        ("1.5 h", "duration", 5400.0),
        ("3-1/2 hrs", "duration", 12600.0),
        ("1-1/2 W", "power", 1.5),
        ("1 h 30 min", "duration", 5400.0),
        ("2 min 30 s", "duration", 150.0),
        ("3 days", "duration", 259200.0),
        ("5 ms", "duration", 5e-3),
        ('3/8"', "length", 0.009525),
        ("6 ft 3 in", "length", 1.905),
        ("400 mAh", "charge", 1440.0),
        ("2 Ah", "charge", 7200.0),
        ("10 µC", "charge", 1e-5),
    ],
)
def test_spelling(text: str, kind: str, value: float) -> None:
    assert si(text, kind) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("2.2 M", "resistance", ("2.2 megohm", "2200 ohm")),
        ("> 2.2 M", "resistance", ("> 2.2 megohm", "> 2200 ohm")),
        ("1 MOHM", "resistance", ("1 megohm", "1000 ohm")),
        ("4E7 ohm", "resistance", ("40000000 ohm", "4.7 ohm")),
        ("10.7 mhz", "frequency", ("10.7 MHz", "0.0107 Hz")),
        ("10.7 mHz", "frequency", ("10.7 MHz", "0.0107 Hz")),
        ("60 MA", "current", ("60 mA",)),
        ("60 MA AC", "current", ("60 mA AC",)),
        ("5V6", "voltage", ("5.6 V",)),
        ("473J", "capacitance", ("47 nF",)),
        ("2 jars", "capacitance", ("2.22 nF",)),
        ("100 cm", "capacitance", ("111.265 pF",)),
        ("8+8 µF", "capacitance", ("8 uF",)),
        ("40-40-20 mfd", "capacitance", ("40 uF", "20 uF")),
        ("10 mf 450v", "capacitance", ("10 uF",)),
        ("470K 1/2W", "resistance", ("470 kohm",)),
        ("1 2 V 3 meg", "voltage", ("2 V",)),
        ("5-6 ohm", "resistance", ("5 ohm", "6 ohm")),
        ("110/220 V", "voltage", ("110 V", "220 V")),
        ("11/2 W", "power", ("11 W", "2 W", "1.5 W")),
        ("5 mmho", "transconductance", ("5 mS", "5 uS")),
        ("20 °", "temperature", ("20 degC", "20 degF")),
        ("5 m", "duration", ("5 min",)),
        ("1 MFD?", "capacitance", ("1 MFD",)),
        ("0.1", "capacitance", ("0.1 uF", "0.1 pF")),
        ("10", "ratio", ("10 %",)),
    ],
)
def test_question_has_readings(text: str, kind: str, expected: tuple[str, ...]) -> None:
    assert readings(text, kind) == expected


@pytest.mark.parametrize("row", [row for row in ONE_KIND if row["verdict"] == "ask"], ids=lambda row: row["id"])
def test_every_reading_offered_can_be_typed(row: dict[str, str]) -> None:
    verdict, question = outcome(row["input"], row["kind"])
    if isinstance(question, AmbiguousQuantity):
        assert question.readings
        for reading in question.readings:
            assert outcome(reading, row["kind"])[0] == "accept"
    else:
        assert verdict in row["also_ok"].split("|")


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_of_the_messages_can_be_typed(kind: str) -> None:
    examples = BY_NAME[kind].examples.replace(" or ", ", ").split(", ")
    assert all(outcome(example, kind)[0] == "accept" for example in examples)


def test_remark_states_how_a_doubtful_spelling_was_taken() -> None:
    assert "million" in read_quantity("10 MΩ", "resistance").remark
    assert "thousandths" in read_quantity("20 mΩ", "resistance").remark
    assert "microfarads" in read_quantity(".01 MF", "capacitance").remark
    assert read_quantity("10 meg", "resistance").remark == ""


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("-5 ohm", "resistance"),
        ("-1 uF", "capacitance"),
        ("-1 mH", "inductance"),
        ("-1 W", "power"),
        ("-60 Hz", "frequency"),
        ("-1 s", "duration"),
        ("-1 m", "length"),
    ],
)
def test_what_is_never_below_zero(text: str, kind: str) -> None:
    assert remedy(text, kind).endswith("is never below zero: leave the sign out")


def test_nothing_is_colder_than_absolute_zero() -> None:
    assert "absolute zero" in remedy("-300 °C", "temperature")
    assert "absolute zero" in remedy("-460 °F", "temperature")
    assert "absolute zero" in remedy("-1 K", "temperature")
    assert si("-273.15 °C", "temperature") == 0.0


# Messages
def test_message_of_a_question() -> None:
    with pytest.raises(AmbiguousQuantity) as caught:
        read_quantity("2.2 M", "resistance")
    assert str(caught.value) == (
        "found “2.2 M”; expected a resistance such as 470 ohm, 22 k or 2.2 meg; "
        "“M” does not say which unit it is: write 2.2 megohm or 2200 ohm"
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("10 mmmf", "“mmmf” is no unit of a capacitance"),
        ("10 V", "“V” is a unit of a voltage, not of a capacitance"),
        ("4k7", "that is the code of a resistance, not of a capacitance"),
        ("l00 uF", "“l” is a letter: write the digit 1"),
        ("", "there is nothing to read: write a number and its unit"),
        ("ten uF", "it does not begin with a number: write the number first, then its unit"),
        ("1 uF\n2 uF", "it runs over a line break: write one value on one line"),
        ("1\tuF", "it holds an invisible character (U+0009): type the value anew"),
        ("1\u200b uF", "it holds an invisible character (U+200B): type the value anew"),
        ("1 uF\u202e", "it holds an invisible character (U+202E): type the value anew"),
        ("\u0663 uF", "“\u0663” (U+0663) is not one of the digits 0 to 9: type the number anew"),
        (
            "1 \u043aF",
            "“\u043a” (U+043A) is not a letter of the Latin alphabet, though it may look like one: type it anew",
        ),
        ("1 uF\U0001f4fb", "“\U0001f4fb” (U+1F4FB) has no meaning in a value: leave it out"),
        ("1" * 65, "it is longer than 64 characters: write one value with its unit"),
        ("1.2.3 uF", "the points and commas of “1.2.3” make no number: write it with one decimal point"),
        ("± 5 uF", "a ± stands before it: write the value, then ± and how far it may be off"),
    ],
)
def test_message_of_a_refusal(text: str, expected: str) -> None:
    assert remedy(text, "capacitance") == expected


def test_error_carries_its_parts_and_survives_a_process_border() -> None:
    for text in ("2.2 M", "10 V"):
        with pytest.raises(QuantityError) as caught:
            read_quantity(text, "resistance")
        error = caught.value
        again = pickle.loads(pickle.dumps(error))
        assert isinstance(error, ValueError)
        assert (again.written, again.expected, again.remedy) == (text, BY_NAME["resistance"].expected, error.remedy)
        assert str(again) == str(error)
        assert getattr(again, "readings", ()) == getattr(error, "readings", ())


def test_error_keeps_little_of_a_long_text() -> None:
    with pytest.raises(UnreadableQuantity) as caught:
        read_quantity("9" * 1_000_000, "voltage")
    assert len(caught.value.written) == 80
    assert len(str(caught.value)) < 250


# The unit says what it is
@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("0.05 uF", "capacitance"),
        ("10n", "capacitance"),
        ("2p2", "capacitance"),
        ("30 H", "inductance"),
        ("10 meg", "resistance"),
        ("220K", "resistance"),
        ("4k7", "resistance"),
        ("400 V", "voltage"),
        ("<0.1 uA", "current"),
        ("0.5 W", "power"),
        ("455 kc", "frequency"),
        ("5 %", "ratio"),
        ("1.1 mA/V", "transconductance"),
        ("60 °C", "temperature"),
        ("1.5 h", "duration"),
        ("10 ms", "duration"),
        ("2 in", "length"),
        ("400 mAh", "charge"),
    ],
)
def test_unit_says_what_it_is(text: str, kind: str) -> None:
    quantity = read_any(text, KINDS)
    assert quantity is not None
    assert quantity == read_quantity(text, kind)
    assert quantity.kind == kind


@pytest.mark.parametrize(
    "text", ["5", "0.05", "1/2", "R12", "R5", "open", "OL", "paper", "V4", "C7", "2026-03-28", "B+1", ""]
)
def test_what_is_no_value_by_itself(text: str) -> None:
    assert read_any(text, KINDS) is None


def test_kind_that_may_not_stand_there() -> None:
    assert read_any("5 V", ("capacitance", "ratio")) is None


def test_question_of_the_one_kind_that_fits() -> None:
    with pytest.raises(AmbiguousQuantity) as caught:
        read_any("2.2 M", KINDS)
    assert caught.value.readings == ("2.2 megohm", "2200 ohm")
    assert caught.value.expected == BY_NAME["resistance"].expected


def test_text_that_two_kinds_claim() -> None:
    with pytest.raises(AmbiguousQuantity) as caught:
        read_any("10 mC", KINDS)
    assert caught.value.readings == ("10 MHz", "0.01 Hz", "0.01 C")
