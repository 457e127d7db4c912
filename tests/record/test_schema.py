"""The published schema: what an editor that knows JSON Schema makes of a record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from benchleaf.record.model import Record
from first_drafts import drafts, looked
from published_schema import schema, validator
from sites import REPO

DEMO = sorted((REPO / "site_src" / "sets").glob("*/record.yml"))
BOTH_FORMS = (Path(__file__).parent / "both_forms.txt").read_text(encoding="utf-8")


class JsonTypes(yaml.SafeLoader):
    """YAML 1.2's core schema: ``no`` is text, ``1e3`` a number, a date text."""


JsonTypes.yaml_implicit_resolvers = {}
for pattern, tag, first in (
    (r"^(?:true|True|TRUE|false|False|FALSE)$", "bool", "tTfF"),
    (r"^[-+]?[0-9]+$", "int", "-+0123456789"),
    (r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", "float", "-+0123456789."),
):
    JsonTypes.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))
JsonTypes.add_constructor("tag:yaml.org,2002:int", lambda loader, node: int(loader.construct_scalar(node)))
"""A nought before a number is none of octal there: ``0412288``."""


class OldTypes(yaml.SafeLoader):
    """YAML 1.1 as most editors type it: ``no`` is a boolean, ``12:30`` a number; a date is text in JSON."""


OldTypes.yaml_implicit_resolvers = {
    letter: [(tag, regexp) for tag, regexp in resolvers if not tag.endswith("timestamp")]
    for letter, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def nodes(value: Any) -> Iterator[Any]:
    yield value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from nodes(inner)


def as_json(node: Any) -> Any:
    """What was typed as an editor has it: a name is text."""
    if isinstance(node, dict):
        return {str(name): as_json(value) for name, value in node.items()}
    return [as_json(value) for value in node] if isinstance(node, list) else node


def slips(record: Any) -> list[str]:
    return [error.message for error in validator().iter_errors(as_json(record))]


def pairs() -> list[str]:
    return [form for block in re.split(r"^### .*\n", BOTH_FORMS, flags=re.M)[1:] for form in block.split("\n=====\n")]


def documented_records() -> list[str]:
    """The records of the documentation."""
    pages = [page.read_text(encoding="utf-8") for page in sorted((REPO / "site_src" / "writing").glob("*.md"))]
    blocks = [block for page in pages for block in re.findall(r"```yaml\n(.*?)```", page, re.S)]
    return [b if re.search("^maker:", b, re.M) else f"maker: A\nmodel: B\n{b}" for b in blocks if "plugins:" not in b]


def test_schema_is_valid() -> None:
    Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_schema_has_no_null_values() -> None:
    for node in nodes(schema()):
        assert node is not None


def test_schema_has_every_name_of_the_record_and_offers_no_other_word_for_one() -> None:
    assert set(schema()["properties"]) == set(Record.names())
    for word in Record.SYNONYMS:
        found = [told for pattern, told in schema()["patternProperties"].items() if re.search(pattern, word)]
        assert [told["title"] for told in found] == [word]
        assert found[0]["description"].startswith(f"Another word for “{Record.SYNONYMS[word]}”. ")


def test_schema_points_nowhere_outside_itself() -> None:
    for node in nodes(schema()):
        if isinstance(node, dict) and "$ref" in node:
            assert str(node["$ref"]).startswith("#/$defs/")


@pytest.mark.parametrize("reader", [JsonTypes, OldTypes])
@pytest.mark.parametrize("path", DEMO, ids=[p.parent.name for p in DEMO])
def test_demo_records_pass(path: Path, reader: Any) -> None:
    assert slips(yaml.load(path.read_bytes(), reader)) == []


@pytest.mark.parametrize("reader", [JsonTypes, OldTypes])
@pytest.mark.parametrize("form", pairs())
def test_both_forms_pass(form: str, reader: Any) -> None:
    assert slips(yaml.load(f"maker: A\nmodel: B\n{form}\n", reader)) == []


@pytest.mark.parametrize(
    "record",
    [
        {"maker": "A", "model": "B", "yeer": 1949},
        {"maker": "A"},
        {"maker": "A", "model": "B", "parts": {"C1": {"wass": "10 nF"}}},
        {"maker": "A", "model": "B", "tubes": {"V1": {"typ": "12BE6"}}},
        {"maker": "A", "model": "B", "tubes": ["12BE6"]},
        {"maker": ["A"], "model": "B"},
        {"maker": "A", "model": "B", "line side": {"befor": {}}},
        {"maker": "A", "model": "B", "log": "x"},
        {"maker": "A", "model": "B", "bands": {"MW": {"from": 1}}},
        {"maker": "A", "model": "B", "format": 2},
        {"Maker": "A"},
        {"maker": None, "model": "B"},
        {"maker": "A", "model": "B", "power": "sieries"},
        {"maker": "A", "model": "B", "chassis": "AC/DC"},
        {"maker": "A", "model": "B", "parts": {"C1": {"state": 12}}},
        {"maker": "A", "model": "B", "heaters": {"shunts": {"V1": {"watts": "2 W"}}}},
    ],
)
def test_mistakes_are_underlined(record: Any) -> None:
    assert slips(record) != []


@pytest.mark.parametrize(
    "record",
    [
        {"Manufacturer": "A", "MODEL": "B", "Mains": "120 V", "Chassis  number": 1},
        {"maker": "A", "model": "B", "year": None, "parts": None, "tubes": {"V1": None}, "power": None, "log": [None]},
        {"maker": "A", "model": "B", "power": "ac/dc", "chassis": "Floating  chassis", "state": " On the Bench "},
        {"maker": "A", "model": "B", "papers": "a sheet", "log": [{"2026-03-01": "cleaned"}, {"April 19": "oiled"}]},
        {"maker": "A", "model": "B", "papers": ["a sheet", "a book"], "alignment": [{"steps": "455 kHz, cores"}]},
        {"maker": "A", "model": "B", "line side": {"measured": [{"switch": True, "plug": "reversed"}]}},
        {"maker": "A", "model": "B", "heaters": {"dropper": {"ohms": "170 ohm"}, "Dial lamp": "none"}},
    ],
)
def test_what_the_reader_takes_is_not_underlined(record: Any) -> None:
    assert slips(record) == []


@pytest.mark.parametrize("reader", [JsonTypes, OldTypes])
@pytest.mark.parametrize("text", documented_records())
def test_a_record_that_checks_clean_is_not_underlined(text: str, reader: Any) -> None:
    assert slips(yaml.load(text, reader)) == []


@pytest.mark.parametrize("reader", [JsonTypes, OldTypes])
@drafts()
def test_a_draft_that_was_mended_is_not_underlined(draft: Path, reader: Any) -> None:
    text, _ = looked(draft, mended=True)
    assert slips(yaml.load(text, reader)) == []


@pytest.mark.parametrize("value", ["text", 80, 1.5, False])
def test_text_may_be_typed_as_the_editor_likes(value: Any) -> None:
    record = {"maker": value, "model": value, "tubes": {"V1": value}, "parts": {"C1": {"was": value}}, "line": value}
    assert slips(record) == []
