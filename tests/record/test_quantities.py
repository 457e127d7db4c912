"""A written quantity: the sample, kinds, marks, ranges, numbers."""

from __future__ import annotations

import pytest

from benchleaf.record.kinds import BY_NAME
from benchleaf.record.quantities import (
    KINDS,
    AmbiguousQuantity,
    Quantity,
    read_any,
    read_quantity,
)
from written_quantities import ONE_KIND, ROWS, outcome, readings, remedy, si

HOSTILE = [row for row in ROWS if row["kind"] == "any"]


MARKS = "ac/dc/pp/peak/rms kept"


# The sample
def test_the_sample_is_whole() -> None:
    assert len(ROWS) == 311
    assert {row["verdict"] for row in ROWS} == {"accept", "ask", "refuse"}


@pytest.mark.parametrize("row", ONE_KIND, ids=[row["id"] for row in ONE_KIND])
def test_row_of_the_sample(row: dict[str, str]) -> None:
    verdict, result = outcome(row["input"], row["kind"])
    assert verdict in {row["verdict"], *row["also_ok"].split("|")}
    if row["verdict"] == "accept":
        assert verdict == "accept"
    if not isinstance(result, Quantity):
        return
    assert result.written == row["input"]
    assert result.unit == BY_NAME[row["kind"]].unit
    if row["si_value"]:
        assert result.si == float(row["si_value"])
        assert result.unit == row["si_unit"]
    if row["never_si"]:
        assert result.si != float(row["never_si"])
    if row["qualifier"] == MARKS:
        assert result.mark in {"ac", "dc", "pp", "peak", "rms"}
    elif row["qualifier"]:
        assert result.qualifier == row["qualifier"]


@pytest.mark.parametrize("row", HOSTILE, ids=[row["id"] for row in HOSTILE])
@pytest.mark.parametrize("kind", KINDS)
def test_hostile_row_is_a_value_of_no_kind(row: dict[str, str], kind: str) -> None:
    assert outcome(row["input"], kind)[0] != "accept"


# Turns ratios
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("45:1", 45),
        ("45 : 1", 45),
        ("45 to 1", 45),
        ("45\u22361", 45),
        ("3.5:1", 3.5),
        ("3½:1", 3.5),
        ("3 1/2 to 1", 3.5),
        ("2200:150", 2200 / 150),
        ("1:3", 1 / 3),
        ("1 to 3", 1 / 3),
    ],
)
def test_turns_ratio_is_the_first_number_over_the_second(text: str, value: float) -> None:
    quantity = read_quantity(text, "turns ratio")
    assert quantity.si == pytest.approx(value, rel=1e-15)
    assert (quantity.unit, quantity.kind, quantity.qualifier) == ("n:1", "turns ratio", "exact")


def test_turns_ratio_has_bounds_and_tolerances() -> None:
    assert read_quantity("about 45:1", "turns ratio").qualifier == "approx"
    within = read_quantity("45:1 ± 4 %", "turns ratio")
    assert (within.si, within.low, within.high, within.qualifier) == (45, 43.2, 46.8, "tolerance")


@pytest.mark.parametrize(
    ("text", "could_be"),
    [
        ("45", ("45:1", "1:45")),
        ("45/1", ("45:1",)),
        ("1/45", ("1:45",)),
        ("45-1", ("45:1",)),
        ("12 to 15", ("12:15",)),
        ("2,200:150", ("2200:150", "2.2:150")),
        ("45:1?", ("45:1",)),
    ],
)
def test_what_may_be_a_turns_ratio_is_asked(text: str, could_be: tuple[str, ...]) -> None:
    assert readings(text, "turns ratio") == could_be


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("45:0", "neither number of a ratio is zero"),
        ("45:1:1", "write two numbers with a colon between them, such as 45:1"),
        ("20 %", "“%” is a unit of a percentage, not of a turns ratio"),
        ("7000:3.2 ohm", "“ohm” is a unit of a resistance, not of a turns ratio"),
        ("4k7", "“k” between digits has no meaning in a turns ratio"),
        ("AC 45:1", "AC does not go with a turns ratio: leave it out"),
        ("-45:1", "a turns ratio is never below zero: leave the sign out"),
        ("45:1 ± 2", "the tolerance of a turns ratio is written in per cent"),
        ("< 45:1 ± 2 %", "it has a bound and a range: write one of them"),
    ],
)
def test_what_is_no_turns_ratio_is_told_why(text: str, told: str) -> None:
    assert remedy(text, "turns ratio") == told


