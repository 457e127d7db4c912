"""How the set works: the stages told and drawn, in both dialects, with what is known of each and nothing more."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import pytest

import makers
from benchleaf.chapters.examine import Examined, as_record_json, examine
from benchleaf.chapters.how_it_works.stage_words import has_text, stage_text
from benchleaf.circuit.signal_path.making_path import signal_path_of
from benchleaf.circuit.tube_jobs.tube_job import known_jobs
from benchleaf.drawing import overlaps
from benchleaf.drawing.figure import ON_A_PHONE
from benchleaf.drawing.svg import view_box
from benchleaf.words import AMERICAN, BRITISH, DIALECTS
from markup import words_of
from sites import DEMO

SETS = {path.parent.name: path.read_text(encoding="utf-8") for path in sorted(DEMO.glob("sets/*/record.yml"))}
FIRST = "larkfield-minuet-5"
AM_FM = """
power: transformer
IF: 10.7 MHz
second IF: 455 kHz
bands:
  FM: 88-108 MHz
  MW: 540-1600 kHz
tubes:
  V1: 12AT7, FM RF and mixer
  V2: 6BE6, AM converter
  V3: 6BA6, AM/FM IF
  V4: 6AU6, limiter
  V5: 6AL5, ratio detector
  V6: 6AV6, AM detector, AVC, first audio
  V7: 6AQ5, output
  V8: 6X4, rectifier
  V9: EM80, tuning indicator
  V10: 12AX7, tape recorder
"""
REFLEX = "tubes:\n  V1: 12SA7, converter\n  V2: 12SF7, IF and first audio reflex, detector\n  V3: 50L6, output\n"
READ = f"{REFLEX}readings:\n  2026-03-01:\n    V3: plate 110, cathode 7.5\n"


@cache
def examined(name: str) -> Examined:
    return makers.examined(SETS[name])


def found(name: str) -> Any:
    return examined(name).findings["how_it_works"]


def stage(findings: Any, job: str) -> Any:
    return next(one for one in findings.stages() if one.job == job)


def test_every_job_and_every_stage_has_its_sentences() -> None:
    assert all(has_text(key) for key in known_jobs())
    for text in [*SETS.values(), AM_FM, REFLEX]:
        lanes = signal_path_of(makers.circuit(text)).lanes
        assert all(has_text(one.key) for lane in lanes for one in lane.all_stages())
    for dialect in DIALECTS.values():
        texts = [stage_text(key, dialect) for key in known_jobs()]
        assert all(len(re.findall(r"[.:] |\.$", each.text)) <= 4 and "{" not in each.text for each in texts)


def test_readings_stand_at_the_section_that_they_were_read_at() -> None:
    findings = found(FIRST)
    assert [reading.place for reading in stage(findings, "converter").readings] == ["cathode", "screen", "plate"]
    assert [reading.place for reading in stage(findings, "oscillator").readings] == ["osc grid"]
    assert not stage(findings, "detector").readings
    assert [reading.place for reading in stage(findings, "filter").readings] == ["B+1", "B+2"]
    newest = [run for run in makers.record(SETS[FIRST]).readings if run[0].isdigit()][-1]
    assert {reading.run for reading in stage(findings, "output").readings} == {str(newest)}


def test_what_is_worked_out_is_what_the_voltages_have() -> None:
    readings, findings = examined(FIRST).findings["readings"], found(FIRST)
    point, (signal,) = readings.operating["V4"], [one for one in readings.signal if one.stage == "V3"]
    (told,) = stage(findings, "output").worked_out
    assert (told.plate_amps, told.plate_watts) == (point.plate_amps, point.plate_watts)
    assert told.max_plate_watts == point.max_plate_watts
    (amplifier,) = stage(findings, "first audio").worked_out
    assert amplifier.gain_times == signal.gain_times.value > 1


def test_signals_are_handed_on_at_the_frequencies_of_the_record() -> None:
    findings = found(FIRST)
    record = makers.record(SETS[FIRST])
    assert record.IF is not None
    converter, amplifier = stage(findings, "converter"), stage(findings, "if")
    assert (converter.hands_on, converter.hands_on_hertz) == ("IF", record.IF.si)
    assert converter.gives_to == (amplifier.number,)
    assert amplifier.takes_from == (converter.number,)
    (band,) = record.bands.values()
    assert findings.bands[0].oscillator_hertz == (band.low_hertz + record.IF.si, band.high_hertz + record.IF.si)


def test_a_fault_is_named_at_the_stage_it_was_in() -> None:
    findings = found(FIRST)
    trails = examined(FIRST).findings["faults"].trails
    told = [fault.complaint for one in findings.stages() for fault in one.faults]
    assert len(told) == len(set(told)) == len(trails) - findings.faults_elsewhere
    text = "tubes:\n  V1: 12AV6, first audio\n  V2: 50C5, output\n"
    text += "parts:\n  C7: keep, 10 nF, between V1 plate and V2 grid\n"
    coupled = makers.found("how_it_works", f"{text}faults:\n  - distorted, cause C7 leaky, replaced\n")
    assert [fault.cause for fault in stage(coupled, "output").faults] == ["C7 leaky"]
    assert not stage(coupled, "first audio").faults


@pytest.mark.parametrize(
    ("fault", "of"),
    [
        ("loud hum, cause C12 a dried out, replaced", "filter"),
        ("dull, cause C12 c dried out, replaced", "output"),
        (
            "dead where the lamp lights the dial, found V1 pin 1 at 0 V, osc section shorted, cause rotor bent",
            "oscillator",
        ),
        ("whistles, found V1 plate at 40 V, cause a bad joint", "converter"),
        ("dial dark, cause lamp burnt out, replaced", "pilot lamp"),
    ],
)
def test_a_fault_stands_at_the_section_and_the_place_that_it_names(fault: str, of: str) -> None:
    """One section of a can filters and another bypasses; a complaint that names the lamp is of the oscillator."""
    can = """parts:
  C12 a: 40 uF, replaced, between B+1 and B-
  C12 b: 20 uF, replaced, between B+2 and B-
  C12 c: 20 uF, replaced, between V4 cathode and B-
