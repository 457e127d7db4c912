"""A set for AM and FM behind a bridge rectifier: what its switch, its oscillators and its winding make of its volts."""

from __future__ import annotations

import math

import pytest

from benchleaf.circuit.circuit import Circuit
from benchleaf.circuit.closed.closed_network import Closed
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.closed.switched import switched_off, switched_otherwise
from benchleaf.circuit.rectifier_feed import RectifierAc, rectifier_ac, rectifier_paths, series_ohms
from benchleaf.electrics.dc_network import solve
from makers import circuit, findings, found, known, record, said

SET = """\
line: 230 V 50 Hz
power: transformer
tubes:
  V1: ECC85, FM front end
  V2: ECH81, AM frequency changer
  V5: EL84, output
  V6: EM80, magic eye
heaters:
  windings:
    LT: 6,3 V 3 A, feeds all
    HT: 240 V 90 mA, feeds D1, off load
parts:
  D1: was selenium bridge B250 C85, now silicon bridge 1 A 800 V, fitted 2026-09-19
  R50: was none, now 82 ohm 5 W, surge, fitted 2026-09-19
  C50: 50 uF 350/385 V electrolytic, HT1 to chassis, positive HT1
  C51: 50 uF 350/385 V electrolytic, HT2 to chassis, positive HT2
  R51: 1 kohm 3 W, HT1 to HT2
  C52: 4,7 nF 500 V, HT2 to chassis
  S1a: switch, HT2 to HT FM
  S1b: switch, HT2 to HT AM
  R1: 180 ohm, V1 cathode 1 to chassis
  R2: 2,2 kohm, V1 anode 1 to HT FM
  R3: 1 meg, V1 grid 2 to chassis
  R4: 10 kohm, HT FM to V1 anode 2
  R5: 180 ohm, V2 cathode to chassis
  R6: 22 kohm, V2 screen to HT2
  R7: 1 kohm, V2 anode to HT2
  R12: 33 kohm, V2 oscillator anode to HT AM
  R42: 170 ohm, V5 cathode to chassis
  T2: output transformer 7 kohm to 5 ohm, 410 ohm, V5 anode to HT1
  R60: 470 kohm, V6 anode to HT2
wires:
  - HT2, V5 screen
readings:
  sheet:
    line: 230 V
    V2: anode 215, screen 110
    HT FM: 220
    HT AM: 0
  2026-09-12 as found:
    line: 230 V
    V1: grid 2 -2,3
    V6: anode 41
    HT1: 262
    HT2: 223
    HT FM: 223
    HT AM: 0
  2026-10-17 on MW:
    line: 230 V
    V2: oscillator anode 106, screen 94
    V5: cathode 7,1
    HT1: 270
    HT2: 232
    HT FM: 0
    HT AM: 232
"""
FM, MW = "2026-09-12 as found", "2026-10-17 on MW"


def _closed(run: str, text: str = SET) -> tuple[Circuit, Closed]:
    of = circuit(record(text))
    return of, close(of, run)


def _currents(run: str, text: str = SET) -> dict[str, float]:
    """Plate and screen current of each stage, in mA."""
    _, closed = _closed(run, text)
    assert closed.net is not None
    solved = solve(closed.net)
    assert solved.converged[0]
    amps = solved.plate_amps[0] + solved.screen_amps[0]
    return {tube.name: 1e3 * float(amps[n]) for n, tube in enumerate(closed.net.tubes)}


@pytest.mark.parametrize(
    ("line", "bridge", "drop"),
    [
        ("was selenium bridge B250 C85, now silicon bridge", True, 2.0),
        ("rectifier, now four 1N4007 in a bridge", True, 2.0),
        ("selenium B250C85", True, 10.0),
        ("Selengleichrichter B250 C75", True, 10.0),
        ("bridge rectifier, selenium", True, 10.0),
        ("rectifier, silicon", False, 1.0),
    ],
)
def test_a_bridge_is_known_by_its_name_or_its_code_and_drops_twice(line: str, bridge: bool, drop: float) -> None:
    dry = circuit(record(f"power: transformer\nparts:\n  D1: {line}\n")).dry_rectifier
    assert dry is not None
    assert (dry.part, dry.bridge, dry.drop_volts) == ("D1", bridge, drop)


