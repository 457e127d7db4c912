"""Rules that hold for every chapter, run over the list of chapters: a new one is held to them from its first day.

They are tried on the demo's sets and on a record in which each of the plain chapters says all it can.
"""

from __future__ import annotations

import json
import random
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from importlib.util import find_spec
from itertools import chain
from typing import Any
from xml.etree import ElementTree

import pytest

import full_record
import makers
from benchleaf.chapters.examine import Examined, as_record_json
from benchleaf.chapters.examine import said as chapter_said
from benchleaf.chapters.order import CHAPTERS, Chapter
from benchleaf.pages import rendering as pages
from benchleaf.report.findings import DANGER, NOTE, as_json
from benchleaf.report.plain_page import PlainPage
from benchleaf.words import AMERICAN, BRITISH
from hostile_text import with_hostile_text
from markup import parsed, words_of
from sites import REPO

DEMO = {path.parent.name: path.read_text(encoding="utf-8") for path in (REPO / "site_src/sets").glob("*/record.yml")}
SETS = {**dict(sorted(DEMO.items())), "all that can be said": full_record.FULL}
DIALECTS = {"American": AMERICAN, "British": BRITISH}
UNSAID = re.compile(r"\bNone\b(?! [a-z])|\b(?:nan|inf|Undefined)\b|\{\{|\{%|\}\}|<bound|object at 0x")

every_chapter = pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda chapter: chapter.folder)
every_set = pytest.mark.parametrize("name", SETS)


@cache
def examined(name: str) -> Examined:
    return makers.examined(SETS[name])


def said_of(chapter: Chapter) -> Iterator[tuple[Examined, Any]]:
    """Each set that says something on the chapter's subject, with the chapter's findings."""
    for name in SETS:
        if (found := examined(name).findings[chapter.folder]) is not None:
            yield examined(name), found


def whole_page(examined: Examined, **more: Any) -> dict[str, str]:
    """The chapters of a set's page, by folder."""
    found = examined.findings.items()
    return {folder: makers.page(folder, examined.bench, f, **more) for folder, f in found if f is not None}


# What a chapter is made of


@every_chapter
def test_a_chapter_has_its_files(chapter: Chapter) -> None:
    package = f"benchleaf.chapters.{chapter.folder}"
    assert all(find_spec(f"{package}.{name}") for name in ("examine", "say"))
    own_page = REPO / "plugin/benchleaf/chapters" / chapter.folder / "page.html.j2"
    said = [chapter_said(examined, chapter) for examined, _ in said_of(chapter)]
    assert own_page.is_file() or all(isinstance(page, PlainPage) for page in said)


@every_chapter
def test_some_set_here_says_something_on_the_subject(chapter: Chapter) -> None:
    """Without one every other rule would hold of nothing."""
    assert list(said_of(chapter))


@every_chapter
def test_a_record_that_says_nothing_on_the_subject_has_no_chapter(chapter: Chapter) -> None:
    assert makers.findings(chapter.folder, "") is None


def test_names_anchors_and_titles_are_each_the_chapters_own() -> None:
    for own in ("folder", "key", "story_name", "anchor"):
        names = [getattr(chapter, own) for chapter in CHAPTERS]
        assert len(names) == len(set(names))
    assert all(need in {c.folder for c in CHAPTERS} for chapter in CHAPTERS for need in chapter.needs)


# Findings


def unfrozen(value: Any) -> Iterator[str]:
    """Types below a finding that could be changed after it was made."""
    if is_dataclass(value):
        if not type(value).__dataclass_params__.frozen:  # type: ignore[attr-defined]
            yield type(value).__name__
        yield from chain.from_iterable(unfrozen(getattr(value, field.name)) for field in fields(value))
    elif isinstance(value, Mapping):
        yield from chain.from_iterable(unfrozen(entry) for entry in value.values())
    elif isinstance(value, list | set | bytearray):
        yield type(value).__name__
    elif isinstance(value, tuple | frozenset):
        yield from chain.from_iterable(map(unfrozen, value))


@every_chapter
def test_findings_are_frozen(chapter: Chapter) -> None:
    for _, found in said_of(chapter):
        assert is_dataclass(found) or isinstance(found, Mapping)
        assert set(unfrozen(found)) == set()


REPRS = """
import hashlib, sys
import makers
for path in sys.argv[1:]:
    for folder, found in makers.examined(open(path, encoding="utf-8").read()).findings.items():
        print(folder, hashlib.sha256(repr(found).encode()).hexdigest(), "0x" in repr(found))
"""


