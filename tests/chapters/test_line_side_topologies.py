"""Topologies a record can describe, standards, and what one more change would gain."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.line_side.findings import LineSideFindings
from benchleaf.electrics.limits import LIMITS
from benchleaf.report.findings import FAULT
from worked_line_sides import AFTER, BEFORE, examined


def states_of(found: LineSideFindings, fault: str) -> list[float]:
    assert found.now is not None
    return [s.touch_amps_rms or 0.0 for s in found.now.states if s.fault == fault]


@pytest.mark.parametrize(
    ("written", "lead", "control"),
    [
        ("double-pole on the volume control", "double-pole", "volume control"),
        ("hot lead, on the volume control", "hot lead", "volume control"),
        ("return lead", "B- lead", ""),
        ("hot lead on the tone control", "hot lead", "tone control"),
        ("on the volume control", None, "volume control"),
    ],
)
def test_switch_on_the_volume_control(written: str, lead: str | None, control: str) -> None:
    found = examined(after=f"    plug: two-pin\n    switch: {written}\n    touchable: chassis\n")
    assert found.after is not None
    assert found.after.described.switch == lead
    assert found.after.described.control == control
    assert any(f"Switch on the {control}" in s.text for s in found.steps) is bool(control)


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
