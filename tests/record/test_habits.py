"""What people write at the bench, each row beside the careful form that it means; and how a record may be settled."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import makers
from benchleaf.circuit.place import place
from benchleaf.record import read_record
from benchleaf.record.asked_once import SETTLES, asked_once
from benchleaf.record.manner import Manner
from benchleaf.record.mapping import as_mapping
from benchleaf.record.remarks import Remark, folded, remarks_of
from benchleaf.record.slips import Slips
from benchleaf.tubes import Electrode, electrode
from record_values import values_of

BLOCKS = re.split(r"^### ", (Path(__file__).parent / "habits.txt").read_text(encoding="utf-8"), flags=re.M)[1:]
HABITS = [(name, *rest.split("\n=====\n")) for name, _, rest in (block.partition("\n") for block in BLOCKS)]
_AS_WRITTEN = ("_written", "written", "note")


def meant(text: str) -> Any:
    return _meant(as_mapping(makers.record(text)))


def _meant(node: Any) -> Any:
    """The data without the spelling of a value, and without notes."""
    if isinstance(node, dict):
        return {key: _meant(value) for key, value in node.items() if not key.endswith(_AS_WRITTEN)}
    if isinstance(node, list):
        return [_meant(value) for value in node]
    return float(f"{node:.12g}") if isinstance(node, float) else node


@pytest.mark.parametrize(("typed", "careful"), [habit[1:] for habit in HABITS], ids=[habit[0] for habit in HABITS])
def test_what_is_typed_is_what_is_meant(typed: str, careful: str) -> None:
    assert meant(typed) == meant(careful)


def remarks(text: str) -> list[str]:
    return [remark.said for remark in remarks_of(makers.record(text), makers.FILE)]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("C1: 10 nF, sticky", "kept as a note: sticky"),
        ("C1: 10 nF, HT1 to HT- (not chassis !)", "kept as a note: not chassis !"),
        ("C1: .05 400 V", "“.05” read as microfarads"),
        ("R1: 470000", "“470000” read as ohms"),
        ("T3: 2nd if can, 13.8 ohms", "kept as a note: 2nd if can"),
        ("R1: 25,000 ohms", "“25,000 ohms” read as 25000 ohms"),
        ("C1: 10 nF orange drop", "“orange drop” read as “film”"),
        ("C1: 10 nF, gone open", "“gone open” read as “open”"),
    ],
)
def test_how_it_was_taken_is_said_once(line: str, said: str) -> None:
    assert remarks(f"parts:\n  {line}\n") == [said]


@pytest.mark.parametrize("taps", ["210 V, 230 V, 250 V", "\n    210 V:\n    230 V:\n    250 V:"])
def test_settings_without_their_ohms_are_in_the_record(taps: str) -> None:
    heaters = makers.record(f"heaters:\n  mains taps: {taps}\n").heaters
    assert heaters is not None
    assert (heaters.note, heaters.mains_taps) == ("mains taps 210 V, 230 V, 250 V", {})


def test_where_a_windings_tap_lies_is_its_note() -> None:
    heaters = makers.record("tubes:\n  V1: EF91\nheaters:\n  windings:\n    LT: 4 V 4 A c.t. earthed\n").heaters
    assert heaters is not None
    assert heaters.windings["LT"].note == "c.t. earthed"  # type: ignore[index]


def test_what_is_kept_as_a_note_is_in_the_record() -> None:
    (component,) = makers.record("parts:\n  C1: 10 nF, sticky\n").parts["C1"].was  # type: ignore[index]
    assert component.note == "sticky"


@pytest.mark.parametrize(
    ("line", "note"),
    [
        ("R1: 22k, note old, new knob ordered", "old, new knob ordered"),
        ("R1: 22k, note read 18 and 11, new ones under chassis", "read 18 and 11, new ones under chassis"),
        ("R1: 22k, note sticky, now 22k 1 W", "sticky"),
        ("R1: 22k, removed, now 22k 1 W", "removed"),
        ("T1: primary 14 ohms, secondary 15 ohms", "secondary 15 ohms"),
    ],
)
def test_a_note_goes_on_until_the_line_is_read_again(line: str, note: str) -> None:
    (part,) = makers.record(f"parts:\n  {line}\n").parts.values()
    assert part.note == note


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "line side:\n  after:\n    touchable: speaker screws\n",
            ["“speaker screws” is none of the parts that are computed, and is kept as a remark"],
        ),
        (
            "line side:\n  after:\n    touchable: grub screws, sunk deep, knob screws, wax gone, chassis\n",
            [
                "“sunk deep” is none of the parts that are computed, and is kept as a remark",
                "“knob screws wax gone”: “wax gone” has no value, and counts as a wire",
            ],
        ),
        (
            "heaters:\n  mains taps: 210 V, 230 V\n  windings:\n    LT: 4 V 4 A, c.t. to chassis\n",
            [
                "“210 V, 230 V” kept as a note: a setting is judged by the ohms that are written for it, such as "
                "“210 V: 12 ohm”"
            ],
        ),
        (
            "line side:\n  after:\n    plug: 13A, no earth\n    fuse: 2A in 13A plug\n",
            [
                "“13A, no earth” read as “two-pin polarised”: a 13 A plug goes in one way only, and no earth is joined "
                "to its third pin",
                "“in 13A plug” read as “hot lead”: a 13 A plug has its fuse there",
            ],
        ),
        ("line: 117/60\n", ["“117” read as volts", "“60” read as hertz"]),
        ("faults:\n  hum: C2 open, replaced\n", ["read as complaint “hum”, cause “C2 open” and cure “replaced”"]),
        (
            "came in: 2026-02-21\nfinished: 2026-03-28\nlog:\n  - 3/14, recapped 3h\n",
            [
                "“3/14” read as 2026-03-14, the only one between the record's other days",
                "“3h” read as how long it took",
            ],
        ),
        (
            "results:\n  sensitivity: 2200 lux before, 350 lux after\n",
            ["kept as a note: 2200 lux before, 350 lux after"],
        ),
        (
            "power-up:\n  - steps:\n      - lamp out 220 V 200 mA\n",
            ["“220 V” kept among what was read: if it is the line’s, write “line 220 V”"],
        ),
        (
            "parts:\n  C3: 50 uF, B+1 to B- and line bypass\n",
            ["“B+1 to B- and line bypass” read as what the part does: for its two ends write “between … and …”"],
        ),
        (
            "log:\n  - 2026-02-22, een halve dag aligned\n  - 2026-02-23, played 8 h, no hum\n",
            ["“een halve dag” kept in the text: for how long it took write the hours first, such as “4 h”"],
        ),
        ("parts:\n  C1: 50 nF, leaks 4 meg at 100 V\n", ["“4 meg” is insulation resistance: 25 µA at 100 V"]),
    ],
)
def test_what_was_taken_for_granted_is_said(text: str, said: list[str]) -> None:
    assert remarks(text) == said


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("log:\n  - 3/14: recapped\n", "write it as year-03-14"),
        ("came in: 2026-02-21\nlog:\n  - 3/14, recapped\n", "write it as year-03-14"),
        ("came in: 2025-01-02\nfinished: 2026-05-01\nlog:\n  - 14.3. x\n", "write 2025-03-14 or 2026-03-14"),
        ("came in: 2026-01-02\nfinished: 2026-05-01\nlog:\n  - 3/4, x\n", f"write year-03-04 or year-04-03; {SETTLES}"),
        ("line: 60\n", "write V or Hz behind it"),
        ("log:\n  - 10/14-10/18: x\n", "write the first day with its year, and “to 10/18” behind it in words"),
        ("results:\n  hum: 0.3 V after 0.9 V\n", "write “before 0.3 V, after 0.9 V”, if that is meant"),
        (
            "alignment:\n  - date: 2026-03-21\n    steps:\n      - 88 Mc/s osc, 99 Mc/s trimmer\n",
            "write “99 Mc/s trimmer” as a step on a line of its own",
        ),
    ],
)
def test_what_leaves_two_readings_is_asked(text: str, remedy: str) -> None:
    assert questions(text, Manner(american=True)) == [remedy]


def questions(text: str, site: Manner) -> list[str]:
    _record, problems = read_record(f"{makers.SET}{text}".encode(), makers.FILE, site)
    return [problem.remedy for problem in asked_once(problems)]


@pytest.mark.parametrize("note", ["private - she paid 60 euro", "|\n  Private: he paid cash.\n  Lead resoldered."])
def test_a_note_that_calls_itself_private_is_not_published(note: str) -> None:
    (problem,) = makers.refused(f"note: {note}\n")
    assert "paid" not in str(problem)
    assert "only “owner”, “serial” and what stands behind # are private" in problem.remedy


BRITISH, AMERICAN = Manner(), Manner(american=True)


@pytest.mark.parametrize(
    "said",
    [
        "line: 230 V 50 c/s",
        "nameplate: 200-250 volts, 40-60 c/s\nvalves:\n  V1: UL41",
        "line: 6 V\nvalves:\n  V1: UL41",
    ],
)
def test_m_is_a_million_where_the_record_is_of_no_american_set(said: str) -> None:
    assert questions(f"{said}\nparts:\n  R1: 0.5M\n", AMERICAN) == []


@pytest.mark.parametrize(
    ("said", "others"),
    [
        ("", ""),
        ("line: 117 V 60 Hz\nvalves:\n  V1: 6V6", ""),
        ("line: 125 V 50 Hz", ""),
        ("line: 230 V 50 Hz", "R2: 250M"),
        ("line: 230 V 50 Hz", "R2: 10M, reads 11.2k"),
    ],
)
def test_m_is_asked_where_it_may_be_a_thousand(said: str, others: str) -> None:
    assert questions(f"{said}\nparts:\n  R1: 0.5M\n  {others}\n", BRITISH)[0].startswith("“M” does not say")


def test_that_m_is_a_million_is_told_once() -> None:
    told = folded(remarks_of(makers.record("line: 230 V 50 Hz\nparts:\n  R1: 0.5M\n  R2: 1M\n"), makers.FILE))
    how = "read as a million ohms: a thousand it was on old American sheets only"
    assert [one.said for one in told] == [f"{how}: line 5 “0.5M”, line 6 “1M”"]


@pytest.mark.parametrize("line", ["C1: .05", "R1: 25,000 ohms", "C1: .00025"])
def test_what_only_an_american_site_settles_is_asked_elsewhere(line: str) -> None:
    assert questions(f"parts:\n  {line}\n", AMERICAN) == []
    assert len(questions(f"parts:\n  {line}\n", BRITISH)) == 1


@pytest.mark.parametrize("line", ["C1: 0.1/350", "C1: .05/500 paper, now .047/630", "C1: 0,02/1500", "C1: 8/450 lytic"])
def test_volts_behind_a_stroke_settle_microfarads_everywhere(line: str) -> None:
    assert questions(f"parts:\n  {line}\n", BRITISH) == []


@pytest.mark.parametrize(
    ("line", "remedy"),
    [
        ("R1: 10 M", "“M” does not say which unit it is: write 10 megohm or 10000 ohm"),
        ("R1: 50 M", "“M” does not say which unit it is: write 50 megohm or 50000 ohm"),
        ("R1: .5M", "“M” does not say which unit it is: write 0.5 megohm or 500 ohm"),
        ("R1: 470", "it has no unit: write 470 ohm or 470 kohm"),
        ("R1: .47", "it has no unit: write 0.47 ohm, 0.47 kohm or 0.47 megohm"),
        ("R1: 4.7", "it has no unit: write 4.7 ohm, 4.7 kohm or 4.7 megohm"),
        ("C1: 10", "it has no unit: write 10 uF or 10 pF"),
        ("C1: 250", "it has no unit: write 250 uF or 250 pF"),
    ],
)
def test_a_number_that_may_be_two_is_asked_with_both(line: str, remedy: str) -> None:
    assert questions(f"parts:\n  {line}\n", AMERICAN) == [remedy]


@pytest.mark.parametrize(
    "line",
    [
        "R1: 470k, mesured 612 kohm",
        "C1: 10 nF, leaks 4 V at the grid",
        "C1: .1-.600",
        "R1: 470k, 680k",
        "A6: 1k 1 W, 1k05",
        "C1: 20-20 mfd, ESR 9 ohm, 7 uF",
        "C1: now 10 nF, papper",
    ],
)
def test_what_would_be_a_guess_is_asked(line: str) -> None:
    assert len(questions(f"parts:\n  {line}\n", AMERICAN)) == 1


@pytest.mark.parametrize(("line", "asked"), [("C1: .001 waxed", 0), ("C1: .01 paper, leaky", 0), ("C1: .01 mica", 1)])
def test_a_paper_capacitor_below_one_is_in_microfarads_on_any_site(line: str, asked: int) -> None:
    assert len(questions(f"parts:\n  {line}\n", BRITISH)) == asked


@pytest.mark.parametrize(("order", "day"), [("month first", "2026-03-04"), ("day first", "2026-04-03"), ("", "")])
def test_slashes_are_read_by_the_site(order: str, day: str) -> None:
    record, problems = read_record(f"{makers.SET}came in: 3/4/26\n".encode(), makers.FILE, Manner(slash_dates=order))
    assert len(problems) == (not order)
    if order:
        assert record is not None
        assert str(record.came_in) == day


def test_a_floating_chassis_counts_as_on_the_line_until_what_lies_between_is_written() -> None:
    set_ = makers.record("power: AC/DC\nchassis: floating\nline: 117 V 60 Hz\n")
    assert place(set_, Slips(makers.FILE)).grounding.chassis_on_line


@pytest.mark.parametrize(
    ("type_", "word", "key"),
    [
        ("UCH42", "Ua", "a"),
        ("UCH42", "Ug2", "g2+g4"),
        ("UCH42", "g2+4", "g2+g4"),
        ("UCH42", "g2g4", "g2+g4"),
        ("UCH42", "aT", "at"),
        ("UCH42", "anode hexode", "a"),
        ("UCH42", "anode triode", "at"),
        ("UCH42", "Ua hexode", "a"),
        ("UCH42", "Ua hex", "a"),
        ("UCH42", "Ua triode", "at"),
        ("EM80", "l", "t"),
        ("UCL82", "ap", "a"),
        ("AK2", "g3+5", "g3+g5"),
        ("UL41", "Uk", "k"),
        ("EL84", "heating", "h"),
    ],
)
def test_short_words_for_electrodes(type_: str, word: str, key: str) -> None:
    found = electrode(makers.known(type_), word)
    assert isinstance(found, Electrode)
    assert found.key == key


def test_volts_without_a_current_are_no_leakage() -> None:
    """What a capacitor was formed at is not what it leaked at."""
    (problem,) = makers.refused("parts:\n  C1: 10 uF 350 V electrolytic, reformed at 350 V\n")
    assert problem.found == "“reformed 350 V”"


@pytest.mark.parametrize("type_", ["50L6GT", "6K7", "6SQ7", "EL84", "6J5"])
def test_an_electrode_may_be_one_letter(type_: str) -> None:
    circuit = makers.circuit(f"tubes:\n  V4: {type_}, output\nreadings:\n  found:\n    V4: p 96, k 9\n")
    assert [at.name() for at in circuit.direct_volts["found"]] == ["V4 plate", "V4 cathode"]


def test_remarks_of_one_kind_are_told_in_one_where_they_are_many() -> None:
    notes = [Remark("r.yml", n, 5, f"parts.C{n}.note", f"kept as a note: x{n}") for n in range(1, 5)]
    assert folded(notes[:3]) == notes[:3]
    assert [str(remark) for remark in folded(notes)] == [
        "r.yml:1:5: remark: kept as a note: line 1 “x1”, line 2 “x2”, line 3 “x3”, line 4 “x4”"
    ]


@pytest.mark.parametrize(("american", "said"), [(True, 1), (False, 0)])
def test_old_american_sheets_are_spoken_of_once_and_only_on_american_sites(american: bool, said: int) -> None:
    data = (makers.SET + "parts:\n  R1: 10 Mohm\n  R2: 4 Mohm\n").encode()
    record, _ = read_record(data, makers.FILE, Manner(american=american))
    assert record is not None
    assert len(folded(remarks_of(record, makers.FILE))) == said


def test_a_tube_by_its_type_is_no_remark() -> None:
    text = "tubes:\n  V1: 12SA7, converter\nreadings:\n  2026-03-01:\n    12SA7: plate 92\n"
    assert remarks(text) == []


def test_one_reading_of_both_plates_says_how_it_was_taken() -> None:
    typed = "tubes:\n  V5: EZ40\nreadings:\n  today:\n    V5: a 2x262~, cathode 290\n"
    assert remarks(typed) == ["“2x262~” read as 262 V AC at each of the two plates"]


def test_words_in_brackets_keep_the_electrode_that_they_are_of() -> None:
    typed = "tubes:\n  V4: 42\nreadings:\n  today:\n    V4: plate 222, grid -11 (unsteady)\n    bias: -16 (falling)\n"
    assert remarks(typed) == ["kept as a note: grid unsteady", "kept as a note: falling"]


def test_a_range_in_brackets_is_read_and_no_note() -> None:
    typed = "tubes:\n  V4: 42\nreadings:\n  today:\n    V4: plate 222 (250 V range), grid -11 (VTVM 11 meg)\n"
    assert remarks(typed) == ["kept as a note: grid VTVM 11 meg"]
    read = values_of(makers.record(typed))
    assert read["readings.today.V4 plate.meter.range"] == 250
    assert read["readings.today.V4 grid.meter.ohms"] == 11e6
