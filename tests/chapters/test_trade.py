"""Parts of the trade: ballasts by their code, couplates and resistors with taps, each held against sums by hand."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.record.sections.mechanics import stop_of
from benchleaf.tubes.ballast_code import ballast_code

STRING = """line: 117 V 60 Hz
power: series string
tubes:
  V1: 6A8
  V2: 6K7
  V3: 6Q7
  V4: 25L6
  V5: 25Z5
"""


@pytest.mark.parametrize(
    ("written", "volts", "lamp_amps", "pins"),
    [("K55B", 55, 0.15, "B"), ("L49D", 49, 0.25, "D"), ("BK-49-C", 49, 0.15, "C"), ("MX 42 A", 42, 0.2, "A")],
)
def test_a_ballast_says_by_its_code_what_it_drops(written: str, volts: float, lamp_amps: float, pins: str) -> None:
    """The code of the American trade association, as two published pages have it."""
    code = ballast_code(written)
    assert code is not None
    assert (code.volts, code.lamp_amps, code.pins) == (volts, lamp_amps, pins)


@pytest.mark.parametrize("written", ["KT66", "6K7", "55", "L63", "K5B", "KK55B"])
def test_what_is_no_ballast_is_none(written: str) -> None:
    assert ballast_code(written) is None


def test_a_coded_ballast_is_worked_with_and_replaced_by_resistors() -> None:
    """By hand: (55 - 6.3) V at 0.3 A is 162 ohm and 14.6 W; the lamp leaves 0.15 A at 6.3 V for 42 ohm."""
    heaters = makers.found("heaters", STRING + "heaters: 25Z5 25L6 6K7 6A8 6Q7, ballast K55B\n")
    assert heaters.string.dropper.ohms == pytest.approx(55 / 0.3)
    ballast = heaters.ballast
    assert ballast.ohms == pytest.approx(162.33, abs=0.01)
    assert ballast.watts == pytest.approx(14.61, abs=0.01)
    assert ballast.rating_watts == 30
    assert ballast.lamp_ohms == pytest.approx(42)
    assert any("K55B" in line and "55\u202fV" in line for line in heaters.assumed)


def test_a_lamp_that_the_record_has_in_the_string_is_not_counted_twice() -> None:
    lit = STRING + "heaters: 25Z5 25L6 6K7 6A8 6Q7, ballast K55B, pilot lamp #47 in series\n"
    lamp = makers.found("heaters", lit).lamp.volts
    assert makers.found("heaters", lit).string.dropper.ohms == pytest.approx((55 - lamp) / 0.3)


def test_heaters_are_worked_out_with_the_dropper_that_is_in_now() -> None:
    supply = "heaters:\n  order: V5, V4, V2, V1, V3\n  dropper: 170 ohm 30 W"
    before = makers.found("heaters", f"{STRING}{supply}\n")
    after = makers.found("heaters", f"{STRING}{supply}, now 150+10 ohm\n".replace("150+10", "160"))
    assert before.string.dropper.ohms == 170
    assert after.string.dropper.ohms == 160
    assert after.nominal.current_amps > before.nominal.current_amps


def test_the_ohms_before_the_rectifiers_tap_are_shared() -> None:
    written = "heaters:\n  order: V5, V4, V2, V1, V3\n  dropper: 50+60+50 ohm 30 W, rectifier at tap 2\n"
    dropper = makers.found("heaters", STRING + written).string.dropper
    assert (dropper.ohms, dropper.shared_ohms) == (160, 110)


SUPPLY = """line: 117 V 60 Hz
power: transformer
tubes:
  V3: 6Q7, detector and first audio
  V4: 6V6, output
parts:
  PC1:
    job: couplate
    pins: 1 V3 plate, 2 B+2, 3 V4 grid, 4 B-
    inside:
      R1: 470k, 1 to 2, measured 510k
      C1: 0.01 uF 600 V, 1 to 3, leakage 10 uA at 200 V
      R2: 470k, 3 to 4
  R10: candohm 7000+8000+250 ohm 10 W, measured 7100, open, 255, taps B+1 to B+2 to B+3 to B-
readings:
  found:
    B+1: 250
    B+2: 200
    V3: plate 90
