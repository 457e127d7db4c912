"""The line side of a transformerless set: what a hand meets in each state."""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import pytest

import makers
from line_sides import FIVE_TUBE, at, body_ohms, found, one_state

WORKED = Path(__file__).parent.parent / "facts" / "worked_examples.csv"


def worked_examples() -> list[tuple[float, float, float, dict[str, float]]]:
    with WORKED.open(encoding="utf-8", newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["topic"] == "touch current through a line-chassis capacitor"]
    cases = []
    for row in rows:
        volts, hertz, nano = map(float, re.findall(r"([\d.]+) (?:V|Hz|nF)", row["given"]))
        expected = {"mA": float(re.search(r"([\d.]+) mA", row["expected"])[1])}  # type: ignore[index]
        expected |= {k: float(v) for k, v in re.findall(r"(U[12]) ([\d.]+) V", row["expected"])}
        cases.append((volts, hertz, nano, expected))
    return cases


@pytest.mark.regression
@pytest.mark.parametrize(("volts", "hertz", "nano", "expected"), worked_examples())
def test_published_capacitor_from_line_to_chassis_through_the_whole_chapter(
    volts: float, hertz: float, nano: float, expected: dict[str, float]
) -> None:
    """worked_examples.csv: ngspice 39 batch runs with the network values of IEC 60990 Fig. 4."""
    findings = one_state(
        f"plug: two-pin\nswitch: double-pole\nline to chassis: {nano:g} nF hot lead\ntouchable: chassis",
        line=f"{volts:g} V {hertz:g} Hz",
        power="transformer",
        chassis="isolated",
    )
    state = at(findings.after, "right", "on")
    assert state.no_load_volts == pytest.approx(volts)
    assert state.body_amps == pytest.approx(expected["mA"] * 1e-3, abs=6e-8)
    assert state.u2_volts == pytest.approx(expected["U2"], abs=6e-5)
    assert state.touch_amps_rms == pytest.approx(expected["U2"] / 500, abs=2e-7)
    if "U1" in expected:
        assert state.u1_volts == pytest.approx(expected["U1"], abs=6e-5)


def test_there_are_four_worked_examples() -> None:
    assert len(worked_examples()) == 4


@pytest.mark.handbook
def test_default_limit_is_seven_tenths_of_a_milliampere_peak() -> None:
    """IEC 60065 Annex D, as a service manual reproduces it (worked_examples.csv): 0.35 V peak across 500 ohm."""
    findings = found(FIVE_TUBE)
    assert findings.limit_amps == pytest.approx(0.35 / 500)
    assert findings.limit_kind == "peak"
    assert "IEC 60065" in findings.limit_source
    assert findings.limit_confidence == "high"


def test_megohm_and_three_nanofarads_reversed_pass_a_fifth_of_a_milliampere() -> None:
    """Closed form of 120 V 60 Hz through 1 Mohm beside 3.3 nF into the body network."""
    state = at(found(FIVE_TUBE).after, "reversed", "on")
    barrier = 1 / (1e-6 + 2j * math.pi * 60 * 3.3e-9)
    body, u2 = body_ohms(60)
    amps = abs(120 / (barrier + body))
    assert state.no_load_volts == pytest.approx(120)
    assert state.body_amps == pytest.approx(amps, rel=1e-4)
    assert state.touch_amps_rms == pytest.approx(amps * u2 / 500, rel=1e-4)
    assert state.touch_amps_peak == pytest.approx(amps * u2 / 500 * math.sqrt(2), rel=1e-4)
    assert state.prospective_amps == pytest.approx(abs(120 / barrier), rel=1e-9)
    assert state.over_limit is False


def test_old_network_is_over_the_limit_in_two_of_four_normal_positions() -> None:
    """330 kohm and 0.05 uF with the switch in the B- lead: live when off one way round, when on the other."""
    before = found(FIVE_TUBE).before
    assert before is not None
    over = [(s.plug, s.switch) for s in before.normal if s.part == "chassis" and s.over_limit]
    assert over == [("right", "off"), ("reversed", "on")]
    assert at(before, "right", "off").touch_amps_rms == pytest.approx(2.259e-3, rel=1e-3)


def test_switch_in_the_b_minus_lead_lifts_the_chassis_through_cold_heaters() -> None:
    """Off, the whole line stands at B- through the load: 480 ohm (30 W at 120 V) hot, a 7.2th of it cold."""
    findings = found(FIVE_TUBE)
    assert findings.load_ohms == pytest.approx(120**2 / 30)
    assert findings.load.idle_ohms == pytest.approx(480 / 7.2)
    shorted = at(findings.before, "right", "off", "B- to chassis capacitor shorted")
    body, u2 = body_ohms(60)
    assert shorted.touch_amps_rms == pytest.approx(abs(120 / (480 / 7.2 + body)) * u2 / 500, rel=1e-6)


