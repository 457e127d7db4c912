"""Every drawing of the demo as a reader has it: its words apart, inside, large enough on paper, and in contrast."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from sites import DEMO

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
PATHS = ("", "how-it-works/", "full-working.html")
"""The record, the one chapter that is not on the print file, and the file with the drawings of all others."""
A4_INSIDE = {"": 688, "how-it-works/": 703, "full-working.html": 703}
"""CSS pixels between the margins of a sheet of A4: 14 mm on the record, 12 mm on the pages of working."""
SMALLEST_ON_PAPER = 6.5 / 0.75
"""CSS pixels of 6.5 points."""
LEAST_CONTRAST = 4.5
"""WCAG 2.2, 1.4.3, for text of this size."""

DRAWN = """() => {
  const shown = [...document.querySelectorAll('article svg')].filter(svg => svg.checkVisibility());
  const channel = c => { c /= 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4 };
  const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
  const colour = said => { const n = (said.match(/[\\d.]+/g) || []).map(Number);
    return n.length < 3 ? [0, 0, 0, 0] : [...n, 1].slice(0, 4) };
  const ground = e => { for (; e; e = e.parentElement) { const c = colour(getComputedStyle(e).backgroundColor);
    if (c[3] === 1) return c } return [255, 255, 255, 1] };
  return shown.flatMap(svg => {
    const name = svg.querySelector('title')?.textContent || svg.getAttribute('aria-label');
    const edge = svg.getBoundingClientRect(), behind = ground(svg.parentElement);
    const texts = [...svg.querySelectorAll('text')].filter(t => t.textContent.trim() && t.getClientRects().length);
    const boxes = texts.map(t => t.getBoundingClientRect());
    return texts.map((text, at) => {
      const box = boxes[at], to = text.getScreenCTM(), style = getComputedStyle(text);
      const over = boxes.flatMap((other, n) => n > at
        && Math.min(box.right, other.right) - Math.max(box.left, other.left) > 1.5
        && Math.min(box.bottom, other.bottom) - Math.max(box.top, other.top) > 3 ? [texts[n].textContent] : []);
      const own = text.closest('a')?.querySelector('circle');
      const paper = own ? colour(getComputedStyle(own).fill) : behind;
      const [a, b] = [light(colour(style.fill)), light(paper)].sort((x, y) => y - x);
      return {
        drawing: name, words: text.textContent, over, marks: Boolean(own),
        size: parseFloat(style.fontSize) * Math.sqrt(Math.abs(to.a * to.d - to.b * to.c)),
        contrast: (a + 0.05) / (b + 0.05),
        out: Math.max(edge.left - box.left, box.right - edge.right, edge.top - box.top, box.bottom - edge.bottom) > 1,
      };
    });
  });
}"""
LOADED = (
    """() => Promise.all([...document.images].map(e => { e.loading = 'eager'; return e.decode().catch(() => {}) }))"""
)
"""A picture that comes while marks are measured on it moves them."""
WIDER = """() => [...document.querySelectorAll('article *')].filter(e => e.checkVisibility() && !e.closest('svg')
  && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1
  && e.getBoundingClientRect().width).map(e => (e.tagName + ' ' + e.textContent).slice(0, 60))"""


@pytest.fixture(scope="module")
def tab(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    yield page
    page.close()


def drawn(page: Page) -> list[dict[str, Any]]:
    """Every text of every drawing that is shown."""
    found: list[dict[str, Any]] = page.evaluate(DRAWN)
    assert found
    return found


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("name", SETS)
def test_the_words_of_drawings_can_be_read_on_screen_and_on_paper(
    tab: Page, demo_address: str, name: str, path: str
) -> None:
    """On paper they came to 5 points, in the line side to 2; a table wider than the sheet shrank all there was."""
    tab.emulate_media(media="screen", color_scheme="light")
    tab.set_viewport_size({"width": 1280, "height": 800})
    tab.goto(f"{demo_address}sets/{name}/{path}")
    tab.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true })")
    tab.evaluate(LOADED)
    schemes = {}
    for scheme, theme in (("light", "default"), ("dark", "slate")):
        tab.emulate_media(media="screen", color_scheme=scheme)  # type: ignore[arg-type]
        tab.evaluate("to => document.body.setAttribute('data-md-color-scheme', to)", theme)
        schemes[scheme] = drawn(tab)
    tab.set_viewport_size({"width": A4_INSIDE[path], "height": 1000})
    tab.emulate_media(media="print", color_scheme="light")
    paper = drawn(tab)
    assert tab.evaluate(WIDER) == []
    assert [t for t in paper if t["size"] < SMALLEST_ON_PAPER and not t["marks"]] == []
    for texts in (schemes["light"], paper):
        assert [(t["drawing"], t["words"], t["over"]) for t in texts if t["over"]] == []
        assert [(t["drawing"], t["words"]) for t in texts if t["out"]] == []
    for texts in (*schemes.values(), paper):
        assert [t for t in texts if t["contrast"] < LEAST_CONTRAST] == []


def test_a_mark_at_the_edge_of_a_picture_is_not_cut_off(tab: Page, demo_address: str) -> None:
    """A picture with marks is shown uncut: one that stood at its edge was gone on paper."""
    uncut = """() => [...document.querySelectorAll('.bl-pointed img')].filter(e => e.checkVisibility())
      .map(e => Math.abs(e.clientWidth / e.clientHeight - e.getAttribute('width') / e.getAttribute('height')))"""
    tab.goto(f"{demo_address}sets/larkfield-minuet-5/")
    for media, width in (("screen", 1280), ("screen", 360), ("print", A4_INSIDE[""])):
        tab.emulate_media(media=media)  # type: ignore[arg-type]
        tab.set_viewport_size({"width": width, "height": 800})
        found = tab.evaluate(uncut)
        assert found
        assert max(found) < 0.02, (media, width)


def test_no_drawing_stands_elsewhere_alone(demo_site: Path) -> None:
    """The pages that are looked at have every drawing that another page of a set has."""
    for name in SETS:
        folder = demo_site / "sets" / name
        looked_at = "".join(
            (folder / path / "index.html" if not path.endswith("html") else folder / path).read_text() for path in PATHS
        )
        for page in folder.glob("*/index.html"):
            ids = {part.split('"')[0] for part in page.read_text().split('<figure class="bl-figure" id="')[1:]}
            assert all(f'id="{each}"' in looked_at for each in ids), page
