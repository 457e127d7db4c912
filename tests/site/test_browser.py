"""The built demo in a real browser: nothing broken, nothing fetched, nothing in the way of a reader."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from sites import DEMO

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
PAGES = ["", "sets/", "writing/", "writing/record/", *(f"sets/{name}/" for name in SETS)]
SHEETS = [f"sets/{name}/{sheet}.html" for name in SETS for sheet in ("bench-sheet", "cabinet-card")]
PHONE, DESKTOP = 360, 1280


@contextmanager
def opened(
    browser: Browser, address: str, width: int = DESKTOP, scheme: str = "light"
) -> Iterator[tuple[Page, list[str]]]:
    """A page at one width in one scheme, and everything it did that it should not."""
    said: list[str] = []
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    root = re.match(r"[a-z]+://[^/]*/", address)
    assert root
    page.on(
        "request",
        lambda r: said.append(f"request {r.url}") if not r.url.startswith((root[0], "data:", "blob:")) else None,
    )
    page.on("console", lambda m: said.append(f"console {m.type}: {m.text}") if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: said.append(f"script {e}"))
    page.goto(address, wait_until="networkidle")
    yield page, said
    context.close()


@pytest.mark.parametrize("path", PAGES + SHEETS)
def test_page_is_quiet_and_fits_a_phone(browser: Browser, demo_address: str, path: str) -> None:
    with opened(browser, demo_address + path, PHONE) as (page, said):
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert over <= 0, f"scrolls sideways by {over} px"
        assert page.evaluate("[...document.images].filter(i => !i.hasAttribute('alt')).length") == 0
        ids = page.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
        assert sorted(i for i in set(ids) if ids.count(i) > 1) == []
        assert said == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES + SHEETS[:2])
def test_axe_finds_nothing(browser: Browser, demo_address: str, path: str, scheme: str) -> None:
    with opened(browser, demo_address + path, DESKTOP, scheme) as (page, _):
        violations = Axe().run(page).response["violations"]
        told = [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in violations]
        assert told == []


@pytest.mark.parametrize("word", ["50C5", "UL41", "6K7"])
def test_search_finds_a_tube_type(browser: Browser, demo_address: str, word: str) -> None:
    with opened(browser, demo_address) as (page, _):
        page.click("[data-md-component=search-query]")
        page.keyboard.type(word, delay=30)
        page.wait_for_selector(".md-search-result__item a[href*='/sets/']", timeout=10_000)
        first = page.get_attribute(".md-search-result__item a", "href") or ""
        assert "/sets/" in first


@pytest.mark.parametrize("name", SETS)
def test_a_sets_pages_lead_to_each_other_on_a_phone(browser: Browser, demo_address: str, name: str) -> None:
    record = f"{demo_address}sets/{name}/"
    with opened(browser, record, PHONE) as (page, _):
        links = page.locator(".bl-pages a")
        assert links.count() >= 5
        assert links.evaluate_all("all => all.filter(e => e.getBoundingClientRect().height < 44).length") == 0
        working = links.evaluate_all("all => all.map(e => e.href).filter(href => !href.endsWith('.html'))")
        assert working
        for address in working:
            page.goto(address)
            back = page.evaluate("[...document.querySelectorAll('.bl-crumbs a, .bl-pages a')].map(e => e.href)")
            assert back.count(record) == 2


@pytest.mark.parametrize("name", SETS)
def test_every_link_within_a_sets_page_leads_somewhere(
    browser: Browser, demo_address: str, demo_site: Path, name: str
) -> None:
    with opened(browser, f"{demo_address}sets/{name}/") as (page, _):
        led = "all => all.map(each => new URL(each.getAttribute('href'), location).href)"
        for href in page.locator(".bl-set a[href]").evaluate_all(led):
            if not href.startswith(demo_address):
                continue
            path, _, fragment = href[len(demo_address) :].partition("#")
            file = demo_site / path
            file = file / "index.html" if file.is_dir() else file
            assert file.is_file(), href
            if fragment:
                assert f'id="{fragment}"' in file.read_text(), href


def test_the_index_shows_every_set_without_scripts(browser: Browser, demo_address: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{demo_address}sets/")
    assert sum(row.is_visible() for row in page.query_selector_all(".bl-sets > li")) == len(SETS)
    context.close()


def test_the_front_page_is_read_at_a_glance(browser: Browser, demo_address: str) -> None:
    with opened(browser, demo_address) as (page, _):
        assert page.evaluate("document.documentElement.scrollHeight") <= 1.5 * 800
        assert len(page.query_selector_all(".bl-home .bl-sets > li")) == 3
        assert all(a.get_attribute("href") for a in page.query_selector_all(".bl-home a"))


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(("sheet", "most"), [("bench-sheet", 4), ("cabinet-card", 1)])
def test_sheets_fit_their_paper(browser: Browser, demo_address: str, name: str, sheet: str, most: int) -> None:
    with opened(browser, f"{demo_address}sets/{name}/{sheet}.html") as (page, _):
        pdf = page.pdf(prefer_css_page_size=True)
        pages = len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
        assert 1 <= pages <= most


@pytest.mark.parametrize("name", SETS)
def test_labels_of_drawings_do_not_cover_each_other(browser: Browser, demo_address: str, name: str) -> None:
    script = """() => [...document.querySelectorAll('.bl-figure svg')].flatMap(svg => {
        const texts = [...svg.querySelectorAll('text')].filter(t => t.textContent.trim());
        const boxes = texts.map(t => t.getBoundingClientRect());
        const found = [];
        for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length; j++) {
            const a = boxes[i], b = boxes[j];
            const w = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const h = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            if (w > 1.5 && h > 3) found.push(texts[i].textContent + ' / ' + texts[j].textContent);
        }
        return found;
    })"""
    with opened(browser, f"{demo_address}sets/{name}/") as (page, _):
        assert page.evaluate(script) == []


@pytest.mark.parametrize(("width", "most"), [(DESKTOP, 4800), (PHONE, 7500)])
def test_the_voltages_in_full_keep_to_their_lengths(browser: Browser, demo_address: str, width: int, most: int) -> None:
    with opened(browser, f"{demo_address}sets/larkfield-minuet-5/voltages/", width) as (page, said):
        assert page.evaluate("document.documentElement.scrollHeight") <= most
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
        if width == DESKTOP:
            sheets = [len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) for paper in ("A4", "Letter")]
            assert max(sheets) <= 5
        assert said == []


def test_the_voltages_in_short_fit_a_phone_without_lines(browser: Browser, demo_address: str) -> None:
    with opened(browser, f"{demo_address}sets/larkfield-minuet-5/", PHONE) as (page, _):
        table = page.locator("table.bl-across")
        assert table.locator("thead th").count() == 5
        assert table.evaluate("e => e.scrollWidth - e.parentElement.clientWidth") <= 0
        assert (
            page.locator("table.bl-across svg").evaluate_all("all => all.filter(e => e.getClientRects().length).length")
            == 0
        )


def test_a_stage_in_a_story_is_no_higher_than_a_figure_may_be(browser: Browser, demo_address: str) -> None:
    with opened(browser, f"{demo_address}sets/oxbow-regent-six/") as (page, _):
        box = page.locator("figure.bl-single svg").bounding_box()
        assert box is not None
        assert box["height"] <= 320
