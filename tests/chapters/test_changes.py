"""The changes chapter: impedances against published worked examples, gains by hand, and the page."""

from __future__ import annotations

import json
import math

import pytest

import makers
from benchleaf.chapters.changes.findings import AtFrequency, ChangeFindings, ChangesFindings
from benchleaf.report.findings import NOTE, as_json

HEAD = """\
maker: Larkfield
model: Minuet 5
line: 120 V 60 Hz
power: series string
IF: 455 kHz
bands:
  MW: 540-1620 kHz
"""
CAN = """\
parts:
  C12:
    sections:
      a: was 40 uF 150 V, now 47 uF 200 V
      b: was 20 uF 150 V, now {now}
"""


def found(text: str) -> ChangesFindings:
    return makers.found("changes", text)


def change(line: str, head: str = HEAD, parts: str = "") -> ChangeFindings:
    return found(f"{head}{parts}changes:\n  {line}\n").changes[0]


def at(findings: ChangeFindings, what: str) -> AtFrequency:
    return next(a for a in findings.at if a.what == what)


def test_no_changes_no_chapter() -> None:
    assert makers.findings("changes", HEAD) is None


def test_the_sets_own_frequencies() -> None:
    c = change("C21: add 0.1 uF film, between B+2 and B-")
    assert [(a.what, a.hertz) for a in c.at] == [
        ("ripple, half-wave", 60.0),
        ("audio", 1e3),
        ("IF", 455e3),
        ("MW, low end", 540e3),
        ("MW, high end", 1620e3),
    ]


def test_full_wave_ripple_is_at_twice_the_line() -> None:
    c = change("C21: add 0.1 uF film", HEAD.replace("series string", "transformer"))
    assert at(c, "ripple, full-wave").hertz == 120.0


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("value", "frequency", "ohms"),
    [("0.1 uF", "1400 Hz", 1140), ("1 uF", "1400 Hz", 114), ("47 pF", "1 MHz", 3388), ("47 pF", "10 MHz", 338.8)],
)
def test_reactance_of_an_added_capacitor(value: str, frequency: str, ohms: float) -> None:
    """worked_examples.csv: FOSSEE companion 2240, Ex. 17.1 and 17.2 (Grob 11e); 1140 is printed as “about”."""
    c = change(f"C21: add {value}", HEAD.replace("455 kHz", frequency))
    assert at(c, "IF").added_ohms == pytest.approx(ohms, rel=5e-3)


@pytest.mark.handbook
def test_capacitor_with_esr_and_esl() -> None:
    """worked_examples.csv: 100 nF, 50 mohm, 1 nH: 1.5865 ohm at 1 MHz, self-resonance 15.915 MHz (hypercode)."""
    c = change("C21: add 100 nF, ESR 50 mohm, ESL 1 nH", HEAD.replace("455 kHz", "1 MHz"))
    assert at(c, "IF").added_ohms == pytest.approx(1.5865, rel=1e-3)
    assert c.self_resonance_hertz == 16e6


@pytest.mark.handbook
def test_antiresonance_of_two_in_parallel() -> None:
    """worked_examples.csv: 10 uF/0.1 ohm/10 nH with 100 nF/0.02 ohm/1 nH: undamped estimate 4.8226 MHz; 0.792 ohm."""
    c = change(
        "C21: add 100 nF, ESR 20 mohm, ESL 1 nH, across C12 b",
        HEAD.replace("455 kHz", "4.7786 MHz"),
        CAN.format(now="10 uF 200 V, ESR 0.1 ohm, ESL 10 nH"),
    )
    assert c.antiresonance_hertz == 4.8e6
    assert at(c, "IF").both_ohms == pytest.approx(0.792, rel=5e-3)


def test_gain_over_a_worn_electrolytic() -> None:
    """By hand: 7 ohm against 7 ohm parallel to -j3.4979 ohm (0.1 uF at 455 kHz, lossless), 3.129 ohm: 6.99 dB."""
    c = change("C21: add 0.1 uF film, across C12 b", parts=CAN.format(now="22 uF 200 V, ESR 7 ohm"))
    assert c.across_farads == pytest.approx(22e-6)
    assert at(c, "IF").gain_decibels == pytest.approx(20 * math.log10(7 / 3.129), abs=0.02)
    assert c.gains_little is False