def test_load_is_the_running_heater_string_where_the_heaters_are_written() -> None:
    """Ohm's law on the string's own computed current; the nameplate's 30 W (480 ohm) is more than the string alone."""
    tubes = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}
    rows = "".join(f"  {position}: {tube}\n" for position, tube in tubes.items())
    text = f"{FIVE_TUBE}tubes:\n{rows}heaters:\n  order: V5, V4, V2, V1, V3\n"
    record = makers.record(text)
    bench = makers.bench(record)
    string = makers.found("heaters", bench)
    assert string.nominal is not None
    amps = string.nominal.current_amps
    assert amps is not None
    findings = makers.found("line_side", bench)
    assert findings.load_source == "heaters"
    assert findings.load.idle_ohms == pytest.approx(120 / amps / 7.2)
    assert findings.load_ohms == pytest.approx(480)


def test_aerial_behind_five_hundred_picofarads() -> None:
    state = at(found(FIVE_TUBE).after, "reversed", "on", part="aerial socket")
    barrier = 1 / (1e-6 + 2j * math.pi * 60 * 3.3e-9) + 1 / (2j * math.pi * 60 * 500e-12)
    body, _ = body_ohms(60)
    assert state.body_amps == pytest.approx(abs(120 / (barrier + body)), rel=1e-4)


def test_faults_of_a_chassis_behind_a_resistor_and_a_capacitor() -> None:
    after = found(FIVE_TUBE).after
    assert after is not None
    assert list(dict.fromkeys(s.fault for s in after.states)) == [
        "none",
        "B- to chassis capacitor shorted",
        "B- touching chassis",
        "hot lead chafed to chassis",
        "return lead chafed to chassis",
        "neutral broken",
        "aerial capacitor shorted",
        "earthed aerial connected",
        "earthed instrument on the chassis",
    ]
    assert len(after.states) == 9 * 2 * 2 * 2


def test_shorted_capacitor_puts_the_whole_line_on_the_chassis() -> None:
    """A body straight across 120 V 60 Hz, in closed form."""
    body, u2 = body_ohms(60)
    state = at(found(FIVE_TUBE).after, "reversed", "off", "B- to chassis capacitor shorted")
    assert state.touch_amps_rms == pytest.approx(120 / abs(body) * u2 / 500, rel=1e-9)
    assert state.over_limit is True
    assert (state.residual_current_device_5_ma, state.residual_current_device_30_ma) == ("trips", "trips")
    assert state.short_circuit_if_earthed is True
    assert state.prospective_amps is None


def test_shown_are_four_normal_rows_and_each_fault_at_its_worst() -> None:
    findings = found(FIVE_TUBE)
    assert [(*r.plugs, *r.switches) for r in findings.rows[:4]] == [
        ("right", "on"),
        ("right", "off"),
        ("reversed", "on"),
        ("reversed", "off"),
    ]
    assert len(findings.rows) <= 12
    faults = {fault: row for row in findings.rows[4:] for fault in row.faults}
    broken = faults["neutral broken"].before
    assert broken is not None
    assert (broken.plug, broken.switch) == ("right", "on")
    aerial = faults["aerial capacitor shorted"].after
    assert aerial is not None
    assert aerial.part == "aerial socket"
    assert findings.no_worse == ("earthed aerial connected", "earthed instrument on the chassis")


def test_meter_note_says_what_ten_megohms_show_behind_one_megohm() -> None:
    """The divider of the network's 1 Mohm beside 3.3 nF and a meter of 10 Mohm, in closed form."""
    after = found(FIVE_TUBE).after
    assert after is not None
    barrier = 1 / (1e-6 + 2j * math.pi * 60 * 3.3e-9)
    assert after.meter_volts == pytest.approx(abs(120 * 10e6 / (10e6 + barrier)), rel=1e-9)


@pytest.mark.handbook
@pytest.mark.parametrize(("volts", "told"), [("24.6", False), ("24.7", True), ("24.8", True)])
def test_the_meter_note_begins_at_35_volts_peak(volts: str, told: bool) -> None:
    """IEC 60065, 9.1.1: up to 35 V peak no current is asked for; a chassis on a line of 24.7 V has that."""
    after = one_state("plug: two-pin\nswitch: hot lead\ntouchable: chassis", line=f"{volts} V 60 Hz").after
    assert after is not None
    assert (after.meter_volts is not None) is told


def test_only_what_an_aerial_or_pick_up_goes_into_may_come_in_earthed() -> None:
    """A speaker's socket behind a capacitor leads to no earth outside the set."""
    rows = "plug: two-pin\nswitch: hot lead\nB- to chassis: 1 meg, 3.3 nF\ntouchable: chassis, {} through 470 pF Y1"
    faults = {
        part: {s.fault for s in found_after.states if s.fault.startswith("earthed")}
        for part in ("aerial socket", "pick-up socket", "speaker socket")
        if (found_after := one_state(rows.format(part), chassis="through R and C").after)
    }
    always = {"earthed instrument on the chassis"}
    assert faults == {
        "aerial socket": {"earthed aerial connected", *always},
        "pick-up socket": {"earthed record player connected", *always},
        "speaker socket": always,
    }
