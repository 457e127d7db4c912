"""What a set should draw as its line is raised: each step against it, its watts, and why where it cannot be known."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest

import makers
from benchleaf.report.findings import as_json
from sites import REPO

STRING = """line: 120 V 60 Hz
power: series string
nameplate: 105-125 V, AC/DC, 30 W
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5, output
  V5: 35W4, rectifier
readings:
  2026-03-04 after:
    line: 118 V
    V4: cathode 5.9
    B+1: 121
    B+2: 92.4
parts:
  C12:
    sections:
      a: now 47 uF 200 V electrolytic, between B+1 and B-
      b: now 22 uF 200 V electrolytic, between B+2 and B-
  R8: keep, 150 ohm, measured 156 ohm, between V4 cathode and B-
  R9: keep, 1 kohm, measured 1.01 kohm, between B+1 and B+2
  T3: keep, job output transformer, between V4 plate and B+1
"""


def raised(*steps: str, with_: str = "variable transformer") -> str:
    lines = "".join(f"      - {step}\n" for step in steps)
    return f"power-up:\n  - date: 2026-03-04\n    with: {with_}\n    steps:\n{lines}"


def test_each_step_has_what_is_to_be_expected_at_its_line() -> None:
    """By hand at 117 V: a string of 150 mA and half-wave pulses of some 65 mA direct, twice that RMS, mostly in phase:
    between 0.15 A and 0.15 + 0.13 A."""
    found = makers.found("power_up", STRING + raised("line 40 V, 0.08 A", "line 117 V, 0.25 A, B+1 118 V"))
    low, full = found.expected
    assert 0.2 < full.line_amps_rms < 0.28
    assert full.low_amps_rms < full.line_amps_rms < full.high_amps_rms
    # Below 0.35 of their volts cathodes emit next to nothing: the string alone, 150 mA (40 / 122.6)^0.6.
    assert low.line_amps_rms == pytest.approx(0.15 * (40 / 122.6) ** 0.6, rel=0.02)
    assert [step.verdict for step in found.sessions[0].steps] == ["within", "within"]
    assert set(json.loads(json.dumps(as_json(found)))["expected"][0]) == {
        "line_volts",
        "line_amps_rms",
        "low_amps_rms",
        "high_amps_rms",
    }
    assert 24 <= found.watts <= 31
    assert found.nameplate_watts == 30
    amps = [point.line.line_amps_rms for point in found.curve.points]
    assert all(one < more for one, more in pairwise(amps))
    shown = makers.plain(makers.page("power_up", STRING + raised("line 40 V, 0.08 A", "line 117 V, 0.25 A, B+1 118 V")))
    assert "within" in shown
    assert "its nameplate says" in shown


@pytest.mark.parametrize(
    ("amps", "verdict", "told"),
    [("0.45 A", "high", "leaky or shorted filter capacitor"), ("90 mA", "low", "Look for an open heater")],
)
def test_a_current_outside_its_band_says_what_to_look_for(amps: str, verdict: str, told: str) -> None:
    text = STRING + raised(f"line 117 V, {amps}")
    assert makers.found("power_up", text).sessions[0].steps[0].verdict == verdict
    (said,) = makers.said("power_up", text)
    assert told in said
    assert said.startswith("At 117 V the set drew")


def test_a_reading_is_off_by_no_more_than_its_rounding() -> None:
    """“0.29 A within 180 to 280 mA” and “200 mA within 260 to 310 mA” were told of readings that are not."""
    full = makers.found("power_up", STRING + raised("line 117 V")).expected[0]
    tenths = round(full.high_amps_rms, 1)
    for written, verdict in (
        (f"{full.high_amps_rms + 0.004:.2f} A", "within"),
        (f"{full.high_amps_rms + 0.012:.2f} A", "high"),
        (f"{full.high_amps_rms + 0.004:.3f} A", "high"),
        (f"{tenths:.1f} A", "within"),
        (f"{tenths - 0.2:.1f} A", "low"),
    ):
        steps = makers.found("power_up", STRING + raised(f"line 117 V, {written}")).sessions[0].steps
        assert steps[0].verdict == verdict, written


def test_a_transformer_set_has_a_wide_band_about_its_watts() -> None:
    """By hand: heaters of 6.3 V 1 A and 5 V 2 A are 16 W; 331 V and some 85 mA are 28 W, and more is lost."""
    text = """line: 120 V 60 Hz
