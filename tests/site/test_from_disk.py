"""Sites opened from a disk or a USB stick in a real browser: a site of its own, and the plugin's."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from urllib.parse import unquote

import pytest
from playwright.sync_api import Browser, Page

from accessibility import COLOURS, violations
from benchleaf.build import all_sets
from benchleaf.cli.main import main
from markup import Markup
from plain_projects import SETS, article, published, write_project
from secrets_of_sets import leaks
from sites import build
from warm_builds import FEW

from .conftest import Strict, served

STICK = "INHERIT: mkdocs.yml\nuse_directory_urls: false\nsite_dir: plugin\ntheme: {name: material, font: false}\n"
"""What the page on publishing says, with the theme that most sites have."""
OWN, PLUGIN = "own", "plugin"
NARROW, BROAD = 360, 1280


@pytest.fixture(scope="module")
def disk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project with its own small site in ``own`` and the plugin's in ``plugin``."""
    folder = write_project(tmp_path_factory.mktemp("disk") / "a project & more")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(all_sets, "_FEW", FEW)
        code = main(["pages", str(folder / OWN), "--from", str(folder / "sets"), "--site"])
    assert code == 0
    (folder / "stick.yml").write_text(STICK, encoding="utf-8")
    result = build(folder, "--strict", "-f", "stick.yml")
    assert result.returncode == 0, result.stderr
    return folder


Opened = Callable[..., AbstractContextManager[Page]]


@pytest.fixture(scope="module")
def opened(browser: Browser) -> Iterator[Opened]:
    """A page in the tab there is for its width and scheme; it may ask for files only, and must not stumble."""
    tabs: dict[tuple[int, str, bool], Page] = {}

    @contextmanager
    def open_(address: str, width: int = BROAD, scheme: str = "light", *, script: bool = True) -> Iterator[Page]:
        key = (width, scheme, script)
        if key not in tabs:
            tabs[key] = browser.new_page(
                viewport={"width": width, "height": 800},
                color_scheme=scheme,  # type: ignore[arg-type]
                java_script_enabled=script,
            )
        page, wrong = tabs[key], list[str]()
        own = address.partition(":")[0]
        heard: Mapping[str, Callable[..., None]] = {
            "request": lambda asked: None if asked.url.startswith((own, "data:")) else wrong.append(asked.url),
            "requestfailed": lambda asked: wrong.append(asked.url) if "NOT_FOUND" in (asked.failure or "") else None,
            "pageerror": lambda error: wrong.append(str(error)),
            "dialog": lambda dialog: (wrong.append(dialog.message), dialog.dismiss()),
        }
        for event, listener in heard.items():
            page.on(event, listener)  # type: ignore[call-overload]
        try:
            page.goto(address)
            yield page
        finally:
            for event, listener in heard.items():
                page.remove_listener(event, listener)
        assert wrong == []

    yield open_
    for page in tabs.values():
        page.close()


def test_the_pages_of_both_are_equal(disk: Path) -> None:
    own, plugin = (
        {p.relative_to(disk / site): p for p in (disk / site / "sets").rglob("index.html")} for site in (OWN, PLUGIN)
    )
    assert set(own) == set(plugin)
    read = {place: [article(p[place].read_text(encoding="utf-8")) for p in (own, plugin)] for place in own}
    assert [place for place, (one, other) in read.items() if one != other] == []
    fronts = [(disk / site / "index.html").read_text(encoding="utf-8") for site in (OWN, PLUGIN)]
    own_front, plugin_front = (article(html, "div", "bl-archive bl-home") for html in fronts)
    assert own_front == plugin_front
    assert published(disk / OWN) == published(disk / PLUGIN)


def test_all_its_links_lead_to_files_and_private_lines_stay_at_home(disk: Path) -> None:
    own, astray = disk / OWN, []
    for file in own.rglob("*.html"):
        for link in Markup(file.read_text(encoding="utf-8")).links:
            path = unquote(re.split("[?#]", link)[0])
            if path and not re.match("[a-z]+:", path) and not Path(os.path.normpath(file.parent / path)).is_file():
                astray.append(f"{file.relative_to(own)}: {link}")
    assert astray == []
    assert leaks(own, disk / "sets") == []


