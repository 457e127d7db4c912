"""The published JSON Schema of ``record.yml`` (draft 2020-12), for editors that complete and underline."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from .model import FORMAT, Record
from .section import Section
from .values import STANDS_FOR

_DEFINITION = "#/$defs/"


class _NoNulls(GenerateJsonSchema):
    """Optional means that the line may be left out, never that it may be null."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def record_schema() -> dict[str, Any]:
    """The schema: text may be text, number or boolean to an editor (``80``, ``no``); no nulls; unknown keys refused."""
    schema = _schema_of(Record)
    definitions: dict[str, Any] = schema.setdefault("$defs", {})
    sections = {section.__name__: section for section in _sections(Section)}
    while missing := [name for name in _pointed_at(schema) if name not in definitions]:
        inner = _schema_of(sections[missing[0]])
        definitions |= inner.pop("$defs", {}) | {missing[0]: inner}
    schema["$defs"] = dict(sorted(definitions.items()))
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:benchleaf:record:{FORMAT}",
        **schema,
        "title": "A restoration record",
    }


def _schema_of(section: type[Section]) -> dict[str, Any]:
    """One section's schema with those of its fields; what stands for other sections points at their definitions."""
    schema: dict[str, Any] = _pointing(section.model_json_schema(schema_generator=_NoNulls))
    return schema


def _pointing(node: Any) -> Any:
    if isinstance(node, list):
        return [_pointing(inner) for inner in node]
    if not isinstance(node, dict):
        return node
    rest = {key: _pointing(inner) for key, inner in node.items() if key != STANDS_FOR}
    return rest | {"$ref": _DEFINITION + node[STANDS_FOR]} if STANDS_FOR in node else rest


def _pointed_at(node: Any) -> Iterator[str]:
    """The names of the definitions that a schema points at."""
    for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from _pointed_at(inner)
    if isinstance(node, dict) and isinstance(node.get("$ref"), str):
        yield node["$ref"].removeprefix(_DEFINITION)


def _sections(base: type[Section]) -> Iterator[type[Section]]:
    for section in base.__subclasses__():
        yield section
        yield from _sections(section)
