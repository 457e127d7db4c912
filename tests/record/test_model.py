"""What a record's own fields make of what was typed."""

from __future__ import annotations

import datetime

import pytest

import makers
from benchleaf.record.how_powered import CHASSIS, POWER
from benchleaf.record.model import STATES, Record
from benchleaf.record.text import line_column_of

HEAD = "maker: Larkfield\nmodel: Minuet 5\n"


def read(text: str) -> Record:
    return makers.record(HEAD + text)


def test_maker_and_model_are_enough() -> None:
    record = read("")
    assert (record.maker, record.model) == ("Larkfield", "Minuet 5")
    assert record.tubes == {}
    assert record.line is None


@pytest.mark.parametrize(("key", "words"), [("power", POWER), ("chassis", CHASSIS), ("state", STATES)])
def test_choices_in_any_capitals(key: str, words: tuple[str, ...]) -> None:
    for word in words:
        assert getattr(read(f"{key}: {word.upper()}"), key) == word


def test_names_in_any_capitals_and_by_their_other_words() -> None:
    record = read("Came In: 2026-02-21\nVALVES:\n  V1: UCH42\nMains: 230 V\nintermediate frequency: 470 kHz\n")
    assert record.came_in == datetime.date(2026, 2, 21)
    assert record.tubes["V1"].type == "UCH42"  # type: ignore[index]
    assert record.line is not None
    assert record.line.volts.si == 230.0
    assert record.IF is not None
    assert record.IF.si == 470e3


@pytest.mark.parametrize(
    ("written", "low", "high"),
    [
        ("540-1620 kHz", 540e3, 1620e3),
        ("5.8 – 18 MHz", 5.8e6, 18e6),
        ("150 kHz to 285 kHz", 150e3, 285e3),
        ("900 kHz - 1.6 MHz", 900e3, 1.6e6),
        # Wavelength to frequency by the speed of light, 299 792 458 m/s (SI).
        ("187-555 m", 299_792_458 / 555, 299_792_458 / 187),
        ("1620-540 kc", 540e3, 1620e3),
    ],
)
def test_bands_in_frequencies_or_on_a_dial_in_metres(written: str, low: float, high: float) -> None:
    band = read(f"bands:\n  MW: {written}\n").bands["MW"]  # type: ignore[index]
    assert (band.low_hertz, band.high_hertz) == pytest.approx((low, high))
    assert band.written == written


@pytest.mark.parametrize("written", ["2026-02-21", "2026-2-21", " 2026-02-21 "])
def test_days_by_the_calendar(written: str) -> None:
    day = read(f"came in: {written}\n").came_in
    assert day == datetime.date(2026, 2, 21)
    assert line_column_of(day) == (3, 10 + written.startswith(" "))


@pytest.mark.parametrize("written", ["110 V DC", "110 V, DC", "110 V, current DC", "110 V dc"])
def test_a_line_of_direct_current_however_it_is_said(written: str) -> None:
    line = read(f"line: {written}\n").line
    assert line is not None
    assert (line.volts.si, line.volts.mark, line.current) == (110.0, "", "DC")


def test_values_know_where_they_were_written() -> None:
    record = read("parts:\n  C7: now 10 nF 630 V, measured 9.96 nF\n")
    component = record.parts["C7"].now[0]  # type: ignore[index]
    assert [q.place for q in (component.value, component.volts, component.measured) if q] == [(4, 11), (4, 17), (4, 33)]


def test_a_record_cannot_be_changed() -> None:
    record = read("")
    with pytest.raises(ValueError, match="frozen"):
        record.maker = record.model