power: transformer
tubes:
  V1: 6K7
  V5: 6F6, output
  V6: 5Y3G, rectifier
heaters:
  windings:
    LT: 6.3 V 2.5 A, feeds V1 V5
    rectifier: 5 V 2 A, feeds V6
readings:
  2026-09-19 as found:
    line: 121 V
    V5: plate 228, screen 246, cathode 17.4
    V6: plate 325 AC, filament 331
    B+1: 331
    B+2: 246
parts:
  C12: now 22 uF 450 V electrolytic, between B+1 and chassis
  C13: now 16 uF 450 V electrolytic, between B+2 and chassis
  R7: keep, 400 ohm, measured 431 ohm, between V5 cathode and chassis
  L1: keep, job speaker field as choke, 1 kohm, measured 1.04 kohm, between B+1 and B+2
""" + raised("line 121 V, 0.5 A")
    found = makers.found("power_up", text)
    (at,) = found.expected
    assert at.high_amps_rms / at.low_amps_rms > 1.4
    assert 16 + 28 < found.watts < 65
    assert at.line_amps_rms * 121 > found.watts
    assert "magnetising current" in makers.page("power_up", text)


CLOSED = """line: 120 V 60 Hz
power: series string
tubes:
  V4: 50C5, output
  V5: 35W4, rectifier
heaters:
  dropper: 250 ohm 10 W
parts:
  C12: now 47 uF 200 V electrolytic, between B+1 and B-
  R8: keep, 150 ohm, between V4 cathode and B-
  R10: keep, 470 kohm, between V4 grid and B-
  R9: keep, 1 kohm, between B+1 and B+2
  R11: keep, 10 ohm, between B+2 and V4 screen
  T3: keep, job output transformer, between V4 plate and B+1
"""


def test_before_any_reading_the_circuit_itself_says_the_load() -> None:
    """A 50C5 at 110 V and a bias near 7.5 V draws 49 + 4 mA (published); the string 150 mA (120 V over 85 V + 250 ohm).
    By hand: pulses of some 50 mA direct, twice that RMS."""
    found = makers.found("power_up", CLOSED + raised("line 60 V", "line 120 V"))
    assert found.curve.rests_on == ("the load of B+1 as the set’s own circuit has it",)
    assert 0.19 < found.expected[-1].line_amps_rms < 0.26
    assert found.expected[0].line_amps_rms < found.expected[-1].line_amps_rms


def test_what_would_close_the_circuit_is_said_line_by_line() -> None:
    unread = STRING[: STRING.index("readings:")] + STRING[STRING.index("parts:") :] + raised("line 117 V")
    found = makers.found("power_up", unread)
    assert found.expected == ()
    assert found.curve.closing[0] == "parts: R…: … ohm, between V1 screen and B+2"
    assert found.curve.closing[0] in makers.page("power_up", unread)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (STRING.replace("12BE6", "99XX9"), "how the heaters are fed, and the type of each tube"),
        (STRING.replace("120 V 60 Hz", "120 V DC"), "an alternating line"),
        ("line: 120 V 60 Hz\npower: series string\ntubes:\n  V1: 12BE6\n", "cannot be worked out"),
    ],
)
def test_what_cannot_be_worked_out_says_why(text: str, told: str) -> None:
    text += raised("line 117 V, 0.25 A")
    found = makers.found("power_up", text)
    assert found.expected == ()
    assert found.watts is None
    assert told in makers.page("power_up", text)


def test_a_set_on_batteries_has_no_line_to_expect_of() -> None:
    found = makers.found("power_up", "power: battery\n" + raised("A 7.5 V, 0.052 A"))
    assert found.curve is None
    assert found.expected == ()


LAMP = "60 W lamp in series"


def test_a_lamp_in_series_limits_and_starves_and_protects_nobody() -> None:
    """By hand: 60 W at 120 V is 0.5 A into a dead short; at 120 V lamp and set share the line."""
    text = STRING + raised("line 120 V, 0.19 A", with_=LAMP)
    found = makers.found("power_up", text)
    (session,) = found.sessions
    (step,) = session.steps
    assert session.lamp.short_amps == 0.5
    assert step.set_volts is not None
    assert 70 < step.set_volts < 115
    lamp_volts = 120 * (step.expected.line_amps_rms / 0.5) ** (1 / 0.55)
    assert step.set_volts + lamp_volts == pytest.approx(120, abs=1.5)
    shown = makers.plain(makers.page("power_up", text))
    assert "protects nobody from a shock" in shown
    assert "starves the heaters of a series string" in shown


@pytest.mark.parametrize(
    ("with_", "short"),
    [
        ("two 60 W lamps side by side in series", 1.0),
        ("three 40 W lamps side by side in series", 1.0),
        ("isolating transformer, 100 W 240 V lamp in series", 0.28),
        ("60 W lamp in series, then a variable transformer", None),
        ("100 W lamp, variac", 0.83),
        ("variac, 100 W lamp as a load", None),
        ("isolating transformer and variable transformer of 500 W", None),
    ],
)
def test_lamps_as_they_are_written(with_: str, short: float | None) -> None:
    """By hand: 120 W are 1 A; 100 W at 240 V is 0.417 A, and at 120 V that times 0.5^0.55 = 0.683: 0.285 A."""
    session = makers.found("power_up", STRING + raised("line 120 V, 0.2 A", with_=with_)).sessions[0]
    assert (session.lamp.short_amps if session.lamp else None) == short


def test_each_step_has_the_lamp_that_it_names() -> None:
    """A larger lamp leaves more; without one the whole line is the set's, though the session has three lamps."""
    steps = ("40 W, line 120 V, 0.1 A", "100 W, line 120 V, 0.2 A", "line 120 V, 0.2 A", "no bulb, line 120 V, 0.25 A")
    found = makers.found("power_up", STRING + raised(*steps, with_="dim bulb 40 60 100 w")).sessions[0].steps
    small, large, unnamed, none = found
    assert small.set_volts < large.set_volts < 120
    assert unnamed.expected is None
    assert none.set_volts is None
    assert none.expected.line_amps_rms > large.expected.line_amps_rms


