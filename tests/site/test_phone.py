"""The demo on a phone, with everything unfolded: tables that fit, words that are whole, an index that ends."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from sites import DEMO

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
PHONE, HIGHEST_INDEX = 360, 13_000
SCROLL = {"All states"}
"""Tables that scroll inside themselves, with their first column held: seven columns of every state there is."""

SCROLLING = """() => [...document.querySelectorAll('.bl-wide:has(> table)')]
  .filter(e => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1).map(e => e.getAttribute('aria-label'))"""
BROKEN = """() => {
  const words = document.createTreeWalker(document.querySelector('article'), NodeFilter.SHOW_TEXT), found = [];
  for (let node; node = words.nextNode();) {
    if (!node.parentElement.checkVisibility() || node.parentElement.closest('svg, code')) continue;
    for (const word of node.textContent.matchAll(/[A-Za-z]{3,16}/g)) {
      const range = document.createRange();
      range.setStart(node, word.index);
      range.setEnd(node, word.index + word[0].length);
      const tops = [...range.getClientRects()].map(r => Math.round(r.top));
      if (Math.max(...tops) - Math.min(...tops) > 4) found.push(word[0]);
    }
  }
  return found;
}"""


@pytest.fixture(scope="module")
def tab(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": PHONE, "height": 800})
    yield page
    page.close()


def unfolded(tab: Page, address: str) -> tuple[list[str], list[str]]:
    """The tables of a page that scroll sideways, and its words that are broken."""
    tab.goto(address)
    tab.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true })")
    return tab.evaluate(SCROLLING), tab.evaluate(BROKEN)


@pytest.mark.parametrize("name", SETS)
def test_tables_fit_and_words_are_whole(tab: Page, demo_address: str, demo_site: Path, name: str) -> None:
    """A set with one wiring had "Nothin g wrong" in a column of seven letters, and its verdicts cut at the edge."""
    wrong: dict[str, Any] = {}
    for page in sorted((demo_site / "sets" / name).rglob("index.html")):
        path = page.parent.relative_to(demo_site).as_posix()
        scrolling, broken = unfolded(tab, f"{demo_address}{path}/")
        if not set(scrolling) <= SCROLL or broken:
            wrong[path] = (scrolling, broken)
    assert wrong == {}


def test_the_index_ends_and_its_words_are_whole(tab: Page, demo_address: str) -> None:
    """It was 15,068 pixels high: a picture as broad as the screen for each set, a line for each count of a table."""
    assert unfolded(tab, f"{demo_address}sets/") == ([], [])
    assert tab.evaluate("document.documentElement.scrollHeight") <= HIGHEST_INDEX
