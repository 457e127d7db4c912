"""A record is read in two minutes: what the demo's first set may take of screen and paper; all sets are whole."""

from __future__ import annotations

import posixpath
import re
from functools import cache
from html import unescape
from itertools import pairwise
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Browser

from sites import DEMO

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
FIRST = "sets/larkfield-minuet-5/"
SMALLEST_PHONE, PHONE, DESKTOP = 320, 360, 1280

MEASURED = """() => {
    const article = document.querySelector('article.bl-set'), key = document.querySelector('.bl-key');
    const words = element => element.innerText.split(/\\s+/).filter(Boolean).length;
    const shown = selector => [...article.querySelectorAll(selector)].filter(e => e.checkVisibility());
    const children = [...article.children];
    return {
        height: document.documentElement.scrollHeight,
        words: words(article),
        tables: shown('table').length,
        rows: shown('tr').length,
        bytes: new TextEncoder().encode(article.outerHTML).length,
        brief: Math.round(key.getBoundingClientRect().bottom + scrollY),
        briefWords: children.slice(0, children.indexOf(key) + 1).reduce((sum, e) => sum + words(e), 0),
        entries: document.querySelectorAll('.md-sidebar--secondary a.md-nav__link').length,
    };
}"""


def measured(browser: Browser, address: str, width: int) -> dict[str, int]:
    """What a page takes at one width."""
    page = browser.new_page(viewport={"width": width, "height": 800})
    page.goto(address, wait_until="networkidle")
    found: dict[str, int] = page.evaluate(MEASURED)
    page.close()
    return found


def sheets(browser: Browser, address: str) -> dict[str, int]:
    """How many sheets of each paper a page takes when it is printed as it opens."""
    page = browser.new_page()
    page.goto(address, wait_until="networkidle")
    pdfs = {paper: page.pdf(format=paper) for paper in ("A4", "Letter")}
    page.close()
    return {paper: len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) for paper, pdf in pdfs.items()}


@pytest.fixture(scope="module")
def on_a_desktop(browser: Browser, demo_address: str) -> dict[str, int]:
    return measured(browser, demo_address + FIRST, DESKTOP)


@pytest.mark.parametrize(
    ("what", "most"),
    [
        ("height", 6_500),
        ("words", 2_500),
        ("tables", 4),
        ("rows", 40),
        ("bytes", 60_000),
        ("brief", 1_450),
        ("briefWords", 400),
        ("entries", 16),
    ],
)
def test_the_record_keeps_to_its_budget(on_a_desktop: dict[str, int], what: str, most: int) -> None:
    assert 0 < on_a_desktop[what] <= most


@pytest.mark.parametrize("name", SETS)
def test_the_figures_at_the_top_stand_in_one_line(browser: Browser, demo_address: str, name: str) -> None:
    """A label of three lines, or a figure without one before it, put its own out of the line of the others."""
    page = browser.new_page(viewport={"width": DESKTOP, "height": 800})
    page.goto(f"{demo_address}sets/{name}/")
    tops = page.evaluate("[...document.querySelectorAll('.bl-to')].map(e => e.getBoundingClientRect().bottom)")
    page.close()
    assert max(tops, default=0) - min(tops, default=0) < 1


def test_the_record_keeps_to_its_height_on_a_phone(browser: Browser, demo_address: str) -> None:
    assert measured(browser, demo_address + FIRST, PHONE)["height"] <= 11_000


@pytest.mark.parametrize("width", [PHONE, DESKTOP])
def test_nothing_moves_while_the_record_loads(browser: Browser, demo_address: str, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 800})
    page.add_init_script(
        "window.moved = 0; new PerformanceObserver(list => list.getEntries().forEach(e => { window.moved += e.value }))"
        ".observe({type: 'layout-shift', buffered: true})"
    )
    page.goto(demo_address + FIRST, wait_until="networkidle")
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    page.wait_for_load_state("networkidle")
    moved = page.evaluate("moved")
    page.evaluate("scrollTo(0, 0); document.querySelector('.bl-set').style.marginTop = '300px'")
    page.wait_for_function("moved > 0.01")  # what is pushed down is seen
    page.close()
    assert moved <= 0.01


@pytest.mark.parametrize(("path", "most"), [("", 6), ("voltages/", 5), ("parts/", 3), ("full-working.html", 22)])
def test_paper_is_not_wasted(browser: Browser, demo_address: str, path: str, most: int) -> None:
    taken = sheets(browser, f"{demo_address}{FIRST}{path}")
    assert min(taken.values()) >= 1
    assert max(taken.values()) <= most


@pytest.mark.parametrize(
    ("path", "most"), [("", 6), ("voltages/", 5), ("parts/", 3), ("log/", 5), ("full-working.html", 22)]
)
def test_paper_is_not_wasted_on_the_largest_set(browser: Browser, demo_address: str, path: str, most: int) -> None:
    """A set of 38 parts, seven stages, three lists and four bands, no letter of its drawings below 6.5 points."""
    taken = sheets(browser, f"{demo_address}sets/ternhaag-goudvink/{path}")
    assert min(taken.values()) >= 1
    assert max(taken.values()) <= most


@pytest.mark.parametrize("name", SETS)
def test_the_line_side_is_five_sheets_at_most(browser: Browser, demo_address: str, demo_site: Path, name: str) -> None:
    path = f"sets/{name}/line-side/"
    if (demo_site / path).is_dir():
        assert max(sheets(browser, demo_address + path).values()) <= 5