@pytest.mark.parametrize("said", ["; lamp removed for this step", ", lamp bridged", ", no lamp"])
def test_a_lamp_that_was_out_for_a_step_limits_none_of_it(said: str) -> None:
    text = STRING + raised("line 120 V, 0.19 A", f"line 120 V, 0.25 A{said}", with_=LAMP)
    behind, alone = makers.found("power_up", text).sessions[0].steps
    assert behind.set_volts < 120
    assert alone.set_volts is None


def test_a_lamp_without_its_watts_is_asked_for_them() -> None:
    text = STRING + raised("line 120 V, 0.2 A", with_="lamp in series")
    found = makers.found("power_up", text)
    assert found.expected == ()
    assert found.sessions[0].steps[0].verdict == ""
    assert "write <code>60 W lamp in series</code>" in makers.page("power_up", text)


@pytest.mark.parametrize(("amps", "through"), [("0.45 A", True), ("0.51 A", True), ("0.53 A", False)])
def test_a_current_that_no_lamp_passes_did_not_come_through_it(amps: str, through: bool) -> None:
    """60 W at 120 V are 0.5 A with a dead short behind it: a step told as high was read with the lamp out."""
    text = STRING + raised(f"line 120 V, {amps}", with_="60 W lamp in series")
    (session,) = makers.found("power_up", text).sessions
    assert (session.steps[0].set_volts is not None) is through
    assert any("was not in the line there" in doubt for doubt in session.doubts) is not through


def test_a_larger_lamp_leaves_more() -> None:
    """Any lamp leaves less than the line, and a larger one more."""
    left = [
        makers.found("power_up", STRING + raised("line 120 V", with_=f"{watts} W lamp in series")).sessions[0].steps[0]
        for watts in (25, 60, 150)
    ]
    volts = [step.set_volts for step in left]
    assert volts == sorted(volts)
    assert volts[0] < volts[-1] < 120


