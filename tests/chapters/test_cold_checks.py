"""Before power: what an ohmmeter should show, what it showed, and the verdict; none clears a set."""

from __future__ import annotations

import json

import pytest

import makers
from benchleaf.chapters.line_side.ohmmeter import HOT_PIN, RETURN_PIN
from benchleaf.chapters.power_up.cold_checks import every_check, to_measure
from benchleaf.chapters.power_up.findings import EXPECTED, LOOK_AGAIN, NOT_MEASURED
from benchleaf.circuit.cold_subjects import FIELD, ColdSubject, subject_of
from benchleaf.circuit.place import place
from benchleaf.pages.bench_pad import bench_pad
from benchleaf.pages.set_page import Choices
from benchleaf.record.slips import Slips
from benchleaf.report.findings import as_json
from makers import plain

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V4: 50C5, output
  V5: 35W4, rectifier
heaters:
  dropper: 250 ohm 10 W
speaker: 3.2 ohm
parts:
  C12: now 47 uF 200 V electrolytic, between B+1 and B-
  R9: keep, 1 kohm, measured 1.01 kohm, between B+1 and B+2
  R12: now 22 kohm 5 %, between B+2 and B-
  T3: keep, job output transformer, between V4 plate and B+1
"""
TRANSFORMER = """line: 120 V 60 Hz
power: transformer
chassis: isolated
nameplate: 115 V, 65 W
tubes:
  V3: 6K7
  V5: 6F6, output
  V6: 5Y3G, rectifier
heaters:
  windings:
    LT: 6.3 V 2.5 A, feeds V3 V5
    rectifier: 5 V 2 A, feeds V6
speaker: 4 ohm, voice coil 3.3 ohm
parts:
  C12: now 22 uF 450 V electrolytic, between B+1 and chassis
  L1: keep, job speaker field as choke, 1 kohm, measured 1.04 kohm, between B+1 and B+2
  T1: keep, job mains transformer
"""
SIDE = """chassis: through R and C
line side:
  before:
    plug: two-pin, either way
    switch: hot lead
    fuse: none
    B- to chassis: 470 kohm measured 470 kohm, 0.05 uF