"""


def test_what_is_inside_a_couplate_is_part_of_the_circuit() -> None:
    circuit = makers.circuit(SUPPLY)
    plate = circuit.places.read("V3 plate")
    assert [element.name for element in circuit.network.at(plate)] == ["PC1 R1", "PC1 C1"]
    assert [c.element.name for c in circuit.network.couplings] == ["PC1 C1"]
    load = circuit.load(plate)
    assert load is not None
    assert [element.name for element in load.parts] == ["PC1 R1", "PC1 R2"]


def test_a_section_of_a_resistor_with_taps_has_its_own_ends_value_and_watts() -> None:
    """By hand: 7000 of 15,250 ohm have 4.59 W of 10 W."""
    circuit = makers.circuit(SUPPLY)
    lowest = circuit.network.between(circuit.places.read("B+3"), circuit.places.read("B-"))
    assert [element.name for element in lowest] == ["R10 c"]
    parts = makers.found("parts", SUPPLY)
    first = circuit.parts["R10"][0].piece.was
    assert first is not None
    assert first.watts == pytest.approx(4.59)
    assert first.measured == 7100
    assert parts is not None


EYE = """tubes:
  V6: 6E5, magic eye
parts:
  R20: 1 meg, measured 1.8 meg, V6 plate to V6 target
readings:
  found:
    V6: plate 20, target 160, grid -1.2, cathode 0
"""


def test_a_tuning_indicator_has_its_target_its_resistor_and_the_grid_that_closes_it() -> None:
    """By hand: 140 V over 1.8 megohm is 78 uA; -8 V at 250 V is -5.1 V at 160 V; 160 V at 4 mA is 0.64 W."""
    (eye,) = makers.found("eye", EYE).eyes
    assert (eye.target_volts, eye.published_volts, eye.resistor) == (160, 250, "R20")
    assert (eye.plate_amps, eye.closes_volts, eye.load_watts) == pytest.approx((78e-6, -5.1, 0.64))
    assert eye.closed_share == pytest.approx(1.2 / 5.1)
    dim, drifted = makers.said("eye", EYE)
    assert "dim for want of volts" in dim
    assert "1.8 MΩ where 1 MΩ are published" in drifted


def test_a_resistor_that_is_not_written_is_not_off() -> None:
    (eye,) = makers.found("eye", EYE.replace("measured 1.8 meg, V6 plate to V6 target", "V6 grid to B-")).eyes
    assert (eye.resistor_ohms, eye.resistor_off) == (None, None)


def test_an_indicator_in_order_says_what_closes_it() -> None:
    text = EYE.replace("measured 1.8 meg", "measured 1.05 meg").replace("target 160", "target 245")
    assert makers.said("eye", text) == []
    assert "closed by about −7.8 V" in makers.plain(makers.page("eye", text)) or "-7.8 V" in makers.plain(
        makers.page("eye", text)
    )


def test_an_electrodes_own_reading_and_a_rails_count_before_those_of_what_is_joined_to_them() -> None:
    joined = "wires:\n  - V6 target, B+2\n  - V1 plate, B+2\n"
    lists = EYE.replace("  V6: 6E5", "  V1: 6K7\n  V6: 6E5").replace(
        "    V6: plate", "    V1: plate 172\n    V6: plate"
    )
    assert makers.found("eye", joined + lists).eyes[0].target_volts == 160
    on_bench = makers.bench(f"{joined}{lists}    B+2: 163\n")
    point = on_bench.circuit.network.point(on_bench.circuit.places.read("B+2"))
    assert on_bench.circuit.direct_volts["found"][point] == 163


SELECTOR = """line: 230 V 50 Hz
power: transformer
tubes:
  V4: 6V6GT, output
  V5: 5Z4, rectifier
heaters:
  mains selector: on 200 V
  mains taps:
    200 V: 20 ohm
    230 V: 25 ohm
  windings:
    HT: 2x250 V 75 mA
    LT: 6.3 V CT 2.5 A
    rectifier: 5 V CT 2 A, feeds V5