def test_a_battery_set_on_supplies_with_a_limit_has_no_line_and_is_not_said_to_be_without_one() -> None:
    text = (REPO / "site_src/sets/quillon-skylark/record.yml").read_text(encoding="utf-8")
    (session,) = makers.found("power_up", text).sessions
    assert session.limits == (
        "The supply limits the current to 70 mA, as written: a short in the set is held to that. "
        "It protects nobody from a shock.",
    )
    assert session.doubts == ()
    page = makers.page("power_up", text)
    assert "The set brought up step by step" in page
    assert 'data-label="Line' not in page


def test_each_thing_before_the_set_says_what_it_does_not_do() -> None:
    lamp = makers.plain(makers.page("power_up", STRING + raised("line 80 V", with_="60 W lamp in series")))
    assert "Nothing that is named limits the current" not in lamp
    out = makers.page("power_up", STRING + raised("line 117 V", with_="60 W lamp in series then variac"))
    assert "Nothing that is named" not in out
    assert "The lamp is taken as out again for these steps" in out
    both = STRING + raised("line 80 V, 0.16 A", with_="isolating transformer, variac")
    isolating, variable, nothing = makers.found("power_up", both).sessions[0].limits
    assert "It limits no current" in isolating
    assert "the whole string is starved with it" in variable
    assert "does not isolate" not in variable
    assert "a lamp in series would" in nothing
    (variable, _) = makers.found("power_up", STRING + raised("line 80 V", with_="variac")).sessions[0].limits
    assert variable.endswith("and it does not isolate.")
    dry = STRING.replace("V5: 35W4, rectifier", "V5: 12AV6") + "  D1: now silicon, job rectifier\n"
    assert (
        "D1, silicon, needs no heater"
        in makers.found("power_up", dry + raised("line 80 V", with_="variac")).sessions[0].limits[1]
    )


def test_the_rectifier_is_the_one_that_was_in_on_the_day() -> None:
    """The Goudvink's stack was still selenium on the 12th, and silicon from the 19th of September."""
    sessions = makers.found(
        "power_up", (REPO / "site_src/sets/ternhaag-goudvink/record.yml").read_text(encoding="utf-8")
    ).sessions
    told = {session.date: " ".join(session.limits) for session in sessions}
    assert "D1, selenium, needs no heater" in told["2026-09-12"]
    assert "D1, silicon, needs no heater" in told["2026-09-19"]


def test_each_step_has_the_heaters_at_its_line_and_more_line_is_never_less_current() -> None:
    """By hand: 122.6 V of heaters rise with the line, the lamp's tap aside: at 40 V about a third. Every end of the
    band rises with the line."""
    lines = ["line 40 V", "line 117 V", *(f"line {volts} V" for volts in range(20, 136, 12))]
    found = makers.found("power_up", STRING + raised(*lines))
    cold, warm, *_ = found.sessions[0].steps
    assert cold.heaters_of_rated == pytest.approx(40 / 122.6, rel=0.05)
    assert warm.heaters_of_rated == pytest.approx(117 / 122.6, rel=0.08)
    (behind,) = makers.found("power_up", STRING + raised("line 117 V", with_="60 W lamp in series")).sessions[0].steps
    assert behind.heaters_of_rated < warm.heaters_of_rated
    tapped = STRING.replace("parts:", "heaters:\n  order: V5 V4 V2 V1 V3\n  pilot lamp: 47 across V5 tap\nparts:")
    (full,) = makers.found("power_up", tapped + raised("line 120 V")).sessions[0].steps
    assert full.heaters_of_rated == pytest.approx(120 / 122.6, abs=0.03), "a lamp at the tap is meant to lower V5"
    # In whole per cent: 105.5 % was told as 110 %.
    (over,) = makers.found("power_up", STRING + raised("line 129 V")).sessions[0].steps
    assert over.heaters_of_rated == pytest.approx(found.curve.share_at(129), abs=0.001)
    assert over.heaters_of_rated * 100 == pytest.approx(round(over.heaters_of_rated * 100), abs=1e-9)
    assert 1.02 < over.heaters_of_rated < 1.09
    for one, more in pairwise(found.curve.points):
        assert one.line.low_amps_rms <= more.line.low_amps_rms
        assert one.line.line_amps_rms <= more.line.line_amps_rms
        assert one.line.high_amps_rms <= more.line.high_amps_rms
        assert one.heaters_of_rated <= more.heaters_of_rated


