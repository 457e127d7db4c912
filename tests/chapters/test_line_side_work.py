"""The work on the line side: one more change, fuse, steps, standards, the way of the current, wrong records."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.line_side.findings import LineSideFindings
from benchleaf.chapters.line_side.ohmmeter import HOT_PIN, RETURN_PIN
from benchleaf.chapters.line_side.path import path_words
from benchleaf.chapters.line_side.steps import for_the_bench, say_resistance
from benchleaf.circuit.rules.line_side import look_over
from benchleaf.electrics.limits import LIMITS
from benchleaf.report.findings import DANGER, FAULT, NOTE, as_json
from benchleaf.words import AMERICAN, BRITISH

HEAD = "maker: Larkfield\nmodel: Minuet 5\nnameplate: 105-125 V, AC/DC, 30 W\n"
BEFORE = """
    plug: two-pin, either way
    switch: B- lead
    fuse: none
    B- to chassis: 330 kohm, 0.05 uF paper
    touchable: chassis, shafts, aerial socket through 500 pF
"""
AFTER = """
    plug: two-pin polarised
    switch: hot lead
    fuse: 0.5 A slow in hot lead
    B- to chassis: 1 meg 0.5 W 500 V, 3.3 nF Y1
    touchable: chassis, aerial socket through 470 pF Y1