def test_a_selenium_stack_that_is_no_rectifier_by_any_word_is_none() -> None:
    assert circuit(record("power: transformer\nparts:\n  D1: selenium\n")).dry_rectifier is None


def test_a_bridge_charges_on_every_half_wave_and_the_resistor_before_it_counts_from_the_day_it_was_fitted() -> None:
    of, now = _closed(MW)
    _, then = _closed(FM)
    assert now.net is not None
    assert then.net is not None
    silicon, selenium = now.net.rectifiers[0].charging, then.net.rectifiers[0].charging
    assert silicon.peak_volts == pytest.approx(240 * math.sqrt(2))
    assert (silicon.paths, silicon.drop_volts, silicon.ohms) == (2, 2.0, 232.0)
    assert (selenium.paths, selenium.drop_volts, selenium.ohms) == (2, 10.0, 150.0)
    assert rectifier_paths(of, of.dry_rectifier) == 2
    assert series_ohms(of, "now") == 82.0


def test_the_winding_that_feeds_the_bridge_gives_its_volts_and_is_no_heater_winding() -> None:
    supply = findings("supply", SET)
    assert (supply.kind, supply.rectifier, supply.lacks) == ("full-wave", "D1", ())
    assert supply.rests_on == "240\u202fV AC of the winding, as rated, off load"
    windings = {one.name: one for one in findings("heaters", SET).windings}
    assert windings["HT"].plates == ("D1",)
    assert "V6" in {tube.tube for tube in windings["LT"].tubes}


def test_a_winding_with_a_tap_is_fed_to_the_rectifier_by_its_word() -> None:
    text = "line: 230 V 50 Hz\npower: transformer\ntubes:\n  V5: EL84\n  V7: EZ80\n"
    of = circuit(record(f"{text}heaters:\n  windings:\n    HT: 2x250 V 90 mA, feeds the rectifier\n"))
    assert rectifier_ac(of) == RectifierAc(250.0, 230.0, "rated", halves=True, loaded=True, rated_amps=0.09)
    assert rectifier_paths(of, None) == 2


def test_a_small_bypass_at_a_rail_is_no_filter_capacitor() -> None:
    """4.7 nF behind 1 kΩ is 5 µs: nothing that a period of the line could be followed with."""
    fewer = SET.replace("  C51: 50 uF 350/385 V electrolytic, HT2 to chassis, positive HT2\n", "")
    (only,) = {rail.part for rail in findings("supply", fewer).working[0].rails}
    assert only == "C50"


def test_what_a_switch_takes_off_the_supply_draws_nothing_there() -> None:
    of, _ = _closed(FM)
    assert {place.name() for place in switched_off(of, FM)} == {"B+ AM"}
    assert {place.name() for place in switched_off(of, MW)} == {"B+ FM"}
    fm, mw = _currents(FM), _currents(MW)
    assert fm["V1 triode 1"] > 5
    assert mw["V1 triode 1"] < 0.2
    assert mw["V2 oscillator triode"] > 2
    assert fm["V2 oscillator triode"] < 0.01


def test_a_mixer_whose_oscillator_has_no_supply_amplifies() -> None:
    """Philips, ECH81: 3.25 and 6.7 mA as a mixer, 6.5 and 3.8 mA as an IF amplifier with grid 3 at 0 V."""
    uses = {}
    for run in (FM, MW):
        _, closed = _closed(run)
        uses[run] = next(stage.point.use for stage in closed.stages if stage.name == "V2")
    assert uses[FM].startswith("IF amplifier")
    assert uses[MW].startswith("mixer")


