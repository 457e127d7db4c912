"""What is published keeps to a strict content security policy: style and script lie in files of their own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

import full_record
import makers
from benchleaf.archive.in_one_print import prints
from benchleaf.archive.page import archive_page
from benchleaf.chapters.order import CHAPTERS
from benchleaf.pages.set_page import Choices, SetPage
from sites import DEMO

RECORDS = {
    **{path.parent.name: path.read_text(encoding="utf-8") for path in sorted(DEMO.glob("sets/*/record.yml"))},
    "all that can be said": full_record.FULL,
}
AGAINST = re.compile(r"<style\b|<[^>]*\sstyle\s*=|<script\b(?![^>]*\ssrc=)|<[^>]*\son\w+\s*=|javascript:", re.I)
"""Style and script that stand in a page, of which such a policy lets none through."""


@cache
def page_of(name: str) -> SetPage:
    story = DEMO / "sets" / name / "story.md"
    return makers.set_page(RECORDS[name], story.read_text(encoding="utf-8") if story.is_file() else "")


def published(name: str) -> Iterator[tuple[str, str]]:
    """Every page and document of a set, and its drawings."""
    page = page_of(name)
    yield "record", page.html
    yield from ((working.name, working.html) for working in page.workings)
    yield from ((file.path, file.text or "") for file in page.files if file.path.endswith(".html"))
    examined = makers.examined(RECORDS[name])
    for chapter in CHAPTERS:
        if examined.findings[chapter.folder] is not None:
            yield from ((figure.name, figure.svg) for figure in makers.draw(examined, chapter))


@pytest.mark.parametrize("name", RECORDS)
def test_no_style_and_no_script_stands_in_what_a_set_publishes(name: str) -> None:
    found = {where: match[0] for where, html in published(name) if (match := AGAINST.search(html))}
    assert found == {}


def test_nor_in_the_index_and_the_prints_of_many() -> None:
    pages = [replace(page_of(name), folder=name, updated="2026-01-01") for name in RECORDS]
    index = archive_page(pages, Choices())
    texts = [index.html, *(one.html for one in index.workings), *(out.text or "" for out in prints(pages))]
    assert [match[0] for text in texts if (match := AGAINST.search(text))] == []
    assert "<script src=" in index.html


@pytest.mark.parametrize(
    "html",
    ['<p style="x">', "<svg\n style='x'/>", "<style>p{}</style>", "<script>1</script>", '<a onclick="x">', "<STYLE>"],
)
def test_the_search_finds_what_a_policy_stops(html: str) -> None:
    assert AGAINST.search(html)