def test_good_electrolytic_leaves_little_to_gain() -> None:
    text = f"{HEAD}{CAN.format(now='22 uF 200 V, ESR 0.4 ohm')}changes:\n  C21: add 0.1 uF film, across C12 b\n"
    findings = found(text)
    c = findings.changes[0]
    assert c.gains_little is True
    assert [(s.severity, s.text) for s in makers.standouts("changes", text)] == [
        (NOTE, f"C21 across C12 b gains {c.most_gain_decibels:.1f}\u202fdB at the most at this set’s frequencies.")
    ]
    assert "buys little at these frequencies" in makers.page("changes", text)


def test_without_esr_nothing_is_promised() -> None:
    text = f"{HEAD}{CAN.format(now='22 uF 200 V')}changes:\n  C21: add 0.1 uF film, across C12 b\n"
    c = found(text).changes[0]
    assert (c.lacks, c.most_gain_decibels, c.gains_little) == ("ESR", None, None)
    assert makers.standouts("changes", text) == []
    assert "C12 b has no ESR written" in makers.page("changes", text)


def test_across_a_part_that_is_not_in_the_record() -> None:
    c = change("C21: add 0.1 uF film, across C99")
    assert (c.lacks, at(c, "IF").there_ohms) == ("part", None)


def test_esr_of_the_old_part_is_not_taken_for_the_new_one() -> None:
    parts = CAN.format(now="22 uF 200 V").replace("b: was 20 uF 150 V", "b: was 20 uF 150 V, ESR 7 ohm")
    assert change("C21: add 0.1 uF film, across C12 b", parts=parts).across_esr_ohms is None


def test_added_choke_removed_part_and_what_cannot_be_computed() -> None:
    """By hand: 2 pi x 455 kHz x 1 mH is 2859 ohm."""
    c = change("L9: add 1 mH, between V2 plate and B+2, remove R7")
    assert at(c, "IF").added_ohms == pytest.approx(2859, rel=1e-3)
    assert (c.removed, c.between) == ("R7", ("V2 plate", "B+2"))
    assert change("R9: add 47 kohm, between AVC and B-").at == ()
    assert change("X1: {remove: R7, why: hum}").at == ()


def test_missing_line_if_and_bands_are_named() -> None:
    findings = found("maker: A\nmodel: B\nchanges:\n  C21: add 0.1 uF film\n")
    assert [a.what for a in findings.changes[0].at] == ["audio"]
    assert findings.lacks == ("line frequency", "IF", "bands")
    head = "maker: A\nmodel: B\nline: 110 V DC\n"
    assert found(f"{head}changes:\n  C21: add 0.1 uF\n").lacks == ("IF", "bands")


def test_json_holds_si_numbers() -> None:
    text = f"{HEAD}{CAN.format(now='22 uF, ESR 0 ohm')}changes:\n  C21: add 0.1 uF, across C12 b, date 2026-03-06\n"
    data = json.loads(json.dumps(as_json(found(text)), allow_nan=False))
    (only,) = data["changes"]
    assert only["across_esr_ohms"] == 0.0
    assert {"what", "hertz", "added_ohms", "both_ohms", "gain_decibels"} <= set(only["at"][0])


def test_page_tells_what_was_changed_and_escapes_it() -> None:
    html = makers.page(
        "changes",
        f"{HEAD}changes:\n"
        '  "<script>x</script>": {add: 0.1 uF film, across: "\\"><img onerror=a>", why: "<script>y</script>",'
        ' remove: "<b>", note: "<i>"}\n',
    )
    assert "<script" not in html
    assert "<img" not in html
    assert "&lt;script&gt;x" in html
    assert '<span class="bl-whole">3</span><span class="bl-part">.5' in html


def test_page_shows_numbers_with_units() -> None:
    html = makers.page(
        "changes",
        f"{HEAD}{CAN.format(now='22 uF, ESR 7 ohm')}changes:\n  C21: add .1 mfd 250 V film, across C12 b, why hum\n",
    )
    for told in ("read as 0.1\u202fµF", "across C12 b", "hum", "455", "dB", "bl-conclusion"):
        assert told in html
