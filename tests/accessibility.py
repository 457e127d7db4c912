"""What axe finds wrong with a page."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

COLOURS: dict[str, Any] = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
"""All that a page looked at in one scheme has to be asked in another, which changes its colours alone."""


def violations(page: Page, **options: Any) -> list[str]:
    """Each rule that a page breaks, with the first element that does; ``options`` are axe's own.

    Of what is in order axe keeps one element a rule: to write down all of them takes as long as to look.
    """
    found = Axe().run(page, options={"resultTypes": ["violations"], **options}).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]
