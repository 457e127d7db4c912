"""Two meters in one evening: a meter or a range in brackets beside a reading is its own, and it is judged by it."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.rows import ReadingRow
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.tried_runs import TriedRun, tried_run
from benchleaf.record import read_record
from benchleaf.record.remarks import remarks_of
from benchleaf.record.sections.meter import Meter, meter_beside
from benchleaf.record.text import Text

SET = """line: 117 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V3: 6SQ7, first audio
  V4: 6V6GT, output
parts:
  R5: 470 ohm, V4 cathode to chassis
  R7: 220 kohm, V3 plate to B+
  R9: 470 kohm, V4 grid to chassis
  C7: 20 nF, V3 plate to V4 grid
  T1: job output transformer, V4 plate to B+
wires:
  - V4 screen, B+
  - V3 cathode, chassis
readings:
  sheet:
    meter: {printed}
    B+: 250
    V3: plate 100{beside_sheet}
    V4: plate 242, cathode 20
  as found:
    meter: {meter}
    B+: 250
    V3: plate {plate}
    V4: plate 242, cathode 20, grid {grid}
"""
USUAL = {"printed": "1 kohm/V on 250 V", "beside_sheet": "", "meter": "10 meg", "plate": "120", "grid": "-0.5"}


def rows(**written: str) -> dict[str, ReadingRow]:
    found = makers.found("readings", SET.format(**(USUAL | written)))
    return {f"{row.tube} {row.electrode}": row for row in found.rows if row.run == "as found"}


def judged(row: ReadingRow) -> tuple[object, ...]:
    return row.adjusted_volts, row.verdict, row.loading, row.loading_unknown, row.uncertainty_volts, row.remarks


@pytest.mark.parametrize(
    ("meter", "beside", "whole"),
    [
        ("10 meg", "20 kohm/V on 250 V", "20 kohm/V on 250 V"),
        ("1 kohm/V on 250 V", "500 V range", "1 kohm/V on 500 V"),
        ("1 kohm/V on 250 V, 3 % of range", "on the 500 V scale", "1 kohm/V on 500 V, 3 % of range"),
        ("1 kohm/V on 250 V", "digital, 10 meg, 0.5 %", "10 meg, 0.5 %"),
        ("1 kohm/V on 250 V", "AVO 7, 500 ohm/V on 400 V", "500 ohm/V on 400 V"),
    ],
)
def test_a_reading_with_its_own_meter_is_judged_as_in_a_list_of_that_meter(meter: str, beside: str, whole: str) -> None:
    own, by_itself = rows(meter=meter, plate=f"120 ({beside})"), rows(meter=whole)
    assert own["V3 plate"].measured_volts == 120
    assert judged(own["V3 plate"]) == judged(by_itself["V3 plate"])
    others = rows(meter=meter)
    assert judged(own["V3 plate"]) != judged(others["V3 plate"])
    assert {at: judged(row) for at, row in own.items() if at != "V3 plate"} == {
        at: judged(row) for at, row in others.items() if at != "V3 plate"
    }


def test_of_another_meter_without_its_ohms_nothing_is_taken_out() -> None:
    """“digital” is not the list's meter; what it loads a plate with is not known, and is not guessed."""
    row = rows(meter="1 kohm/V on 500 V", plate="120 (digital)")["V3 plate"]
    assert row.loading is row.loading_unknown is None
    assert rows(meter="1 kohm/V on 500 V")["V3 plate"].loading is not None


def test_a_sheet_may_print_one_value_of_another_meter() -> None:
    own = rows(printed="10 meg", beside_sheet=" (1 kohm/V on 250 V)")
    assert judged(own["V3 plate"]) == judged(rows()["V3 plate"])
    assert judged(own["V4 plate"]) == judged(rows(printed="10 meg")["V4 plate"])


def test_faults_are_tried_with_the_meter_that_stood_at_each_place() -> None:
    bench = makers.bench(SET.format(**USUAL | {"meter": "1 kohm/V on 250 V", "grid": "-0.5 (digital 10 meg)"}))
    expected, (run,) = told_apart(bench)
    tried = tried_run(run, expected, bench)
    assert isinstance(tried, TriedRun)
    ohms = {probe.place.name(bench.words): probe.meter_ohms for probe in tried.trial.probes}
    assert (ohms["V4 grid"], ohms["V3 plate"]) == (10e6, 250e3)


@pytest.mark.parametrize(
    ("line", "meters"),
    [
        ("V4: plate 242, cathode 20 (digital), grid -0.5", [None, "digital", None]),
        ("V4: plate 242 (1000 range) cathode 20", [1000.0, None]),
        ("V4: p=242 (on 250 V), k=20", [250.0, None]),
        ("V4: x 242 (500 V range) 20 x -0.5", [None, 500.0, None, None, None]),
        ("V4: {plate: 242 (1000 V range), grid: -0.5}", [1000.0, None]),
        ("B+: 250 (500 V range)", [500.0]),
        ("V4: plate 242 (hot), cathode 20 (at the resistor)", [None, None]),
    ],
)
def test_each_reading_keeps_its_own(line: str, meters: list[object]) -> None:
    text = "tubes:\n  V4: 6V6GT, output\nreadings:\n  as found:\n    meter: 1 kohm/V\n    " + line + "\n"
    (points,) = makers.record(text).readings["as found"].points.values()
    found = [one.meter and (one.meter.range_.si if one.meter.range_ else str(one.meter.note)) for one in points]
    assert found == meters


@pytest.mark.parametrize(
    ("said", "is_meter"),
    [
        ("1000 range", True),
        ("250 V scale", True),
        ("on 250 V", True),
        ("on the 50 V range", True),
        ("digital", True),
        ("VTVM", True),
        ("my other meter", True),
        ("20k/V", True),
        ("at the rectifier", False),
        ("after 20 minutes", False),
        ("470 kohm", False),
        ("", False),
    ],
)
def test_what_is_a_meter_and_what_a_remark(said: str, is_meter: bool) -> None:
    found = meter_beside(Text(said))
    assert isinstance(found, Meter) is is_meter


def test_what_stood_in_the_brackets_is_still_in_the_lists_note() -> None:
    text = SET.format(**USUAL | {"plate": "120 (20 kohm/V on 250 V)"})
    assert "20 kohm/V on 250 V" in str(makers.record(text).readings["as found"].note)


def test_a_range_beside_a_reading_is_read_and_no_note() -> None:
    """It was read as the range, told to be kept as a note, and the page said that no range was written."""
    written = USUAL | {"meter": "20 kohm/V", "plate": "120 (250 V range)", "grid": "-0.5 (digital)"}
    text = f"maker: A\nmodel: B\n{SET.format(**written)}"
    made, problems = read_record(text.encode(), "record.yml")
    assert made is not None
    assert problems == []
    kept = [one.said for one in remarks_of(made, "record.yml") if one.said.startswith("kept as a note")]
    assert kept == ["kept as a note: grid digital"]
    page = makers.plain(makers.page("readings", SET.format(**written)))
    assert "on the ranges that stand beside the readings" in page
    assert "range not written" not in page
