"""The published JSON Schema of ``record.yml`` (draft 2020-12), for editors that complete, explain and underline.

It refuses nothing that the reader takes: names and choices with any capitals, other words for them, a line in place of
a mapping, a name with nothing behind it. What an editor offers are the names and choices themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, cast

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from .editor_schema import TEXT_SCHEMA, WRITTEN_SCHEMA, spelt_anyhow
from .model import FORMAT, Record
from .name_table import NameRow, NameTable, name_table
from .section import Section
from .values import STANDS_FOR

_DEFINITION = "#/$defs/"
_DATED = r"^\s*(?:\d|[A-Za-zÀ-ÿ]{3,}\.?\s+\d)"
"""How a date begins, where a line that begins with one and a colon is a mapping to YAML: ``2026-03-01: cleaned``."""
_NONE_PRIVATE = {spelt_anyhow(Record.private_words()): False}
"""Private names among those of the writer's own: there they would be published, and the reader refuses them."""


class _ForEditors(GenerateJsonSchema):
    """What pydantic makes of the sections, with their names explained and no more refused than the reader refuses."""

    table: NameTable

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        entries = self.generate_inner(schema["values_schema"])
        return _unless_empty({"type": "object", "patternProperties": _NONE_PRIVATE, "additionalProperties": entries})

    def tuple_schema(self, schema: core_schema.TupleSchema) -> JsonSchemaValue:
        return _unless_empty({"type": "array", "items": self.generate_inner(schema["items_schema"][0])})

    def model_schema(self, schema: core_schema.ModelSchema) -> JsonSchemaValue:
        section = cast("type[Section]", schema["cls"])
        names = _names(section, super().model_schema(schema), self.table)
        if section.FORM is None and not section.LINED:
            return _unless_empty(names)
        return {"if": {"type": "object"}, "then": names, "else": TEXT_SCHEMA}


def record_schema() -> dict[str, Any]:
    """The schema: text may be text, number or boolean to an editor (``80``, ``no``); unknown names are refused."""
    table = name_table()
    schema = _schema_of(Record, table)
    definitions: dict[str, Any] = schema.pop("$defs", {})
    sections = {section.__name__: section for section in _sections(Section)}
    while missing := [name for name in _pointed_at([schema, definitions]) if name not in definitions]:
        inner = _schema_of(sections[missing[0]], table)
        definitions |= inner.pop("$defs", {}) | {missing[0]: inner}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:benchleaf:record:{FORMAT}",
        "title": "A restoration record",
        "description": table.of(Record).says,
        **schema["else"],
        "$defs": dict(sorted(definitions.items())),
    }


def _names(section: type[Section], made: JsonSchemaValue, table: NameTable) -> dict[str, Any]:
    """The mapping form of a section: its names explained, other words and spellings for them, and no further names."""
    fields: dict[str, Any] = made.get("properties", {})
    properties: dict[str, Any] = {}
    patterns: dict[str, Any] = {}
    for name in section.names():
        row = table.of(section, name)
        written = name in section.required() and fields[name] == TEXT_SCHEMA
        properties[name] = _explained(name, row.says, row, WRITTEN_SCHEMA if written else fields[name])
        patterns[spelt_anyhow([name], but=[name])] = {"title": name, "description": row.says} | fields[name]
    for word, name in section.SYNONYMS.items():
        row = table.of(section, name)
        says = f"Another word for “{name}”. {row.says}"
        patterns[spelt_anyhow([word])] = _explained(word, says, row, fields[name])
    if section.NAMED_LIKE:
        patterns[section.NAMED_LIKE] = TEXT_SCHEMA
    others: Any = False
    if section.OTHERS:
        row = table.of(section, section.OTHERS)
        others = {"description": row.says, "examples": [row.value]} | _entries(fields[section.OTHERS])
        patterns |= _NONE_PRIVATE
    elif section.FORM:
        patterns[_DATED] = TEXT_SCHEMA
    names = {"type": "object", "properties": properties, "patternProperties": patterns, "additionalProperties": others}
    required = [_required(name, section) for name in section.required()]
    return names | {"allOf": required} if required else names


def _explained(name: str, says: str, row: NameRow, schema: JsonSchemaValue) -> dict[str, Any]:
    """A name's schema with what it means and an example.

    An example of several lines stands where an editor shows it and not where it would offer it as one value; there it
    offers the lines, to be typed over.
    """
    explained = {"title": name, "description": says}
    if isinstance(row.value, str | int | float):
        return explained | {"examples": [row.value]} | schema
    entries = _entries(schema)
    if entries is not None and "$ref" not in entries:
        schema = schema | {"else": schema["else"] | {"additionalProperties": {"description": says} | entries}}
    snippet = {"label": " ".join(row.example.split()), "body": row.value}
    return explained | {"defaultSnippets": [snippet]} | _unless_empty({"examples": [row.value]} | schema)


def _entries(schema: JsonSchemaValue) -> Any:
    """The schema of the entries of a mapping whose names are the writer's own; None for any other."""
    return schema.get("else", {}).get("additionalProperties")


def _required(name: str, section: type[Section]) -> dict[str, Any]:
    """That a name stands there, unless another word or spelling for it does."""
    words = [name, *(word for word, meant in section.SYNONYMS.items() if meant == name)]
    return {"if": {"patternProperties": {spelt_anyhow(words, but=[name]): False}}, "then": {"required": [name]}}


def _unless_empty(schema: JsonSchemaValue) -> dict[str, Any]:
    """A name with nothing behind it is no mistake."""
    return {"if": {"type": "null"}, "else": schema}


def _schema_of(section: type[Section], table: NameTable) -> dict[str, Any]:
    """One section's schema with those of its fields; what stands for other sections points at their definitions."""
    maker = type("_Explaining", (_ForEditors,), {"table": table})
    schema: dict[str, Any] = _pointing(section.model_json_schema(schema_generator=maker), table)
    return schema


def _pointing(node: Any, table: NameTable) -> Any:
    """A schema whose sections are definitions, each entry of a mapping or a list explained."""
    if isinstance(node, list):
        return [_pointing(inner, table) for inner in node]
    if not isinstance(node, dict):
        return node
    told = {key: _pointing(inner, table) for key, inner in node.items() if key != STANDS_FOR}
    if STANDS_FOR in node:
        told["$ref"] = _DEFINITION + node[STANDS_FOR]
    for key in ("additionalProperties", "items"):
        entry = told.get(key)
        if isinstance(entry, dict) and "$ref" in entry and "description" not in entry:
            row = table.of_definition(entry["$ref"].removeprefix(_DEFINITION))
            told[key] = {"description": row.says, "examples": [row.value]} | entry
    return told


def _pointed_at(node: Any) -> Iterator[str]:
    """The names of the definitions that a schema points at."""
    for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from _pointed_at(inner)
    if isinstance(node, dict) and isinstance(node.get("$ref"), str):
        yield node["$ref"].removeprefix(_DEFINITION)


def _sections(base: type[Section]) -> Iterable[type[Section]]:
    for section in base.__subclasses__():
        yield section
        yield from _sections(section)