def test_watts_are_held_to_the_nameplate_and_to_what_was_read() -> None:
    found = makers.found("power_up", STRING + raised("line 117 V, 0.24 A"))
    assert (found.beyond_nameplate, found.volt_amperes) == (False, 28.1)
    far = makers.page("power_up", STRING.replace("30 W", "60 W") + raised("line 117 V, 0.24 A"))
    assert "the two are more than a quarter apart" in far
    for amps, over in (("0.24", False), ("0.18", True)):
        page = makers.page("power_up", STRING + raised(f"line 117 V, {amps} A"))
        assert ("its watts are no more than that: what is computed is too much" in page) is over


def test_a_soak_is_judged_at_its_line_and_warmth_against_the_room() -> None:
    """By hand: 58 - 21 °C are 37 K; 106 °F are 41.1 °C, 20 K above them."""
    soak = "    soak: 8 h, line 117 V, 0.24 A, chassis 106 F, T3 58 °C, room 21 C, B+1 121 V; no hum\n"
    text = STRING + raised("line 117 V, 0.24 A") + soak
    made = makers.found("power_up", text).sessions[0].soak
    assert (made.seconds, made.line_volts, made.verdict) == (28800, 117, "within")
    assert {each.of: each.above_room_kelvins for each in made.warmth} == {"chassis": 20.0, "T3": 37.0, "room": None}
    shown = makers.plain(makers.page("power_up", text))
    assert "Soak test" in shown
    assert "chassis 106 F, T3 58 °C, room 21 C, B+1 121 V" in shown
    hot = makers.found("power_up", STRING + raised("line 117 V") + soak.replace("0.24 A", "0.45 A")).sessions[0].soak
    assert hot.verdict == "high"
    apart = text + "  - date: 2026-03-05\n" + soak.replace("0.24 A", "0.45 A")
    (said,) = makers.said("power_up", apart)
    assert said.startswith("At 117 V the set drew 450 mA")
    assert "The line was brought up to 117 V in 1 step." in makers.plain(makers.page("power_up", apart))


@pytest.mark.parametrize(
    ("steps", "doubt"),
    [
        (("line 80 V",), "Step 1 says neither a current nor what else was read"),
        (("0.16 A",), "Step 1 has a current and no volts"),
        (("14:10 line 80 V, 0.16 A", "13:55, line 90 V, 0.2 A"), "Step 2 is clocked 13:55, before step 1 (14:10)"),
        (("11:50 am line 80 V, 0.16 A", "1:05 pm, line 90 V, 0.2 A"), ""),
    ],
)
def test_a_step_that_tells_nothing_and_a_clock_that_runs_back_are_told(steps: tuple[str, ...], doubt: str) -> None:
    (session,) = makers.found("power_up", STRING + raised(*steps)).sessions
    assert len(session.steps) == len(steps)
    assert [said[: len(doubt)] for said in session.doubts] == ([doubt] if doubt else [])


def test_a_day_before_the_work_that_it_needs_is_told() -> None:
    text = (
        "came in: 2026-03-05\n"
        + STRING
        + "  C9: was 0.05 uF 400 V paper, now 47 nF 630 V film, fitted 2026-03-10\n"
        + raised("line 80 V, 0.16 A")
        + "before power: 2026-03-06, plug 145 ohm\n"
        + "reforming:\n  C12 a:\n    date: 2026-03-08\n    log:\n      - 30 min, 1 mA\n      - 10 min, 2 mA\n"
    )
    found = makers.found("power_up", text)
    assert found.sessions[0].doubts == (
        "It is dated before the set came in (2026-03-05).",
        "The old C9 was still in: what is new was fitted later.",
        "The first cold check is dated after it (2026-03-06).",
        "C12 a was reformed after it, by the dates.",
    )
    assert found.reforming[0].doubts == ("10 min stands behind 30 min: one of the two times is wrong.",)
    shown = makers.page("power_up", text)
    assert all(makers.plain(doubt) in makers.plain(shown) for doubt in found.sessions[0].doubts)
