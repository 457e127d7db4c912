"""What stands first on a record: in brief, what comes next for a set on the bench, and what one that waits has."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.pages.brief import parts_left
from benchleaf.report.sentence import Sentence
from benchleaf.report.verdict import Verdict
from markup import parsed, words_of

LEAKY = """line: 120 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V4: 6Q7
  V5: 6F6
readings:
  2026-09-19 as found:
    line: 121 V
    to: chassis
    V4: plate 71, cathode 1.4
    V5: plate 228, screen 246, grid 0.9, cathode 19.8
    B+1: 246
parts:
  C1: to do, 0.05 uF 400 V paper, between V4 cathode and chassis
  C9: to do, 0.02 uF 600 V paper, leakage 7 uA at 200 V, between V4 plate and V5 grid
  C13: reform, 16 uF 450 V electrolytic
  C14: 16 uF 450 V electrolytic, measured 15 uF
  C15: was 1 uF 400 V paper, now 1 uF 400 V film, fitted 2026-09-18
"""
FAULT = "faults:\n  - complaint: loud hum\n    cause: C9\n    cure: replaced\n"
RESULT = "results:\n  hum: before 38 mV, after 3 mV\n"


def top_of(html: str, heading: str) -> str:
    """What stands from a heading to the story, the key to the marks left out."""
    return html.partition(f'<h2 id="{heading}">')[2].partition('<p class="bl-key"')[0]


def test_a_set_on_the_bench_tells_what_is_next() -> None:
    page = makers.set_page(f"state: on the bench\n{LEAKY}{FAULT}")
    parsed(page.html)
    told = makers.plain(words_of(top_of(page.html, "next"), " "))
    assert "V5 grid at +0.9 V" in told
    assert "Next: lift the grid end of C9 and read the grid again" in told
    assert "To do: C9 , C1" in told
    assert "Reform: C13" in told
    assert "To check: C14" in told
    assert "New, to check: C15" in told
    assert "measured touch current" in told or "the line side" in told
    assert 'id="in-brief"' not in page.html


def test_the_worst_that_is_open_comes_first() -> None:
    told = words_of(top_of(makers.set_page(f"state: on the bench\n{LEAKY}").html, "next"), " ")
    assert told.index("V5 grid at") < told.index("parts are still to do")


def test_parts_are_listed_by_what_is_left_to_do() -> None:
    left = {each.work: [name for name, _ in each.parts] for each in parts_left(makers.examined(LEAKY))}
    assert left == {"to do": ["C9", "C1"], "reform": ["C13"], "to check": ["C14"], "new, to check": ["C15"]}
    assert parts_left(makers.examined("")) == []


def test_a_set_on_the_bench_shows_the_chapters_that_a_finished_one_tells_at_the_top() -> None:
    assert ">Results<" in makers.set_page(f"state: on the bench\n{RESULT}").html
    assert ">Results<" not in makers.set_page(f"state: finished\n{RESULT}").html


@pytest.mark.parametrize("id", ["results", "faults", "in-brief"])
def test_links_to_a_chapter_told_at_the_top_arrive_there(id: str) -> None:
    html = makers.set_page(f"state: finished\nparts:\n  C9: was 1 nF 400 V paper\n{FAULT}{RESULT}").html
    assert html.count(f'id="{id}"') == 1
    assert html.index(f'id="{id}"') < html.index('id="take-away"')


def test_no_link_stands_inside_another() -> None:
    html = makers.set_page(f"state: finished\n{LEAKY}{FAULT}").html
    assert re.search(r"<a\b[^>]*>(?:(?!</a>).)*<a\b", html, re.S) is None


def test_a_set_that_waits_has_its_complaint_and_no_chapters() -> None:
    story = "It came from a loft.\n\n## How it stands\n\nDusty."
    page = makers.set_page(f"state: waiting\nadvice: keep it dry\n{LEAKY}{FAULT}", story)
    parsed(page.html)
    assert "Loud hum" in words_of(top_of(page.html, "next"), " ")
    assert "bl-caution" in page.html
    assert "It came from a loft" in page.html
    assert not re.search(r"<h[23] id=\"(?:voltages|parts|heaters|faults|in-brief)\"", page.html)
    for anchor in ("voltages", "parts", "faults"):
        assert page.html.count(f'id="{anchor}"') == 1


def test_of_an_empty_record_nothing_is_said_to_be_in_order() -> None:
    told = words_of(top_of(makers.set_page("maker: Plover\nmodel: Alone\n").html, "in-brief"), " ")
    assert "is off" not in told
    assert "Not in the record: the tubes;" in told


def test_without_faults_what_was_wrong_is_what_stands_out_as_put_right(monkeypatch: pytest.MonkeyPatch) -> None:
    from benchleaf.chapters.readings import say

    told = [Sentence(Verdict.PUT_RIGHT, "V5 grid was at +0.9 V.", "voltages"), Sentence(Verdict.NOTE, "A note.")]
    monkeypatch.setattr(say, "standouts", lambda findings, bench: told)
    wrong = words_of(top_of(makers.set_page(f"state: finished\n{LEAKY}").html, "in-brief"), " ")
    assert "What was wrong V5 grid was at +0.9 V." in wrong
    with_faults = words_of(top_of(makers.set_page(f"state: finished\n{LEAKY}{FAULT}").html, "in-brief"), " ")
    assert "V5 grid was" not in with_faults
