"""The published schema: what an editor that knows JSON Schema makes of a record."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from benchleaf.record.model import Record
from benchleaf.record.schema import record_schema

DEMO = sorted((Path(__file__).parents[2] / "site_src" / "sets").glob("*/record.yml"))
BOTH_FORMS = (Path(__file__).parent / "both_forms.txt").read_text(encoding="utf-8")
SCHEMA = record_schema()
EDITOR = Draft202012Validator(SCHEMA)


class JsonTypes(yaml.SafeLoader):
    """YAML 1.2's core schema: ``no`` is text, ``1e3`` a number, a date text."""


JsonTypes.yaml_implicit_resolvers = {}
for pattern, tag, first in (
    (r"^(?:true|True|TRUE|false|False|FALSE)$", "bool", "tTfF"),
    (r"^[-+]?[0-9]+$", "int", "-+0123456789"),
    (r"^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$", "float", "-+0123456789."),
):
    import re

    JsonTypes.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))


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


def slips(record: Any) -> list[str]:
    return [error.message for error in EDITOR.iter_errors(record)]


def pairs() -> list[str]:
    return [form for block in re.split(r"^### .*\n", BOTH_FORMS, flags=re.M)[1:] for form in block.split("\n=====\n")]


def test_schema_is_valid() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_schema_has_no_nulls() -> None:
    for node in nodes(SCHEMA):
        assert node is not None
        assert node != "null"


def test_schema_knows_every_name_and_synonym_of_the_record() -> None:
    assert set(SCHEMA["properties"]) == {*Record.names(), *Record.SYNONYMS}
    assert set(SCHEMA["required"]) == {"maker", "model"}


def test_schema_points_nowhere_outside_itself() -> None:
    for node in nodes(SCHEMA):
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
    ],
)
def test_mistakes_are_underlined(record: Any) -> None:
    assert slips(record) != []


@pytest.mark.parametrize("value", ["text", 80, 1.5, False])
def test_text_may_be_typed_as_the_editor_likes(value: Any) -> None:
    record = {"maker": value, "model": value, "tubes": {"V1": value}, "parts": {"C1": {"was": value}}, "line": value}
    assert slips(record) == []
