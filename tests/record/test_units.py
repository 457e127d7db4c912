"""Units against pint, and how values are said. Sizes and roundings are decisions of ours unless a source is named."""

from __future__ import annotations

import locale
import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.record.kinds import BY_UNIT, ROWS, UNITS, Kind, Sense
from benchleaf.record.quantities import KINDS, read_quantity
from benchleaf.record.units import plain, say, say_column
from trade_units import registry

PINT_BASE = {
    "capacitance": "farad",
    "inductance": "henry",
    "resistance": "ohm",
    "voltage": "volt",
    "current": "ampere",
    "power": "watt",
    "frequency": "hertz",
    "ratio": "",
    "transconductance": "siemens",
    "temperature": "kelvin",
    "duration": "second",
    "length": "metre",
    "charge": "coulomb",
    "turns ratio": "",
    "level": "",
    "field strength": "volt/metre",
}


def every_sense() -> list[tuple[str, str, Sense]]:
    return [
        (row.name, word, sense)
        for row in ROWS
        for table in (row.spellings.exact, row.spellings.initial, row.spellings.loose)
        for word, sense in table.items()
    ]


# pint is the authority


@pytest.mark.parametrize("row", ROWS, ids=KINDS)
def test_every_unit_of_a_kind_has_pints_factor_and_dimension(row: Kind) -> None:
    ureg = registry()
    assert row.units
    for unit in row.units:
        if unit.shift is None:
            in_si = ureg.Quantity(1, unit.name).to(PINT_BASE[row.name]).magnitude
            assert float(f"{in_si:.12g}") == float(f"{unit.factor:.12g}"), unit.name


@pytest.mark.parametrize("row", ROWS, ids=KINDS)
def test_a_row_names_no_unit_but_its_own(row: Kind) -> None:
    own = {unit.name for unit in row.units}
    spelled = {sense.unit for kind, _, sense in every_sense() if kind == row.name} - {""}
    assert spelled == own
    assert {*row.code_letters.values(), *([row.at_zero] if row.at_zero else [])} <= own
    assert row.sizes
    assert [size.said_from for size in row.sizes] == sorted({size.said_from for size in row.sizes})


def test_no_two_rows_share_a_name_or_a_unit() -> None:
    assert len(BY_UNIT) == len(KINDS) == len(ROWS)
    assert len(UNITS) == sum(len(row.units) for row in ROWS)


def test_temperature_scales_are_pints() -> None:
    ureg = registry()
    scales = [unit for row in ROWS for unit in row.units if unit.shift is not None]
    assert len(scales) == 3
    for scale in scales:
        assert scale.shift is not None
        for reading in (-40, 0, 20, 100):
            expected = ureg.Quantity(reading, scale.name).to("kelvin").magnitude
            assert float((reading + scale.shift) * scale.factor) == pytest.approx(expected, rel=1e-12)


@pytest.mark.handbook
def test_centimetre_of_capacitance() -> None:
    # 4 pi epsilon_0 x 0.01 m with the CODATA 2018 electric constant, 8.8541878128e-12 F/m
    expected = 4 * math.pi * 8.8541878128e-12 * 0.01
    assert registry().Quantity(1, "capacitance_centimetre").to("farad").magnitude == pytest.approx(expected, rel=1e-6)
    sense = BY_UNIT["F"].spellings.find("cm")
    assert sense is not None
    ((factor, unit),) = sense.readings
    assert unit == "pF"
    assert float(factor) * 1e-12 == pytest.approx(expected, rel=1e-6)


@pytest.mark.handbook
def test_inch_and_foot_of_1959() -> None:
    # International yard and pound agreement of 1959: 1 inch = 25.4 mm, 1 foot = 304.8 mm (from memory)
    assert registry().Quantity(1, "inch").to("millimetre").magnitude == pytest.approx(25.4, rel=1e-15)
    assert registry().Quantity(1, "foot").to("millimetre").magnitude == pytest.approx(304.8, rel=1e-15)


# Spellings


@pytest.mark.parametrize("row", ROWS, ids=KINDS)
def test_ascii_spelling_reads_back(row: Kind) -> None:
    for unit in row.units:
        found = row.spellings.find(unit.plain)
        assert found is not None
        assert found.unit == unit.name or unit.name == "microsiemens"
    words = (*row.bare, *([row.suggested] if row.suggested else []))
    assert all((sense := row.spellings.find(word)) and sense.unit for word in words)


