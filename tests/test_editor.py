"""What a restorer sees in an editor: the published schema in a YAML language server, driven as an editor drives it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import makers
from benchleaf.record.how_powered import CHASSIS, POWER
from benchleaf.record.model import Record
from benchleaf.record.name_table import name_table
from benchleaf.record.progress import STATES
from first_drafts import DRAFTS, looked
from language_server import Editor, editor
from published_schema import schema
from sites import REPO

DEMO = sorted((REPO / "site_src" / "sets").glob("*/record.yml"))
EDITOR_PAGE = (REPO / "site_src" / "writing" / "editor.md").read_text(encoding="utf-8")
FIRST_LINE = "# yaml-language-server: $schema=record.schema.json\n"
HEAD = FIRST_LINE + makers.SET
TABLE = name_table()
SETTING = r"```json\n *(.*?)\n *```"
PLUGS = {"two-pin, either way", "two-pin polarised", "three-pin with earth", "none"}
NOMINAL = "The nominal line, which holds wherever a reading says nothing else."
PART = "A part of the set: what the sheet says, what was found, what is in it now."


@pytest.fixture(scope="session")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Editor]:
    folder = tmp_path_factory.mktemp("editor")
    settings = json.loads(f"{{{re.findall(SETTING, EDITOR_PAGE, re.S)[0]}}}")
    (folder / "sets").mkdir()
    for home in (folder, folder / "sets"):
        (home / "record.schema.json").write_text(json.dumps(schema()), encoding="utf-8")
    with editor(folder, settings["yaml.schemas"]) as opened:
        yield opened


def test_the_line_that_leads_to_the_schema_is_the_documented_one() -> None:
    assert FIRST_LINE in EDITOR_PAGE


def test_each_section_is_offered_with_its_sentence(opened: Editor) -> None:
    offered = opened.offered(HEAD + "|\n")
    assert offered == {name: TABLE.of(Record, name).says for name in Record.names() if name not in ("maker", "model")}


@pytest.mark.parametrize(
    ("place", "choices"),
    [
        ("power: |", set(POWER)),
        ("chassis: |", set(CHASSIS)),
        ("state: |", set(STATES)),
        ("parts:\n  C7:\n    state: |", {"keep", "to do", "reform", "reformed"}),
        ("line side:\n  after:\n    plug: |", PLUGS),
        ("line:\n  volts: 110 V\n  current: |", {"AC", "DC"}),
    ],
)
def test_a_choice_is_offered_its_words_and_nothing_else(opened: Editor, place: str, choices: set[str]) -> None:
    assert set(opened.offered(HEAD + place + "\n")) == choices


@pytest.mark.parametrize(
    ("place", "names"),
    [
        ("tubes:\n  V1:\n    |", {"type", "job", "heater", "base", "pins", "note"}),
        ("parts:\n  C7:\n    was:\n      ES|", {"ESR", "ESL"}),
        ("valves:\n  V1:\n    |", {"type", "job"}),
        ("heaters:\n  order: V1\n  |", {"pilot lamp", "dropper", "windings"}),
        ("line side:\n  after:\n    |", {"plug", "B- to chassis", "touchable"}),
    ],
)
def test_the_names_of_a_section_are_offered(opened: Editor, place: str, names: set[str]) -> None:
    assert names <= set(opened.offered(HEAD + place + "\n"))


@pytest.mark.parametrize(
    ("place", "says", "example"),
    [
        ("po|wer: battery", "How the set is fed.", "series string"),
        ("pow|er: Mains transformer", "How the set is fed.", "series string"),
        ("lin|e: 120 V", NOMINAL, "120 V 60 Hz"),
        ("lin|e:\n  volts: 120 V", NOMINAL, "120 V 60 Hz"),
        ("par|ts:\n  C7: was 10 nF", "Every part looked at, changed, kept or still to do, by its name.", "C7: was"),
        ("parts:\n  C|7: was 10 nF", PART, "was"),
        ("parts:\n  C|7:\n    was: 10 nF", PART, "was 0.01 uF"),
        ("parts:\n  C7:\n    w|as: 10 nF", "What was found in the set.", "0.01 uF 400 V paper"),
        ("parts:\n  C7:\n    was:\n      ES|R: 1 ohm", "Its equivalent series resistance.", "9 ohm"),
        ("val|ves:\n  V1: UCH42", "Another word for “tubes”. The tubes by their position", "V1: 12BE6"),
        ("readings:\n  sheet:\n    V|4: plate 110", "A tube's volts by electrode or in pin order", "plate 110"),
        ("line side:\n  bef|ore: 2 wire cord", "The line side as it was found.", "2 wire cord"),
    ],
)
def test_a_name_is_explained_with_an_example(opened: Editor, place: str, says: str, example: str) -> None:
    shown = opened.shown(HEAD + place + "\n")
    assert says in shown
    assert example in shown.partition("Example:")[2]
    assert "||" not in shown


@pytest.mark.parametrize("path", DEMO, ids=[path.parent.name for path in DEMO])
def test_the_demo_is_not_underlined(opened: Editor, path: Path) -> None:
    assert opened.problems(FIRST_LINE + path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("draft", DRAFTS, ids=[draft.name for draft in DRAFTS])
def test_a_draft_is_not_underlined_once_it_was_mended(opened: Editor, draft: Path) -> None:
    assert opened.problems(FIRST_LINE + looked(draft, mended=True)[0]) == []


def test_what_is_still_to_be_typed_is_not_underlined(opened: Editor) -> None:
    assert opened.problems(HEAD + "year:\npower:\nparts:\ntubes:\n  V1:\nlog:\n  -\n") == []


def test_the_documented_setting_leads_to_the_schema(opened: Editor) -> None:
    (told,) = opened.problems(makers.SET + "partz:\n", "sets/north-branch/minuet/record.yml")
    assert told.startswith("3: partz: ")
    assert opened.problems(makers.SET + "partz:\n", "sets/north-branch/minuet/another.yml") == []


@pytest.mark.parametrize(
    "place", ["parts:\n  Serial: 40417", "readings:\n  sheet:\n    owner: 7", "parts:\n  C7:\n    serial: 40417"]
)
def test_a_private_name_inside_a_section_is_underlined(opened: Editor, place: str) -> None:
    assert len(opened.problems(f"{HEAD}{place}\n")) == 1


BAD = """Model: B
partz:
  C7: was 10 nF
power: sieries string
state: finishd
parts:
  C7:
    wass: 10 nF
log: cleaned
"""


def test_slips_are_underlined_where_they_stand(opened: Editor) -> None:
    told = opened.problems(FIRST_LINE + BAD)
    places = [(int(line), words) for line, words, _ in (problem.split(": ", 2) for problem in told)]
    assert sorted(places) == [
        (2, "M"),
        (3, "partz"),
        (5, "sieries string"),
        (6, "finishd"),
        (9, "wass"),
        (10, "cleaned"),
    ]
    (choice,) = (problem for problem in told if "sieries" in problem)
    assert [word for word in POWER if word not in choice] == []
    assert any("maker" in problem for problem in told)