@pytest.mark.parametrize("site", [OWN, PLUGIN])
def test_from_the_index_to_a_set_its_chapter_its_sheets_and_back(opened: Opened, disk: Path, site: str) -> None:
    with opened((disk / site / "sets/index.html").as_uri()) as page:
        page.fill("#filter-words", "35W4 fog")
        page.wait_for_function("document.getElementById('filter-count').textContent.startsWith('1 of')")
        page.click("#sets-list > li:not([hidden]) .bl-name a")
        assert page.inner_text("h1").startswith("Testwell Trial north/fog")
        page.click(".bl-pages >> text=Heaters")
        assert page.url.endswith("/sets/north/fog/heaters/index.html")
        assert page.locator("figure svg").first.is_visible()
        page.click(".bl-crumbs >> text=Testwell Trial north/fog")
        page.click(".bl-pages >> text=Bench sheet")
        assert "Bench sheet" in page.inner_text("h1")
        page.go_back()
        assert page.evaluate("[...document.images].every(image => image.complete && image.naturalWidth)")
        page.click(".bl-crumbs >> text=Sets")
        assert page.url.partition("?")[0].endswith("/sets/index.html")
        page.click("#sets-list a >> nth=0")
        page.click(".bl-crumbs >> text=Sets")
        assert page.url.partition("?")[0].endswith("/sets/index.html")


@pytest.mark.parametrize("site", [OWN, PLUGIN])
def test_the_bench_pad_keeps_what_is_typed(opened: Opened, disk: Path, site: str) -> None:
    with opened((disk / site / "sets/north/fog/bench-pad.html").as_uri(), NARROW) as page:
        page.get_by_label("anode").first.fill("92.4")
        assert page.inner_text("#kept").startswith("What you type is kept in this browser")
        page.reload()
        assert page.get_by_label("anode").first.input_value() == "92.4"
        assert "anode 92.4" in page.input_value("#lines")
        page.click("text=The record")
        assert page.url.endswith("/sets/north/fog/index.html")


def test_the_notice_on_searching_stands_only_where_it_is_true(opened: Opened, disk: Path) -> None:
    for site, said in ((OWN, False), (PLUGIN, True)):
        with opened((disk / site / "sets/index.html").as_uri()) as page:
            page.wait_for_selector("#filter:not([hidden])")
            assert page.locator("#opened-as-file").is_visible() is said


def test_its_own_search_finds_what_stands_on_set_pages(opened: Opened, disk: Path) -> None:
    with opened((disk / OWN / "sets/north/fog/heaters/index.html").as_uri()) as page:
        page.click("#bl-sought")
        page.keyboard.type("12be6 35w4")
        page.wait_for_selector("#bl-found-list li")
        titles = page.locator("#bl-found-list li > a").all_inner_texts()
        assert titles == ["Testwell Trial north/fog (1950)", "Testwell Trial teal (1950)"]
        assert page.inner_text("#bl-found-count") == "2 pages have these words."
        assert "35W4" in page.locator("#bl-found-list mark").all_inner_texts()
        page.click("#bl-found-list li >> nth=1 >> a >> nth=1")
        assert "/sets/teal/index.html#" in page.url
        page.fill("#bl-sought", "onerror=alert")
        page.wait_for_selector("#bl-found-list li")
        assert page.locator("#bl-found img, #bl-found script").count() == 0
        page.fill("#bl-sought", "zebra")
        page.wait_for_function("document.getElementById('bl-found-count').textContent === 'No pages have these words.'")
        page.fill("#bl-sought", "")
        assert not page.locator("#bl-found").is_visible()


def test_without_scripts_everything_but_the_search_is_there(opened: Opened, disk: Path) -> None:
    with opened((disk / OWN / "index.html").as_uri(), script=False) as page:
        assert not page.locator("#bl-search").is_visible()
        page.click("header >> text=Sets")
        assert page.locator("#sets-list > li:visible").count() == len(SETS)


@pytest.mark.parametrize(
    "place", ["index.html", "club.html", "sets/index.html", "sets/teal/index.html", "sets/teal/heaters/index.html"]
)
def test_its_pages_are_read_by_everybody(opened: Opened, disk: Path, place: str) -> None:
    address = (disk / OWN / place).as_uri()
    for width, scheme in ((BROAD, "light"), (BROAD, "dark"), (NARROW, "light")):
        with opened(address, width, scheme) as page:
            if place == "index.html":
                page.fill("#bl-sought", "35w4")
                page.wait_for_selector("#bl-found-list li")
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert violations(page, preload=False, **(COLOURS if scheme == "dark" else {})) == []
    with opened(address) as page:
        page.emulate_media(media="print")
        assert not page.locator(".bl-head").is_visible()
        assert page.locator("h1").is_visible()
        page.emulate_media(media="screen")


def test_the_strictest_policy_stops_nothing_of_it(browser: Browser, disk: Path) -> None:
    page, stopped = browser.new_page(), list[str]()
    page.on("console", lambda said: stopped.append(said.text) if "Content Security Policy" in said.text else None)
    with served(disk / OWN, Strict) as address:
        for place in ("index.html", "sets/index.html", "sets/teal/index.html"):
            page.goto(address + place)
            page.click("#bl-sought")
            page.keyboard.type("35w4")
            page.wait_for_selector("#bl-found-list li")
        assert stopped == []
        page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<p style=\"color:red\">x</p>')")
        page.wait_for_timeout(100)
        assert len(stopped) == 1
    page.close()
