"""Every value of a record that was read, under one name, as lists of facts have them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from benchleaf.record.kinds import BY_UNIT
from benchleaf.record.mapping import as_mapping
from benchleaf.record.model import Record

_UNITS = [unit.in_key for unit in BY_UNIT.values() if unit.in_key]


def values_of(record: Record | None) -> dict[str, Any]:
    """The values by their names: ``C7.was.value``, ``readings.sheet.V4 a``; SI, days as text."""
    return dict(_flat(as_mapping(record), "")) if record else {}


def _flat(node: Any, name: str) -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        if "at" in node and "value_written" in node:
            at = f"{name} {node['at']}".strip()
            for key, value in node.items():
                yield from _flat(value, at if key == "value_volts" else f"{at}.{key}")
        else:
            for key, value in node.items():
                yield from _flat(value, f"{name}.{_bare(str(key))}".lstrip("."))
    elif isinstance(node, list):
        for number, value in enumerate(node, 1):
            yield from _flat(
                value, name if len(node) == 1 or (isinstance(value, dict) and "at" in value) else f"{name}.{number}"
            )
    else:
        yield re.sub(r"^parts\.|\bsections\.", "", name), node


def _bare(key: str) -> str:
    unit = next((u for u in _UNITS if key.endswith(f"_{u}") and key not in ("low_hertz", "high_hertz")), "")
    return key.removesuffix(f"_{unit}") if unit else key


def same(found: Any, value: Any) -> bool:
    """Whether a value is that of a fact."""
    if isinstance(found, int | float) and not isinstance(found, bool):
        return abs(found - float(value)) <= 1e-9 * abs(found)
    return str(found) == str(value)
