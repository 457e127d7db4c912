"""The chapters in short: their lengths, where their links lead, and that a record's text stays text in them.

They are tried on the demo's sets and on a record that says all it can.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib.util import find_spec
from typing import Any

import pytest

import full_record
import makers
from benchleaf.chapters.examine import Examined
from benchleaf.chapters.order import CHAPTERS, Chapter
from benchleaf.record.units import say
from benchleaf.report.digest import Digest
from benchleaf.report.sentence import Phrase, text_of
from hostile_text import with_hostile_text
from markup import parsed, words_of
from sites import REPO

SETS = {
    **{p.parent.name: p.read_text(encoding="utf-8") for p in sorted((REPO / "site_src/sets").glob("*/record.yml"))},
    "all that can be said": full_record.FULL,
}
UNSAID = re.compile(r"\bNone\b(?! [a-z])|\b(?:nan|inf|Undefined)\b|\{\{|<bound|object at 0x")
IN_SHORT = [chapter for chapter in CHAPTERS if find_spec(f"benchleaf.chapters.{chapter.folder}.digest")]

in_short = pytest.mark.parametrize("chapter", IN_SHORT, ids=lambda chapter: chapter.folder)


@cache
def examined(name: str) -> Examined:
    return makers.examined(SETS[name])


def told(chapter: Chapter) -> Iterator[tuple[Examined, Any, Digest]]:
    for name in SETS:
        if (found := examined(name).findings[chapter.folder]) is not None:
            yield examined(name), found, makers.digest(chapter.folder, examined(name).bench, found)


def words_of_a_reader(phrase: Phrase) -> int:
    """A number and its unit are one word."""
    return len([word for word in text_of(phrase).split(" ") if word])


@in_short
def test_a_digest_is_short(chapter: Chapter) -> None:
    """45 words a paragraph (60 where two stand side by side, or tell before and after), 24 rows, 30 words a line."""
    for _, _, digest in told(chapter):
        both_times = chapter.folder == "line_side"
        assert words_of_a_reader(digest.conclusion) <= (60 if digest.half or both_times else 45)
        assert all(words_of_a_reader(paragraph) <= 60 for paragraph in digest.more)
        assert len(digest.rows.rows if digest.rows else ()) <= 24
        assert len(list(digest.table.rows())) <= 13 if digest.table else True
        lists = (*digest.brief.wrong, *digest.brief.done)
        assert all(words_of_a_reader(line.phrase) <= 30 for line in lists)
        assert all(line.text.endswith(".") for line in lists)


@cache
def ids_of_pages(name: str) -> frozenset[str]:
    """The ids on the pages of a set's chapters."""
    bench, findings = examined(name).bench, examined(name).findings
    pages = [makers.page(folder, bench, found) for folder, found in findings.items() if found is not None]
    return frozenset(parsed("".join(pages)).ids) | {chapter.anchor for chapter in CHAPTERS}


@in_short
def test_links_of_a_digest_lead_to_a_page_of_the_set_or_to_its_rows(chapter: Chapter) -> None:
    for name in SETS:
        if (found := examined(name).findings[chapter.folder]) is not None:
            leaf = parsed(makers.leaf(chapter.folder, examined(name).bench, found))
            inside = {link.removeprefix("#") for link in leaf.links if link.startswith("#")}
            assert {link for link in inside if not link.startswith("ref-")} <= ids_of_pages(name) | set(leaf.ids)
            assert len(leaf.ids) == len(set(leaf.ids))


@in_short
def test_nothing_is_left_unsaid_or_said_too_easily(chapter: Chapter) -> None:
    for examined, found, _ in told(chapter):
        words = words_of(makers.leaf(chapter.folder, examined.bench, found), " ")
        assert not UNSAID.search(words)
        assert not {"safe", "safely", "simply"} & set(words.casefold().split())


@pytest.mark.parametrize("seed", range(4))
def test_hostile_text_stays_text_in_short(seed: int) -> None:
    for name in ("larkfield-minuet-5", "all that can be said"):
        on = makers.examined(with_hostile_text(makers.record(SETS[name]), random.Random(seed)))
        leaves = [makers.leaf(c.folder, on.bench, f) for c in IN_SHORT if (f := on.findings[c.folder]) is not None]
        elements = parsed("".join(leaves))
        assert not {"script", "img", "iframe", "style"} & set(elements.tags)
        assert elements.scripts == []
        assert "axax" not in "".join(leaves)
        assert any("&lt;script&gt;alert(1)" in leaf for leaf in leaves)


# Tubes, rectifier, changes


