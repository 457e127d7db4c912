"""A club's archive: whose a set is, two sets of one model told apart wherever they are named, and ``sets.json``."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

import makers
from benchleaf.archive.index import index
from benchleaf.archive.sets_file import OfSite, sets_file
from benchleaf.archive.told_apart import NamedSet, told_apart, with_names_told_apart
from benchleaf.build.cache import Cache
from benchleaf.build.one_set import make_page
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.record.inputs import Inputs
from sites import build, write_site

HUM = """\
maker: Larkfield
model: Minuet 5
year: about 1949
chassis number: LK-5B
serial: 40417
owner: Mrs Tarn
power: series string
state: on the bench
summary: A kitchen set.
tubes:
  V4: 50C5, output
  V5: 35W4, rectifier
parts:
  C7: to do, 10 nF 10 % 400 V paper, measured 13.6 nF, between V4 plate and V4 grid
faults:
  - hum from the start, not V5, cause C7 leaky, replaced
"""
OF_ALDER = HUM.replace("power:", "member: R. Alder\npower:")
SITE = {
    "r-alder/minuet": OF_ALDER,
    "i-sand/minuet": HUM,
    "kitchen": HUM.replace("power:", "called: the kitchen one\npower:"),
}
DRAFT = {"draft": HUM.replace("Minuet 5", "Heronsgate")}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A club's site with two sets of one model and a third that has a name, and an index of the club's own."""
    root = tmp_path_factory.mktemp("club")
    config = "site_url: https://club.example/radios/\ndraft_docs: |\n  /sets/draft/\n"
    write_site(root, {**SITE, **DRAFT}, config)
    (root / "docs/sets/index.md").write_text("# Our sets\n", encoding="utf-8")
    result = build(root)
    assert result.returncode == 0, result.stderr
    return root / "site"


@pytest.fixture(scope="module")
def published(site: Path) -> Any:
    return json.loads((site / "sets/sets.json").read_text(encoding="utf-8"))


def test_the_file_of_all_sets_lies_beside_an_index_of_the_clubs_own(site: Path, published: Any) -> None:
    assert "Our sets" in (site / "sets/index.html").read_text(encoding="utf-8")
    assert {key: published[key] for key in published if key != "sets"} == {
        "format": "benchleaf-sets",
        "version": 1,
        "name": "Trial",
        "site_url": "https://club.example/radios/",
        "file": "sets/sets.json",
        "dialect": "american",
    }
    assert [one["id"] for one in published["sets"]] == ["i-sand/minuet", "kitchen", "r-alder/minuet"]
    for one in published["sets"]:
        assert (site / one["address"] / "index.html").is_file()


def test_a_set_is_told_with_what_it_had_and_what_failed(published: Any) -> None:
    last = published["sets"][-1]
    assert last == {
        "id": "r-alder/minuet",
        "address": "sets/r-alder/minuet/",
        "title": "Larkfield Minuet 5 (about 1949), R. Alder",
        "maker": "Larkfield",
        "model": "Minuet 5",
        "called": None,
        "member": "R. Alder",
        "by": None,
        "made": "about 1949",
        "year": 1949,
        "chassis_number": "LK-5B",
        "kind": "transformerless, tubes in series",
        "state": "on the bench",
        "summary": "A kitchen set.",
        "finished": None,
        "last_date": None,
        "tubes": ["50C5", "35W4"],
        "faults": [{"complaint": "hum from the start", "cause": "C7 leaky", "cure": "replaced"}],
        "failed": [
            {
                "job": "capacitor",
                "verdict": "out of tolerance",
                "kind": "paper",
                "part": "C7",
                "was": "10\u202fnF 400\u202fV paper ±10\u202f%",
            }
        ],
        "ruled_out": [{"job": "rectifier", "kind": "tube", "part": "V5", "complaint": "hum from the start"}],
    }


def test_drafts_and_private_lines_are_in_no_file_of_the_archive(site: Path) -> None:
    for file in (site / "sets").rglob("*"):
        text = file.read_bytes() if file.is_file() else b""
        assert b"40417" not in text, file
        assert b"Mrs Tarn" not in text, file
        assert b"Heronsgate" not in text, file