"""


def examined(
    before: str = "", after: str = AFTER, line: str = "120 V 60 Hz", power: str = "series string", more: str = "",
    bench: Bench | None = None,
) -> LineSideFindings:  # fmt: skip
    sides = "".join(
        f"  {when}:\n{text.strip(chr(10))}\n" for when, text in (("before", before), ("after", after)) if text
    )
    text = f"{HEAD}line: {line}\npower: {power}\n{more}line side:\n{sides}"
    record = makers.record(text)
    return makers.found("line_side", bench or record)


def wrong(after: str, power: str = "series string") -> list[str]:
    text = f"{HEAD}line: 230 V 50 Hz\npower: {power}\nline side:\n  after:\n{after}"
    return makers.told(look_over, makers.record(text))


def states_of(found: LineSideFindings, fault: str) -> list[float]:
    assert found.now is not None
    return [s.touch_amps_rms or 0.0 for s in found.now.states if s.fault == fault]


# Topologies a record can describe --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "lead", "on_the_control"),
    [
        ("double-pole on the volume control", "double-pole", True),
        ("hot lead, on the volume control", "hot lead", True),
        ("return lead", "B- lead", False),
        ("on the volume control", None, True),
    ],
)
def test_switch_on_the_volume_control(written: str, lead: str | None, on_the_control: bool) -> None:
    found = examined(after=f"    plug: two-pin\n    switch: {written}\n    touchable: chassis\n")
    assert found.after is not None
    assert found.after.described.switch == lead
    assert found.after.described.on_the_control is on_the_control
    assert any("volume control" in s.text for s in found.steps) is on_the_control


@pytest.mark.parametrize("part", ["shaft", "grub screw", "metal back", "extension speaker socket", "pick-up socket"])
def test_parts_a_hand_can_reach(part: str) -> None:
    found = examined(after=f"    plug: two-pin\n    switch: hot lead\n    touchable: {part}\n")
    assert found.after is not None
    assert len([p for p in found.after.described.wiring.parts if p.listed]) == 1
    assert not found.after.described.remarks


@pytest.mark.regression
def test_earth_through_a_capacitor_leaves_the_volts_of_a_divider() -> None:
    """By hand: 10 nF from the hot lead, 10 nF to earth: half the line."""
    after = (
        "    plug: two-pin\n    switch: hot lead\n    line to chassis: 10 nF Y2 hot lead\n"
        "    earth lead: through 10 nF Y1\n    touchable: chassis\n"
    )
    found = examined(after=after, power="transformer", more="chassis: isolated\n")
    assert found.after is not None
    (state,) = [s for s in found.after.normal if (s.plug, s.switch) == ("right", "on")]
    assert state.no_load_volts == pytest.approx(60.0)


def test_output_transformer_breakdown_puts_the_speaker_at_b_minus() -> None:
    after = AFTER.replace("touchable: chassis", "touchable: chassis, speaker socket through 10 nF Y1")
    found = examined(after=after)
    assert max(states_of(found, "output transformer primary to secondary")) > 0.05


def test_output_transformer_breakdown_on_direct_mains_stands_at_the_hot_side() -> None:
    after = AFTER.replace("touchable: chassis", "touchable: chassis, speaker socket through 10 nF Y1")
    found = examined(after=after, line="110 V DC")
    assert max(states_of(found, "output transformer primary to secondary")) == pytest.approx(110 / 2000)


def test_earthed_record_player_is_computed_where_a_pick_up_socket_is() -> None:
    after = AFTER.replace("touchable: chassis", "touchable: chassis, pick-up socket through 10 nF Y1")
    assert states_of(examined(after=after), "earthed record player connected")


@pytest.mark.parametrize("line", ["110 V 60 Hz", "127 V 60 Hz", "220 V 50 Hz", "240 V 50 Hz", "110 V DC", "220 V DC"])
@pytest.mark.parametrize("power", ["series string", "transformer", "autotransformer"])
def test_every_line_and_supply_is_examined_drawn_and_stepped(line: str, power: str) -> None:
    found = examined(BEFORE.replace("B- lead", "hot lead"), AFTER, line=line, power=power)
    assert found.now is not None
    assert found.steps
    assert makers.figures("line_side", "", found)


def test_fusible_resistor_takes_its_watts() -> None:
    """By hand: 30 W at 120 V is 0.25 A; 22 ohm drops 5.5 V and takes 1.375 W."""
    after = AFTER.replace("0.5 A slow in hot lead", "22 ohm 1 W fusible resistor in hot lead")
    found = examined(after=after)
    assert found.fuse is not None
    assert found.fuse.dropped_volts == pytest.approx(5.5)
    assert found.fuse.resistor_watts == pytest.approx(1.375)
    assert any("fusible resistor takes" in c.text for c in found.checks if c.severity == FAULT)


def test_resistance_cord_is_never_shortened() -> None:
    found = examined(after=AFTER + "    cord: resistance cord, three wires\n")
    assert any("never shortened" in s.text for s in found.steps)


# Standards -------------------------------------------------------------------------------------------------------


def test_same_figures_under_every_standard_with_the_chosen_one_marked() -> None:
    found = examined(BEFORE)
    assert [v.name for v in found.verdicts] == list(LIMITS)
    assert [v.name for v in found.verdicts if v.chosen] == ["IEC 60065"]
    assert {v.before for v in found.verdicts} == {"over"}
    assert all(v.confidence in ("high", "medium", "low") for v in found.verdicts)


def test_verdict_changes_with_the_standard() -> None:
    """0.269 mA peak is 0.190 mA RMS; with 4.7 nF at 127 V it is over 0.25 mA and under 0.5 mA."""
    found = examined(after=AFTER.replace("3.3 nF", "4.7 nF"), line="127 V 60 Hz")
    by_name = {v.name: v.after for v in found.verdicts}
    assert by_name["IEC 60065"] == "under"
    assert by_name["IEC 60335-1 class II"] == "over"


def test_standard_without_a_figure_for_direct_current_says_so() -> None:
    found = examined(line="110 V DC")
    assert {v.name: v.after for v in found.verdicts}["UL 1711"] == "no limit given"
    assert {v.name: v.limit_amps for v in found.verdicts}["IEC 60065"] == pytest.approx(2e-3)


# One more change -------------------------------------------------------------------------------------------------


def test_what_one_more_change_gains_is_computed_by_trying_it() -> None:
    found = examined()
    assert found.reach is not None
    changes = {c.what: c for c in found.one_change}
    double_pole = changes["A double-pole switch"]
    assert found.reach.normal_off.amps == pytest.approx(found.reach.normal.amps)
    assert double_pole.reach.normal_off.amps == 0
    assert "switched off" in double_pole.gain
    covered = next(c for what, c in changes.items() if what.startswith("Covered"))
    assert covered.reach.fault.over_limit is False
    assert "then under the limit" in covered.gain


@pytest.mark.regression
def test_change_equals_the_same_set_written_so() -> None:
    """A smaller capacitor tried equals a record with that capacitor."""
    tried = next(c for c in examined().one_change if c.what.startswith("A capacitor of 1.5"))
    written = examined(after=AFTER.replace("3.3 nF", "1.5 nF")).reach
    assert written is not None
    assert tried.reach.normal.amps == pytest.approx(written.normal.amps)
    assert tried.reach.fault.amps == pytest.approx(written.fault.amps)


def test_larger_resistor_and_small_capacitor_are_offered_first_and_as_a_pair() -> None:
    """330 kohm beside 0.05 µF: neither change alone holds in the worst case, and the pair was not tried."""
    found = examined(after=BEFORE)
    pair, *single = found.one_change
    resistor = next(c for c in single if c.what.startswith("A resistor of 1\u202fMΩ"))
    capacitor = next(c for c in single if c.what.startswith("A capacitor of 3.3\u202fnF Y1"))
    assert pair.what == f"{resistor.what} and a{capacitor.what[1:]}"
    assert (resistor.reach.normal.over_limit, capacitor.reach.normal.worst_case_over_limit) == (True, True)
    gain = capacitor.gain.replace("\u202f", " ")
    assert gain.startswith("nothing wrong: 3.2 mA → 0.55 mA, then under the limit as written only")
    assert (pair.reach.normal.over_limit, pair.reach.normal.worst_case_over_limit) == (False, False)
    written = examined(after=BEFORE.replace("330 kohm", "1 meg").replace("0.05 uF paper", "3.3 nF Y1")).reach
    assert pair.reach.normal.amps == pytest.approx(written.normal.amps)


def test_reach_equals_the_worst_of_all_states() -> None:
    found = examined(BEFORE)
    assert found.after is not None
    assert found.reach is not None
    listed = [s for s in found.after.states if s.listed]
    worst = max(s.touch_amps_peak or 0.0 for s in listed if s.fault != "none" and not s.short_circuit)
    assert found.reach.fault.amps == pytest.approx(worst)
    normal = max(s.touch_amps_peak or 0.0 for s in listed if s.fault == "none")
    assert found.reach.normal.amps == pytest.approx(normal)


def test_two_capacitors_in_series_take_the_danger_out_of_a_shorted_one() -> None:
    change = next(c for c in examined().one_change if c.what.startswith("Two of"))
    assert "no longer over the limit: capacitor from B- to chassis shorted" in change.gain


@pytest.mark.parametrize(
    ("power", "offered"), [("series string", False), ("autotransformer", False), ("transformer", True)]
)
def test_earth_wire_is_a_change_only_behind_a_double_wound_transformer(power: str, offered: bool) -> None:
    after = AFTER if power != "transformer" else AFTER.replace("B- to chassis: 1 meg 0.5 W 500 V, 3.3 nF Y1", "note: x")
    found = examined(after=after, power=power)
    assert any("three-pin" in c.what for c in found.one_change) is offered


# Fuse ------------------------------------------------------------------------------------------------------------


def test_fuse_from_the_nameplate_by_either_rule() -> None:
    """30 W at 120 V is 0.25 A: 0.375 A by UL 248-14 (75 %), 0.25 A by IEC 60127."""
    found = examined().fuse
    assert found is not None
    assert found.running_source == "nameplate"
    assert {r.rule: r.least_rating_amps for r in found.by_rule} == {"UL": 0.375, "IEC": 0.25}


def test_measured_current_outranks_the_nameplate() -> None:
    found = examined(more="power-up:\n  - date: 2026-03-04\n    steps:\n      - line 117 V, 0.31 A\n").fuse
    assert found is not None
    assert (found.running_source, found.running_amps) == ("measured", 0.31)


def test_fuse_below_what_the_set_draws_is_a_fault() -> None:
    found = examined(after=AFTER.replace("0.5 A slow", "0.2 A slow"))
    assert any(c.severity == FAULT and "too small" in c.text for c in found.checks)


@pytest.mark.parametrize(
    ("line", "written", "word"),
    [
        ("120 V 60 Hz", "0.3 A slow", "watch"),
        ("120 V 60 Hz", "0.3 A slow UL", "fault"),
        ("120 V 60 Hz", "0.3 A slow IEC", ""),
        ("120 V 50 Hz", "0.3 A slow", ""),
    ],
)
def test_fuse_is_judged_by_its_own_rule_or_else_by_that_of_the_mains(line: str, written: str, word: str) -> None:
    """0.25 A: 0.3 A is enough by IEC 60127, and too small by the 75 % of UL 248-14."""
    checks = [
        c for c in examined(after=AFTER.replace("0.5 A slow", written), line=line).checks if "too small" in c.text
    ]
    assert [c.verdict.word for c in checks] == [word] * bool(word)
    assert all("by UL 248-14" in c.text for c in checks)
    assert all(("write its “rule”" in c.text) is (word == "watch") for c in checks)


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("120 V 60 Hz", "UL"),
        ("120 V 50 Hz", "IEC"),
        ("230 V 50 Hz", "IEC"),
        ("220 V 60 Hz", "IEC"),
        ("110 V DC", "UL"),
        ("220 V DC", "IEC"),
        ("200 V 60 Hz", "UL"),
    ],
)
def test_rule_of_the_fuse_is_that_of_the_mains(line: str, rule: str) -> None:
    fuse = examined(after=AFTER.replace("0.5 A slow in hot lead", "none"), line=line)
    assert (fuse.fuse.rule, fuse.fuse.by_rule[0].rule) == (rule, rule)
    (check,) = [c for c in fuse.checks if c.text.startswith("No fuse")]
    assert ("UL 248-14" in check.text, "IEC 60127" in check.text) == (rule == "UL", rule == "IEC")


EITHER = AFTER.replace("two-pin polarised", "two-pin, either way")


@pytest.mark.parametrize("switch", ["hot lead", "double-pole"])
@pytest.mark.parametrize("lead", ["hot lead", "return lead", "both leads"])
def test_plug_that_goes_either_way_has_no_hot_lead_alone(switch: str, lead: str) -> None:
    """“It belongs in the hot lead alone” was said of a lead that is the hot one half of the time."""
    after = EITHER.replace("switch: hot lead", f"switch: {switch}").replace("in hot lead", f"in {lead}")
    found = examined(BEFORE, after)
    text = makers.page("line_side", f"{HEAD}line: 120 V 60 Hz\npower: series string\nline side:\n  after:{after}")
    said = " ".join([*(s.text for s in found.steps), *(c.text for c in found.checks), found.fuse_place, text])
    assert "hot lead alone" not in said
    assert "belongs in the hot lead" not in said
    assert not any(c.what.startswith("The fuse") for c in found.one_change)
    assert "neither lead is always the hot one" in found.fuse_place
    assert ("double-pole switch parts both leads" in found.fuse_place) is (switch == "double-pole")
    assert [c.verdict for c in found.checks if "fuse" in c.text.casefold()] == []


@pytest.mark.parametrize("lead", ["hot lead", "return lead", "both leads", ""])
@pytest.mark.parametrize("plug", ["two-pin polarised", "two-pin, either way", "three-pin with earth"])
def test_steps_of_one_list_say_one_place_of_the_fuse(plug: str, lead: str) -> None:
    """“Fuse into both leads” stood a few lines above “it belongs in the hot lead alone”."""
    after = AFTER.replace("two-pin polarised", plug).replace(" in hot lead", f" in {lead}" if lead else "")
    steps = [s for s in examined(BEFORE, after).steps if s.text.startswith("Fuse")]
    (step,) = steps
    assert step.kind == "add"
    into = "either lead" if plug.endswith("either way") and not lead else lead or "hot lead"
    told = into if plug.endswith("either way") else "hot lead"
    assert step.text.split(" into ")[1].removeprefix("the ").startswith(told)
    if plug.endswith("polarised") and lead == "return lead":
        alone = [s for s in examined(after=after).steps if s.text.startswith("Fuse")]
        assert [(s.kind, "here it is in the return lead" in s.text) for s in alone] == [("check", True)]


def test_thirty_two_volt_fuse_on_the_line_is_a_fault() -> None:
    found = examined(after=AFTER.replace("0.5 A slow", "0.5 A slow 32 V"))
    assert any("32\u202fV" in c.text for c in found.checks if c.severity == FAULT)


def test_no_fuse_says_which_would_do() -> None:
    found = examined(after=AFTER.replace("0.5 A slow in hot lead", "none"))
    (check,) = [c for c in found.checks if c.text.startswith("No fuse")]
    assert "in the hot lead, before the switch, of 375\u202fmA by UL 248-14 at least" in check.text
    assert check.verdict.word == "watch"


# Steps -----------------------------------------------------------------------------------------------------------


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
        ("plug: two-pin", "plug: two-pin polarised", "New line cord and plug: two-pin polarised."),
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
    lines = for_the_bench(examined(BEFORE).steps, AMERICAN)
    assert any("pin of the return lead to chassis, switch off: 800" in line for line in lines)
    assert any("plug reversed, switch on" in line for line in lines)


def test_one_state_alone_is_traced_and_measured() -> None:
    kinds = {s.kind for s in examined(BEFORE, after="").steps}
    assert not kinds & {"remove", "add"}
    assert {"ohmmeter", "insulation", "touch current"} <= kinds


# The current's way -----------------------------------------------------------------------------------------------


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


# What stands between ---------------------------------------------------------------------------------------------


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


# What is written wrongly -----------------------------------------------------------------------------------------


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


# How much it matters ---------------------------------------------------------------------------------------------


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
    assert any("narrow blade" in step.text for step in examined(BEFORE, after).steps) is told


def test_measurements_alone_make_no_steps() -> None:
    text = (
        "line: 120 V 60 Hz\nline side:\n  measured:\n    - 2026-03-20, insulation line to chassis, 120 meg at 500 V\n"
    )
    found = makers.found("line_side", text)
    assert found.steps == ()
    assert "bl-conclusion" in makers.page("line_side", text, found)