"""


def test_a_selector_on_another_voltage_than_the_lines_is_told_with_what_it_does() -> None:
    """230 V over 200 V is 115 %."""
    assert makers.found("heaters", SELECTOR).selected.of_rated == pytest.approx(1.15)
    (told,) = makers.said("heaters", SELECTOR)
    assert told.endswith(
        "stands on 200 V and the line has 230 V: the heaters have 115 % of their volts. 230 V is nearer."
    )
    assert makers.said("heaters", SELECTOR.replace("on 200 V", "on 230 V")) == []


def test_a_dropper_setting_in_use_is_the_one_the_selector_stands_on() -> None:
    taps = "heaters:\n  order: V5, V4, V2, V1, V3\n  mains taps:\n    110 V: 135 ohm\n    120 V: 155 ohm\n"
    assert makers.found("heaters", STRING + taps).string.dropper.ohms == 155
    assert makers.found("heaters", f"{STRING}{taps}  mains selector: on 110 V\n").string.dropper.ohms == 135


def test_windings_are_told_apart_by_their_volts_without_feeds() -> None:
    high, low, rectifier = makers.found("heaters", SELECTOR).windings
    assert (high.plates, [t.tube for t in low.tubes]) == (("V5",), ["V4"])
    assert (rectifier.plates, [t.tube for t in rectifier.tubes]) == ((), ["V5"])


def test_the_supply_is_worked_out_from_its_winding_where_no_ac_was_read() -> None:
    parts = """parts:
  C1: 16 uF 450 V, between B+1 and B-
  C2: 16 uF 450 V, between B+2 and B-
  R1: 1 kohm, between B+1 and B+2
  R2: 250 ohm, between V4 cathode and B-
readings:
  found:
    B+1: 290
    B+2: 250
    V4: cathode 12.5
"""
    found = makers.found("supply", SELECTOR.replace("on 200 V", "on 230 V") + parts)
    assert found.rests_on == "250\u202fV AC of the winding, as rated, on load with 75\u202fmA: 261\u202fV without it"


SELENIUM = """line: 117 V 60 Hz
power: series string
tubes:
  V4: 35L6, output
parts:
  SE1: rectifier, selenium 100 mA 5 plates
  C1: 40 uF 200 V, between B+1 and B-
  C2: 40 uF 200 V, between B+2 and B-
  R1: 1 kohm, between B+1 and B+2
  R2: 150 ohm, between V4 cathode and B-
readings:
  found:
    B+1: 125
    B+2: 110
    V4: cathode 6, plate 118
"""


def test_a_selenium_stack_drops_a_volt_a_plate_and_silicon_in_its_place_has_a_resistor() -> None:
    assert makers.circuit(SELENIUM).dry_rectifier.drop_volts == 5  # type: ignore[union-attr]
    assert makers.circuit(SELENIUM.replace("5 plates", "8 plates")).dry_rectifier.drop_volts == 8  # type: ignore[union-attr]
    found = makers.found("supply", SELENIUM)
    assert found.silicon.rails[0].volts > found.nominal.rails[0].volts
    assert found.silicon_series_ohms > 0
    more = makers.found("supply", SELENIUM.replace("5 plates", "8 plates"))
    assert more.silicon_series_ohms > found.silicon_series_ohms


def test_a_battery_in_blocks_lasts_by_what_it_gives() -> None:
    """450 mAh at 10 mA are 45 hours."""
    batteries = "    A: 1.5 V\n    B: 2 x 45 V, drain 10 mA, 450 mAh\n"
    text = f"power: battery\ntubes:\n  V1: 1R5\nheaters:\n  batteries:\n{batteries}"
    drain = next(d for d in makers.found("heaters", text).drains if d.name == "B")
    assert (drain.volts, drain.hours) == (90, pytest.approx(45))


TONE = """line: 117 V 60 Hz
power: transformer
tubes:
  V3: 6SQ7, detector and first audio
  V4: 6V6GT, output
  V5: 5Z4, rectifier
parts:
  R1: 220k, plate load, V3 plate to B+2
  R2: 2.2k, V3 cathode to B-
  C1: 0.01 uF 600 V, coupling, V3 plate to V4 grid
  R3: 470k, V4 grid to B-
  R4: 270 ohm, V4 cathode to B-
  C4: 25 uF 25 V, V4 cathode to B-
  R6: 10 meg, V3 grid to B-
  T1: output transformer 5k to 3.2 ohm, between V4 plate and B+1
  C5: 0.02 uF 600 V, tone, between V4 plate and node x
  R5: 50k, tone control, between node x and B-
  R8: 4.7k, feedback, T1 secondary to V3 cathode
wires:
  - B+2, V4 screen
speaker: 3.2 ohm
readings:
  found:
    B+1: 285
    B+2: 250
    V3: plate 120, cathode 1.2
    V4: cathode 12