def test_two_of_a_model_are_told_apart_on_their_pages_sheets_and_in_the_search(site: Path) -> None:
    """By the member where one is written, else by the member's folder; the set that is called something by that."""
    names = {
        "r-alder/minuet": "Larkfield Minuet 5 (about 1949), R. Alder",
        "i-sand/minuet": "Larkfield Minuet 5 (about 1949), i-sand",
        "kitchen": "Larkfield Minuet 5 (about 1949), the kitchen one",
    }
    found = json.loads((site / "search/search_index.json").read_text(encoding="utf-8"))["docs"]
    titles = {one["location"]: one["title"] for one in found}
    for folder, name in names.items():
        assert titles[f"sets/{folder}/"] == name
        for file in ("index.html", "bench-sheet.html", "bench-pad.html", "cabinet-card.html", "full-working.html"):
            text = (site / "sets" / folder / file).read_text(encoding="utf-8")
            (title,) = re.findall(r"<title>(.*?)</title>", text)
            (heading,) = re.findall(r"<h1\b.*?</h1>", text)
            assert name in title, file
            assert name in heading, file
        working = (site / "sets" / folder / "parts/index.html").read_text(encoding="utf-8")
        assert working.count(name) >= 3, "title, heading and the way up"


def page(folder: str, text: str, **choices: Any) -> SetPage:
    inputs = Inputs(Path("nowhere") / folder, folder, f"sets/{folder}", text.encode(), (), (), ())
    return make_page(inputs, Choices(**choices), Cache(None))


def test_lists_orders_and_same_chassis_name_the_set_apart() -> None:
    text = HUM.replace("Mrs Tarn", "<b>&'")
    pages = with_names_told_apart([page("a/minuet", text), page("b/minuet", text + "member: O'Dell & <Co>\n")])
    assert [one.title.partition("), ")[2] for one in pages] == ["a", "O'Dell & <Co>"]
    made = index(pages, Choices())
    assert [card.name for card in made.cards] == ["Larkfield Minuet 5, a", "Larkfield Minuet 5, O'Dell & <Co>"]
    (to_order,) = (one.to_get for one in made.across if one.name == "to-order")
    assert to_order[0].wanted_by == (
        "Larkfield Minuet 5 (about 1949), a: C7; Larkfield Minuet 5 (about 1949), O'Dell & <Co>: C7"
    )
    (complaints,) = (one.groups for one in made.across if one.name == "by-complaint")
    assert len({link.title for link in complaints[0].links}) == 2
    for one in (pages[1].html, pages[1].search, *(w.html for w in pages[1].workings)):
        assert "<Co>" not in one
        assert "&lt;Co&gt;</h1>" in one or "&lt;Co&gt;</small></h1>" in one


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ([("A", "x", "one"), ("B", "x", "two")], ["", ""]),
        ([("A", "x", "one"), ("a ", "y", "two")], ["x", "y"]),
        ([("A", "x", "p/one"), ("A", "X", "p/two"), ("A", "y", "three")], ["one", "two", "y"]),
        ([("A", "", "p/one"), ("A", "", "q/one")], ["p/one", "q/one"]),
        ([("A", "two", "p/one"), ("A", "", "q/two")], ["p/one", "q/two"]),
        ([("A", "x", "p/one"), ("A", "x", "q/one")], ["p/one", "q/one"]),
    ],
    ids=["unlike", "by member", "by folder where one member has two", "nobody", "a member called as a folder", "both"],
)
def test_the_shortest_way_that_tells_all_apart(named: list[tuple[str, str, str]], said: list[str]) -> None:
    assert told_apart([NamedSet(*one) for one in named]) == said


def test_a_card_that_cannot_be_shown_is_left_out_of_the_file() -> None:
    pages = [makers.carded_page("one", "One", faults=[["too few"]]), makers.carded_page("two", "Two")]
    told = json.loads(sets_file(pages, Choices(directory_urls=False), OfSite("", "", "")))
    assert [(one["id"], one["address"]) for one in told["sets"]] == [("two", "two/index.html")]
    assert (told["file"], told["site_url"]) == ("sets.json", None)
