"""The index of all sets: what it says of each, in three densities."""

from __future__ import annotations

import json
import posixpath
import re
from urllib.parse import unquote

import pytest

import makers
from benchleaf.archive.cards import card_of
from benchleaf.archive.data_script import data_script
from benchleaf.archive.in_one_print import PRINTS
from benchleaf.archive.index import index
from benchleaf.archive.lists_across import MOST_ROWS
from benchleaf.archive.page import archive_page
from benchleaf.pages.set_page import Choices, SetPage
from indexes import BROKEN, SETS, card

EVIL = '<script>x</script>" onmouseover="x'


# The index
def test_sets_stand_by_name_with_numbers_as_numbers() -> None:
    names = [card.title for card in index(SETS, Choices()).cards]
    assert names == ["Larkfield Minuet 5 (1949)", "Larkfield Minuet 12 (1947)", "Oxbow Minuet 7"]


def test_the_intro_counts_by_state() -> None:
    assert index(SETS, Choices()).intro == "3 tube radios: 1 finished, 1 on the bench, 1 waiting."
    assert index(SETS, Choices(dialect="british")).intro.startswith("3 valve radios")
    unsaid = [*SETS, makers.carded_page("unsaid", "Heron", state="")]
    assert index(unsaid, Choices()).intro == "4 tube radios: 1 finished, 1 on the bench, 1 waiting, 1 without a state."
    assert "No record" in index([BROKEN], Choices()).intro


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("finished", "hum → C7, leaky"),
        ("on the bench", "V5 grid at +0.9 V."),
        ("waiting", "hum"),
        ("", "hum → C7, leaky"),
    ],
)
def test_a_sets_line_is_its_trail_and_on_the_bench_what_is_open(state: str, said: str) -> None:
    """A finished set's line never is a computed note, whatever was computed."""
    both = {"faults": [["hum", "C7, leaky", ""], ["dead", "R13", ""]], "still_open": [[7, "V5 grid at +0.9 V."]]}
    assert card(state=state, **both).what == said


def test_without_a_fault_the_line_is_the_writers_sentence() -> None:
    for state in ("finished", "on the bench", "waiting"):
        assert card(state=state, lead="A kitchen set.").what == "A kitchen set."
    assert card(state="finished", lead="A set.", still_open=[[3, "A note."]], open_count=1).what == "A set."


def test_a_member_is_who_did_the_work_or_whose_folder_it_is() -> None:
    assert card(by="R. Alder").by == "R. Alder"
    assert card_of(makers.carded_page("north/one", "One"), Choices()).by == "north"
    assert card().by == ""


@pytest.mark.parametrize(
    ("maker", "initial", "letter"),
    [("larkfield", "L", "L"), ("Ångström", "Å", "A"), ("3 Brothers", "3", "other"), ("Ёлка", "Ё", "other")],
)
def test_a_set_without_a_picture_shows_its_makers_initial(maker: str, initial: str, letter: str) -> None:
    made = card_of(makers.carded_page("one", "One", maker), Choices())
    assert (made.initial, made.letter) == (initial, letter)
    assert (
        f'aria-hidden="true">{initial}</div>' in archive_page([makers.carded_page("one", "One", maker)], Choices()).html
    )


@pytest.mark.parametrize(
    ("count", "density", "pictures", "letters", "pages"),
    [
        (1, "cards", True, False, False),
        (12, "cards", True, False, False),
        (13, "rows", True, False, True),
        (120, "rows", True, False, True),
        (121, "lines", False, True, True),
        (500, "lines", False, True, True),
    ],
)
def test_one_list_in_three_densities(count: int, density: str, pictures: bool, letters: bool, pages: bool) -> None:
    page = archive_page(makers.archive(count), Choices())
    assert f'class="bl-sets bl-as-{density}"' in page.html
    assert page.html.count('class="bl-name"') == count
    assert ('class="bl-pic' in page.html) is pictures
    assert ('class="bl-letters"' in page.html) is letters
    assert ("by-tube" in {one.name for one in page.workings}) is pages
    assert ('<h2 id="by-tube">' in page.html) is not pages
    assert page.files == ()


@pytest.mark.parametrize(("count", "there"), [(5, False), (6, True)])
def test_few_sets_need_no_filter(count: int, there: bool) -> None:
    assert ('id="filter"' in archive_page(makers.archive(count), Choices()).html) is there


def test_a_filter_has_its_properties_and_every_field_its_label() -> None:
    html = archive_page(makers.archive(40), Choices()).html
    fields = re.findall(r"<(?:input|select) id=\"filter-([^\"]+)\"", html)
    assert fields == ["words", "state", "kind", "maker", "decade", "by", "order"]
    assert all(f'<label for="filter-{field}">' in html for field in fields)
    assert "<option>1930s</option>" in html
    alike = archive_page([makers.carded_page(str(n), str(n), state="waiting") for n in range(9)], Choices()).html
    assert re.findall(r"<select id=\"filter-([^\"]+)\"", alike) == ["order"]


