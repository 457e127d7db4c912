"""What is said of a run in which every fault was tried: words, what each cause explains, and what comes next."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest

import benchleaf
import makers
from benchleaf.chapters.readings.cause_leads import brief, lead
from benchleaf.chapters.readings.comparison import compared
from benchleaf.chapters.readings.evidence import evidence_of
from benchleaf.chapters.readings.fault_words import in_the_past, said_of, words_of
from benchleaf.chapters.readings.patterns import holds
from benchleaf.chapters.readings.ranked_causes import RankedCause, RunCauses
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.circuit.places import Place
from benchleaf.circuit.supposed_faults.supposed_fault import FaultSite, SupposedFault
from benchleaf.electrics.dc_elements import DcVariant
from benchleaf.words import AMERICAN, BRITISH, Words

DEMO = Path(__file__).parents[2] / "site_src/sets"
_TABLE = Path(benchleaf.__file__).parent / "chapters/readings/fault_words.csv"
ROWS = list(csv.DictReader(_TABLE.read_text(encoding="utf-8").splitlines()))
SET = """line: 120 V 60 Hz
power: transformer
tubes:
  V3: 6AT6
  V4: 6V6GT
  V5: 5Y3GT
readings:
  sheet:
    V3: plate 108, cathode 1.3
    V4: plate 245, screen 250, grid 0, cathode 12.5
    V5: plate 350 AC, cathode 262
    B+2: 250
  as found:
    V3: {triode}
    V4: {output}
    V5: cathode {b_plus}
    B+2: {rail}
parts:
  C7: {coupling}, between V3 plate and V4 grid
  C8: 25 uF 25 V electrolytic, between V4 cathode and B-
  R5: 220 kohm, between V3 plate and B+2
  R7: 2.2 kohm, between V3 cathode and B-
  R8: 250 ohm, between V4 cathode and B-
  R9: 1.5 kohm, between V5 cathode and B+2
  R10: 470 kohm, between V4 grid and B-
  T2: 300 ohm, job output transformer, between V4 plate and V5 cathode
