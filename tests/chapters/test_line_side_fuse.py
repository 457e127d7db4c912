"""The fuse of a line side: rating, place, rule."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.line_side.drawing_grid import CHASSIS_Y, FUSE_Y, LOAD_Y
from benchleaf.chapters.line_side.path_figure import _strap
from benchleaf.chapters.line_side.topology import CHASSIS, HOT_LEAD, IN_SET, RETURN_LEAD
from benchleaf.report.findings import FAULT
from worked_line_sides import AFTER, BEFORE, HEAD, examined


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


def test_a_step_of_part_of_the_set_is_no_running_current() -> None:
    """The nameplate's 30 W over 120 V stand; a lamp before it or no rectifier in it is named."""
    steps = "    steps:\n      - 117 V, 0.11 A\n"
    lamp, without = (f"  - date: 2026-03-0{n}\n    with: {using}\n{steps}" for n, using in
                     ((1, "100 W lamp in series"), (2, "variac, rectifier out")))  # fmt: skip
    found = examined(more=f"power-up:\n{lamp}{without}").fuse
    assert found is not None
    assert (found.running_source, found.running_amps) == ("nameplate", 0.25)
    assert found.aside_said == ((0.11, "without the rectifier"), (0.11, "behind a lamp in series"))


@pytest.mark.parametrize(("read", "of"), [("0.30 A", ("lamp", 0.30)), ("0.20 A", ("nameplate", 0.25))])
def test_a_current_read_behind_a_lamp_is_less_than_the_set_draws(read: str, of: tuple[str, float]) -> None:
    """Watts over volts gave 77 mA and a fuse of 125 mA, where 110 mA had been read with a lamp before the set."""
    steps = f"    steps:\n      - 120 V, {read}\n"
    found = examined(more=f"power-up:\n  - date: 2026-03-01\n    with: 100 W lamp in series\n{steps}").fuse
    assert found is not None
    assert (found.running_source, found.running_amps) == (of[0], pytest.approx(of[1]))
    assert [amps for amps, _ in found.aside_said] == ([] if of[0] == "lamp" else [0.20])


def test_watts_that_were_read_of_the_line_outrank_the_plate() -> None:
    found = examined(more="results:\n  power: 36 W at 120 V, wattmeter\n").fuse
    assert found is not None
    assert (found.running_source, found.running_amps) == ("line watts", pytest.approx(0.3))


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


@pytest.mark.parametrize("lead", [HOT_LEAD, RETURN_LEAD, IN_SET])
def test_a_short_from_a_lead_of_the_cord_is_drawn_from_before_the_fuse(lead: str) -> None:
    """A fuse protects from what lies behind it alone."""
    first, second, *_, last = (y for _, y in _strap({lead, CHASSIS}, 8.0))
    assert first == second
    assert first == LOAD_Y if lead == IN_SET else first > max(FUSE_Y)
    assert last == CHASSIS_Y


@pytest.mark.parametrize(
    ("fuse", "told"),
    [
        ("T 0.5 A in new holder", "Fuse of 500\u202fmA."),
        ("2 A in the hot lead", "Fuse in the hot lead."),
        ("glass", "Fuse fitted."),
    ],
)
def test_what_was_done_says_more_than_the_word_fuse(fuse: str, told: str) -> None:
    """“Fuse.” was all that stood under what was done."""
    plug = "    plug: two-pin, either way\n"
    text = (
        "power: transformer\nchassis: isolated\nline: 220 V 50 Hz\nline side:\n"
        f"  before:\n{plug}    fuse: none\n  after:\n{plug}    fuse: {fuse}\n"
    )
    (done,) = makers.digest("line_side", text).brief.done
    assert done.text == told


PLAYING = """line: 120 V 60 Hz
power: series string
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5, output
  V5: 35W4, rectifier
heaters:
  order: V5 V4 V2 V1 V3
line side:
  after:
    plug: polarised
    switch: hot lead
    touchable: chassis
parts:
  C1: keep, 47 uF 160 V, filter, B+1 to B-
  C2: keep, 22 uF 160 V, filter, B+2 to B-
  R8: keep, 150 ohm, V4 cathode to B-
  R9: keep, 1 kohm 2 W, B+1 to B+2
  T3: keep, output transformer, V4 plate to B+1
readings:
  2026-03-04 after:
    line: 120 V
    V4: cathode 5.9
    B+1: 121
    B+2: 92
"""


def test_the_current_that_is_computed_outranks_that_of_the_string_alone() -> None:
    """150 mA of heaters alone named a fuse that the rectifier's pulses blow: power-up expects the sum of both."""
    found = makers.found("line_side", PLAYING).fuse
    assert found.running_source == "computed"
    steps = "power-up:\n  - date: 2026-03-05\n    steps:\n      - line 120 V, 60 W lamp in series\n"
    (expected,) = [p.line for p in makers.found("power_up", PLAYING + steps).curve.points if p.line.line_volts == 120]
    assert found.running_amps == pytest.approx(expected.line_amps_rms)
    assert 0.17 < found.running_amps < 0.3
    string = makers.found("line_side", PLAYING.split("parts:")[0]).fuse
    assert (string.running_source, string.running_amps) == ("heaters", pytest.approx(0.15, rel=0.02))
