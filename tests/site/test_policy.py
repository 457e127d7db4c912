"""The demo under the strictest content security policy, in a real browser: nothing of ours is stopped."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

FIRST = "sets/larkfield-minuet-5/"
PATHS = [
    "sets/", FIRST, f"{FIRST}voltages/", f"{FIRST}line-side/", f"{FIRST}bench-sheet.html",
    f"{FIRST}bench-pad.html", f"{FIRST}cabinet-card.html", f"{FIRST}full-working.html", "sets/cabinet-cards.html",
]  # fmt: skip

WATCH = """document.addEventListener("securitypolicyviolation", event => {
    const at = event.target instanceof Element ? event.target : null;
    (window.stopped ||= []).push({
        what: event.effectiveDirective, uri: event.blockedURI, file: event.sourceFile,
        ours: !!(at && at.closest(".bl-set, .bl-archive, main:not([data-md-component]):not(.md-main)")),
        html: at ? at.outerHTML.slice(0, 120) : "",
    });
}, true);"""

OF_THE_THEME = {"script-src-elem", "style-src-elem", "style-src-attr", "worker-src"}
"""Material's own: scripts in its head and at its end, styles that its script sets, the search's worker."""


@pytest.fixture(scope="module")
def watched(browser: Browser) -> Iterator[Page]:
    """A tab that keeps what the policy stops on the page it shows."""
    page = browser.new_page()
    page.add_init_script(WATCH)
    yield page
    page.close()


def stopped(watched: Page, address: str) -> list[dict[str, Any]]:
    """What the policy stopped on a page."""
    watched.goto(address, wait_until="networkidle")
    found: list[dict[str, Any]] = watched.evaluate("window.stopped || []")
    return found


@pytest.mark.parametrize("path", PATHS)
def test_nothing_of_ours_is_stopped(watched: Page, strict_address: str, path: str) -> None:
    found = stopped(watched, strict_address + path)
    assert [one for one in found if one["ours"] or "assets/benchleaf" in (one["file"] or "")] == []
    assert {one["what"] for one in found} <= (set() if path.endswith(".html") else OF_THE_THEME)


def test_what_stands_in_a_page_is_stopped(watched: Page, strict_address: str) -> None:
    """Without this a policy that never arrives would pass."""
    watched.goto(f"{strict_address}{FIRST}cabinet-card.html", wait_until="networkidle")
    watched.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<p style=\"color:red\">x</p>')")
    watched.wait_for_timeout(100)
    assert [one["ours"] for one in watched.evaluate("window.stopped || []")] == [True]