def test_findings_are_written_the_same_in_every_process() -> None:
    """A figure's key in the cache is the repr of its chapter's findings; the seed of hashes differs between builds."""
    command = [sys.executable, "-c", REPRS, str(REPO / "site_src/sets/larkfield-minuet-5/record.yml")]
    told = [
        subprocess.run(
            command,
            env={"PYTHONPATH": f"{REPO / 'tests'}:{REPO / 'plugin'}", "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert told[0] == told[1]
    assert told[0].count("\n") == len(CHAPTERS)
    assert "True" not in told[0]


# What other programs read

UNITS = frozenset(
    {"volts", "amps", "ohms", "farads", "henries", "watts", "seconds", "hours", "hertz", "metres", "coulombs"}
    | {"kelvin", "celsius", "decibels", "db", "i2t", "siemens", "amperes", "kelvins"}
)
RATIOS = frozenset(
    {"of", "off", "times", "share", "ratio", "factor", "deviation", "drift", "tolerance", "emission", "exponent"}
    | {"change", "scaled", "assumed", "against"}
)
UNIT_BESIDE = frozenset({"unit"})
NAMED_OTHERWISE = {"log": "pairs of seconds and amps", "present": "a share", "loading": "shares that a meter leaves"}
"""Numbers published under a key that does not say what they are. New ones are not to be added."""


def without_unit(data: Any, path: tuple[str, ...] = (), beside: frozenset[str] = frozenset()) -> Iterator[str]:
    """Keys of numbers where neither they, a key above nor a key beside names a unit or a ratio."""
    if isinstance(data, Mapping):
        around = frozenset(word for name in data for word in name.split("_"))
        for name, entry in data.items():
            yield from without_unit(entry, (*path, name), around)
    elif isinstance(data, list):
        for entry in data:
            yield from without_unit(entry, path, beside)
    elif isinstance(data, float):
        words = {word for name in path for word in name.split("_")} | (beside if path[-1] in ("low", "high") else set())
        if not words & (UNITS | RATIOS) and not beside & UNIT_BESIDE and not set(path) & NAMED_OTHERWISE.keys():
            yield ".".join(path)


@every_chapter
def test_json_has_its_units_in_its_keys_and_no_number_that_is_none(chapter: Chapter) -> None:
    for examined, found in said_of(chapter):
        data = as_json(found)
        assert isinstance(data, dict)
        assert data == json.loads(json.dumps(as_record_json(examined), allow_nan=False))["findings"][chapter.folder]
        assert set(without_unit(data)) == set()


# Sentences


@every_chapter
def test_what_stands_out_is_said_in_sentences_and_leads_to_its_place(chapter: Chapter) -> None:
    for examined, found in said_of(chapter):
        ids = set(parsed("".join(whole_page(examined).values())).ids) | {c.anchor for c in CHAPTERS}
        for standout in makers.standouts(chapter.folder, examined.bench, found):
            assert NOTE <= standout.severity <= DANGER
            assert standout.anchor in ids
            assert len(standout.text.split()) >= 3
            assert standout.text == " ".join(standout.text.split(" "))
            assert standout.text[0].isupper() or standout.text[0].isdigit()
            assert not re.search(r"[\s,;:–]$|<\w|&\w+;", standout.text)
            assert not UNSAID.search(standout.text)


@every_chapter
def test_nothing_is_called_safe_or_simple(chapter: Chapter) -> None:
    for examined, found in said_of(chapter):
        told = words_of(makers.page(chapter.folder, examined.bench, found), " ")
        told += " ".join(makers.said(chapter.folder, examined.bench, found))
        assert not re.search(r"\b(?:safe|safely|simply)\b", told, re.I)


# Pages


@every_chapter
@pytest.mark.parametrize("dialect", DIALECTS)
def test_a_page_opens_with_its_conclusion_and_is_whole(chapter: Chapter, dialect: str) -> None:
    for examined, found in said_of(chapter):
        bench = makers.bench(examined.record, words=DIALECTS[dialect])
        html = makers.page(chapter.folder, bench, found)
        elements = parsed(html)
        assert html.lstrip().startswith(('<p class="bl-conclusion"', '<aside class="bl-caution"'))
        assert pages.conclusion(html)
        assert not {"h1", "h2", "script", "style", "iframe", "object"} & set(elements.tags)
        assert elements.scripts == []
        assert all(entry.id.startswith(chapter.anchor) for entry in pages.headings(html))
        assert not UNSAID.search(words_of(html, " "))


@every_set
def test_on_a_sets_page_every_id_is_there_once_and_every_link_leads_somewhere(name: str) -> None:
    elements = parsed("".join(whole_page(examined(name)).values()))
    anchors = {chapter.anchor for chapter in CHAPTERS if examined(name).findings[chapter.folder] is not None}
    assert not anchors & set(elements.ids), "the heading of a chapter has this id"
    inside = {link.removeprefix("#") for link in elements.links if link.startswith("#")}
    assert inside <= set(elements.ids) | anchors


# Hostile text

ROUNDS = {
    **{f"demo {n}": ("larkfield-minuet-5", n) for n in range(6)},
    **{f"full {n}": ("all that can be said", n) for n in range(12)},
}


@cache
def hostile(name: str, seed: int) -> Examined:
    return makers.examined(with_hostile_text(makers.record(SETS[name]), random.Random(seed)))


@pytest.mark.parametrize("round_", ROUNDS)
def test_hostile_text_stays_text(round_: str) -> None:
    examined = hostile(*ROUNDS[round_])
    for folder, html in whole_page(examined).items():
        elements = parsed(html)
        assert not {"script", "img", "iframe", "style"} & set(elements.tags), folder
        assert elements.scripts == [], folder
        assert "axax" not in html, folder
    json.dumps(as_record_json(examined), allow_nan=False)


@every_chapter
def test_hostile_text_was_on_the_page(chapter: Chapter) -> None:
    """Or else the test before this one would say nothing of the chapter."""
    found = [hostile(*at) for at in ROUNDS.values()]
    told = [
        makers.page(chapter.folder, e.bench, e.findings[chapter.folder]) for e in found if e.findings[chapter.folder]
    ]
    assert any("&lt;script&gt;alert(1)" in html for html in told)


@pytest.mark.parametrize("seed", [0, 1])
def test_hostile_text_stays_text_in_drawings(seed: int) -> None:
    examined = hostile("larkfield-minuet-5", seed)
    drawn = 0
    for chapter in CHAPTERS:
        found = examined.findings[chapter.folder]
        for figure in makers.figures(chapter.folder, examined.bench, found).values() if found is not None else ():
            drawn += 1
            tags = {element.tag.rpartition("}")[2] for element in ElementTree.fromstring(figure.svg).iter()}
            assert not {"script", "img", "image", "foreignObject", "a"} & tags
            assert "axax" not in figure.svg
    assert drawn > 3
