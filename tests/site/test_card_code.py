"""The square code on a printed cabinet card leads a phone to the set's page: read off paper by another library."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser

from sites import DEMO, REPO

SETS = sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml"))
PHONE_DOTS_PER_INCH = 150
"""As a phone held over the card has it, and less than any printer does."""


def codes_on_paper(browser: Browser, address: str, folder: Path) -> list[str]:
    """What the square codes of a printed document say, sheet by sheet."""
    page = browser.new_page()
    page.goto(address)
    page.pdf(path=folder / "card.pdf", prefer_css_page_size=True)
    page.close()
    sheets = ["pdftoppm", "-r", str(PHONE_DOTS_PER_INCH), "-png", "card.pdf", "sheet"]
    subprocess.run(sheets, cwd=folder, check=True, timeout=60)
    read = [
        found
        for sheet in sorted(folder.glob("sheet*.png"))
        for found in zxingcpp.read_barcodes(Image.open(sheet).convert("L"))
    ]
    assert {found.format for found in read} <= {zxingcpp.BarcodeFormat.QRCode}
    return [found.text for found in read]


def address_of(name: str) -> str:
    """Where the demo's configuration says that a set is published."""
    (line,) = [
        line for line in (REPO / "mkdocs.yml").read_text(encoding="utf-8").splitlines() if line.startswith("site_url:")
    ]
    return f"{line.partition(':')[2].strip()}sets/{name}/"


@pytest.mark.parametrize("name", SETS)
def test_the_code_on_a_card_leads_to_the_page_of_its_set(
    browser: Browser, demo_address: str, demo_site: Path, tmp_path: Path, name: str
) -> None:
    assert codes_on_paper(browser, f"{demo_address}sets/{name}/cabinet-card.html", tmp_path) == [address_of(name)]
    assert (demo_site / "sets" / name / "index.html").is_file()


def test_each_card_of_many_in_one_print_has_its_own(browser: Browser, demo_address: str, tmp_path: Path) -> None:
    read = codes_on_paper(browser, f"{demo_address}sets/cabinet-cards.html", tmp_path)
    assert len(read) > 1
    assert len(read) == len(set(read))
    assert set(read) <= {address_of(name) for name in SETS}
