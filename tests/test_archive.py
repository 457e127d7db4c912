"""The index of the archive: a card for each set, lists across sets, and a filter that works from a disk."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from benchleaf.archive.index import index
from benchleaf.archive.page import archive_page
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.pages.site_files import ASSETS, asset_files

PHOTO = {
    "fallback": "photos/a-480.jpg",
    "width": 1600,
    "height": 1200,
    "sources": {
        "webp": [["photos/a-480.webp", 480], ["photos/a-1600.webp", 1600]],
        "jpeg": [["photos/a-480.jpg", 480], ["photos/a-1600.jpg", 1600]],
    },
}


def made(folder: str, title: str, **card: Any) -> SetPage:
    filled = {
        "title": title,
        "maker": "Larkfield",
        "model": title,
        "year": None,
        "kind": "battery",
        "tubes": [],
        "tube_types": [],
        "state": "",
        "lead": f"The {title}.",
        "complaints": [],
        "standouts": [],
        "severity": 0,
        "dated": None,
        "picture": None,
        "line_side": "",
    }
    return SetPage(folder, title, "", "", "", (), (), card=filled | card)


BROKEN = SetPage("ruined", "ruined: the record cannot be read", "", "", "", (), ())
SETS = [
    made(
        "minuet-12",
        "Minuet 12",
        year=1947,
        state="finished",
        dated="2026-03-28",
        tubes=["50L6", "12BE6"],
        tube_types=["50L6GT", "12BE6"],
        complaints=["hum after ten minutes"],
        standouts=["V4 grid is positive"],
        severity=2,
        picture=PHOTO,
        kind="line transformer",
        line_side="B- to chassis: 1 meg and 3.3 nF Y1",
    ),
    made(
        "minuet-5",
        "Minuet 5",
        year=1949,
        state="on the bench",
        dated="2026-05-01",
        tubes=["50L6GT"],
        tube_types=["50L6GT"],
    ),
    made("oxbow", "Oxbow", state="waiting", line_side="not listed: not finished"),
    BROKEN,
]


@pytest.fixture(scope="module")
def tab(tmp_path_factory: pytest.TempPathFactory, browser: Browser) -> Iterator[Page]:
    """The index opened from a disk, with no server."""
    root = tmp_path_factory.mktemp("site")
    for name, text in asset_files():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text)
    folder = root / "sets"
    folder.mkdir()
    page = archive_page(SETS, Choices(directory_urls=False))
    head = f'<!doctype html><html lang="en"><title>Sets</title><link rel="stylesheet" href="../{ASSETS}/benchleaf.css">'
    (folder / "index.html").write_text(f"{head}<body>{page.html}</body></html>")
    opened = browser.new_page()
    opened.goto((folder / "index.html").as_uri())
    yield opened
    opened.close()


def shown(tab: Page) -> list[str]:
    return [title.inner_text() for title in tab.locator(".bl-card-title").all() if title.is_visible()]


def reset(tab: Page) -> None:
    tab.reload()
    tab.wait_for_selector("#filter:not([hidden])")


def test_cards_stand_by_name_with_numbers_as_numbers() -> None:
    assert [card.title for card in index(SETS, Choices()).cards] == ["Minuet 5", "Minuet 12", "Oxbow"]


def test_the_intro_counts_by_state() -> None:
    assert index(SETS, Choices()).intro == "3 tube radios: 1 waiting, 1 on the bench, 1 finished."
    assert index(SETS, Choices(dialect="british")).intro.startswith("3 valve radios")
    assert "No record" in index([BROKEN], Choices()).intro


def test_sets_with_one_type_under_two_names_stand_together() -> None:
    groups = {group.name: [link.title for link in group.links] for group in index(SETS, Choices()).by_tube}
    assert groups == {"12BE6": ["Minuet 12"], "50L6GT": ["Minuet 5", "Minuet 12"]}


def test_the_line_side_list_has_finished_sets_only() -> None:
    assert [link.title for link in index(SETS, Choices()).line_side] == ["Minuet 12"]


@pytest.mark.parametrize(("directories", "href"), [(True, "minuet-5/"), (False, "minuet-5/index.html")])
def test_links_follow_the_sites_kind_of_address(directories: bool, href: str) -> None:
    html = archive_page(SETS, Choices(directory_urls=directories)).html
    assert f'<a href="{href}">Minuet 5</a>' in html
    assert 'srcset="minuet-12/photos/a-480.webp 480w"' in html


def test_a_record_that_cannot_be_read_is_listed_plainly() -> None:
    html = archive_page(SETS, Choices()).html
    assert '<a href="ruined/">ruined</a>' in html
    assert "cannot be read yet" in html


def test_everything_is_there_without_a_script() -> None:
    html = archive_page(SETS, Choices()).html
    assert re.search(r"<form[^>]* hidden>", html)
    assert html.count('class="bl-card"') == 3
    assert not re.search(r'<li class="bl-card"[^>]*hidden', html)


def test_every_control_has_its_label() -> None:
    html = archive_page(SETS, Choices()).html
    fields = re.findall(r"<(?:input|select) id=\"([^\"]+)\"", html)
    assert len(fields) == 4
    assert all(f'<label for="{field}">' in html for field in fields)


def test_headings_and_ids_go_to_the_theme() -> None:
    page = archive_page(SETS, Choices(permalinks=True))
    assert [id for level, id, _ in page.entries if level == 2] == ["unread", "line-side", "by-tube", "by-complaint"]
    assert page.anchors[0] == "top"
    assert 'href="#by-tube" title="Permanent link"' in page.html


def test_hostile_names_stay_text() -> None:
    html = archive_page([made('a" onmouseover="x', "<script>x</script>", lead='"><img onerror=x>')], Choices()).html
    assert "<script>x" not in html
    assert "<img onerror" not in html
    assert 'onmouseover="' not in html


def test_the_filter_by_words_looks_at_tubes_and_complaints(tab: Page) -> None:
    reset(tab)
    tab.locator("#filter-text").fill("HUM 12be6")
    assert shown(tab) == ["Minuet 12"]
    assert tab.locator("#filter-count").inner_text() == "1 of 3 sets are shown."
    tab.locator("#filter-text").fill("no such thing")
    assert shown(tab) == []


def test_the_filter_by_state_and_kind(tab: Page) -> None:
    reset(tab)
    tab.locator("#filter-state").select_option("waiting")
    assert shown(tab) == ["Oxbow"]
    tab.locator("#filter-state").select_option("")
    tab.locator("#filter-kind").select_option("line transformer")
    assert shown(tab) == ["Minuet 12"]


@pytest.mark.parametrize(
    ("order", "titles"),
    [
        ("name", ["Minuet 5", "Minuet 12", "Oxbow"]),
        ("year", ["Minuet 12", "Minuet 5", "Oxbow"]),
        ("dated", ["Minuet 5", "Minuet 12", "Oxbow"]),
    ],
)
def test_sets_without_a_year_or_a_date_come_last(tab: Page, order: str, titles: list[str]) -> None:
    reset(tab)
    tab.locator("#filter-order").select_option(order)
    assert shown(tab) == titles


def test_from_a_disk_the_page_says_what_works(tab: Page) -> None:
    reset(tab)
    assert tab.locator("#opened-as-file").is_visible()


def test_the_page_never_scrolls_sideways_on_a_phone(tab: Page) -> None:
    tab.set_viewport_size({"width": 360, "height": 700})
    assert tab.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_the_style_and_the_script_ask_no_other_host() -> None:
    for name, text in asset_files():
        assert Path(name).suffix in (".css", ".js")
        assert "@import" not in text
        assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)", text)