"""


def checked(text: str, *lines: str) -> list[tuple[str, str]]:
    """What was expected of each line, and the verdict on it."""
    section = "before power:\n" + "".join(f"  - {line}\n" for line in lines)
    found = makers.found("power_up", text + section).before_power
    return [(plain(check.said), check.verdict) for check in found if check.verdict != NOT_MEASURED]


def wanted(text: str) -> list[str]:
    made = makers.examined(text)
    checks = to_measure(made.bench, made.findings["heaters"], made.findings["line_side"])
    return [plain(f"{check.of}: {check.said}") for check in checks]


def test_the_bench_sheet_says_what_to_expect_before_power() -> None:
    """By hand: 85 V at 150 mA behind 250 ohm on 120 V run at some 149 mA, 561 ohm hot; over 7.2 and 2.7, as published,
    that is 78 to 208 ohm. A voice coil has 0.8 × 3.2 ohm. R9 and R12: 0.98 + 20.9 to 1.04 + 23.1 kohm."""
    assert wanted(SET) == [
        "Wall plug, pin to pin, switch on: 330 Ω to 460 Ω",
        "B+1 to B-, plus lead on B+1: 21.9 kΩ to 24.1 kΩ when charged",
        "Heater string from end to end, cold: 78 Ω to 210 Ω or 330 Ω to 460 Ω with what is in series",
        "T3, primary: 100 Ω to 700 Ω as a rule",
        "Voice coil, transformer off: 2 Ω to 3.2 Ω as a rule",
    ]
    measured = SET.replace("job output transformer", "310 ohm, job output transformer, measured 322 ohm")
    assert "T3, primary: 312 Ω to 332 Ω" in wanted(measured)
    assert "B+1 to B-, plus lead on B+1: a climb past 50 kΩ, as only capacitors lead there" in wanted(
        SET.replace("R12: now 22 kohm 5 %", "R12: was 22 kohm, measured open")
    )
    assert wanted("") == []


def test_the_filaments_of_a_three_way_set_lead_from_a_rail_too() -> None:
    """A dropper of 2 kohm and four filaments lie between B+ and B-, where “only capacitors” was said to lead."""
    three_way = SET.replace("power: series string", "power: three-way").replace(
        "  R12: now 22 kohm 5 %, ", "  C13: 20 uF, "
    )
    assert not [line for line in wanted(three_way) if "as only capacitors lead there" in line]


def test_a_set_with_a_transformer_has_its_windings() -> None:
    """By hand: 120² V² over 65 W is 222 ohm, of which a primary has 1.5 to 8 per cent."""
    assert wanted(TRANSFORMER) == [
        "Wall plug, pin to pin, switch on: 3.3 Ω to 18 Ω as a rule",
        "Line to chassis: no path, past 2 MΩ",
        "T1, winding for B+: 50 Ω to 1 kΩ as a rule",
        "B+1 to B-, plus lead on B+1: a climb past 50 kΩ, as only capacitors lead there",
        "L1, speaker field as choke: 1.01 kΩ to 1.07 kΩ",
        "Voice coil, transformer off: 3.2 Ω to 3.4 Ω",
    ]


@pytest.mark.parametrize(
    "text", [SET, TRANSFORMER, SET.replace("tubes:", f"{SIDE}tubes:", 1)], ids=["string", "wound", "side"]
)
def test_the_pad_names_each_so_that_a_record_reads_it_there(text: str) -> None:
    made = makers.examined(text)
    checks = every_check(made.bench, made.findings["heaters"], made.findings["line_side"])
    lines = [f"{check.as_in_a_record} 1 ohm" for check in checks]
    again = makers.examined(text + "before power:\n" + "".join(f"  - {line}\n" for line in lines))
    found = again.findings["power_up"].before_power
    assert [check.verdict for check in found if check.verdict == NOT_MEASURED] == []
    assert [check.bands_ohms for check in found] == [check.bands_ohms for check in checks]
    html = bench_pad(made, "minuet-5", Choices(directory_urls=False))
    assert all(f'data-of="{check.as_in_a_record}"' in html for check in checks)


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("B+1 to B- 22.5 k", EXPECTED),
        ("B+1 to B- 2.2 k", LOOK_AGAIN),
        ("B+1 to B- open", LOOK_AGAIN),
        ("B+1 to B- > 20 k", EXPECTED),
        ("B+1 to B- < 5 k", LOOK_AGAIN),
        ("plug 380 ohm", EXPECTED),
        ("plug OL", LOOK_AGAIN),
        ("heater string 130 ohm", EXPECTED),
        ("heater string 380 ohm", EXPECTED),
        ("heater string 900 ohm", LOOK_AGAIN),
        ("V4 heater 90 ohm", EXPECTED),
        ("V4 heater open", LOOK_AGAIN),
        ("R9 1.01 k", EXPECTED),
        ("R9 1.6 k", LOOK_AGAIN),
        ("B+1 to B+2 1.0 k", EXPECTED),
        ("T3 primary to secondary > 20 meg", EXPECTED),
        ("T3 primary to secondary 120 k", LOOK_AGAIN),
        ("earth pin to chassis 0.3 ohm", EXPECTED),
        ("earth pin to chassis 9 ohm", LOOK_AGAIN),
        ("oscillator coil 4 ohm", ""),
    ],
)
def test_each_reading_is_held_to_its_band(line: str, verdict: str) -> None:
    ((_, found),) = checked(SET, line)
    assert found == verdict


def test_the_plus_lead_and_a_dry_rectifier_are_told() -> None:
    dry = SET + "  D1: now selenium, job rectifier\n"
    ((said, verdict),) = checked(dry, "B+1 to B- 900 ohm")
    assert (said, verdict) == (
        "21.9 kΩ to 24.1 kΩ when charged; the other way round D1, selenium, conducts",
        LOOK_AGAIN,
    )
    (check, *_) = makers.found("power_up", dry + "before power: B+1 to B- 900 ohm\n").before_power
    assert "D1 conducts" in check.look_for


def test_from_the_line_to_the_chassis_there_are_the_parts_and_the_switch() -> None:
    """By hand: 470 kohm ± 1 % as measured, behind at most 460 ohm of the string, or nothing with the switch off."""
    text = SET.replace("tubes:", f"{SIDE}tubes:", 1)
    found = checked(text, "line to chassis 471 k", "line to chassis OL", "line to chassis 90 k", "B- to chassis 469 k")
    assert [verdict for _, verdict in found] == [EXPECTED, EXPECTED, LOOK_AGAIN, EXPECTED]
    assert found[0][0] == "465 kΩ to 475 kΩ or no path, past 2 MΩ, as pin and switch have it"
    joined = text.replace("B- to chassis: 470 kohm measured 470 kohm, 0.05 uF", "B- to chassis: direct")
    ((said, _),) = checked(joined, "line to chassis 380 ohm")
    assert said.startswith("a direct joint, under 1 Ω, ")
    assert "at most 0" not in said


def test_the_heater_string_may_be_read_with_its_dropper() -> None:
    ((said, _),) = checked(SET, "heater string 380 ohm")
    assert said.count(" to ") == 2
    assert said.endswith(" with what is in series")


def test_a_part_is_held_to_what_was_in_on_the_day() -> None:
    text = SET + "  R5: now 100 kohm 5 %, was 100 kohm, measured 160 kohm, between V4 grid and B-, fitted 2026-03-01\n"
    found = checked(text, "2026-02-21, R5 160 k", "2026-03-04, V4 grid to B- 160 k", "2026-03-04, R5 101 k")
    assert [verdict for _, verdict in found] == [EXPECTED, LOOK_AGAIN, EXPECTED]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("V9 heater 3 ohm", "found “V9”; expected a position listed under tubes"),
        ("plugg 32 ohm", "did you mean “plug”?"),
        ("V4 gird to B- 480 k", "found “gird”; expected an electrode of a 50C5; did you mean “grid”?"),
        ("fnord 3 k", "found “fnord”; expected what a meter can lie at"),
    ],
)
def test_what_is_no_place_of_this_set_is_asked(line: str, said: str) -> None:
    slips = Slips(makers.FILE)
    place(makers.record(f"{SET}before power: {line}\n"), slips)
    (problem,) = map(str, slips.problems())
    assert ": before power: found" in problem
    assert said in problem


def test_the_page_has_readings_and_what_was_not_measured() -> None:
    text = TRANSFORMER + "before power:\n  - 2026-09-12, B+1 to chassis 7 k\n  - V3 heater 3.4 ohm\n"
    shown = plain(makers.page("power_up", text))
    assert "2 cold checks before power, 1 to look at again." in shown
    assert shown.count("not measured") == 4  # the output transformer’s ohms stand among the parts
    assert "no row says that the set may be plugged in." in shown
    assert "at most 7.8 Ω, out of its socket" in shown
    (said,) = makers.said("power_up", text)
    assert said.startswith("Before power, B+1 to chassis read 7 kΩ; to be expected: a climb past 50 kΩ, ")
    found = json.loads(json.dumps(as_json(makers.found("power_up", text))))["before_power"]
    assert found[0]["bands_ohms"] == [[50000.0, None]]
    assert (found[0]["read_ohms"], found[0]["verdict"], found[0]["rests_on"]) == (7000.0, LOOK_AGAIN, "parts")
    digest = makers.chapter_digest(makers.examined(text), makers.chapter("power_up"))
    assert digest is not None
    assert digest.working == "What an ohmmeter should show before power"


@pytest.mark.parametrize("written", ["V5 tap", "V5 heater tap to V5 heater", "V5 heater to V5 tap"])
def test_a_rectifier_s_open_heater_tap_is_to_be_looked_at(written: str) -> None:
    """It was taken for a place that only capacitors lead to, and its being open was expected."""
    head = "maker: A\nmodel: B\nline: 117 V 60 Hz\npower: series string\ntubes:\n  V4: 50L6GT\n  V5: 35Z5GT\n"
    for read, verdict in (("open", LOOK_AGAIN), ("12 ohm", EXPECTED), ("900 ohm", LOOK_AGAIN)):
        checks = makers.found("power_up", f"{head}before power:\n  - 2026-01-01, {written} {read}\n").before_power
        (check,) = [check for check in checks if check.read]
        assert check.verdict == verdict
        assert "capacitors" not in check.said


def test_of_a_heater_and_a_place_beyond_the_string_nothing_is_expected() -> None:
    head = "maker: A\nmodel: B\nline: 117 V 60 Hz\npower: series string\ntubes:\n  V4: 50L6GT\n  V5: 35Z5GT\n"
    checks = makers.found("power_up", f"{head}before power:\n  - 2026-01-01, V5 pin 3 to chassis open\n").before_power
    (check,) = [check for check in checks if check.read]
    assert check.verdict == ""


@pytest.mark.parametrize("words", ["field coil", "field", "speaker field", "speaker field coil", "L1"])
def test_the_speakers_magnet_is_known_by_its_words_and_by_its_part(words: str) -> None:
    text = "power: transformer\nparts:\n  L1: job field coil, measured 815 ohm, between B+1 and B+2\n"
    assert subject_of(makers.circuit(text), words) == ColdSubject(FIELD, part="L1")
    assert subject_of(makers.circuit("power: transformer\n"), words) == (
        None if words == "L1" else ColdSubject(FIELD, part="")
    )


@pytest.mark.parametrize(
    "said", ["heater winding", "heating winding", "T1 heater winding", "LT winding", "6.3 V winding"]
)
def test_a_heater_winding_is_not_held_against_the_mains_input(said: str) -> None:
    """A winding of 6.3 V for 3 A has tenths of an ohm: “something in the way is shorted” was said of a sound one."""
    text = (
        "line: 220 V 50 Hz\npower: transformer\nnameplate: 55 W\ntubes:\n  V5: EL84\nheaters:\n  windings:\n"
        "    LT: 6.3 V, feeds all\nparts:\n  T1: mains transformer, measured 38 ohm\n"
        f"before power:\n  - 2026-03-01, {said} < 0.2 ohm\n"
    )
    (check, *_) = makers.found("power_up", text).before_power
    assert check.verdict == "expected"
    assert check.rests_on == "rule"


@pytest.mark.parametrize(
    "winding", ["V5 plate to V6 plate, ct to B+2, 205 + 212 ohm", "V5 plate to V6 plate, ct to B+2, 417 ohm"]
)
@pytest.mark.parametrize(
    "read", ["T2 primary 415 ohm", "output transformer primary 415 ohm", "output transformer primary 205 + 212 ohm"]
)
def test_a_primary_from_plate_to_plate_is_expected_whole_and_once(winding: str, read: str) -> None:
    """205 and 212 ohm are 417 from plate to plate; the halves were asked for each, the reading not worked out."""
    text = f"""power: transformer
