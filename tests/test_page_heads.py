"""What stands in the heads of pages for search engines, for programs, and for those who see only a link."""

from __future__ import annotations

import csv
import json
import re
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

import makers
from benchleaf.archive.page import archive_page
from benchleaf.archive.page_heads import Heads
from benchleaf.pages.set_page import Choices, SetPage
from hostile_text import HOSTILE
from sites import REPO, SMALL_RECORD

HEAD = '<html><head><title>x</title></head><body class="</head>"></body></html>'
ROOT = "https://club.example/radios/"
DATED = SMALL_RECORD + "state: finished\nfinished: 2026-03-01\nserial: 998877\nowner: Somebody Private\n"
PICTURE = {
    "fallback": "photos/front-480-ab.jpg",
    "width": 1600,
    "height": 1200,
    "sources": {"webp": [], "jpeg": [["photos/front-480-ab.jpg", 480], ["photos/front-1600-cd.jpg", 1600]]},
}


@cache
def vocabulary() -> tuple[dict[str, str], dict[str, tuple[str, str]]]:
    """Classes with what each is a kind of, properties with what has and what takes them.

    From ``data/schema.ttl`` of schema.org, release 30.0 of 2026-03-19: of the classes and kinds of values that a
    property may have, the one that is used here.
    """
    with (REPO / "tests/facts/schema_org.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    classes = {row["term"]: row["of"] for row in rows if row["kind"] == "class"}
    return classes, {row["term"]: (row["of"], row["takes"]) for row in rows if row["kind"] == "property"}


def is_a(kind: str, other: str) -> bool:
    classes, _ = vocabulary()
    return kind == other or (kind in classes and is_a(classes[kind], other))


def faults(data: Any) -> list[str]:
    """Where data uses another word than the vocabulary has, or a word where it does not belong."""
    classes, properties = vocabulary()
    if isinstance(data, list):
        return [fault for one in data for fault in faults(one)]
    if not isinstance(data, dict):
        return []
    kind = data["@type"]
    found = [] if kind in classes else [f"no class {kind}"]
    for name, value in data.items():
        if name.startswith("@"):
            continue
        has, takes = properties.get(name, ("", ""))
        if not is_a(kind, has):
            found.append(f"{kind} has no {name}")
        if not all(fits(one, takes) for one in (value if isinstance(value, list) else [value])):
            found.append(f"{name} is no {takes}: {value}")
        found += faults(value)
    return found


def fits(value: Any, takes: str) -> bool:
    if isinstance(value, dict):
        return is_a(value["@type"], takes)
    if takes == "Integer":
        return type(value) is int
    if takes == "Date":
        return re.fullmatch(r"\d{4}(-\d\d-\d\d)?", value) is not None
    if takes == "URL":
        return value.startswith(ROOT)
    return takes == "Text" and bool(value)


def heads(pages: list[SetPage], drafts: tuple[str, ...] = (), **choices: Any) -> Heads:
    """A site's pages as they are placed, each with those below it, and the index of those that are public."""
    index = archive_page([page for page in pages if page.folder not in drafts], Choices(**choices))
    placed: dict[str, Any] = {"sets/index.md": index}
    placed |= {f"sets/{one.name}/index.md": one for one in index.workings}
    for page in pages:
        placed[f"sets/{page.folder}/index.md"] = page
        placed |= {f"sets/{page.folder}/{one.name}/index.md": one for one in page.workings}
    public = frozenset(uri for uri in placed if uri.split("/")[1] not in drafts)
    return Heads(placed, public, Choices(**choices), "A & B")


def head(of: Heads, uri: str, *, at: bool = True) -> str:
    address = ROOT + uri.removesuffix("index.md") + ("" if of.choices.directory_urls else "index.html")
    html = of.with_head(HEAD, uri, address if at else "")
    assert html.startswith("<html><head><title>x</title>")
    assert html.endswith('</head><body class="</head>"></body></html>')
    return html.partition("</head>")[0]


def data_in(html: str) -> Any:
    (block,) = re.findall(r'<script type="application/ld\+json">(.*?)</script>', html, re.S)
    return json.loads(block)


def meta(html: str) -> dict[str, str]:
    return dict(re.findall(r'<meta (?:property|name)="([^"]*)" content="([^"]*)">', html))


@cache
def made(text: str) -> SetPage:
    return makers.set_page(text)


def a_set(text: str = DATED, folder: str = "trial", **card: Any) -> SetPage:
    page = made(text)
    return replace(page, folder=folder, card=(page.card or {}) | card)


def test_every_page_speaks_the_published_vocabulary() -> None:
    bare = a_set("maker: Testwell\nmodel: Trial\n", "bare")
    site = heads([a_set(), bare, a_set(folder="pictured", picture=PICTURE), *makers.archive(20)])
    told = {uri: data_in(head(site, uri)) for uri in site.pages}
    assert {uri: found for uri, data in told.items() if (found := faults(data))} == {}
    assert {data["@context"] for data in told.values()} == {"https://schema.org"}
    assert {data["@type"] for data in told.values()} == {"TechArticle", "CollectionPage"}


@pytest.mark.parametrize(
    ("data", "fault"),
    [
        ({"@type": "TechArtikel"}, "no class TechArtikel"),
        ({"@type": "Product", "headline": "x"}, "Product has no headline"),
        ({"@type": "Product", "manufacturer": "Testwell"}, "manufacturer is no Organization: Testwell"),
        ({"@type": "ItemList", "numberOfItems": "2"}, "numberOfItems is no Integer: 2"),
        ({"@type": "Product", "productionDate": "c. 1950"}, "productionDate is no Date: c. 1950"),
    ],
)
def test_a_word_that_does_not_belong_is_found(data: Any, fault: str) -> None:
    assert fault in faults(data)


def test_a_set_is_an_article_about_a_product() -> None:
    site = heads([a_set(picture=PICTURE)])
    told = data_in(head(site, "sets/trial/index.md"))
    assert told["headline"] == "Testwell Trial (1950)"
    assert told["url"] == f"{ROOT}sets/trial/"
    assert told["dateModified"] == "2026-03-01"
    assert told["image"] == f"{ROOT}sets/trial/photos/front-1600-cd.jpg"
    assert told["about"] == {
        "@type": "Product",
        "name": "Testwell Trial",
        "category": "Vacuum-tube radio receiver",
        "model": "Trial",
        "manufacturer": {"@type": "Organization", "name": "Testwell"},
        "productionDate": "1950",
    }
    assert told["isPartOf"] == {"@type": "CollectionPage", "name": "Sets", "url": f"{ROOT}sets/"}


def test_a_chapter_is_part_of_its_set_and_carries_its_day() -> None:
    site = heads([a_set(picture=PICTURE), a_set(SMALL_RECORD, "other")])
    told = data_in(head(site, "sets/trial/heaters/index.md"))
    assert told["isPartOf"] == {"@type": "TechArticle", "name": "Testwell Trial (1950)", "url": f"{ROOT}sets/trial/"}
    assert told["dateModified"] == site.day("sets/trial/heaters/index.md") == "2026-03-01"
    assert meta(head(site, "sets/trial/heaters/index.md"))["og:image"] == f"{ROOT}sets/trial/photos/front-1600-cd.jpg"
    assert site.day("sets/other/index.md") is site.day("sets/other/heaters/index.md") is None
    assert site.day("sets/index.md") == "2026-03-01"


def test_the_index_lists_the_public_sets_and_no_draft() -> None:
    site = heads([a_set(), a_set(SMALL_RECORD.replace("Trial", "Nine"), "nine"), a_set(folder="draft")], ("draft",))
    listed = data_in(head(site, "sets/index.md"))["mainEntity"]
    assert listed["numberOfItems"] == 2
    assert [(one["position"], one["name"], one["url"]) for one in listed["itemListElement"]] == [
        (1, "Testwell Nine (1950)", f"{ROOT}sets/nine/"),
        (2, "Testwell Trial (1950)", f"{ROOT}sets/trial/"),
    ]
    draft = head(site, "sets/draft/index.md")
    assert "ld+json" not in draft
    assert "og:" not in draft


def test_of_many_sets_the_newest_are_listed_and_all_are_counted() -> None:
    pages = [replace(page, updated=page.card and page.card["dated"]) for page in makers.archive(600)]
    site = heads(pages)
    told = data_in(head(site, "sets/index.md"))
    assert told["mainEntity"]["numberOfItems"] == 600
    shown = set(re.findall(r'<a href="([^"]*)/">', site.pages["sets/index.md"].html))
    listed = {one["url"].removeprefix(f"{ROOT}sets/").strip("/") for one in told["mainEntity"]["itemListElement"]}
    assert 0 < len(listed) < 600
    assert listed <= shown
    across = data_in(head(site, "sets/by-tube/index.md"))
    assert (across["@type"], across["isPartOf"]["url"], faults(across)) == ("CollectionPage", f"{ROOT}sets/", [])


def test_addresses_name_files_where_the_site_does() -> None:
    site = heads([a_set(picture=PICTURE)], directory_urls=False)
    told = data_in(head(site, "sets/trial/heaters/index.md"))
    assert told["url"] == f"{ROOT}sets/trial/heaters/index.html"
    assert told["isPartOf"]["url"] == f"{ROOT}sets/trial/index.html"
    assert meta(head(site, "sets/trial/index.md"))["og:image"] == f"{ROOT}sets/trial/photos/front-1600-cd.jpg"


def test_a_site_without_an_address_tells_none() -> None:
    site = heads([a_set(picture=PICTURE)])
    for uri in site.pages:
        html = head(site, uri, at=False)
        assert "http" not in html.replace("https://schema.org", "")
        assert "canonical" not in html
        assert "og:image" not in html
        assert faults(data_in(html)) == []


def test_the_card_of_a_link_has_the_photo_or_none() -> None:
    site = heads([a_set(picture=PICTURE), a_set(folder="bare")])
    with_photo, without = meta(head(site, "sets/trial/index.md")), meta(head(site, "sets/bare/index.md"))
    assert with_photo["og:title"] == with_photo["og:image:alt"] == "Testwell Trial (1950)"
    assert with_photo["og:site_name"] == "A &amp; B"
    assert (with_photo["og:type"], with_photo["og:image:width"]) == ("article", "1600")
    assert with_photo["twitter:card"] == "summary_large_image"
    assert (without["twitter:card"], without.get("og:image")) == ("summary", None)
    assert meta(head(site, "sets/index.md"))["og:type"] == "website"


@pytest.mark.parametrize(
    ("there", "not_again"),
    [
        ('<meta name="description" content="theirs">', 'name="description"'),
        ("<meta name=description content=theirs>", 'name="description"'),
        ('<link rel="canonical" href="theirs">', "canonical"),
        ('<meta property="og:title" content="theirs">', "og:type"),
        ("<meta property=og:image content=theirs>", "og:image:alt"),
        ('<meta name="twitter:card" content="theirs">', 'content="summary_large_image"'),
    ],
)
def test_what_stands_there_already_stays_and_comes_no_second_time(there: str, not_again: str) -> None:
    site = heads([a_set(picture=PICTURE)])
    html = HEAD.replace("</title>", f"</title>{there}")
    added = site.with_head(html, "sets/trial/index.md", f"{ROOT}sets/trial/").replace(there, "")
    assert not_again not in added.partition("</head>")[0]
    assert not_again in head(site, "sets/trial/index.md")


def test_hostile_words_end_neither_a_block_nor_an_attribute() -> None:
    evil = f"{HOSTILE} </head> <!-- ]]> \u2028"
    page = replace(a_set(maker=evil, model=evil), title=evil, description=evil)
    html = heads([page]).with_head(HEAD, "sets/trial/index.md", f"{ROOT}sets/trial/").partition("</head>")[0]
    assert data_in(html)["headline"] == evil
    assert data_in(html)["about"]["manufacturer"]["name"] == evil
    assert html.count("<script") == html.count("</script") == 1
    assert not re.search(r"<!--|<img|\u2028", html.partition("ld+json")[2])
    assert set(re.findall(r"<(\w+)", html)) == {"html", "head", "title", "meta", "link", "script"}


def test_nothing_private_is_told() -> None:
    site = heads([a_set()])
    for uri in site.pages:
        assert not re.search("998877|Somebody Private", head(site, uri))


def test_a_record_that_cannot_be_read_is_no_article() -> None:
    broken = replace(a_set(folder="broken"), card=None)
    site = heads([a_set(), broken])
    html = head(site, "sets/broken/index.md")
    assert "ld+json" not in html
    assert data_in(head(site, "sets/index.md"))["mainEntity"]["numberOfItems"] == 1


def test_a_page_without_a_head_stays_as_it_is() -> None:
    assert heads([a_set()]).with_head("<p>x</p>", "sets/trial/index.md", ROOT) == "<p>x</p>"