def test_only_a_colon_says_that_two_numbers_are_a_ratio() -> None:
    found = read_any("45:1", KINDS)
    assert found is not None
    assert found.kind == "turns ratio"
    assert read_any("45 to 1", KINDS) is None
    assert read_any("45/1", KINDS) is None


# What comes out
def test_quantity_keeps_how_it_was_written() -> None:
    assert read_quantity("0.01 mfd", "capacitance") == Quantity(
        si=1e-8, unit="F", qualifier="exact", written="0.01 mfd"
    )


def test_place_counts_for_nothing_in_a_comparison() -> None:
    here = Quantity(1.0, "V", "exact", "1 V", place=(3, 7))
    assert here == Quantity(1.0, "V", "exact", "1 V")
    assert "place" not in repr(here)


def test_kind_follows_from_the_unit() -> None:
    assert read_quantity("470 ohm", "resistance").kind == "resistance"


def test_unknown_kind_is_the_programmers_mistake() -> None:
    with pytest.raises(KeyError):
        read_quantity("1 V", "pressure")


def test_bare_number_takes_the_unit_of_its_table() -> None:
    assert read_quantity("-7.1", "voltage", bare="V").si == -7.1
    assert read_quantity("117 AC", "voltage", bare="V") == Quantity(117.0, "V", "exact", "117 AC", mark="ac")
    assert read_quantity("<0.5", "voltage", bare="V").qualifier == "lt"
    assert read_quantity("38 mV", "voltage", bare="V").si == 0.038
    assert read_quantity("OL", "voltage", bare="V").qualifier == "overrange"


def test_bare_unit_does_not_settle_what_a_comma_means() -> None:
    with pytest.raises(AmbiguousQuantity):
        read_quantity("25,000", "resistance", bare="ohm")


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("6.3 V AC", "ac"),
        ("AC 117 V", "ac"),
        ("117 V a.c.", "ac"),
        ("12 V d.c.", "dc"),
        ("0.31 Vrms", "rms"),
        ("0.31 V AC rms", "rms"),
        ("2.8 V p-p", "pp"),
        ("2.8 Vpp", "pp"),
        ("2.8 volts peak to peak", "pp"),
        ("187 Vp", "peak"),
        ("187 V peak", "peak"),
        ("90-150 V AC", "ac"),
        ("150 V", ""),
    ],
)
def test_mark_is_kept(text: str, mark: str) -> None:
    assert read_quantity(text, "voltage").mark == mark


def test_two_marks_that_contradict_each_other() -> None:
    assert remedy("10 V AC DC", "voltage") == "it is marked AC and DC: write one of them"
    assert "alone is no unit" in remedy("117 AC", "voltage")
    assert "does not go with" in remedy("AC 5 W", "power")


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("90-150 V", "voltage", 90.0, 150.0),
        ("90–150 V", "voltage", 90.0, 150.0),
        ("90 V to 150 V", "voltage", 90.0, 150.0),
        ("-5 to -3 V", "voltage", -5.0, -3.0),
        ("540-1620 kHz", "frequency", 540e3, 1620e3),
        ("0.5 to 30 MHz", "frequency", 0.5e6, 30e6),
        ("187-555 m", "length", 187.0, 555.0),
        ("3 to 30 pF", "capacitance", 3e-12, 30e-12),
    ],
)
def test_range_has_two_ends_and_no_value(text: str, kind: str, low: float, high: float) -> None:
    quantity = read_quantity(text, kind)
    assert (quantity.si, quantity.qualifier, quantity.low, quantity.high) == (None, "range", low, high)


