"""Which lists of readings were read of this set: one answer, by name and origin, for every chapter that asks."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.faults.trail_evidence import read_values
from benchleaf.chapters.parts.supply_peak import latest_volts, volts_at
from benchleaf.chapters.readings.resistance import resistance_rows
from benchleaf.circuit.closed.switched import _lists
from benchleaf.record.sections.reading_lists import is_after_work, is_as_found, is_measured, is_published, measured_runs

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V1: 12SK7
parts:
  R1: 1 kohm, between V1 cathode and B-
readings:
{}"""
LIST = "  {}:\n{}    V1: plate {}, cathode {}\n"
FROM = "    from: larkfield-minuet-4\n"


def lists(*written: tuple[str, str, int]) -> str:
    return SET.format("".join(LIST.format(name, more, volts, volts / 50) for name, more, volts in written))


@pytest.mark.parametrize(
    ("name", "more", "published", "measured"),
    [
        ("sheet", "", True, False),
        ("published", "", True, False),
        ("maker's sheet", "", True, False),
        ("Sheet of 1951", "", True, False),
        ("as found", "", False, True),
        ("2026-03-04 after", "", False, True),
        ("similar", "", False, True),
        ("similar", FROM, False, False),
        ("sheet", FROM, False, False),
    ],
)
def test_a_list_is_the_sheets_or_was_read_here_or_is_of_another_set(
    name: str, more: str, published: bool, measured: bool
) -> None:
    record = makers.record(lists((name, more, 100)))
    ((written, run),) = record.readings.items()
    assert (is_published(str(written), run), is_measured(str(written), run)) == (published, measured)
    assert list(measured_runs(record.readings)) == ([name] if measured else [])


@pytest.mark.parametrize("sheet", [("published", ""), ("maker's sheet", ""), ("similar", FROM)])
def test_what_was_read_goes_before_what_is_expected_whatever_the_lists_are_called(sheet: tuple[str, str]) -> None:
    """A list called “published” passed for one that was measured, in the parts and in the trail of a fault."""
    bench = makers.bench(lists(("as found", "", 100), (*sheet, 150)))
    places = bench.circuit.places
    plate, cathode, minus = (places.read(at) for at in ("V1 plate", "V1 cathode", "B-"))
    assert volts_at(bench, plate, latest=True) == volts_at(bench, plate, latest=False) == (100.0, "as found")
    assert latest_volts(bench, (cathode, minus)) == (2.0, 0.0, "as found")
    assert read_values(bench) == ((2.0, "V"), (100.0, "V"))


def test_what_is_expected_serves_where_nothing_was_read() -> None:
    bench = makers.bench(lists(("published", "", 150)))
    plate = bench.circuit.places.read("V1 plate")
    assert volts_at(bench, plate, latest=True) == (150.0, "published")
    assert latest_volts(bench, (plate, bench.circuit.places.read("B-"))) == (150.0, 0.0, "published")
    assert read_values(bench) == ()


def test_a_resistance_chart_of_a_similar_chassis_is_expected_where_nothing_is_published() -> None:
    chart = "  {}:\n{}    resistance:\n      V1: plate {}\n"
    similar, sheet = chart.format("similar", FROM, "100 kohm"), chart.format("published", "", "120 kohm")
    cold = chart.format("cold", "", "90 kohm")
    rows = [resistance_rows(makers.bench(SET.format(lists))) for lists in (similar + cold, similar + sheet + cold)]
    told = [[(row.run, row.electrode, row.expected_ohms, row.found_ohms) for row in one] for one in rows]
    assert told == [[("cold", "plate", 100e3, 90e3)], [("cold", "plate", 120e3, 90e3)]]


def test_a_switch_stands_as_a_list_of_this_set_reads_it_before_one_of_another() -> None:
    """Of lists that were read here the newest counts; then come the sheet and what was taken from elsewhere."""
    circuit = makers.circuit(lists(("as found", "", 100), ("after", "", 110), ("similar", FROM, 90), ("sheet", "", 95)))
    assert list(_lists(circuit, "")) == ["after", "as found", "similar", "sheet"]
    assert next(_lists(circuit, "sheet")) == "sheet"


@pytest.mark.parametrize(
    ("name", "found", "after"),
    [
        ("21st Sept 2024 as found", True, False),
        ("as found 2024-09-21", True, False),
        ("30 Sept 2023 after everything", False, True),
        ("March 3rd after", False, True),
        ("May", False, False),
        ("run 1, 17/2/24 as found", True, False),
    ],
)
def test_the_day_in_a_lists_name_is_none_of_its_words(name: str, found: bool, after: bool) -> None:
    """A month in letters kept “21st Sept 2024 as found” from being as found, and its selector from being heard."""
    assert (is_as_found(name), is_after_work(name)) == (found, after)