"""
    tubes = """power: series string
line: 120 V 60 Hz
tubes:
  V1: 12BE6, converter
  V2: 12BA6, IF
  V3: 12AV6, detector and first audio
  V4: 50C5, output
  V5: 35W4, rectifier
heaters: {order: [V5, V4, V2, V1, V3], pilot lamp: 47}
"""
    findings = makers.found("how_it_works", f"{tubes}{can}faults:\n  - {fault}\n")
    assert [one.job for one in findings.stages() if one.faults] == [of]


def test_both_intermediate_frequencies_go_their_own_way() -> None:
    findings = makers.found("how_it_works", AM_FM)
    of_row = {row.row: [one.hands_on_hertz for one in row.stages if one.hands_on == "IF"] for row in findings.rows}
    assert of_row["FM radio"] == [10.7e6] * 3
    assert of_row["AM radio"] == [455e3] * 2
    first_audio = stage(findings, "first audio")
    detectors = [one.number for one in findings.stages() if one.job in ("ratio detector", "detector")]
    assert first_audio.takes_from == tuple(detectors)
    assert [(band.band, band.oscillator_hertz) for band in findings.bands] == [
        ("FM", None),
        ("MW", (995e3, 2055e3)),
    ]


def test_the_second_time_through_a_reflex_tube_is_said() -> None:
    html = words_of(makers.page("how_it_works", REFLEX), " ")
    assert stage_text("reflex", AMERICAN).text in html
    assert html.count(stage_text("reflex", AMERICAN).text) == 1


@pytest.mark.parametrize("text", [*SETS.values(), AM_FM, REFLEX], ids=[*SETS, "AM and FM", "reflex"])
def test_drawings_have_every_stage_and_no_word_over_another(text: str) -> None:
    bench = makers.bench(text)
    findings = makers.found("how_it_works", bench)
    drawn = makers.figures("how_it_works", bench, findings)
    for figure in drawn.values():
        assert (overlaps(figure.svg), overlaps(figure.narrow)) == ([], [])
        assert "<title" in figure.svg
        assert figure.description
        assert figure.narrow.count("<rect") == figure.svg.count("<rect")
        assert ON_A_PHONE / view_box(figure.narrow)[2] * 11 >= 9  # pixels of its smallest letters
    told = " ".join(words_of(figure.svg, " ") for figure in drawn.values())
    assert sum(figure.svg.count("<rect") for figure in drawn.values()) == len(findings.stages())
    assert all(tube.tube in told for one in findings.stages() for tube in one.tubes)
    page = makers.page("how_it_works", bench, findings, drawn=True)
    assert page.count('class="bl-path-stage"') == len(findings.stages())


def test_a_long_row_goes_on_in_the_next_and_each_arrow_says_what_it_carries() -> None:
    lines = "".join(f"  V{n}: 6BA6, IF\n" for n in range(2, 8))
    figure = makers.figures("how_it_works", f"IF: 455 kHz\ntubes:\n  V1: 6BE6, converter\n{lines}")[
        "how-it-works-signal"
    ]
    assert figure.width <= 750
    told = makers.plain(words_of(figure.svg, " "))
    assert told.count("IF 455 kHz") >= 7
    assert "Sixth IF" in told


def test_both_ways_in_hand_their_sound_on() -> None:
    told = words_of(makers.figures("how_it_works", AM_FM)["how-it-works-signal"].svg, " ")
    assert len(re.findall(r"\bAF\b", told)) >= 4


def test_an_unknown_job_is_a_box_with_its_own_words() -> None:
    findings = makers.found("how_it_works", AM_FM)
    figure = makers.figures("how_it_works", AM_FM, findings)["how-it-works-supply"]
    assert "tape recorder" in words_of(figure.svg, " ")
    assert figure.svg.count("stroke-dasharray") == 1


@pytest.mark.parametrize(
    ("words", "said", "not_said"),
    [(AMERICAN, "plate", "anode"), (BRITISH, "anode", "plate")],
    ids=["American", "British"],
)
def test_the_page_speaks_its_dialect(words: Any, said: str, not_said: str) -> None:
    html = words_of(makers.page("how_it_works", makers.bench(SETS[FIRST], words=words)), " ")
    assert re.search(rf"\b{said}\b", html)
    assert not re.search(rf"\b{not_said}\b", html)


def test_a_site_may_leave_it_out_and_a_set_without_jobs_has_none() -> None:
    off = examine(makers.bench(REFLEX, how_it_works=False))
    assert off.findings["how_it_works"] is None
    assert "how_it_works" not in as_record_json(off)["findings"]
    assert makers.findings("how_it_works", "tubes:\n  V1: 12BE6\n  V2: 50C5\n") is None
    assert makers.findings("how_it_works", "tubes:\n  V1: 12BE6, odd one\n") is None


def test_the_record_leads_there_and_has_no_more_of_it() -> None:
    page = makers.set_page(READ)
    (own,) = [one for one in page.workings if one.name == "how-it-works"]
    assert page.html.count("how-it-works") == 1
    assert '<a href="how-it-works/">How it works</a>' in page.html
    assert len(own.entries) == len(makers.found("how_it_works", READ).stages())
    (paper,) = [file.text for file in page.files if file.path == "full-working.html"]
    assert "how-it-works" not in (paper or "")
    assert 'href="../voltages/"' in own.html


def test_a_story_places_the_drawing_alone() -> None:
    drawn = makers.figures("how_it_works", READ)
    page = makers.set_page(READ, "# Work\n\n[[how it works]]\n", drawn={"how_it_works": drawn})
    assert not page.problems
    assert 'id="how-it-works-signal-t"' in page.html
    assert 'id="how-it-works-supply-t"' not in page.html
    assert '<a href="how-it-works/">Each stage in turn</a>' in page.html
    (problem,) = makers.set_page(READ, "[[how it work]]\n", drawn={"how_it_works": drawn}).problems
    assert str(problem).count("how it works") == 2, "once among the names, once as the nearest"


@pytest.mark.parametrize(
    ("power", "said"),
    [
        ("battery", "high-tension battery can give a shock"),
        ("vibrator", "While it plays there are voltages"),
        ("series string", "With the plug in"),
    ],
)
def test_what_kills_in_a_set_without_a_plug_is_not_said_to_hang_on_one(power: str, said: str) -> None:
    html = makers.page("how_it_works", f"power: {power}\ntubes:\n  V1: 1R5, converter\n  V2: 3V4, output\n")
    assert said in html
    assert ("With the plug in" in html) is (power == "series string")
