"""A record written out: as its mapping in SI for other programs, and as YAML for the next restorer."""

from __future__ import annotations

import datetime
from typing import Any

from .kinds import BY_UNIT
from .quantities import Quantity
from .section import Section
from .text import Entries
from .values import Beside, string_members


def as_mapping(section: Section) -> dict[str, Any]:
    """The section with everything that was written, quantities in SI with the unit in the key, private fields left out.

    A quantity becomes ``<key>_<unit>`` and ``<key>_written``; one that is not a plain value adds ``<key>_qualifier``
    (``lt``, ``open``, ``range`` …) and ``<key>_mark`` (``ac``, ``peak`` …). What was not written is left out.
    """
    written: dict[str, Any] = {}
    for name, field in type(section).model_fields.items():
        value = getattr(section, name)
        if name in type(section).PRIVATE or value is None or value == () or value == {}:
            continue
        if name == type(section).OTHERS:
            written |= _entries(value)
            continue
        _put(written, str(field.alias).replace(" ", "_"), value)
    return written


def _put(written: dict[str, Any], key: str, value: Any) -> None:
    if not isinstance(value, Quantity):
        written[key] = _plain(value)
        return
    unit = BY_UNIT[value.unit].in_key
    stem = key if not unit or unit in key.split("_") else f"{key}_{unit}"
    written[stem] = value.si
    written[f"{key}_written"] = value.written
    if value.qualifier != "exact":
        written[f"{key}_qualifier"] = value.qualifier
        for end in ("low", "high"):
            if getattr(value, end) is not None:
                written[f"{key}_{end}_{unit}" if unit else f"{key}_{end}"] = getattr(value, end)
    if value.mark:
        written[f"{key}_mark"] = value.mark


def _entries(table: dict[Any, Any]) -> dict[str, Any]:
    entries: dict[str, Any] = {}
    for key, value in table.items():
        _put(entries, str(key), value)
    return entries


def _plain(value: Any) -> Any:
    if isinstance(value, Section):
        return as_mapping(value)
    if isinstance(value, dict):
        return _entries(value)
    if isinstance(value, tuple | list):
        if any(isinstance(entry, Beside) for entry in value):
            return string_members(value)
        return [_single(entry) for entry in value]
    if isinstance(value, datetime.date):
        return value.isoformat()
    return str(value) if isinstance(value, str) else value


def _single(value: Any) -> Any:
    if isinstance(value, Quantity):
        entry: dict[str, Any] = {}
        _put(entry, "value", value)
        return entry
    return _plain(value)


def as_yaml(tree: Entries, private: tuple[str, ...]) -> str:
    """The record's own lines as YAML, without private fields and without comments, which may be private too."""
    import yaml

    hidden = {" ".join(name.split()).casefold() for name in private}
    public = {key: value for key, value in tree.items() if " ".join(key.split()).casefold() not in hidden}
    dumper: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
    return str(yaml.dump(_bare(public), Dumper=dumper, sort_keys=False, allow_unicode=True, width=10_000))


def _bare(node: Any) -> Any:
    if isinstance(node, dict):
        return {str(key): _bare(value) for key, value in node.items()}
    if isinstance(node, list):
        return [_bare(value) for value in node]
    return str(node)