def test_no_spelling_says_two_kinds() -> None:
    for _, word, sense in every_sense():
        if not (sense.plain and sense.unit):
            continue
        claims = [row.name for row in ROWS if (s := row.spellings.find(word)) and s.plain and s.unit]
        assert len(claims) == 1, word


# How a value is said


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        (2.2e-12, "F", "2.2 pF"),
        (470e-12, "F", "470 pF"),
        (999.9e-12, "F", "1 nF"),
        (4.7e-9, "F", "4.7 nF"),
        (1e-8, "F", "10 nF"),
        (47e-9, "F", "47 nF"),
        (1e-7, "F", "0.1 µF"),
        (47e-6, "F", "47 µF"),
        (1e-3, "F", "1000 µF"),
        (0.0, "F", "0 pF"),
        (250e-6, "H", "250 µH"),
        (2.5e-3, "H", "2.5 mH"),
        (8, "H", "8 H"),
        (0.02, "ohm", "20 mΩ"),
        (3.2, "ohm", "3.2 Ω"),
        (470e3, "ohm", "470 kΩ"),
        (999.96e3, "ohm", "1 MΩ"),
        (2.2e6, "ohm", "2.2 MΩ"),
        (0.0, "ohm", "0 Ω"),
        (3.1e-3, "V", "3.1 mV"),
        (0.95, "V", "0.95 V"),
        (12.6, "V", "12.6 V"),
        (117.4, "V", "117 V"),
        (-1.1, "V", "\u22121.1 V"),
        (1234.0, "V", "1.23 kV"),
        (-1e-30, "V", "\u22120.000000000000000000000001 µV"),
        (-0.0, "V", "0 V"),
        (1e-7, "A", "0.1 µA"),
        (38e-6, "A", "38 µA"),
        (0.15, "A", "150 mA"),
        (2, "A", "2 A"),
        (0.05, "W", "50 mW"),
        (0.125, "W", "0.125 W"),
        (30, "W", "30 W"),
        (60, "Hz", "60 Hz"),
        (262.5e3, "Hz", "262.5 kHz"),
        (1605e3, "Hz", "1605 kHz"),
        (10.7e6, "Hz", "10.7 MHz"),
        (0.05, "1", "5 %"),
        (0.1234, "1", "12.3 %"),
        (1100e-6, "S", "1.1 mS"),
        (275e-6, "S", "275 µS"),
        (293.15, "K", "20 °C"),
        (233.15, "K", "\u221240 °C"),
        (5e-3, "s", "5 ms"),
        (90, "s", "90 s"),
        (600, "s", "10 min"),
        (5400, "s", "1.5 h"),
        (0.009525, "m", "9.53 mm"),
        (187, "m", "187 m"),
        (1e-5, "C", "10 µC"),
        (45, "n:1", "45:1"),
        (44.96, "n:1", "45:1"),
        (1 / 3, "n:1", "1:3"),
        (0.9999, "n:1", "1:1"),
        (2200 / 150, "n:1", "14.7:1"),
    ],
)
def test_value_is_said_in_the_trades_own_size(value: float, unit: str, expected: str) -> None:
    assert say(value, unit) == expected.replace(" ", "\u202f")


NOT_AT_ONE = {
    "microfarad": "0.1", "ohm": "0.1", "volt": "0.1", "microampere": "0.1", "watt": "0.1", "megahertz": "3",
    "millivolt/metre": "10", "minute": "2",
}  # fmt: skip
"""The units that a page goes over to elsewhere than at one of them: by the habits of the trade, no source."""


@pytest.mark.parametrize("row", [row for row in ROWS if not row.of_two_numbers], ids=lambda row: row.name)
def test_a_page_goes_over_to_a_unit_at_one_of_it_or_where_the_trade_does(row: Kind) -> None:
    for size in row.sizes[1:]:
        edge = float(Decimal(NOT_AT_ONE.get(size.name, "1")) * size.factor)
        assert say(edge, row.unit).endswith(f"\u202f{size.symbol}"), size
        assert not say(0.98 * edge, row.unit).endswith(f"\u202f{size.symbol}"), size


@pytest.mark.parametrize("value", [None, math.nan, math.inf, -math.inf])
def test_what_is_not_known_is_a_dash(value: float | None) -> None:
    assert say(value, "V") == "–"
    assert plain(value, "V") == ""