@pytest.mark.parametrize("name", SETS)
def test_no_table_or_drawing_scrolls_on_a_desktop(
    browser: Browser, demo_address: str, demo_site: Path, name: str
) -> None:
    page = browser.new_page(viewport={"width": DESKTOP, "height": 800})
    over = {}
    for path in pages_of(demo_site, name):
        page.goto(demo_address + path)
        wide = page.evaluate(
            "[...document.querySelectorAll('.bl-wide')].filter(e => e.scrollWidth > e.clientWidth + 1)"
            ".map(e => e.getAttribute('aria-label'))"
        )
        over |= {path: wide} if wide else {}
    page.close()
    assert over == {}


def test_the_words_of_a_list_across_sets_stand_side_by_side_on_a_phone(browser: Browser, demo_address: str) -> None:
    """A job of several sets stood one letter below the other: its list made a second column. Tubes are short."""
    page = browser.new_page(viewport={"width": PHONE, "height": 640})
    page.goto(f"{demo_address}sets/")
    widths = page.evaluate("[...document.querySelectorAll('.bl-wordy dt')].map(e => e.getBoundingClientRect().width)")
    page.close()
    assert min(widths) >= PHONE / 2


def test_a_picture_that_was_not_scrolled_to_is_printed(browser: Browser, demo_address: str) -> None:
    page = browser.new_page(viewport={"width": DESKTOP, "height": 400})
    asked: list[str] = []
    page.on("response", lambda r: asked.append(r.url) if "/photos/" in r.url else None)
    page.goto(demo_address + FIRST, wait_until="load")
    shown = page.evaluate("document.querySelectorAll('article img').length")
    assert len(asked) < shown
    page.pdf(format="A4")
    page.close()
    assert len(asked) == shown


def pages_of(site: Path, name: str) -> dict[str, str]:
    """A set's record, its pages of working, and the one for paper, by their path below the site."""
    folder = site / "sets" / name
    files = [folder / "index.html", *sorted(folder.glob("*/index.html")), folder / "full-working.html"]
    return {file.relative_to(site).as_posix(): file.read_text(encoding="utf-8") for file in files}


def article(html: str) -> str:
    match = re.search(r'<article class="bl-set.*</article>', html, re.S)
    assert match
    return re.sub(r"<svg.*?</svg>", "", match[0], flags=re.S)


@pytest.mark.parametrize("name", SETS)
def test_nothing_scrolls_sideways_on_the_smallest_phone(
    browser: Browser, demo_address: str, demo_site: Path, name: str
) -> None:
    page = browser.new_page(viewport={"width": SMALLEST_PHONE, "height": 640})
    over: dict[str, Any] = {}
    for path in pages_of(demo_site, name):
        page.goto(demo_address + path)
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        over |= {path: wide} if wide > 0 else {}
    page.close()
    assert over == {}


@pytest.mark.parametrize("name", SETS)
def test_no_id_is_there_twice(demo_site: Path, name: str) -> None:
    for path, html in pages_of(demo_site, name).items():
        there = re.findall(r'\sid="([^"]+)"', html)
        assert sorted({id for id in there if there.count(id) > 1}) == [], path


@pytest.mark.parametrize("name", SETS)
def test_headings_have_no_gap(demo_site: Path, name: str) -> None:
    for path, html in pages_of(demo_site, name).items():
        levels = [int(level) for level in re.findall(r"<h([1-6])\b", article(html))]
        assert levels[0] == 1, path
        assert levels.count(1) == 1, path
        assert [(a, b) for a, b in pairwise(levels) if b > a + 1] == [], path


NUMBER, DATE = re.compile(r"\d[\d.,]*"), re.compile(r"\d{4}-\d\d-\d\d")
INLINE = re.compile(r"</?(?:span|b|i|em|strong|a)\b[^>]*>")


def numbers(html: str) -> set[str]:
    """The numbers of a page that a reader sees, in its drawings too; without sign, which a word may say, and dates."""
    words = re.sub(r"<sup\b.*?</sup>|<(style|script)\b.*?</\1>", " ", html, flags=re.S)
    words = DATE.sub(" ", unescape(re.sub(r"<[^>]+>", " ", INLINE.sub("", words))))
    return {found.rstrip(".,") for found in NUMBER.findall(words)}


@pytest.mark.parametrize("name", SETS)
def test_nothing_that_was_computed_stands_on_the_print_file_alone(demo_site: Path, name: str) -> None:
    pages = pages_of(demo_site, name)
    (paper,) = (html for path, html in pages.items() if path.endswith("full-working.html"))
    screen = "".join(html for path, html in pages.items() if not path.endswith("full-working.html"))
    chapters = re.findall(r'<section class="bl-chapter" aria-labelledby="([^"]+)">(.*?)</section>', paper, re.S)
    assert len(chapters) >= 8
    shown = numbers(screen)
    lost = {chapter: sorted(numbers(html) - shown) for chapter, html in chapters}
    assert {chapter: gone for chapter, gone in lost.items() if gone} == {}


@cache
def ids(page: Path) -> frozenset[str]:
    """The ids that stand in a page."""
    return frozenset(map(unescape, re.findall(r'\sid="([^"]+)"', page.read_text(encoding="utf-8"))))


@pytest.mark.parametrize("name", SETS)
def test_every_link_within_a_sets_pages_has_its_target(demo_site: Path, name: str) -> None:
    pages = pages_of(demo_site, name)
    broken = []
    for path, html in pages.items():
        for href in re.findall(r'<a\b[^>]*\s(?:xlink:)?href="([^"]*)"', article(html)):
            parts = urlsplit(unescape(href))
            to = posixpath.normpath(posixpath.join(posixpath.dirname(path), parts.path)) if parts.path else path
            to = f"{to}/index.html" if (demo_site / to).is_dir() else to
            there = parts.scheme or (demo_site / to).is_file()
            if not there or (
                parts.fragment and not parts.scheme and unquote(parts.fragment) not in ids(demo_site / to)
            ):
                broken.append(f"{path}: {href}")
    assert broken == []