@pytest.mark.parametrize(
    ("text", "kind", "value", "low", "high"),
    [
        ("250 ± 10 V", "voltage", 250.0, 240.0, 260.0),
        ("250 V ±10%", "voltage", 250.0, 225.0, 275.0),
        ("250 V +/- 10 V", "voltage", 250.0, 240.0, 260.0),
        ("-20 V ± 10 %", "voltage", -20.0, -22.0, -18.0),
        ("470 k ± 5 %", "resistance", 470e3, 446.5e3, 493.5e3),
        ("20 °C ± 2 °C", "temperature", 293.15, 291.15, 295.15),
    ],
)
def test_tolerance_keeps_its_limits(text: str, kind: str, value: float, low: float, high: float) -> None:
    quantity = read_quantity(text, kind)
    assert (quantity.si, quantity.qualifier) == (value, "tolerance")
    assert quantity.low == pytest.approx(low)
    assert quantity.high == pytest.approx(high)


@pytest.mark.parametrize(
    ("text", "qualifier"),
    [
        ("<0.1 uA", "lt"),
        ("under 0.1 uA", "lt"),
        ("<= 5 mA", "le"),
        ("at most 5 mA", "le"),
        (">5 mA", "gt"),
        ("more than 5 mA", "gt"),
        (">= 5 mA", "ge"),
        ("about 5 mA", "approx"),
        ("approx. 5 mA", "approx"),
        ("≈ 5 mA", "approx"),
        ("ca. 5 mA", "approx"),
        ("OL", "overrange"),
    ],
)
def test_qualifier(text: str, qualifier: str) -> None:
    assert read_quantity(text, "current").qualifier == qualifier


def test_open_and_short_have_no_value() -> None:
    for text, qualifier in (("open", "open"), ("Open circuit", "open"), ("∞ Ω", "open"), ("shorted", "short")):
        assert read_quantity(text, "resistance") == Quantity(None, "ohm", qualifier, text)


# Numbers
@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,500.5 V", 1500.5),
        ("1.500,5 V", 1500.5),
        ("1 500,5 V", 1500.5),
        ("1\u202f500\u00a0V", 1500.0),
        ("1,500,000 V", 1.5e6),
        ("0,050 V", 0.05),
        (",5 V", 0.5),
        ("+2.4 V", 2.4),
        ("− 7.1 V", -7.1),
        ("-0 V", 0.0),
        ("1.5E2 V", 150.0),
        ("1e+2 V", 100.0),
        ("22½ V", 22.5),
        ("22 1/2 V", 22.5),
        ("1/10 V", 0.1),
        ("1/100 V", 0.01),
        ("044.0 V", 44.0),
    ],
)
def test_number(text: str, value: float) -> None:
    assert si(text, "voltage") == value


def test_no_value_is_minus_zero() -> None:
    assert str(si("-0.0 V", "voltage")) == "0.0"


def test_comma_before_three_digits_is_asked_about() -> None:
    assert readings("25,000 ohms", "resistance") == ("25000 ohm", "25 ohm")
    assert readings("25,000", "resistance") == ("25000 ohm", "25 ohm")
    assert readings("1,500 kc", "frequency") == ("1500 kHz", "1.5 kHz")


def test_point_before_three_digits_is_asked_about_where_nobody_measures_so_finely() -> None:
    assert readings("5.000 pF", "capacitance") == ("5000 pF", "5 pF")
    assert readings("500.000 Ohm", "resistance") == ("500000 ohm", "500 ohm")
    assert si("1.605 MHz", "frequency") == 1.605e6
    assert si("0.100 ohm", "resistance") == 0.1


@pytest.mark.parametrize(
    "text",
    ["1.2.3 V", "1,2,3 V", "1V/", "+ V", "1,23,456 V", "5. V", "1..2 V", "1e31 V", "0,500,000 V"],
)
def test_number_that_is_none(text: str) -> None:
    assert outcome(text, "voltage")[0] == "refuse"


def test_a_stroke_before_a_zero_parts_two_values() -> None:
    assert outcome("5/0 V", "voltage")[0] == "ask"


def test_size_beyond_anything_measured() -> None:
    beyond = "its size is beyond anything that is measured: check number and unit"
    assert remedy("1e25 V", "voltage") == beyond
    assert remedy("1e-25 V", "voltage") == beyond
    assert remedy("100 F", "capacitance") == beyond