"""
SOUND: dict[str, str] = {
    "triode": "plate 107, cathode 1.3", "output": "plate 246, screen 250, grid 0, cathode 12.4", "b_plus": "263",
    "rail": "250", "coupling": "0.01 uF paper",
}  # fmt: skip
LEAKY = SOUND | {
    "triode": "plate 96, cathode 1.25", "output": "plate 232, screen 238, grid 7, cathode 15.2", "b_plus": "250",
    "rail": "238",
}  # fmt: skip


def run(**values: str) -> RunCauses:
    (one,) = makers.found("readings", SET.format(**values)).causes
    assert isinstance(one, RunCauses)
    return one


def fault(what: str, where: str, *, measured: bool = False) -> SupposedFault:
    at = Place("V4", "g1", kind="grid", word="grid")
    return SupposedFault("C7", what, 1.0, DcVariant(), FaultSite(where, at), measured=measured)


@pytest.mark.parametrize("words", [AMERICAN, BRITISH], ids=lambda words: words.dialect)
@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['fault']} {row['where']}")
def test_every_fault_has_its_words_in_each_dialect(row: dict[str, str], words: Words) -> None:
    for measured in (False, True):
        one = fault(row["fault"], row["where"], measured=measured)
        cause, then = words_of(one, words)
        assert cause
        assert then
        assert "{" not in cause + then + said_of(one, words)
        assert not then.startswith("lift"), "an end is lifted with the power off"
        other = AMERICAN if words is BRITISH else BRITISH
        assert f" {other.tube}" not in said_of(one, words)


def test_a_coupling_capacitor_that_leaks_comes_first_and_explains_what_is_off() -> None:
    one = run(**LEAKY)
    first = one.ranked[0]
    assert (first.subject, first.fault) == ("C7", "leaks")
    assert first.said in ("likely", "fits best", "possible")
    assert "V4" in first.alike, "gas in V4 reads alike"
    assert {"V4 grid", "V4 cathode"} <= set(first.explains)
    assert "lift the grid end of C7" in one.apart
    assert "another tube" in one.apart
    assert "at zero or at its bias, it was C7" in first.then


def test_a_tight_coupling_capacitor_is_not_accused() -> None:
    one = run(**LEAKY | {"coupling": "10 nF film, leakage <0.1 uA at 400 V"})
    assert all("C7" not in (cause.subject, *cause.alike) for cause in one.ranked)
    assert one.ranked[0].subject == "V4"


def test_a_sound_set_needs_no_fault() -> None:
    one = run(**SOUND)
    assert (one.ranked[0].subject, one.ranked[0].fault) == (None, "nothing wrong")
    assert lead(one) == "as found: no fault is needed to explain the readings."
    assert brief(one) == ""


def test_a_set_without_b_plus_has_its_rectifier_tested() -> None:
    dead = {
        "triode": "plate 0, cathode 0",
        "output": "plate 0, screen 0, grid 0, cathode 0",
        "b_plus": "0",
        "rail": "0",
    }
    one = run(**SOUND | dead)
    assert (one.ranked[0].subject, one.ranked[0].fault) == ("V5", "dead")
    assert [(step.place, step.how) for step in one.next] == [("V5", "another tube")]


def test_nothing_is_read_on_the_line_side_with_the_set_on() -> None:
    for text in (SET.format(**LEAKY), *((folder / "record.yml").read_text() for folder in sorted(DEMO.iterdir()))):
        found = makers.findings("readings", text)
        for one in found.causes if found else ():
            on = [step.place for step in one.next if step.how == "set on"]
            assert not [at for at in on if "line" in at or "AC" in at or at.endswith(("plate 1", "plate 2"))]
            assert all(cause.fault != "nothing wrong" for cause in one.accused)


def test_a_bound_and_a_place_not_read_are_no_evidence() -> None:
    plain = run(**LEAKY)
    with_bound = run(**LEAKY | {"triode": "plate >50, cathode x"})
    assert with_bound.read == plain.read - 2


def test_with_three_readings_the_rules_alone_speak() -> None:
    text = SET.format(**LEAKY).replace("    V3: plate 96, cathode 1.25\n", "").replace("screen 238, ", "")
    text = text.replace("    V5: cathode 250\n    B+2: 238\n", "")
    found = makers.found("readings", text)
    assert found.causes == ()
    assert found.suggestions
    assert not any(suggestion.tried for suggestion in found.suggestions)


def test_where_every_fault_was_tried_the_rules_are_silent_on_the_page() -> None:
    text = SET.format(**LEAKY)
    assert all(s.tried for s in makers.found("readings", text).suggestions)
    html = makers.page("readings", text)
    assert "What may be behind these readings" in html
    assert "What these readings suggest" not in html
    assert "%" not in html[html.index("voltages-causes") : html.index("How the causes were found")]


def test_the_order_of_the_parts_changes_nothing() -> None:
    text = SET.format(**LEAKY)
    head, parts = text.split("parts:\n")
    turned = f"{head}parts:\n" + "".join(f"{line}\n" for line in reversed(parts.splitlines()))
    assert makers.found("readings", turned).causes == makers.found("readings", text).causes


@pytest.mark.parametrize(
    "line",
    ["R9: 0 ohm, between V5 cathode and B+2", "R9: 1e12 ohm, between V5 cathode and B+2",
     "R9: 1.5 kohm, between B+2 and V4 plate", "R9: 1.5 kohm, measured open, between V5 cathode and B+2"],
)  # fmt: skip
def test_a_hostile_resistor_gives_causes_or_none(line: str) -> None:
    text = SET.format(**LEAKY).replace("R9: 1.5 kohm, between V5 cathode and B+2", line)
    found: Any = makers.found("readings", text)
    assert len(found.causes) <= 1
    makers.page("readings", text)


def test_the_demo_tells_of_its_capacitor_in_the_past() -> None:
    """Its story has it that C7 held the output grid positive, and was replaced."""
    found = makers.found("readings", (DEMO / "larkfield-minuet-5/record.yml").read_text())
    before, after = found.causes
    assert (before.ranked[0].subject, before.settled) == ("C7", after.run)
    assert "C7 leaked" in before.lead
    # Of the newest list the page says so itself: the same stood there twice.
    assert after.lead == f"{after.run}: no fault is needed to explain the readings."
    assert "needs no fault" not in before.lead
    assert "V4 grid" in before.ranked[0].explains
    assert after.ranked[0].subject is None


def test_leads_never_say_that_it_is_so() -> None:
    cause = RankedCause("C7", "leaks", "fits best", cause="C7 leaks", alike=("V4", "R10"))
    one = RunCauses("as found", (cause,), no_single_fault=False, next=())
    assert lead(one) == (
        "as found: of all single faults this fits the readings best: C7 leaks; V4 and R10 would read the same."
    )
    unsure = RankedCause("C7", "leaks", "cannot tell", cause="C7 leaks")
    assert lead(RunCauses("as found", (unsure,), no_single_fault=False, next=())).endswith("cannot tell yet.")
    weak = RankedCause(None, "nothing wrong", "cannot tell")
    assert lead(RunCauses("as found", (weak,), no_single_fault=False, next=())) == (
        "as found: no fault is needed to explain the readings, but they would not show every one."
    )
    nothing = RankedCause(None, "nothing wrong", "possible")
    flagged = RunCauses("as found", (nothing,), no_single_fault=True, next=())
    assert lead(flagged) == "as found: neither one fault nor that nothing is wrong explains the readings."


def test_the_past() -> None:
    assert in_the_past("C7 leaks") == "C7 leaked"
    assert in_the_past("R5 is open, or its connection") == "R5 was open, or its connection"
    assert in_the_past("V4 has gas or grid emission") == "V4 had gas or grid emission"


GOUDVINK = (DEMO / "ternhaag-goudvink/record.yml").read_text(encoding="utf-8")


def test_what_a_resistor_measured_off_explains_is_not_claimed_for_another_fault() -> None:
    """R9 measured at three times its value; that starves V3, whatever C41 does to V5."""
    before = makers.found("readings", GOUDVINK).causes[0]
    assert before.ranked[0].subject == "C41"
    assert before.ranked[0].explains == ("V5 grid",)
    assert before.ranked[0].by_others == (("R9", ("V3 screen", "V3 cathode")),)
    assert "explains V5 grid; V3 screen and V3 cathode go with R9, which measured off;" in before.lead


def test_a_rail_that_the_wave_switch_has_taken_off_is_no_fault() -> None:
    """The sheet has 0 V there on FM; on MW no list is published, and a switch lies before the rail."""
    dead = [s for s in makers.found("readings", GOUDVINK).suggestions if s.rule == "rail without voltage"]
    assert dead == []
    no_switch = GOUDVINK.replace("    HT AM: 0\n", "", 1).replace("cleaned, HT3 to HT AM", "cleaned")
    dead = [s for s in makers.found("readings", no_switch).suggestions if s.rule == "rail without voltage"]
    assert {s.tube for s in dead} == {"B+ AM"}


def test_what_hangs_behind_a_closed_switch_is_a_load_of_the_rail_before_it() -> None:
    """On FM V1 takes 9.02 + 3.65 mA through S1a, of the 35.3 mA that R52 brings to the third rail."""
    tree = makers.found("readings", GOUDVINK).runs[-1].tree
    third = next(branch for branch in tree if branch.via == "R52")
    assert third.amps == pytest.approx(35.3e-3, rel=0.01)
    assert third.unaccounted_amps is not None
    assert abs(third.unaccounted_amps) < 1e-3
    fm = next(branch for branch in tree if branch.name == "B+ FM")
    assert fm.level == third.level + 1


def test_no_part_is_suspected_where_all_that_is_held_to_a_value_is_within_its_band() -> None:
    """An open R10 would fit a grid at -2 V, which no sheet has a value for; every other reading is in order."""
    text = SET.format(**SOUND).replace("grid 0, cathode 12.5", "cathode 12.5").replace("grid 0", "grid -2")
    of = makers.found("readings", text)
    assert {row.verdict for row in of.rows} == {"within", "no expected value", "not read"}
    (causes,) = of.causes
    assert causes.ranked[0].subject == "R10"
    assert (causes.suspect, causes.told, causes.brief) == (None, False, "")
    assert "no part is suspected" in causes.lead
    assert "Possible" not in makers.plain(makers.page("readings", text))


@pytest.mark.parametrize(
    ("atom", "told"),
    [
        ("is output", {"V3": False, "V4": True, "V5": False, "B+1": False}),
        ("not output", {"V3": True, "V4": False, "V5": True, "B+1": False}),
        ("is rectifier", {"V3": False, "V4": False, "V5": True, "B+1": False}),
    ],
)
def test_words_for_kinds_of_places(atom: str, told: dict[str, bool]) -> None:
    """A rail is no tube: neither one kind nor the other."""
    bench = makers.bench(
        "tubes:\n  V3: 12AV6\n  V4: 50C5\n  V5: 35W4\n"
        "readings:\n  found:\n    V3: plate 45\n    V4: plate 110\n    V5: cathode 120\n    B+1: 120\n"
    )
    (run,) = told_apart(bench)[1]
    held = evidence_of(compared(bench.circuit, run, ()), bench)
    assert {evidence.tube: holds(atom, evidence) for evidence in held} == told