def test_nothing_is_written_into_the_page_that_a_policy_would_refuse() -> None:
    """No style and no script in the page itself."""
    page = archive_page(makers.archive(501), Choices())
    for html in (page.html, *(one.html for one in page.workings)):
        assert not re.search(r"\sstyle=|<style|\son\w+=|<script(?! src=)", html)


@pytest.mark.parametrize(("directories", "href"), [(True, "minuet-5/"), (False, "minuet-5/index.html")])
def test_links_follow_the_sites_kind_of_address(directories: bool, href: str) -> None:
    assert f'<a href="{href}">Larkfield Minuet 5</a>' in archive_page(SETS, Choices(directory_urls=directories)).html


def test_a_record_that_cannot_be_read_is_listed_plainly() -> None:
    html = archive_page(SETS, Choices()).html
    assert '<a href="ruined/">ruined</a>' in html
    assert "cannot be read yet" in html


def test_headings_and_ids_go_to_the_theme() -> None:
    page = archive_page(SETS, Choices(permalinks=True))
    headings = [id for level, id, _ in page.entries if level == 2]
    assert headings == ["unread", "by-tube", "by-complaint", "hand-and-line", "to-put-right"]
    assert page.anchors[0] == "top"
    assert 'href="#by-tube" title="Permanent link"' in page.html


@pytest.mark.parametrize("count", [5, 40, 501])
def test_hostile_names_stay_text(count: int) -> None:
    evil = makers.carded_page("evil", EVIL, EVIL, state="on the bench", kind=EVIL, tubes=[EVIL], by=EVIL, lead=EVIL)
    page = archive_page([evil, *makers.archive(count)], Choices())
    for html in (page.html, *(one.html for one in page.workings)):
        assert "<script>x" not in html
        assert 'onmouseover="' not in html
    assert page.title == "Sets"


# Many sets
@pytest.fixture(scope="module")
def thousands() -> SetPage:
    return archive_page(makers.archive(4000), Choices())


def rows(html: str) -> int:
    return html.count('class="bl-name"') + html.count('<tr><th scope="row">') + html.count("<dd>")


def test_no_page_of_thousands_of_sets_is_long(thousands: SetPage) -> None:
    assert rows(thousands.html.partition("<template")[0]) == MOST_ROWS
    assert max(rows(one.html) for one in thousands.workings) <= MOST_ROWS
    assert max(len(one.html) for one in (thousands, *thousands.workings)) < 120_000
    names = {one.name.split("/")[0] for one in thousands.workings}
    assert {"by-name", "by-year", "by-tube", "what-failed", "to-put-right", "to-order", "old-parts"} <= names


def test_every_set_stands_on_a_page_by_its_initial_and_by_its_decade(thousands: SetPage) -> None:
    for folder in ("by-name/", "by-year/"):
        there = "".join(one.html for one in thousands.workings if one.name.startswith(folder))
        assert len(set(re.findall(r'href="[./]*(set-\d+)/"', there))) == 4000


def test_the_newest_stand_in_the_index(thousands: SetPage) -> None:
    folders = re.findall(r'href="(set-\d+)/"', thousands.html)[:MOST_ROWS]
    days = {page.folder: (page.card or {})["dated"] for page in makers.archive(4000)}
    assert min(days[folder] for folder in folders) >= sorted(days.values())[-MOST_ROWS]


@pytest.mark.parametrize("count", [5, 40, 501])
@pytest.mark.parametrize("directories", [True, False])
def test_every_link_between_the_pages_arrives(count: int, directories: bool) -> None:
    pages = makers.archive(count)
    made = archive_page(pages, Choices(directory_urls=directories))
    found = {"": made.html} | {f"{one.name}/": one.html for one in made.workings}
    there = {at: set(re.findall(r'\sid="([^"]+)"', html)) for at, html in found.items()}
    sets = {f"{page.folder}/" for page in pages} | {f"{one.file}/" for one in PRINTS}
    for at, html in found.items():
        ids = re.findall(r'\sid="([^"]+)"', html)
        assert len(ids) == len(set(ids))
        for href in re.findall(r'<a[^>]*\shref="([^"]*)"', html):
            path, _, fragment = unquote(href).partition("#")
            path = path if directories else path.removesuffix("index.html")
            to = posixpath.normpath(posixpath.join(f"/{at}", path)).lstrip("/")
            to = at if not path else f"{to}/" if to else ""
            assert to in sets or (to in there and (not fragment or fragment in there[to])), (at, href)


def test_the_script_of_all_sets_is_data_and_nothing_else() -> None:
    evil = makers.carded_page("javascript:alert(1)", '"};alert(1);\u2028{"', EVIL, faults=[["hum", "C7", ""]])
    script = data_script([card_of(page, Choices()) for page in (evil, *makers.archive(3))])
    assert script.startswith("window.benchleafSets = {")
    assert script.isascii()
    data = json.loads(script.removeprefix("window.benchleafSets = ").removesuffix(";\n"))
    row = data["rows"][0]
    assert row[:2] == ["javascript%3Aalert%281%29/", f'{EVIL} "}};alert(1);\u2028{{"']
    assert data["states"][data["rows"][1][6]] == "finished"
