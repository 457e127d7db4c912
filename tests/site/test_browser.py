"""The built demo in a real browser: nothing broken, nothing fetched, nothing in the way of a reader."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import pytest
from playwright.sync_api import Browser, Page

from accessibility import COLOURS, violations
from sites import DEMO

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
PAGES_OF_SETS = [f"sets/{name}/" for name in SETS]
PAGES = ["", "sets/", "writing/", "writing/record/", *PAGES_OF_SETS]
MOST_PAPER = {"bench-sheet": 4, "cabinet-card": 1}
SHEETS = [f"sets/{name}/{sheet}.html" for name in SETS for sheet in MOST_PAPER]
ONE_OF_A_KIND = ["", "sets/", "writing/record/", "sets/larkfield-minuet-5/", *SHEETS[:2]]
"""The colours of a scheme are those of the kind of page."""
PHONE, DESKTOP = 360, 1280


Opened = Callable[..., AbstractContextManager[tuple[Page, list[str]]]]


@pytest.fixture(scope="module")
def opened(browser: Browser) -> Iterator[Opened]:
    """A page at one width in one scheme, and everything it did that it should not.

    Each width and scheme has one tab, which goes from page to page: a new one would cost as much as what it shows.
    """
    tabs: dict[tuple[int, str], Page] = {}

    @contextmanager
    def open_(address: str, width: int = DESKTOP, scheme: str = "light") -> Iterator[tuple[Page, list[str]]]:
        if (width, scheme) not in tabs:
            context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
            tabs[width, scheme] = context.new_page()
        page, said = tabs[width, scheme], _Said(address)
        for event, heard in said.heard.items():
            page.on(event, heard)  # type: ignore[call-overload]
        try:
            page.goto(address, wait_until="networkidle")
            yield page, said.lines
        finally:
            for event, heard in said.heard.items():
                page.remove_listener(event, heard)

    yield open_
    for page in tabs.values():
        page.context.close()


@pytest.fixture(scope="module")
def shown(request: pytest.FixtureRequest, opened: Opened, demo_address: str) -> Iterator[tuple[Page, list[str]]]:
    """A page of the demo at one width in one scheme, opened once for all tests that do no more than look at it."""
    path, width, scheme = request.param
    with opened(demo_address + path, width, scheme) as shown:
        yield shown


def looked_at(paths: Iterable[str], width: int = DESKTOP, scheme: str = "light") -> list[Any]:
    """Each path as ``shown`` takes it."""
    return [pytest.param((path, width, scheme), id=f"{path}-{width}-{scheme}") for path in paths]


class _Said:
    """What a page asks for elsewhere, complains of, or stumbles over."""

    def __init__(self, address: str) -> None:
        self.lines: list[str] = []
        root = re.match(r"[a-z]+://[^/]*/", address)
        assert root
        self._own = (root[0], "data:", "blob:", "about:")
        self.heard = {"request": self._request, "console": self._console, "pageerror": self._error}

    def _request(self, request: Any) -> None:
        if not request.url.startswith(self._own):
            self.lines.append(f"request {request.url}")

    def _console(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.lines.append(f"console {message.type}: {message.text}")

    def _error(self, error: Any) -> None:
        self.lines.append(f"script {error}")


@pytest.mark.parametrize("shown", looked_at(PAGES + SHEETS, PHONE), indirect=True)
def test_page_is_quiet_and_fits_a_phone(shown: tuple[Page, list[str]]) -> None:
    page, said = shown
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert over <= 0, f"scrolls sideways by {over} px"
    assert page.evaluate("[...document.images].filter(i => !i.hasAttribute('alt')).length") == 0
    ids = page.evaluate("[...document.querySelectorAll('[id]')].map(e => e.id)")
    assert sorted(i for i in set(ids) if ids.count(i) > 1) == []
    assert said == []


@pytest.mark.parametrize("shown", looked_at(PAGES + SHEETS[:2]), indirect=True)
def test_axe_finds_nothing(shown: tuple[Page, list[str]]) -> None:
    assert violations(shown[0]) == []


@pytest.mark.parametrize("path", ONE_OF_A_KIND)
def test_axe_finds_every_colour_in_contrast_in_the_dark(opened: Opened, demo_address: str, path: str) -> None:
    with opened(demo_address + path, DESKTOP, "dark") as (page, _):
        assert violations(page, **COLOURS) == []


@pytest.mark.parametrize("word", ["50C5", "UL41", "6K7"])
def test_search_finds_a_tube_type(opened: Opened, searched_address: str, word: str) -> None:
    with opened(searched_address) as (page, said):
        page.click("[data-md-component=search-query]")
        page.keyboard.type(word, delay=30)
        page.wait_for_selector(".md-search-result__item a[href*='/sets/']", timeout=10_000)
        first = page.get_attribute(".md-search-result__item a", "href") or ""
        assert "/sets/" in first
        assert said == []


@pytest.mark.parametrize("shown", looked_at(PAGES_OF_SETS, PHONE), indirect=True)
def test_a_sets_pages_lead_to_each_other_on_a_phone(
    shown: tuple[Page, list[str]], demo_address: str, demo_site: Path
) -> None:
    record, links = shown[0].url, shown[0].locator(".bl-pages a")
    assert links.count() >= 5
    assert links.evaluate_all("all => all.filter(e => e.getBoundingClientRect().height < 44).length") == 0
    working = links.evaluate_all("all => all.map(e => e.href).filter(href => !href.endsWith('.html'))")
    assert working
    for address in working:
        html = (demo_site / address.removeprefix(demo_address) / "index.html").read_text()
        ways = re.findall(r'<nav class="bl-(?:crumbs|pages)".*?</nav>', html, re.S)
        back = [urljoin(address, href) for way in ways for href in re.findall(r'<a href="([^"]*)"', way)]
        assert back.count(record) == 2


def test_the_index_shows_every_set_without_scripts(browser: Browser, demo_address: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{demo_address}sets/")
    assert sum(row.is_visible() for row in page.query_selector_all(".bl-sets > li")) == len(SETS)
    context.close()


def test_the_front_page_is_read_at_a_glance(opened: Opened, demo_address: str) -> None:
    with opened(demo_address) as (page, _):
        assert page.evaluate("document.documentElement.scrollHeight") <= 1.5 * 800
        assert len(page.query_selector_all(".bl-home .bl-sets > li")) == 3
        assert all(a.get_attribute("href") for a in page.query_selector_all(".bl-home a"))


@pytest.mark.parametrize("shown", looked_at(SHEETS, PHONE), indirect=True)
def test_sheets_fit_their_paper(shown: tuple[Page, list[str]]) -> None:
    page, _ = shown
    pdf = page.pdf(prefer_css_page_size=True)
    pages = len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
    assert 1 <= pages <= MOST_PAPER[Path(page.url).stem]


@pytest.mark.parametrize("shown", looked_at(PAGES_OF_SETS), indirect=True)
def test_labels_of_drawings_do_not_cover_each_other(shown: tuple[Page, list[str]]) -> None:
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
    assert shown[0].evaluate(script) == []


@pytest.mark.parametrize(("width", "most"), [(DESKTOP, 4800), (PHONE, 7500)])
def test_the_voltages_in_full_keep_to_their_lengths(opened: Opened, demo_address: str, width: int, most: int) -> None:
    with opened(f"{demo_address}sets/larkfield-minuet-5/voltages/", width) as (page, said):
        assert page.evaluate("document.documentElement.scrollHeight") <= most
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
        if width == DESKTOP:
            sheets = [len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) for paper in ("A4", "Letter")]
            assert max(sheets) <= 5
        assert said == []


@pytest.mark.parametrize("shown", looked_at(["sets/larkfield-minuet-5/"], PHONE), indirect=True)
def test_the_voltages_in_short_fit_a_phone_without_lines(shown: tuple[Page, list[str]]) -> None:
    table = shown[0].locator("table.bl-across")
    assert table.locator("thead th").count() == 5
    assert table.evaluate("e => e.scrollWidth - e.parentElement.clientWidth") <= 0
    drawn = table.locator("svg")
    assert drawn.evaluate_all("all => all.filter(e => e.getClientRects().length).length") == 0


@pytest.mark.parametrize("shown", looked_at((f"{path}voltages/" for path in PAGES_OF_SETS), PHONE), indirect=True)
def test_every_reading_in_full_lies_in_view_on_a_phone_and_on_no_other(shown: tuple[Page, list[str]]) -> None:
    """Of three lists the deviation lay out of view on the right, and the name of a list was cut."""
    script = """table => {
      const drawn = [...table.querySelectorAll('th, td')].filter(e => e.closest('tbody') && e.getClientRects().length);
      const [left, right] = [table.parentElement.getBoundingClientRect().left, innerWidth - 15];
      const words = e => { const r = document.createRange(); r.selectNode(e.firstChild); r.setEndAfter(e.lastChild);
        return r.getBoundingClientRect(); };
      const out = drawn.filter(e => words(e).left < left - 1 || words(e).right > right + 1);
      const cross = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
        && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 4;
      const over = drawn.filter((e, at) => drawn[at + 1] && cross(words(e), words(drawn[at + 1])));
      return [drawn.length, ...[...out, ...over].map(e => e.textContent.trim())];
    }"""
    number, *lost = shown[0].locator("table.bl-readings").evaluate(script)
    assert number > 20
    assert lost == []


@pytest.mark.parametrize("shown", looked_at(["sets/ternhaag-goudvink/bench-sheet.html"], PHONE), indirect=True)
def test_the_bench_sheet_can_be_read_on_a_phone(shown: tuple[Page, list[str]]) -> None:
    """Its box for a reading lay out of view, and the words of a job were broken letter by letter."""
    script = "all => all.map(e => e.parentElement.scrollWidth - e.parentElement.clientWidth)"
    assert max(shown[0].locator("table.volts").evaluate_all(script)) <= 1
    jobs = shown[0].locator(".line-up td:nth-child(3)")
    assert jobs.evaluate_all("all => Math.min(...all.map(e => e.getBoundingClientRect().width))") > 60


@pytest.mark.parametrize("shown", looked_at(["sets/merrow-and-daughters-teal/line-side/"], PHONE), indirect=True)
def test_what_a_group_of_rows_is_can_be_read_though_its_table_scrolls(shown: tuple[Page, list[str]]) -> None:
    script = "all => all.filter(e => e.getClientRects().length).map(e => e.getBoundingClientRect().right - innerWidth)"
    shown[0].evaluate("document.querySelectorAll('details').forEach(e => { e.open = true })")
    past = shown[0].locator("table.bl-long .bl-group .bl-held").evaluate_all(script)
    shown[0].evaluate("document.querySelectorAll('details').forEach(e => { e.open = false })")
    assert len(past) > 5
    assert max(past) <= 0
    wide = shown[0].locator("figure svg").evaluate_all("all => all.map(e => e.getBoundingClientRect().width)")
    assert max(wide) < 500  # no larger than it is legible at: it was blown up to twice the screen


@pytest.mark.parametrize("shown", looked_at(["sets/ternhaag-goudvink/speaker/"], PHONE), indirect=True)
def test_a_name_and_its_value_stand_in_one_line_on_a_phone(shown: tuple[Page, list[str]]) -> None:
    script = "all => all.map(e => e.cells[1].getBoundingClientRect().top - e.cells[0].getBoundingClientRect().top)"
    tops = shown[0].locator("tbody.bl-stack tr").evaluate_all(script)
    assert len(tops) == 5
    assert max(map(abs, tops)) < 1


@pytest.mark.parametrize("shown", looked_at(["sets/oxbow-regent-six/"]), indirect=True)
def test_a_stage_in_a_story_is_no_higher_than_a_figure_may_be(shown: tuple[Page, list[str]]) -> None:
    box = shown[0].locator("figure.bl-single svg").bounding_box()
    assert box is not None
    assert box["height"] <= 320


@pytest.mark.parametrize("shown", looked_at(["sets/merrow-and-daughters-teal/line-side/"]), indirect=True)
def test_broad_drawings_of_the_line_side_stand_beside_each_other_too(shown: tuple[Page, list[str]]) -> None:
    """One of four parts within reach stood below the other, 1,800 pixels high together."""
    figures = shown[0].locator(".bl-before-after > figure")
    before, after = (figures.nth(n).bounding_box() for n in range(2))
    assert before is not None
    assert after is not None
    assert (before["y"], before["x"] < after["x"]) == (after["y"], True)
    assert min(before["width"], after["width"]) >= 450  # where their words are legible


@pytest.mark.parametrize("shown", looked_at(["sets/ternhaag-goudvink/voltages/"], PHONE), indirect=True)
def test_drawings_of_stages_are_whole_on_a_phone(shown: tuple[Page, list[str]]) -> None:
    script = "all => all.map(e => e.scrollWidth - e.clientWidth)"
    assert max(shown[0].locator(".bl-stages .bl-wide").evaluate_all(script)) <= 1


@pytest.mark.parametrize("shown", looked_at(["sets/larkfield-minuet-5/results/"], PHONE), indirect=True)
def test_curves_are_whole_on_a_phone(shown: tuple[Page, list[str]]) -> None:
    script = "all => all.map(e => e.scrollWidth - e.clientWidth)"
    assert max(shown[0].locator(".bl-curves .bl-wide").evaluate_all(script)) <= 1


@pytest.mark.parametrize("shown", looked_at(["sets/quillon-skylark/how-it-works/"], PHONE), indirect=True)
def test_a_phone_shows_blocks_in_their_own_form(shown: tuple[Page, list[str]]) -> None:
    drawn = shown[0].locator("figure.bl-figure > .bl-wide")
    script = "all => all.filter(e => e.checkVisibility()).map(e => [e.className, e.scrollWidth - e.clientWidth])"
    seen = drawn.evaluate_all(script)
    assert len(seen) == 2
    assert all("bl-on-a-phone" in kind and over <= 1 for kind, over in seen)
