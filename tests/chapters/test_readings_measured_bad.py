"""What a meter has found bad is evidence: it is named before what nobody measured, and never as anything else."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.chapters.readings.ranked_causes import FITS_BEST, LIKELY, RunCauses
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.tried_runs import TriedRun, tried_run
from circuit_cases import with_fault
from circuits_at_work import Fault

SET = """line: 230 V 50 Hz
power: transformer
chassis: isolated
tubes:
  V1: ECH42, converter
  V2: EF41, IF
  V3: EBC41, detector and first audio
  V4: EL41, output
  V5: EZ40, rectifier
heaters:
  windings:
    LT: 6.3 V, feeds all
    HT: 2x265 V, feeds V5
readings:
  {name}:
    line: 231 V
    meter: 10 kohm/V
    to: chassis
    B+1: {first}
    B+2: {second}
    B-: -6.4
    V4: plate 250, screen 221{grid}
    V1: plate 221, screen 84, osc plate {osc}
    V2: plate 221, screen 84
    V3: plate 82
parts:
  C1: 32 uF 350 V, {c1}, now 33 uF 450 V, B+1 to B-
  C2: 32 uF 350 V, measured 31 uF, now 33 uF 450 V, B+2 to chassis
  C4: 20 nF, now 22 nF 630 V, V3 plate to V4 grid
  R1: 680 kohm, {r1}, now 680 kohm, V4 grid to B-
  R2: 220 kohm, measured 236 kohm, keep, V3 plate to B+2
  R3: 10 Mohm, measured 11.2 Mohm, keep, V3 grid to chassis
  R4: 33 kohm, measured 35 kohm, keep, V2 screen to B+2
  R5: 33 kohm, {r5}, now 33 kohm, V1 osc plate to B+2
  R6: 22 kohm, measured 22.5 kohm, keep, V1 osc grid to chassis
  R7: 2.2 kohm, measured 2.26 kohm, keep, B+1 to B+2
  R13: 120 ohm, measured 124 ohm, keep, B- to chassis
  T1: output transformer 7000 ohm to 2.5 ohm, V4 plate to B+1
wires:
  - V2 screen, V1 screen
  - V1 cathode, V2 cathode, V3 cathode, chassis
  - V4 screen, B+2
  - V4 cathode, chassis
  - V5 cathode, B+1
"""
SOUND = {"c1": "measured 31 uF", "r1": "measured 700 kohm", "r5": "measured 34 kohm"}


def causes(name: str = "before", first: int = 262, grid: str = "", osc: int = 90, **parts: str) -> RunCauses:
    """What the one list of the set comes to."""
    text = SET.format(name=name, first=first, second=round(0.85 * first), grid=grid, osc=osc, **(SOUND | parts))
    (found,) = makers.found("readings", text).causes
    assert isinstance(found, RunCauses)
    return found


def accused(found: RunCauses) -> dict[str, str]:
    return {cause.subject: cause.fault for cause in found.accused if cause.subject}


@pytest.mark.parametrize("name", ["before", "2025-02-03"])
def test_a_resistor_measured_bad_comes_first_where_the_place_it_leads_to_reads_odd(name: str) -> None:
    """71 kohm in the place of 33 leave some 70 V for the oscillator; a leak at the grid beside it was called likely."""
    first = causes(name, osc=66, r5="measured 71 kohm").first
    assert first is not None
    assert (first.subject, first.fault, first.said) == ("R5", "high", LIKELY)
    assert "V1 osc plate" in first.explains


@pytest.mark.parametrize(
    ("name", "fault", "lines"),
    [
        (
            "octal-transformer",
            Fault(ohms={"R4": 2.2}, across={"C5": 1.1e6}),
            {"R4": "measured 33 kohm", "C5": "leakage 200 uA at 200 V"},
        ),
        (
            "octal-series",
            Fault(ohms={"R4": 2.5}, supply=(1.0, 0.1, 1.0), across={"C1": 0.8e6}),
            {"R4": "measured 550 kohm", "C3": "measured 4 uF", "C1": "leakage 100 uA at 100 V"},
        ),
    ],
)
def test_parts_measured_bad_are_one_cause_together(name: str, fault: Fault, lines: dict[str, str]) -> None:
    """Readings by another law and another solver: each is named, none in another's place, nothing else is likely."""
    text = with_fault(name, fault)
    for part, found in lines.items():
        text = re.sub(rf"(  {part}: .*?), (?=between)", rf"\1, {found}, ", text)
    (found,) = makers.found("readings", text).causes
    assert {cause.subject for cause in found.ranked[: len(lines)]} == set(lines)
    for cause in found.ranked[: len(lines)]:
        assert cause.said in (LIKELY, FITS_BEST)
        assert not set(cause.alike) & set(lines)
    assert not found.no_single_fault
    assert "together with" in found.lead
    assert found.lead.endswith("as measured.")


