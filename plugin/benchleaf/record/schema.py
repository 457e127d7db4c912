"""The published JSON Schema of ``record.yml`` (draft 2020-12), for editors that complete and underline."""

from __future__ import annotations

from typing import Any

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from .model import FORMAT, Record


class _NoNulls(GenerateJsonSchema):
    """Optional means that the line may be left out, never that it may be null."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        return self.generate_inner(schema["schema"])


def record_schema() -> dict[str, Any]:
    """The schema: text may be text, number or boolean to an editor (``80``, ``no``); no nulls; unknown keys refused."""
    schema = Record.model_json_schema(schema_generator=_NoNulls)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:benchleaf:record:{FORMAT}",
        **schema,
        "title": "A restoration record",
    }