"""


def test_a_tone_control_has_its_corners_at_both_ends() -> None:
    """By hand: 1/(2 pi 20 nF 5 kohm) is 1.6 kHz, with 50 kohm behind it 145 Hz; 50 of 55 kohm are 0.83 dB less."""
    (cut,) = makers.found("tone", TONE).cuts
    assert (cut.capacitor, cut.control, cut.tube) == ("C5", "R5", "V4")
    assert (cut.cut_hertz, cut.open_hertz, cut.open_decibels) == pytest.approx((1600, 140, -0.83))


def test_feedback_is_the_share_returned_times_the_gain_worked_out() -> None:
    """The share is 2.2 of 6.9 kohm; with the gains of both stages over 39.5 turns, 20 log of one more than the loop."""
    (loop,) = makers.found("tone", TONE).loops
    gains = [one.gain_times.value for one in makers.found("readings", TONE).signal]
    forward = gains[0] * gains[1] / 39.53
    assert loop.stages == ("V3", "V4")
    assert loop.forward_gain_times == pytest.approx(forward, rel=0.05)
    assert loop.loop.factor == pytest.approx(1 + forward * 2.2 / 6.9, rel=0.02)
    assert loop.loop.decibels == pytest.approx(20 * math.log10(1 + forward * 2.2 / 6.9), rel=0.02)
    page = makers.plain(makers.page("tone", TONE))
    assert "R8 feeds 15 dB back to V3 cathode" in page
    assert "32 %" in page
    assert "31.9 %" not in page


def test_feedback_into_a_bypassed_cathode_is_none() -> None:
    bypassed = TONE.replace("  R3: 470k", "  C6: 25 uF 25 V, V3 cathode to B-\n  R3: 470k")
    assert makers.found("tone", bypassed).loops == ()


MECHANICS = """mechanics:
  dial cord: anchor, shaft 6 mm 3 turns, pulley, drum 80 mm 1 1/2 turns, pointer, spring
  grille cloth: rotted, replaced with linen
  veneer: lifting, glued, material hide glue
photos:
  grille cloth: before photos/a.jpg, after photos/b.jpg
"""


def test_a_dial_cord_is_drawn_and_its_knob_turns_are_worked_out() -> None:
    """By hand: half of 80 over 6 mm is 6.7 turns; 3 turns of 6 and 1.5 of 80 mm are 43 cm."""
    found = makers.found("mechanics", MECHANICS)
    assert [stop.kind for stop in found.stops] == ["anchor", "shaft", "pulley", "drum", "pointer", "spring"]
    assert (found.knob_turns_ratio, found.wound_metres) == pytest.approx((6.7, 0.43))
    drawn = makers.figures("mechanics", MECHANICS)["dial-cord"]
    assert "4 drum" in drawn.svg
    assert "dial-cord-t" in makers.page("mechanics", MECHANICS, drawn=True)


def test_each_thing_is_told_as_found_and_as_left() -> None:
    cloth, veneer = makers.found("mechanics", MECHANICS).fittings
    assert (cloth.found, cloth.did, cloth.pictured) == ("rotted", "replaced with linen", True)
    assert (veneer.found, veneer.did, veneer.material) == ("lifting", "glued", "hide glue")


@pytest.mark.parametrize(
    ("stop", "turns", "metres"),
    [
        ("shaft 1/4 in 2-1/2 turns", 2.5, 0.00635),
        ('drum 4-1/2" 1 1/2 turns', 1.5, 0.1143),
        ("pulley 2¾ turns", 2.75, None),
        ("drum 80 mm 1/2 turn", 0.5, 0.08),
        ("drum 3 in 12 turns", 12.0, 0.0762),
    ],
)
def test_turns_and_inches_with_a_fraction(stop: str, turns: float, metres: float | None) -> None:
    found = stop_of(stop)
    assert found is not None
    assert (found.turns, found.metres) == (turns, pytest.approx(metres) if metres else None)


@pytest.mark.parametrize("stop", ["drum -80 mm", "drum 0 mm", "drum 1e9 mm", "shaft 6 mm 900 turns"])
def test_a_stop_of_a_size_nobody_made_is_asked(stop: str) -> None:
    (told,) = makers.refused(f"mechanics:\n  dial cord: pulley, {stop}\n")
    assert stop in str(told)


def test_a_note_typed_in_brackets_stands_in_one_pair_of_them() -> None:
    text = "tubes:\n  V4: UL41\nchanged tubes:\n  V4: was UL41 at 42 %, now UL41 at 90 % (from the club), 2026-02-18\n"
    (exchange,) = makers.found("line_up", text).changed
    assert exchange.now.note == "from the club"