line: 120 V 60 Hz
tubes:
  V5: 6F6, output
  V6: 6F6, output
parts:
  T2: output transformer, {winding}
before power:
  - {read}
"""
    checks = makers.found("power_up", text).before_power
    (primary,) = [check for check in checks if "primary" in check.of]
    assert primary.verdict == "expected"
    ((low, high),) = primary.bands_ohms
    assert low < 417 < high < 417 * 1.4


@pytest.mark.parametrize(("dropper", "named"), [("  dropper: 770 ohm\n", True), ("", False)])
def test_an_open_string_may_be_its_dropper(dropper: str, named: bool) -> None:
    """A dropper whose section was open was the one thing that the list of what may be open left out."""
    text = (
        "line: 230 V 50 Hz\npower: series string\ntubes:\n  V1: UCH42\n  V4: UL41\n  V5: UY41\n"
        f"heaters:\n  order: [V5, V4, V1]\n{dropper}before power:\n  - plug open\n"
    )
    (plug,) = [check for check in makers.found("power_up", text).before_power if check.of == "plug"]
    assert ("the dropper, a heater" in plug.look_for) is named


@pytest.mark.parametrize(
    ("listed", "read", "off"),
    [("31 ohm", "", 0.20), ("measured 31 ohm", "", 0.03), ("31 ohm", "  - T1 primary 31 ohm\n", 0.03)],
)
def test_a_primary_has_one_band_wherever_it_is_asked(listed: str, read: str, off: float) -> None:
    """“30.1 to 31.9” on one page and “25 to 37” on the other, of the same two pins."""
    text = (
        "power: transformer\nline: 240 V 50 Hz\ntubes:\n  V4: KT61, output\n  V5: U50, rectifier\nparts:\n"
        f"  T1: mains transformer, keep, {listed}\nline side:\n  after:\n    plug: two-pin, either way\n"
        f"    switch: double-pole\n    touchable: chassis\nbefore power:\n{read}  - plug 31 ohm\n"
    )
    (plug,) = [check for check in makers.found("power_up", text).before_power if check.of == "plug"]
    ((low, high),) = plug.bands_ohms
    assert (low, high) == (pytest.approx(31 * (1 - off), rel=0.01), pytest.approx(31 * (1 + off), rel=0.01))
    side = [one for step in makers.found("line_side", text).steps for one in step.resistances]
    (pins,) = [one for one in side if {one.between, one.other} == {HOT_PIN, RETURN_PIN} and one.switch == "on"]
    assert (pins.low_ohms, pins.high_ohms) == (pytest.approx(low, rel=0.01), pytest.approx(high, rel=0.01))
