"""The buffer capacitor of vibrator sets. Limits of value and rating are common practice, no source."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.parts.findings import Buffer, PartsFindings
from benchleaf.report.findings import DANGER, NOTE

BENCH = makers.bench()
OLD = "was 7 nF 1600 V paper"


def text_of(line: str, power: str = "vibrator") -> str:
    return f"line: 6.3 V DC\npower: {power}\ntubes:\n  V6: 6X5GT\nparts:\n  C20: {line}\n"


def found(line: str, power: str = "vibrator") -> PartsFindings:
    return makers.found("parts", text_of(line, power))


def buffer(line: str) -> Buffer:
    judged = found(line).rows()[0].buffer
    assert judged is not None
    return judged


def said(line: str) -> list[tuple[int, str]]:
    return [(s.severity, makers.plain(s.text)) for s in makers.standouts("parts", text_of(line))]


@pytest.mark.parametrize(
    ("new", "timing", "severity"),
    [
        ("6.8 nF", "close", None),
        ("7.7 nF", "close", None),
        ("7.75 nF", "near", NOTE),
        ("8 nF", "near", NOTE),
        ("8.4 nF", "near", NOTE),
        ("8.45 nF", "off", NOTE),
        ("10 nF", "off", NOTE),
        ("4.7 nF", "off", NOTE),
    ],
)
def test_a_new_value_against_the_old_one(new: str, timing: str, severity: int | None) -> None:
    """Within 10 % and within 20 % of 7 nF, common practice, no source: 7.7 nF and 8.4 nF are the edges."""
    line = f"job buffer, {OLD}, now {new} 2000 V polypropylene"
    assert buffer(line).timing == timing
    assert [s for s, text in said(line) if "timing" in text] == ([] if severity is None else [severity])


def test_the_new_one_counts_as_it_measures() -> None:
    line = f"job timing capacitor, {OLD}, now 6.8 nF 2000 V polypropylene, measured 5.25 nF"
    assert buffer(line).change == pytest.approx(-0.25)


@pytest.mark.parametrize(("rated", "enough"), [("630 V", False), ("1600 V", True), ("2 kV", True)])
def test_it_needs_1600_volts(rated: str, enough: bool) -> None:
    line = f"job buffer, {OLD}, now 6.8 nF {rated} polypropylene, between V6 plate and chassis"
    assert buffer(line).rating_enough is enough
    assert any("1.6 kV" in text for _, text in said(line)) is not enough


def test_a_shorted_one_in_the_set_is_a_danger() -> None:
    assert said("job buffer, keep, was 7 nF 1600 V paper shorted")[0] == (
        DANGER,
        "C20, the buffer, is shorted and is in the set: the first part to replace in a vibrator supply.",
    )


def test_a_leaky_one_in_the_set_is_to_be_watched_and_told_of_once() -> None:
    line = "job buffer, keep, was 7 nF 1600 V paper, leakage 100 uA at 200 V"
    assert [(s, "first part to replace" in text) for s, text in said(line)] == [(NOTE, True)]


def test_a_leaky_one_that_was_replaced_is_no_fault() -> None:
    assert said(f"job buffer, {OLD} shorted, now 6.8 nF 1600 V polypropylene") == []


def test_no_buffer_without_a_vibrator_or_away_from_the_secondary() -> None:
    assert found(f"job buffer, {OLD}", "transformer").rows()[0].buffer is None
    assert found(f"job buffer, {OLD}, between V6 cathode and chassis").rows()[0].buffer is None
    assert found(f"job coupling, {OLD}").rows()[0].buffer is None


def test_page_says_it() -> None:
    line = f"job buffer, {OLD}, now 10 nF 630 V film"
    html = makers.plain(makers.page("parts", text_of(line)))
    assert "timing shifted" in html
    assert "at least 1.6 kV needed" in html
    assert "common practice, no source" in html
