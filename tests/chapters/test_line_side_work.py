"""The work on a line side: steps, the current's way, what is written wrongly, how much it matters."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.line_side.diagram import diagrams
from benchleaf.chapters.line_side.ohmmeter import HOT_PIN, RETURN_PIN
from benchleaf.chapters.line_side.path import path_words
from benchleaf.chapters.line_side.steps import for_the_bench, say_resistance
from benchleaf.circuit.rules.line_side import look_over
from benchleaf.report.findings import DANGER, FAULT, NOTE, as_json
from benchleaf.words import AMERICAN, BRITISH
from worked_line_sides import AFTER, BEFORE, HEAD, examined


def wrong(after: str, power: str = "series string") -> list[str]:
    text = f"{HEAD}line: 230 V 50 Hz\npower: {power}\nline side:\n  after:\n{after}"
    return makers.told(look_over, makers.record(text))


def test_steps_stand_in_working_order() -> None:
    kinds = [s.kind for s in examined(BEFORE).steps]
    order = [
        "unplug",
        "discharge",
        "note down",
        "remove",
        "add",
        "ohmmeter",
        "insulation",
        "first power",
        "touch current",
    ]
    places = [kinds.index(k) for k in order]
    assert places == sorted(places)
    assert kinds.index("ohmmeter") > len(kinds) - 1 - kinds[::-1].index("add")


def test_steps_name_what_comes_out_and_what_goes_in() -> None:
    text = " ".join(s.text for s in examined(BEFORE).steps)
    for words in (
        "Take out from B- to chassis: 330 kΩ, beside it 0.05 µF paper",
        "Fit from B- to chassis: 1 meg",
        "Switch into the hot lead (it was in the B- lead)",
        "No longer within reach",
        "shafts",
    ):
        assert words in text


@pytest.mark.parametrize(
    ("switch", "step"),
    [
        ("none", "No switch."),
        ("hot lead", "Switch into the hot lead (it was in the B- lead)."),
        ("double-pole", "Switch into both leads, double-pole (it was in the B- lead)."),
        ("B- lead", ""),
    ],
)
def test_a_step_for_the_switch_says_where_it_goes_and_where_it_was(switch: str, step: str) -> None:
    old, new = (f"    plug: two-pin\n    switch: {at}\n    touchable: chassis\n" for at in ("B- lead", switch))
    told = [s.text for s in examined(old, new).steps if s.text.startswith(("No switch", "Switch into"))]
    assert told == ([step] if step else [])


@pytest.mark.parametrize(
    ("old", "new", "step"),
    [
        ("plug: two-pin", "plug: two-pin", ""),
        ("plug: two-pin", "plug: two-pin polarised", "New line cord and plug: two-pin polarized."),
        ("plug: two-pin\n    cord: 2 m", "plug: two-pin\n    cord: 2 m", ""),
        (
            "plug: two-pin\n    cord: 2 m",
            "plug: two-pin\n    cord: 3 m, new",
            "New line cord and plug: two-pin, either way, 3 m, new.",
        ),
    ],
)
def test_a_step_for_cord_and_plug_stands_where_one_of_them_is_another(old: str, new: str, step: str) -> None:
    before, after = (f"    {rows}\n    switch: hot lead\n    touchable: chassis\n" for rows in (old, new))
    told = [s.text for s in examined(before, after).steps if s.text.startswith("New line cord and plug")]
    assert told == ([step] if step else [])


def test_ohmmeter_sees_the_megohm_and_the_open_switch() -> None:
    """1 megohm, 20 % assumed; the switch in the hot lead opens every path from that pin."""
    (step,) = [s for s in examined().steps if s.kind == "ohmmeter"]
    by_key = {(r.between, r.other, r.switch): r for r in step.resistances}
    to_chassis = by_key[RETURN_PIN, "chassis", "off"]
    assert (to_chassis.low_ohms, to_chassis.high_ohms) == (pytest.approx(0.8e6), pytest.approx(1.2e6))
    assert by_key[HOT_PIN, "chassis", "off"].open
    assert say_resistance(by_key[RETURN_PIN, "B-", "on"]) == "a direct joint, under 1 Ω"
    assert not by_key[HOT_PIN, RETURN_PIN, "on"].known


@pytest.mark.regression
def test_ohmmeter_sees_cold_heaters_between_the_pins() -> None:
    """Cold between a 7.2th and a 2.7th of the hot resistance (audioXpress, September 2004)."""
    fitted = ("12SA7", "12SK7", "12SQ7", "50L6GT", "35Z5GT")
    tubes = (
        "tubes:\n"
        + "".join(f"  V{n}: {t}\n" for n, t in enumerate(fitted, 1))
        + "heaters:\n  order: V5, V4, V2, V1, V3\n"
    )
    found = examined(more=tubes)
    (step,) = [s for s in found.steps if s.kind == "ohmmeter"]
    (pins,) = [r for r in step.resistances if (r.between, r.other, r.switch) == (HOT_PIN, RETURN_PIN, "on")]
    assert found.load.heater_ohms is not None
    assert pins.low_ohms == pytest.approx(found.load.heater_ohms / 7.2)
    assert pins.high_ohms == pytest.approx(found.load.heater_ohms / 2.7)
    assert found.fuse is not None
    assert found.fuse.inrush_amps == pytest.approx(132 * 7.2 * 0.15 / (3 * 12.6 + 50 + 35), rel=1e-6)
    assert found.fuse.wants_slow is True


def test_fuse_and_heaters_come_up_from_cold_by_one_model() -> None:
    """Without a dropper the first current goes as the line. No time constant is left, and the times are a range.

    From memory: 8 to 20 s in the warm-up test, of which heaters alone take a share that does not depend on it.
    """
    tubes = "tubes:\n  V1: 12SA7\n  V2: 12SK7\n  V3: 12SQ7\n  V4: 50L6GT\n  V5: 35Z5GT\n"
    sides = f"heaters:\n  order: V5, V4, V2, V1, V3\nline side:\n  after:\n{AFTER.strip(chr(10))}\n"
    bench = makers.bench(f"{HEAD}line: 120 V 60 Hz\npower: series string\n{tubes}{sides}")
    fuse, on = makers.findings("line_side", bench).fuse, makers.findings("heaters", bench).switch_on
    assert fuse.inrush_amps == pytest.approx(on.peak_amps * 132 / 120)
    assert on.warm_seconds == pytest.approx(on.least_warm_seconds * 20 / 8, rel=0.15)
    assert fuse.inrush_extra_i2t == pytest.approx(fuse.inrush_least_extra_i2t * 20 / 8, rel=0.02)
    assert 0 < fuse.inrush_least_seconds_over_double < fuse.inrush_seconds_over_double < on.warm_seconds
    page = makers.page("line_side", bench)
    assert "time constant" not in page
    assert "8 s to 20 s (from memory)" in page


@pytest.mark.regression
def test_touch_check_of_the_steps_is_that_of_the_service_network() -> None:
    """1 megohm and 3.3 nF at 120 V 60 Hz into 1500 ohm and 0.15 uF: 0.286 V, as the measured table has it."""
    (step,) = [s for s in examined().steps if s.kind == "touch current"]
    by_key = {(t.plug, t.switch): t.volts for t in step.touches}
    assert by_key["reversed", "on"] == pytest.approx(0.2858, abs=2e-4)
    assert by_key["right", "on"] == 0


def test_lines_for_the_printed_sheet_carry_what_should_be_seen() -> None:
    lines = for_the_bench(examined(BEFORE).steps, AMERICAN, either_way=False)
    assert any("pin of the return lead to chassis, switch off: 800" in line for line in lines)
    assert any("plug reversed, switch on" in line for line in lines)


def test_what_is_left_on_the_pins_after_the_plug_is_pulled() -> None:
    """By hand: 120 V + 10 % have a crest of 187 V. 0.242 µF and 2.42 megohm, each at its upper end, are 0.586 s:
    187 exp(-1/0.586) = 33.9 V after a second, 60 V after 0.586 ln(187/60) = 0.666 s."""
    state = BEFORE.replace("    switch:", "    across the line: 0.22 uF X2 10 %, 2.2 meg 10 %\n    switch:", 1)
    found = examined(state, after="").pulled_plug
    assert found is not None
    assert found.crest_volts == pytest.approx(187, abs=0.5)
    assert found.after_1_s_volts == pytest.approx(33.9, abs=0.2)
    assert found.seconds_to_60_v == pytest.approx(0.666, abs=0.002)
    assert found.drained
    assert found.metered_volts < found.after_1_s_volts
    alone = examined(state.replace(", 2.2 meg 10 %", ""), after="")
    assert alone.pulled_plug is not None
    assert (alone.pulled_plug.after_2_s_volts, alone.pulled_plug.seconds_to_60_v) == (187.0, None)
    said = makers.plain(for_the_bench(alone.steps, AMERICAN, either_way=False)[-1])
    assert "that open, 0.242 µF keeps up to 187 V, " in said
    assert "so 4.13 MΩ or less across it" in said


def test_an_earth_wire_is_measured_where_it_goes_to_the_chassis_by_itself() -> None:
    earthed = (
        BEFORE.replace("two-pin, either way", "three-pin with earth").rstrip("\n") + "\n    earth lead: to chassis\n"
    )
    for state, there in ((earthed, True), (BEFORE, False)):
        kinds = {s.kind for s in examined(state, after="").steps}
        assert ("earth wire" in kinds) is there


def test_one_state_alone_is_traced_and_measured() -> None:
    kinds = {s.kind for s in examined(BEFORE, after="").steps}
    assert not kinds & {"remove", "add"}
    assert {"ohmmeter", "insulation", "touch current"} <= kinds


def test_way_of_the_current_in_the_worst_state_ends_in_the_earth() -> None:
    found = examined()
    assert found.path is not None
    said = path_words(found.path, AMERICAN)
    assert said.startswith("hot side of the line")
    assert "chassis → hand → body → ground" in said
    assert "mains" in path_words(found.path, BRITISH)


def test_way_of_the_current_is_drawn() -> None:
    figure = makers.figures("line_side", "", examined())["line-side-path"]
    assert "a person" in figure.svg
    assert "Worst state" in figure.description


@pytest.mark.parametrize(
    "part", ["chassis", "aerial socket through 470 pF Y1", "speaker socket through 10 nF", "shafts"]
)
@pytest.mark.parametrize("power", ["series string", "transformer"])
@pytest.mark.parametrize("switch", ["hot lead", "B- lead", "double-pole", "none"])
def test_every_worst_state_has_a_way_that_can_be_drawn(part: str, power: str, switch: str) -> None:
    lead = "return lead" if power == "transformer" else "B- lead"
    capacitors = "    line to chassis: 10 nF\n" if power == "transformer" else "    B- to chassis: 100 kohm, 20 nF\n"
    after = f"    plug: two-pin\n    switch: {switch.replace('B- lead', lead)}\n{capacitors}    touchable: {part}\n"
    found = examined(after=after, power=power)
    assert found.path is not None
    assert set(makers.figures("line_side", "", found)) == {"line-side-after", "line-side-after-lying", "line-side-path"}


def test_capacitor_before_a_socket_has_its_own_figures() -> None:
    """500 pF at 60 Hz: 5.31 megohm; the resistorless largest capacitor is over eight times as large."""
    found = examined(BEFORE)
    assert found.before is not None
    socket = found.before.sockets["aerial socket"]
    assert socket.reactance_ohms == pytest.approx(5.305e6, rel=1e-3)
    assert socket.largest_farads is not None
    assert socket.largest_farads > 8 * 500e-12 / 1.2


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("across the line: 0.1 uF 125 V AC X2", "rated 125 V"),
        ("across the line: 0.1 uF 250 V paper", "358 V peak"),
        ("B- to chassis: 1 meg, 2.2 nF Y4", "ends at 150 V"),
        ("B- to chassis: 1 meg, 2.2 nF X2", "class X2"),
    ],
)
def test_capacitor_below_what_its_place_needs_is_a_fault(written: str, expected: str) -> None:
    after = f"    plug: two-pin\n    switch: hot lead\n    {written}\n    touchable: chassis\n"
    found = examined(after=after, line="230 V 50 Hz")
    said = [c.text.replace("\u202f", " ") for c in found.checks if c.severity == FAULT]
    assert any(expected in text for text in said), said


def test_class_that_does_not_exist_is_refused_where_it_stands() -> None:
    text = f"{HEAD}line side:\n  after:\n    B- to chassis: 1 meg, 3.3 nF Y9\n"
    found = makers.refused(text)
    assert [(p.line, p.found) for p in found] == [(6, "“Y9”")]


@pytest.mark.parametrize("written", ["{value: 3.3 nF, class: Y9}", "{value: 3.3 nF, note: class Y9}"])
def test_class_that_does_not_exist_is_told_with_those_that_do(written: str) -> None:
    (said,) = wrong(f"    B- to chassis: {written}\n")
    assert "Y9" in said
    assert "Y1" in said
    assert said.startswith("record.yml:8:")


def test_class_of_a_resistor_is_told() -> None:
    assert any("for a capacitor only" in p for p in wrong("    B- to chassis: 1 meg Y1\n"))


@pytest.mark.parametrize("line", ["fuse: 0.5 A in B- lead", "switch: B- lead"])
def test_lead_that_a_transformer_set_has_not(line: str) -> None:
    (said,) = wrong(f"    plug: two-pin\n    {line}\n", power="transformer")
    assert "B- lead" in said


def test_third_pin_on_a_two_pin_plug() -> None:
    (said,) = wrong("    plug: two-pin polarised\n    earth lead: third pin to chassis\n")
    assert "three-pin with earth" in said


def test_cord_of_two_and_of_three_cores() -> None:
    assert wrong("    plug: two-pin\n    cord: two-core, three-core\n")


def test_line_side_that_is_written_well_has_no_problem() -> None:
    assert wrong(AFTER.strip("\n") + "\n    across the line: 47 nF X2\n    cord: two-core\n") == []


def test_set_on_the_bench_that_is_over_with_nothing_wrong_is_a_danger() -> None:
    found = examined(BEFORE, after="")
    assert any(s.severity == DANGER and "nothing wrong" in s.text for s in makers.standouts("line_side", "", found))


def test_finished_set_that_one_fault_makes_live_is_a_note() -> None:
    worst = [s for s in makers.standouts("line_side", "", examined()) if "makes it live" in s.text]
    assert [s.severity for s in worst] == [NOTE]


def test_all_of_it_is_plain_json() -> None:
    data = as_json(examined(BEFORE))
    assert {"steps", "one_change", "fuse", "verdicts", "reach"} <= set(data)
    assert data["steps"][0]["kind"] == "unplug"


def test_reading_behind_an_isolating_transformer_is_not_judged() -> None:
    """Nothing closes the circuit to earth there: 0 V says nothing of the set."""
    reading = "chassis, plug reversed, switch on, 0 V across 1500 ohm and 0.15 uF"
    for note, agrees in (("", False), (", note behind the isolating transformer", None)):
        side = f"line side:\n  after:{AFTER}  measured:\n    - {reading}{note}\n"
        text = f"{HEAD}line: 120 V 60 Hz\npower: series string\n{side}"
        record = makers.record(text)
        findings = makers.findings("line_side", record)
        assert findings is not None
        assert [m.agrees for m in findings.measured] == [agrees]


def test_a_fuse_is_told_in_times_of_the_running_current() -> None:
    """30 W on 120 V run at 0.25 A: 0.5 A is twice that."""
    fuse = examined().fuse
    assert fuse is not None
    assert fuse.fitted_amps == 0.5
    assert fuse.running_amps == pytest.approx(0.25)
    assert fuse.fitted_times_running == pytest.approx(2.0)


@pytest.mark.parametrize(("plug", "told"), [("two-pin polarised", True), ("two-pin, either way", False)])
def test_only_a_polarised_plug_has_a_narrow_blade(plug: str, told: bool) -> None:
    after = AFTER.replace("two-pin polarised", plug)
    assert any("of two flat blades the narrow one" in step.text for step in examined(BEFORE, after).steps) is told


def test_measurements_alone_make_no_steps() -> None:
    text = (
        "line: 120 V 60 Hz\nline side:\n  measured:\n    - 2026-03-20, insulation line to chassis, 120 meg at 500 V\n"
    )
    found = makers.found("line_side", text)
    assert found.steps == ()
    assert "bl-conclusion" in makers.page("line_side", text, found)


@pytest.mark.parametrize(
    ("fitted", "of_class", "farads"),
    [("now 1 nF Y1, fitted 2026-02-10", "Y1", 1e-9), ("now 1 nF Y1, ordered 2026-02-10", None, 1.02e-9)],
)
def test_a_wiring_without_an_after_stands_with_the_parts_that_are_in(
    fitted: str, of_class: str | None, farads: float
) -> None:
    text = (
        f"{HEAD}line: 220 V 50 Hz\npower: series string\nchassis: line-connected\n"
        f"parts:\n  C6: was 1000 pF mica, measured 1.02 nF, leaks 8 MOhm, {fitted}\n"
        "line side:\n  before:\n    plug: two-pin, either way\n    touchable: aerial socket via C6\n"
    )
    before = makers.found("line_side", text).before
    (part,) = [part for part in before.described.wiring.parts if part.name == "aerial socket"]
    ((component,),) = part.barrier
    assert (component.of_class, component.value) == (of_class, pytest.approx(farads))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("hot lead on the volume control", "on the volume control", []),
        ("on the volume control", "hot lead", []),
        ("hot lead", "hot lead on the tone control", []),
        ("hot lead on the volume control", "B- lead", ["Switch into the B- lead (it was in the hot lead)."]),
        ("double-pole", "on the volume control", []),
        ("none", "on the volume control", ["Switch on the volume control: which lead it breaks is not written."]),
    ],
)
def test_a_switch_that_may_be_the_same_is_neither_taken_out_nor_fitted(old: str, new: str, told: list[str]) -> None:
    """“Switch into the on the volume control (it was in the live lead on the volume control)” was said of one."""
    sides = (f"    plug: two-pin\n    switch: {said}\n    touchable: chassis\n" for said in (old, new))
    text = "line: 120 V 60 Hz\npower: series string\nline side:\n  before:\n{}  after:\n{}".format(*sides)
    found = makers.found("line_side", text)
    assert [s.text for s in found.steps if s.text.startswith("Switch") and "clear of the shaft" not in s.text] == told
    drawn = diagrams(found.before.described, found.after.described, AMERICAN)["after"]
    states = {s.state for s in (drawn.hot_switch, drawn.return_switch) if s is not None}
    assert ("added" in states) is bool(told)
    assert any(
        "switch" in sentence.text.casefold() for sentence in makers.digest("line_side", text).brief.done
    ) is bool(told)


@pytest.mark.parametrize(("name", "before"), [("2024-09-28 as found", True), ("2024-09-28 first run", False)])
def test_where_no_part_has_a_day_a_list_as_found_tells_what_is_older_than_the_work(name: str, before: bool) -> None:
    """A current of the day of the list as found was held against the wiring after the work, and “disagreed”."""
    text = (
        "line: 120 V 60 Hz\npower: transformer\nchassis: isolated\ntubes:\n  V1: 6X4, rectifier\n"
        "parts:\n  C3: 5 nF 250 V, line to chassis, measured 7 nF, now 2.2 nF Y2\n"
        f"readings:\n  {name}:\n    B+1: 228 V\n"
        "line side:\n  before:\n    switch: both leads\n    line to chassis: C3\n    touchable: chassis\n"
        "  after:\n    switch: both leads\n    line to chassis: C3\n    touchable: chassis\n"
        "  measured:\n    - 2024-09-28, chassis, plug reversed, switch on, 0.31 mA\n"
        "    - 2024-10-12, chassis, plug reversed, switch on, 0.10 mA\n"
    )
    first, second = makers.findings("line_side", text).measured
    assert (first.agrees, second.agrees) == (before, True)
