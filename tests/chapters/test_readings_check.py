"""What is refused of readings, with its place and remedy; and the resistance chart."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.readings.resistance import OhmRow
from benchleaf.circuit.rules.readings import look_over
from benchleaf.record.model import Record

HEAD = "maker: Larkfield\nmodel: Minuet 5\ntubes:\n  V3: 12AV6\n  V4: 50C5\nreadings:\n"
SHEET = "  sheet:\n    V3: plate 45\n    V4: plate 110, screen 90, cathode 5.6\n"


def record_of(readings: str) -> Record:
    return makers.record(HEAD + readings)


def told(readings: str) -> list[str]:
    return makers.told(look_over, record_of(readings))


def test_readings_in_order_have_no_problem() -> None:
    assert told(SHEET + "  found:\n    meter: 10 meg\n    V4: pin 7 plate 113, cathode 950 mV\n    V3: plate 0\n") == []


def test_millivolts_written_as_volts() -> None:
    (line,) = told(SHEET + "  found:\n    V4: cathode 5600\n")
    assert line.startswith("record.yml:11:17: readings.found.V4: found “5600”; expected volts, near 5.6")
    assert "mV" in line
    (line,) = told(SHEET + "  found:\n    V4: plate 110 mV\n")
    assert "a thousandth" in line
    (line,) = told("  found:\n    V4: plate 92400\n")
    assert "at most 2,000 V" in line


def test_pin_and_electrode_that_contradict_each_other() -> None:
    """50C5: plate on pin 7, screen on pin 6 (the package's own pin table)."""
    (line,) = told(SHEET + "  found:\n    V4: pin 6 plate 113\n")
    assert "“plate” on pin 6, where a 50C5 has its screen" in line
    assert "on 7" in line
    assert told(SHEET + "  found:\n    V4: plate pin 7 113, screen pin 6 90\n") == []


@pytest.mark.parametrize("sign", ["V3: plate -45", "V4: grid 3", "V4: cathode -5.6", "V4: plate 0.02"])
def test_an_unusual_sign_or_a_dead_plate_is_never_refused(sign: str) -> None:
    assert told(SHEET + f"  found:\n    {sign}\n") == []


def test_conditions_that_cannot_be() -> None:
    lines = told("  found:\n    line: 12000 V\n    meter: 0 ohm\n    tolerance: 200 %\n    V3: plate 45\n")
    assert len(lines) == 3


def test_the_resistance_chart_names_an_electrode_the_tube_does_not_have() -> None:
    (line,) = told("  cold:\n    resistance:\n      V3: plato 470k\n")
    assert "did you mean “plate”" in line


CHART = SHEET + (
    "    resistance:\n      V4: 150 470k 12 12 470k 22k 310\n      V3: plate 470k, grid 10 meg, cathode 0\n"
    "  cold:\n    resistance:\n      V4: 152 900k 12 12 x 22k open\n      V3: plate 612k, grid >10 meg, cathode 0.4\n"
)


def chart(readings: str) -> dict[tuple[str, str, str], OhmRow]:
    found = makers.found("readings", HEAD + readings)
    assert found.runs == ()
    return {(row.tube, row.electrode, row.pin): row for row in found.resistance}


def test_the_chart_holds_what_was_found_against_the_sheet() -> None:
    """470 kohm found as 612 kohm is 30 % high; an open plate where the sheet has 310 ohm is high; 20 % is assumed."""
    rows = chart(CHART)
    plate = rows["V3", "plate", ""]
    assert (plate.verdict, plate.expected_ohms, plate.found_ohms) == ("high", 470e3, 612e3)
    assert plate.deviation == makers.meant(612 / 470 - 1)
    assert rows["V3", "cathode", ""].verdict == "within"
    assert rows["V4", "plate", ""].verdict == "high"
    assert rows["V4", "screen", ""].verdict == "within"
    assert rows["V4", "cathode", ""].verdict == "within"


def page_of(readings: str) -> str:
    return makers.page("readings", HEAD + readings, drawn=True)


def test_the_chart_is_on_the_page_with_sockets_seen_from_below() -> None:
    html = page_of(CHART)
    for said in ("Resistance chart", "612", "30", "seen from below", "open", "KiCad"):
        assert said in html
    only = page_of("  cold:\n    resistance:\n      V3: plate 612k\n")
    assert "No voltages are written" in only
    assert "612" in only


@given(st.text(max_size=12), st.text(max_size=12))
@settings(max_examples=60)
def test_hostile_places_and_values_never_raise_and_are_escaped(at: str, value: str) -> None:
    import json

    at, value = (json.dumps(f'<b>"{text}') for text in (at, value))
    body = f"  found:\n    V4: plate 110\n    resistance:\n      V4: {{{at}: 470k}}\n      {value}: 3k\n"
    body += f"    note: {value}\n"
    record = makers.readable(HEAD + body)
    if record is not None:
        makers.told(look_over, record)
        figures = makers.figures("readings", record)
        assert "<b>" not in "".join(figure.svg for figure in figures.values())