def test_one_measured_sound_is_no_cause_of_the_same_reading() -> None:
    assert "R5" not in accused(causes(osc=66))


def test_a_reservoir_measured_dried_out_is_tried_with_what_it_had_left() -> None:
    """3 of 32 uF, and neither a quarter nor a tenth."""
    first = causes(first=215, c1="measured 3 uF").first
    assert first is not None
    assert (first.subject, first.fault) == ("C1", "dried out")


@pytest.mark.parametrize("name", ["before", "2025-02-03"])
def test_a_grid_leak_that_was_measured_is_not_open(name: str) -> None:
    """640 kohm for 500 was told as open where the list did not say whether the new one was in."""
    for r1 in ("measured 700 kohm", "measured 860 kohm"):
        fault = accused(causes(name, grid=", grid +1.6", r1=r1)).get("R1")
        assert fault in (None, "high" if "860" in r1 else None)


def test_a_meter_whose_range_is_not_written_stood_on_one_that_holds_the_reading() -> None:
    """-6.7 V behind 700 kohm reads about -1 V on 10 V at 10 kohm/V: that is the meter, and no leak."""
    assert "C4" not in accused(causes(grid=", grid -0.9"))


AFTER = """  2025-02-03 after:
    line: 231 V
    meter: 10 kohm/V
    to: chassis
    B+1: 262
    B+2: 223
    V4: plate 250, screen 221, grid {grid}
parts:
"""


@pytest.mark.parametrize(
    ("grid", "more", "gas"),
    [
        ("0", "", False),
        ("+2.5", "", True),
        ("0", "changed tubes:\n  V4: was EL41, now EL41\n", True),
        ("0", "faults:\n  - complaint: distorted\n    cause: V4 gassy\n", True),
    ],
)
def test_a_tube_that_stayed_and_reads_nothing_at_its_grid_later_had_no_gas(grid: str, more: str, gas: bool) -> None:
    """Gas does not heal: what was exchanged between the lists drove that grid."""
    sound = SOUND | {"r1": "measured 700 kohm"}
    text = SET.replace("B-: -6.4", "B-: 0").replace("V4 grid to B-", "V4 grid to chassis")
    text = text.format(name="2025-02-01 as found", first=262, second=223, grid=", grid +2.5", osc=90, **sound)
    bench = makers.bench(text.replace("parts:\n", AFTER.format(grid=grid)) + more)
    expected, measured = told_apart(bench)
    one = tried_run(measured[0], expected, bench, measured[1:])
    assert isinstance(one, TriedRun)
    assert any((fault.subject, fault.fault) == ("V4", "gas") for fault in one.trial.faults) is gas


@pytest.mark.parametrize(
    ("first", "lines", "bad"),
    [
        (240, {"r5": "measured 71 kohm"}, {"R5"}),
        (240, {"r1": "measured 1100 kohm", "r5": "measured 71 kohm", "osc": 80}, {"R1", "R5"}),
        (215, {"r5": "measured 71 kohm", "c1": "measured 3 uF", "osc": 66}, {"R5", "C1"}),
    ],
)
def test_nothing_would_read_the_same_as_what_was_found_bad(first: int, lines: dict[str, object], bad: set[str]) -> None:
    """It is so, and all else was tried beside it: “R5 is high; R7 would read the same” was told where both were."""
    found = causes(first=first, **lines)  # type: ignore[arg-type]
    assert bad & set(accused(found))
    assert not any(set(cause.alike) & bad for cause in found.ranked)
    said = re.findall(r"; ([^;.]*) would read the same", found.lead)
    assert not any(part in words.split() for words in said for part in bad)