def said(folder: str, of: str) -> str:
    return makers.plain(text_of(makers.digest(folder, of).conclusion))


def test_an_exchanged_tube_has_its_emission_at_the_top_and_in_small_print() -> None:
    digest = makers.digest(
        "line_up", "tubes: {V4: 50C5}\nchanged tubes:\n  V4: was 50C5 at 61 % emission, now 50C5 at 102 %\n"
    )
    (compared,) = digest.brief.compared
    assert (compared.rank, compared.label) == (60, "Emission of V4, 50C5")
    assert [makers.plain(text_of(side)) for side in (compared.before, compared.after)] == ["61 %", "102 %"]
    assert makers.plain(text_of(digest.small)) == "V4 exchanged: 50C5 at 61 % emission, now 50C5 at 102 % emission."


def test_why_a_tube_was_exchanged_is_said_of_the_old_one() -> None:
    of = "tubes: {V6: EM80}\nchanged tubes:\n  V6: was EM80 at 15 % emission, now EM80, why too dim to see\n"
    small = makers.digest("line_up", of).small
    assert makers.plain(text_of(small)) == "V6 exchanged: EM80 at 15 % emission (too dim to see), now EM80."


def test_of_a_long_line_up_twelve_rows_are_told_and_the_rest_counted() -> None:
    digest = makers.digest("line_up", "tubes:\n" + "".join(f"  V{n}: 6K7\n" for n in range(1, 16)))
    assert digest.table is not None
    assert len(list(digest.table.rows())) == 12
    assert text_of(digest.after) == "And 3 more on the page of the tubes."


def test_the_supply_tells_b_plus_and_ripple_and_holds_them_against_the_reading() -> None:
    """The numbers are those of the chapter's findings; B+ that was read before and after stands as it was read."""
    found = examined("larkfield-minuet-5").findings["supply"]
    bench = examined("larkfield-minuet-5").bench
    digest = makers.digest("supply", bench, found)
    b_plus, ripple = digest.brief.compared
    assert (b_plus.rank, ripple.rank) == (40, 50)
    assert [text_of(side) for side in (b_plus.before, b_plus.after)] == [say(109, "V"), say(121, "V")]
    assert text_of(ripple.after) == say(found.nominal.rails[0].ripple_volts, "V", digits=2)
    assert text_of(b_plus.how) == f"computed {say(found.nominal.rails[0].volts, 'V')} at 120\u202fV"
    assert "within its limit of 600 mA" in makers.plain(text_of(digest.conclusion))


def test_a_supply_that_cannot_be_computed_says_what_it_would_need() -> None:
    parts = "parts: {C1: 'keep, 8 uF 450 V electrolytic, between B+1 and chassis, job filter'}\n"
    assert said("supply", f"power: transformer\nline: 120 V 60 Hz\ntubes: {{V6: 5Y3GT}}\n{parts}").startswith(
        "B+, ripple and rectifier current cannot be computed yet: it would need an AC reading at the plate of V6"
    )


def test_a_reading_of_one_list_stands_beside_what_is_computed() -> None:
    bench = examined("merrow-and-daughters-teal").bench
    found = examined("merrow-and-daughters-teal").findings["supply"]
    compared = makers.digest("supply", bench, replace(found, before=None)).brief.compared[0]
    assert (compared.before, text_of(compared.after)) == ((), say(found.nominal.rails[0].volts, "V"))


def test_each_change_has_its_paragraph_and_beyond_three_they_are_counted() -> None:
    changes = "".join(f"  C{n}: add 0.1 uF 250 V film, across C1\n" for n in range(21, 26))
    digest = makers.digest("changes", f"changes:\n{changes}")
    paragraphs = [makers.plain(text_of(each)) for each in (digest.conclusion, *digest.more)]
    assert paragraphs == [f"C{n}: 0.1 µF 250 V film across C1 added." for n in (21, 22, 23)]
    assert text_of(digest.small) == "And 2 more on the page of the changes."
    assert [line.text for line in digest.brief.done] == ["5 changes to the circuit: C21, C22, C23 and 2 more."]


def test_a_change_tells_where_it_gains_most_and_least() -> None:
    """4.2 dB at 1620 kHz, 0.0 dB at 60 Hz: the chapter's own table, checked against hand calculation in its tests."""
    on = examined("larkfield-minuet-5")
    said = makers.plain(text_of(makers.digest("changes", on.bench, on.findings["changes"]).conclusion))
    assert "It lowers the impedance there by 4.2 dB at 1620 kHz (MW, high end), and changes nothing at 60 Hz" in said
