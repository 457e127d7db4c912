"""The schema that is published, made once for all tests of a process."""

from __future__ import annotations

from functools import cache
from typing import Any

from jsonschema import Draft202012Validator

from benchleaf.record.schema import record_schema


@cache
def schema() -> dict[str, Any]:
    return record_schema()


@cache
def validator() -> Draft202012Validator:
    """What an editor underlines by."""
    return Draft202012Validator(schema())
