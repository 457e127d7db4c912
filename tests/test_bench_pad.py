"""The bench pad: its boxes and what stands beside them."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from itertools import cycle

import pytest

import makers
from bench_pads import BARE, SET, VALUES, lines, pad
from benchleaf.pages.bench_pad import PadBox, boxes_of_rails, boxes_of_tubes
from benchleaf.record.sections.readings import read_reading
from benchleaf.record.text import Text
from benchleaf.tubes.tables import read_table
from benchleaf.words import AMERICAN, BRITISH, DIALECTS, Words

EVIL = "</textarea><script>window.caught = 1</script>\" ' : # &amp; {{ 7 }}"


def boxes(text: str, words: Words = AMERICAN) -> dict[str, PadBox]:
    one = makers.examined(text, words=words)
    readings = one.findings["readings"]
    every = (*boxes_of_tubes(one.bench, readings), *boxes_of_rails(one.bench, readings))
    return {makers.plain(f"{group.name}: {box.label}"): box for group in every for box in group.boxes}


def test_each_electrode_has_a_box_with_its_pins_and_what_is_expected_there_in_the_order_of_measuring() -> None:
    found = boxes(SET)
    assert list(found) == [
        "V1: pin 7, cathode", "V1: pin 1, grid", "V1: pin 6, screen", "V1: pin 2, suppressor", "V1: pin 5, plate",
        "V4: pin 1, cathode", "V4: pins 2, 5, grid", "V4: pin 6, screen", "V4: pin 7, plate",
        "V5: pin 7, cathode", "V5: pin 5, plate (AC)",
        "V9: cathode", "V9: grid", "V9: screen", "V9: plate",
        "B+1: B+1",
    ]  # fmt: skip
    # 110 V at 117 V is 110 V at 117 V; 20 % (common practice of the trade) of it is 22 V.
    assert makers.plain(found["V4: pin 7, plate"].hint) == "expected 110 V, 88 to 132"
    assert makers.plain(found["V5: pin 5, plate (AC)"].hint) == "expected 117 V AC, 93.6 to 140"
    assert makers.plain(found["V4: pins 2, 5, grid"].hint) == "expected 0 V, −0.5 to 0.5"
    assert found["V9: plate"].hint == ""
    assert found["B+1: B+1"].hint == "last read 109"


def test_the_cautions_of_a_live_chassis_stand_before_the_first_box() -> None:
    html = pad(SET)
    assert 0 < html.index("Measure with one hand") < html.index('id="box-1"')
    assert html.count('role="note"') == 1


def test_what_no_sheet_has_is_worked_out_with_its_range() -> None:
    record = SET.replace(", cathode 5.6", "") + "parts:\n  R5: keep, 150 ohm, between V4 cathode and B-\n"
    one = makers.examined(record)
    worked_out = next(each for each in one.findings["readings"].worked_out if each.place == "V4 cathode")
    assert worked_out.sheet_volts is None
    said = makers.plain(boxes(record)["V4: pin 1, cathode"].hint)
    match = re.fullmatch(r"worked out ([\d.]+) V, ([\d.]+) to ([\d.]+)", said)
    assert match, said
    wanted = (worked_out.volts, worked_out.low_volts, worked_out.high_volts)
    assert tuple(map(float, match.groups())) == pytest.approx(wanted, rel=0.005)


def test_a_set_of_which_nothing_is_known_has_a_box_for_b_plus_and_the_dialects_words() -> None:
    assert list(boxes(BARE)) == ["B+: B+"]
    assert list(boxes(f"{BARE}tubes:\n  V1: EF89\n", BRITISH))[-2:] == ["V1: pin 7, anode", "HT+: HT+"]
    html = pad(BARE)
    assert 'name="meter" maxlength="100" value=""' in html
    assert "No sheet is in the record" in html


def test_the_run_begins_with_the_newest_lists_meter_and_point() -> None:
    html = pad(SET)
    assert 'name="meter" maxlength="100" value="10 meg, 0.5 %"' in html
    assert 'name="to" maxlength="60" value="B-"' in html
    assert 'value="after work"' in html
    assert 'value="as found"' in pad(BARE)


@pytest.mark.parametrize(
    "meter", ["10 meg", "20 kohm/V on 250 V, 3 % of range", "DMM 10 meg, 0.5 %", "1000 ohm/V", "11 meg, 1 %"]
)
def test_a_meter_is_proposed_as_the_record_reads_it(meter: str) -> None:
    record = SET.replace("10 meg, 0.5 %", meter)
    proposed = re.search(r'name="meter" maxlength="100" value="([^"]*)"', pad(record))
    assert proposed
    again = makers.record(SET.replace("10 meg, 0.5 %", proposed[1])).readings
    assert [run.meter for run in again.values()] == [run.meter for run in makers.record(record).readings.values()]


@pytest.mark.parametrize("words", DIALECTS.values(), ids=DIALECTS)
def test_every_electrode_of_a_tube_is_named_so_that_a_record_reads_it_there(
    words: Words, sampled: Callable[[int], int]
) -> None:
    types = [row["type"] for row in read_table("types.csv")][:: sampled(4)]
    for first in range(0, len(types), 50):
        tubes = "".join(f"  V{n}: {type_}\n" for n, type_ in enumerate(types[first : first + 50]))
        bench = makers.bench(f"tubes:\n{tubes}", words=words)
        groups = list(boxes_of_tubes(bench, None))
        turn = cycle(VALUES)
        (run,) = makers.record(f"tubes:\n{tubes}readings:\n  2026-11-28:\n{lines(groups)}").readings.values()
        for one in groups:
            names = [box.at for box in one.boxes]
            places = [bench.circuit.places.at_tube(one.name, name) for name in names]
            assert len({*names}) == len({*places}) == len(names), one
            assert all(len(found) == 1 for found in places), one
            read = [(str(point.at), point.value) for point in run.points[Text(one.name)]]
            assert read == [(name, read_reading(Text(next(turn)))) for name in names], one


@pytest.mark.parametrize("where", ["maker", "name", "run", "electrode", "position"])
def test_hostile_text_stays_text(where: str) -> None:
    record = {
        "maker": SET.replace("Larkfield", json.dumps(EVIL)),
        "name": SET.replace("B+1: 109", f"{json.dumps(EVIL)}: 109"),
        "run": SET.replace("2026-02-22 as found", json.dumps(EVIL)),
        "electrode": SET.replace("B+1: 109", f"V9:\n      {json.dumps(EVIL)}: 109"),
        "position": SET.replace("  V9:", f"  {json.dumps(EVIL)}:"),
    }[where]
    html = pad(record, name=EVIL)
    assert len(re.findall("<script", html)) == 1
    assert html.count("<textarea") == html.count("</textarea") == 1
