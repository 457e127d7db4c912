"""The demo under each theme, in a real browser: MkDocs' own two, ProperDocs', Material that fetches its pages."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from sites import DEMO, REPO, SMALL_RECORD, build

from .conftest import Strict, Unsought, served

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
FIRST = "sets/larkfield-minuet-5/"
PATHS = ["sets/", FIRST, "sets/quillon-skylark/", f"{FIRST}voltages/", f"{FIRST}line-side/"]
"""One of each kind, and a set's page of another supply: all pages of all sets are held in the demo's own theme."""
THEMES = {
    "mkdocs": ("mkdocs", "theme:\n  name: mkdocs\n  highlightjs: false\n"),
    "readthedocs": ("mkdocs", "theme:\n  name: readthedocs\n  highlightjs: false\n"),
    "properdocs": ("properdocs", "theme:\n  name: mkdocs\n  highlightjs: false\n"),
    "material, instant": ("mkdocs", "theme:\n  name: material\n  font: false\n  features:\n    - navigation.instant\n"),
}


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory, demo_site: Path) -> Path:
    """A copy of the demo with what was kept of the demo's own build, so that a theme costs its frame alone."""
    folder = tmp_path_factory.mktemp("themes")
    shutil.copytree(DEMO, folder / "site_src")
    shutil.copytree(REPO / ".cache", folder / ".cache")
    # One more, so that the index has its filter.
    (folder / "site_src/sets/trial").mkdir()
    (folder / "site_src/sets/trial/record.yml").write_text(SMALL_RECORD, encoding="utf-8")
    return folder


@dataclass(frozen=True)
class Themed:
    """The demo in one theme: the theme's name, where the site lies, and its address."""

    name: str
    site: Path
    address: str


@pytest.fixture(scope="module", params=THEMES)
def themed(request: pytest.FixtureRequest, project: Path) -> Iterator[Themed]:
    """The demo in each theme."""
    program, theme = THEMES[request.param]
    written = (REPO / "mkdocs.yml").read_text(encoding="utf-8")
    config = re.sub(r"^theme:\n(?:  .*\n)+", theme, written, flags=re.M)
    (project / f"{program}.yml").write_text(config, encoding="utf-8")
    site = project / "built" / request.param.replace(", ", "-")
    result = build(project, "--strict", "--site-dir", str(site), program=program)
    (project / f"{program}.yml").unlink()
    assert result.returncode == 0, result.stderr
    with served(site, Unsought) as address:
        # Material fetches by itself what the map of the site has under the address it is served from.
        sitemap = site / "sitemap.xml"
        sitemap.write_text(sitemap.read_text().replace("https://tidewater.example/", address))
        yield Themed(request.param, site, address)


def test_nothing_scrolls_sideways_on_the_smallest_phone_and_headings_are_one_outline(
    browser: Browser, themed: Themed
) -> None:
    page, over = browser.new_page(), {}
    for path in PATHS:
        page.set_viewport_size({"width": 320, "height": 640})
        page.goto(themed.address + path, wait_until="load")
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        over |= {path: wide} if wide > 0 else {}
        page.set_viewport_size({"width": 1280, "height": 720})
        levels = page.evaluate(
            "[...document.querySelectorAll('article :is(h1,h2,h3,h4,h5,h6)')].map(h => +h.tagName[1])"
        )
        assert levels.count(1) == 1, path
        assert [(a, b) for a, b in pairwise(levels) if b > a + 1] == [], path
        assert page.locator("h1:visible").count() == 1, path
    page.close()
    assert over == {}


def test_what_is_folded_opens_and_the_index_is_filtered(browser: Browser, themed: Themed) -> None:
    page = browser.new_page()
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{themed.address}{FIRST}", wait_until="load")
    opens(page)
    page.goto(f"{themed.address}sets/", wait_until="load")
    filters(page)
    assert said == []
    with served(themed.site, Strict) as strict:
        page.goto(f"{strict}sets/", wait_until="load")
        filters(page)
    page.close()


def opens(page: Page) -> None:
    """The first thing that is folded opens at a click on its summary."""
    folded = page.locator("article details:not([open])").first
    folded.locator("summary").click()
    assert folded.evaluate("e => e.open") or page.locator("article details[open]").count() > 0


def filters(page: Page) -> None:
    """The filter of the index leaves the one set with a UL41."""
    page.fill("#filter-words", "UL41")
    page.wait_for_timeout(300)
    assert page.locator("#sets-list > li:visible").count() == 1
    page.fill("#filter-words", "")
    page.wait_for_timeout(300)
    assert page.locator("#sets-list > li:visible").count() == len(SETS) + 1


@pytest.mark.parametrize("themed", ["material, instant"], indirect=True)
def test_a_page_that_material_fetches_by_itself_works_like_any_other(browser: Browser, themed: Themed) -> None:
    """From the index to each set and back without a page being loaded anew: anchors, folds and the filter work."""
    page = browser.new_page()
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(f"{themed.address}sets/", wait_until="networkidle")
    page.evaluate("window.neverLoadedAnew = true")
    for name in SETS:
        page.locator(f"#sets-list .bl-name a[href$='{name}/']").click()
        page.wait_for_selector("article.bl-record")
        page.wait_for_url(f"**/sets/{name}/")
        opens(page)
        page.locator(f"article a[href*='/{name}/#']:visible").last.click()
        target = page.evaluate("location.hash.slice(1)")
        assert target
        assert page.evaluate("id => document.getElementById(id) !== null", target)
        page.locator(".bl-crumbs a").first.click()
        page.wait_for_selector("article.bl-archive #filter-words:visible")
        filters(page)
    page.locator(f"#sets-list .bl-name a[href$='{SETS[1]}/']").click()
    page.wait_for_selector("article.bl-record")
    page.locator(".bl-pages a:visible").first.click()
    page.wait_for_selector("article.bl-chapter-page")
    assert page.evaluate("window.neverLoadedAnew") is True
    page.close()
    assert said == []


def test_a_theme_of_another_language_is_told_what_is_english(project: Path) -> None:
    config = (REPO / "mkdocs.yml").read_text(encoding="utf-8")
    config = re.sub(r"^theme:\n(?:  .*\n)+", "theme:\n  name: material\n  language: de\n", config, flags=re.M)
    (project / "mkdocs.yml").write_text(config, encoding="utf-8")
    result = build(project, "--site-dir", str(project / "built" / "de"))
    (project / "mkdocs.yml").unlink()
    assert result.returncode == 0, result.stderr
    html = (project / "built" / "de" / FIRST / "index.html").read_text(encoding="utf-8")
    assert '<html lang="de"' in html
    assert '<article lang="en" class="bl-set bl-record">' in html
    assert html.count('<div class="bl-words" lang="de">') == html.count('<div class="bl-words"') > 0