def test_an_oscillator_takes_what_its_resistor_passes_where_its_plate_was_read() -> None:
    """(232 - 106) V over 33 kΩ is 3.8 mA; the point at rest that is published (Philips: 100 V, 0 V) has 13.5 mA."""
    assert _currents(MW)["V2 oscillator triode"] == pytest.approx(3.8, rel=0.2)


def test_a_triode_that_oscillates_is_held_at_the_grid_that_was_read() -> None:
    unread = SET.replace("    V1: grid 2 -2,3\n", "")
    at_rest = _currents(FM, unread.replace("FM front end", "RF amplifier"))["V1 triode 2"]
    assert _currents(FM)["V1 triode 2"] < 0.6 * at_rest
    # Where nobody read it, it takes about what is published with a bias (Philips: 10 mA at 250 V, -2.7 V).
    assert _currents(FM)["V1 triode 2"] < _currents(FM, unread)["V1 triode 2"] < 0.75 * at_rest
    _, closed = _closed(FM)
    assert any(taken.how == "oscillates" for taken in closed.taken)


def test_the_plate_of_a_magic_eye_is_no_evidence() -> None:
    of, closed = _closed(FM)
    assert not closed.is_given(of.places.read("V6 anode"))
    assert {section.name for section in known("EM80").sections} == {"indicator"}


def test_lists_read_with_the_switch_in_two_positions_are_not_compared() -> None:
    of = circuit(record(SET))
    assert switched_otherwise(of, MW, "sheet")
    assert not switched_otherwise(of, FM, "sheet")
    compared = {(row.run, row.tube, row.electrode): row.verdict for row in found("readings", SET).rows}
    assert compared[MW, "V2", "screen"] == "no expected value"
    assert not any("HT FM at 0 V" in line for line in said("readings", SET))


def test_aged_selenium_is_tried_and_silicon_is_not() -> None:
    from benchleaf.circuit.supposed_faults.candidates import supposed_faults
    from benchleaf.circuit.supposed_faults.tried_set import Tried

    subjects = {}
    for run in (FM, MW):
        of, closed = _closed(run)
        assert closed.net is not None
        tried = Tried(of, of.day_of(run), closed, closed.net, line_read=True)
        subjects[run] = {fault.fault for fault in supposed_faults(tried) if fault.subject == "D1"}
    assert subjects == {FM: {"weak", "dead"}, MW: set()}


@pytest.mark.parametrize(
    ("job", "winding", "paths"),
    [
        ("rectifier", "2 x 300 V", 2),
        ("rectifier", "300 V", 1),
        ("full wave rectifier", "300 V", 2),
        ("biphase rectifier", "300 V", 2),
    ],
)
def test_a_tube_whose_pins_are_not_known_has_the_ways_of_its_winding_or_its_job(
    job: str, winding: str, paths: int
) -> None:
    text = f"""\
line: 230 V 50 Hz
power: transformer
tubes:
  V4: EL84, output
  V5: AZ1, {job}
heaters:
  windings:
    HT: {winding} 75 mA, feeds V5
"""
    assert circuit(text).tubes["V5"].pin_rows == ()
    assert rectifier_paths(circuit(text), None) == paths


KEYED = (
    SET.split("readings:")[0]
    + """bands:
  UKW: 87.5-100 MHz
readings:
  sheet:
    V2: osc plate 95, screen 82
    V5: screen 220
  2026-09-20 after:
    controls: {}
    V2: osc plate {}, screen 80
    V5: screen 222
"""
)


@pytest.mark.parametrize(
    ("controls", "volts", "told"),
    [("UKW key, no station", "0", "no expected value"), ("MW key", "0", "low"), ("FM pressed", "40", "low")],
)
def test_the_am_oscillator_is_at_rest_with_the_fm_key_pressed(controls: str, volts: str, told: str) -> None:
    rows = {(row.tube, row.electrode): row.verdict for row in found("readings", KEYED.format(controls, volts)).rows}
    assert (rows["V2", "osc plate"], rows["V2", "screen"]) == (told, "within")
