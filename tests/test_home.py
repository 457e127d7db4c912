"""Pieces of the archive on a page of the site's own: what they hold, where they lead, what a writer is told."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.archive.home import PIECES, Home, PlacedPieces
from benchleaf.pages.set_page import Choices, SetPage

EVIL = '<script>x</script>" onmouseover="x {{ 7 * 7 }}'


def placed(markdown: str, pages: list[SetPage] | None = None, to_root: str = "", **given: bool | int) -> PlacedPieces:
    home = Home(makers.archive(5) if pages is None else pages, Choices(), "sets/")
    return home.placed(markdown, "index.md", to_root, **given)  # type: ignore[arg-type]


def html(name: str, pages: list[SetPage] | None = None, to_root: str = "") -> str:
    (made,) = placed(f"[[{name}]]", pages, to_root).html.values()
    return made


def test_a_piece_becomes_a_comment_that_stands_for_it() -> None:
    """No other plugin and no Markdown sees text of a record."""
    made = placed("# Us\n[[ Last  Finished ]]\nWe mend.\n")
    assert made.markdown == "# Us\n\n<!-- benchleaf piece 0 -->\n\nWe mend.\n"
    assert list(made.html) == ["<!-- benchleaf piece 0 -->"]
    assert made.warnings == ()


def test_pieces_below_each_other_stand_side_by_side_and_others_by_themselves() -> None:
    made = placed("[[on the bench]]\n\n\n[[look up]]\n\nWords.\n\n[[found in these sets]]\n")
    assert [re.findall(r'aria-label="([^"]+)"', piece) for piece in made.html.values()] == [
        ["On the bench", "Look up"],
        ["Found in these sets"],
    ]
    assert made.markdown.count("benchleaf piece") == 2


def test_in_code_and_within_a_line_brackets_are_text() -> None:
    text = "```\n[[look up]]\n```\n\n    [[look up]]\n\nWrite `[[look up]]` here.\n~~~~\n~~~\n[[look up]]\n~~~~\n"
    assert placed(text) == PlacedPieces(text)
    assert len(placed(f"{text}[[look up]]\n").html) == 1


def test_an_unknown_piece_is_told_with_its_place_and_the_nearest() -> None:
    made = placed("# Us\n\n [[on the bensh]]\n", above=4)
    (told,) = made.warnings
    assert told.startswith(
        "index.md:7:2: found “[[on the bensh]]”; expected the name of a piece: last finished, on the bench"
    )
    assert told.endswith("did you mean “on the bench”?")
    assert made.markdown == "# Us\n\n [[on the bensh]]\n"
    assert len(placed("[[Some Page]]").warnings) == 1


def test_where_double_brackets_are_links_only_what_is_near_a_piece_is_told() -> None:
    assert placed("[[Some Page]]", others=True).warnings == ()
    assert len(placed("[[look upp]]", others=True).warnings) == 1


def test_the_last_finished_are_three_latest_first() -> None:
    days = [f"2026-0{n}-01" for n in (3, 1, 4, 2)]
    pages = [
        makers.carded_page(day, day, state="finished", finished=day, dated="2026-09-09", faults=[["dead", "R13", ""]])
        for day in days
    ]
    made = html("last finished", [*pages, makers.carded_page("open", "Open", state="on the bench")])
    assert re.findall(r'<a href="sets/([^/]+)/">', made) == ["2026-04-01", "2026-03-01", "2026-02-01"]
    assert "dead → R13" in made
    assert "No set is finished yet." in html("last finished", [])


def test_on_the_bench_says_what_each_set_waits_for() -> None:
    wanted = [{"set": "one", "part": "C1", "value": 1e-8, "unit": "F", "sort": "film", "volts": None, "watts": None}]
    still = {"still_open": [[7, "V5 grid is positive."]], "open_count": 1}
    one = makers.carded_page("one", "One", state="on the bench", wanted=wanted, **still)
    made = html("on the bench", [one, makers.carded_page("done", "Done", state="finished")])
    assert re.findall(r"<li>.*?</li>", made) == [
        '<li><a href="sets/one/">Larkfield One</a>: V5 grid is positive. Parts to get: 1.</li>'
    ]
    many = html("on the bench", [makers.carded_page(str(n), str(n), state="on the bench") for n in range(9)])
    assert '<a href="sets/?state=on%20the%20bench">3 more on the bench</a>' in many
    assert "Nothing at the moment." in html("on the bench", [])


def test_what_was_found_is_counted_by_sort_the_worst_first() -> None:
    looked = [
        {"kind": kind, "value": 1e-8, "unit": unit, "out": out, "drift": 0.1, "leaky": None, "year": None}
        for kind, unit, out in (
            *[("paper", "F", True)] * 4,
            ("wax paper", "F", False),
            *[("electrolytic", "F", True)] * 2,
            *[("carbon composition", "ohm", False)] * 3,
            ("mica", "F", None),
        )
    ]
    made = html("found in these sets", [makers.carded_page("one", "One", looked_at=looked)])
    assert re.findall(r"<li>([^<]+)</li>", made) == [
        "4 of 5 paper capacitors measured were out of tolerance or over their limits",
        "2 of 2 electrolytics",
        "0 of 3 resistors",
    ]
    assert '<a href="sets/#old-parts">' in made
    assert "No old part was measured yet." in html("found in these sets", [])


@pytest.mark.parametrize(("count", "place"), [(5, "../sets/#by-tube"), (13, "../sets/by-tube/")])
def test_the_ways_in_lead_to_the_index_or_to_their_pages(count: int, place: str) -> None:
    made = html("look up", makers.archive(count), "../")
    assert f'<a href="{place}">A tube</a>' in made
    assert '<a href="../sets/">Every set</a>' in made


def test_a_page_that_is_not_made_is_not_led_to() -> None:
    home = Home(makers.archive(13), Choices(), "sets/", frozenset({"by-tube", "old-parts"}))
    (made,) = home.placed("[[look up]]\n[[found in these sets]]", "index.md", "").html.values()
    assert "by-complaint/" in made
    assert "by-tube" not in made
    assert "old-parts" not in made


def test_on_the_page_of_the_index_itself_links_still_lead_there() -> None:
    home = Home(makers.archive(2), Choices(), "")
    (made,) = home.placed("[[look up]]", "own.md", "").html.values()
    assert '<a href="./">Every set</a>' in made


@pytest.mark.parametrize("name", PIECES)
def test_hostile_text_stays_text(name: str) -> None:
    evil = makers.carded_page("evil", EVIL, EVIL, state="on the bench", lead=EVIL, tubes=[EVIL], line_side=EVIL)
    done = makers.carded_page("done", EVIL, EVIL, state="finished", lead=EVIL, faults=[[EVIL, EVIL, ""]])
    made = html(name, [evil, done])
    assert "<script" not in made
    assert 'onmouseover="' not in made


def test_a_card_that_cannot_be_shown_is_left_out() -> None:
    wrong = makers.carded_page("wrong", "Wrong", state="finished", looked_at=[{"kind": 7}])
    made = html("last finished", [wrong, makers.carded_page("one", "One", state="finished")])
    assert re.findall(r'<a href="sets/([^/]+)/">', made) == ["one"]