def test_figures_can_be_chosen() -> None:
    assert say(117.46, "V", digits=4) == "117.5\u202fV"
    assert say(117.46, "V", digits=1) == "117\u202fV"
    with pytest.raises(ValueError, match="at least one"):
        say(1.0, "V", digits=0)


def test_half_is_rounded_away_from_zero() -> None:
    assert say(0.125, "V", digits=2) == "0.13\u202fV"
    assert say(-0.125, "V", digits=2) == "\u22120.13\u202fV"


def test_unknown_unit_is_the_programmers_mistake() -> None:
    with pytest.raises(KeyError):
        say(1.0, "furlong")


def test_column_lines_up() -> None:
    assert say_column([4.7e-10, 1e-8, None, 47e-9], "F") == [
        "0.47\u202fnF",
        "10.00\u202fnF",
        "–",
        "47.00\u202fnF",
    ]
    assert say_column([92.4, 44, -7.1, 0, 5.95], "V") == [
        "92.40\u202fV",
        "44.00\u202fV",
        "\u22127.10\u202fV",
        "0.00\u202fV",
        "5.95\u202fV",
    ]
    assert say_column([470e3, 1e6, 22e3], "ohm") == ["0.470\u202fMΩ", "1.000\u202fMΩ", "0.022\u202fMΩ"]
    assert say_column([90, 110, 117], "V") == ["90\u202fV", "110\u202fV", "117\u202fV"]


def test_column_does_not_grow_for_one_small_value() -> None:
    assert say_column([118.2, 0.001234], "V") == ["118.200\u202fV", "0.001\u202fV"]


def test_column_of_ratios_has_one_on_one_side() -> None:
    assert say_column([45, 3.5, 0.5], "n:1") == ["45.0:1", "3.5:1", "0.5:1"]


def test_column_of_nothing() -> None:
    assert say_column([], "V") == []
    assert say_column([None, None], "V") == ["–", "–"]


def test_plain_form_is_ascii() -> None:
    assert plain(1e-7, "F") == "0.1 uF"
    assert plain(2.2e6, "ohm") == "2.2 megohm"
    assert plain(-1.1, "V") == "-1.1 V"
    assert plain(293.15, "K") == "20 degC"
    assert plain(1.234, "ohm", digits=4) == "1.2340 ohm"
    assert plain(0.0222222, "n:1") == "1:45"


@given(st.sampled_from(ROWS), st.floats(1e-12, 1e12), st.booleans(), st.integers(3, 9))
def test_what_is_said_reads_back(row: Kind, size: float, negative: bool, digits: int) -> None:
    kind, unit = row.name, row.unit
    value = -size if negative and row.signed and kind != "temperature" else size
    absolute = 0.5 if kind == "temperature" else 0.0
    tolerance = {"rel": 0.5 * 10.0 ** (1 - digits) * 1.01, "abs": absolute}
    written = plain(value, unit, digits=digits)
    assert written.isascii()
    assert read_quantity(written, kind).si == pytest.approx(value, **tolerance)
    assert read_quantity(say(value, unit), kind).si == pytest.approx(value, rel=0.00506, abs=absolute)


@given(st.sampled_from(sorted(BY_UNIT)), st.floats(allow_nan=True, allow_infinity=True))
def test_no_power_of_ten_and_no_minus_zero_is_ever_said(unit: str, value: float) -> None:
    said = say(value, unit)
    number = said.partition("\u202f")[0]
    assert set(number) <= set("0123456789.:\u2212–")
    assert number != "\u22120"


@given(st.lists(st.one_of(st.none(), st.floats(-1e6, 1e6)), max_size=8))
def test_column_has_one_size_and_one_number_of_decimals(values: list[float | None]) -> None:
    said = [cell for cell in say_column(values, "V") if cell != "–"]
    assert len({cell.partition("\u202f")[2] for cell in said}) <= 1
    assert len({len(cell.partition("\u202f")[0].partition(".")[2]) for cell in said}) <= 1


def test_language_of_the_machine_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(locale, "localeconv", lambda: {"decimal_point": ",", "thousands_sep": ".", "grouping": [3]})
    assert say(1605e3, "Hz") == "1605\u202fkHz"
    assert say(12.6, "V") == "12.6\u202fV"
