"""The page of all names, written from the table that the editor's schema is made from.

    python tests/tools/names_page.py [--check]

Writes ``site_src/writing/names.md``. With ``--check`` nothing is written, and the exit status is 1 where the page is
another than would be written.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, get_args

from benchleaf.record.model import Record
from benchleaf.record.name_table import NameTable, name_table
from benchleaf.record.schema import record_schema
from benchleaf.record.section import Section

PAGE = Path(__file__).parents[2] / "site_src" / "writing" / "names.md"
PATHS: dict[str, tuple[Any, ...]] = {
    "Record": (),
    "Line": ("line",),
    "BandEnds": ("bands", "MW"),
    "Gang": ("gang",),
    "FittedTube": ("tubes", "V1"),
    "Heater": ("tubes", "V9", "heater"),
    "ChangedTube": ("changed tubes", "V4"),
    "TestedTube": ("changed tubes", "V4", "was"),
    "HeaterSupply": ("heaters",),
    "PilotLamp": ("heaters", "pilot lamp"),
    "Dropper": ("heaters", "dropper"),
    "NewDropper": ("heaters", "dropper", "now"),
    "Thermistor": ("heaters", "ntc"),
    "Shunt": ("heaters", "shunts", "V2"),
    "Battery": ("heaters", "batteries", "A"),
    "Winding": ("heaters", "windings", "LT"),
    "HeaterReadings": ("heaters", "measured"),
    "Run": ("readings", "sheet"),
    "Meter": ("readings", "sheet", "meter"),
    "LineSide": ("line side",),
    "LineSideState": ("line side", "after"),
    "Fuse": ("line side", "after", "fuse"),
    "BarrierPart": ("line side", "after", "B- to chassis"),
    "TouchablePart": ("line side", "after", "touchable", 0),
    "LineSideMeasurement": ("line side", "measured", 0),
    "Part": ("parts", "C7"),
    "Component": ("parts", "C7", "was"),
    "Leakage": ("parts", "C7", "was", "leakage"),
    "PartSection": ("parts", "C13", "sections", "a"),
    "Speaker": ("speaker",),
    "Vibrator": ("vibrator",),
    "Mechanics": ("mechanics",),
    "Fitting": ("mechanics", "grille cloth"),
    "Change": ("changes", "C21"),
    "Fault": ("faults", 0),
    "ColdReading": ("before power", 0),
    "PowerUp": ("power-up", 0),
    "PowerUpStep": ("power-up", 0, "steps", 0),
    "Soak": ("power-up", 0, "soak"),
    "Reforming": ("reforming", "C30"),
    "ReformingEntry": ("reforming", "C30", "log", 0),
    "Alignment": ("alignment", 0),
    "AlignmentStep": ("alignment", 0, "steps", 0),
    "StageLevel": ("alignment", 0, "levels", "V4 grid"),
    "Result": ("results", "hum"),
    "CurvePoint": ("results", "frequency response", "curve", 0),
    "LogEntry": ("log", 0),
    "Photo": ("photos", "dial"),
    "PhotoMark": ("photos", "dial", "marks", 0),
}
"""Where in a record each section stands; names and numbers of the writer's own are those of the examples.

One that a record holds by itself stands under its name, and need not be written here.
"""

HEAD = """# Every name, with an example

Each name that a record may hold, in one sentence, with a line as it may be typed: what an editor shows that [knows the
schema](editor.md). The rules behind a name are told in [The record, key by key](record.md). A name is said again under
each heading where it may stand. Capitals do not matter.
"""


def paths() -> dict[str, tuple[Any, ...]]:
    """Where each section stands, with those that the record holds by themselves."""
    held = {
        kind.__name__: (field.alias or name.replace("_", " "),)
        for name, field in Record.model_fields.items()
        for kind in get_args(field.annotation)
        if isinstance(kind, type) and issubclass(kind, Section)
    }
    return {**PATHS, **{name: path for name, path in held.items() if name not in PATHS}}


def page() -> str:
    """The whole page."""
    table, schema = name_table(), record_schema()
    found = {section.__name__: section for section in _all_sections(Section)}
    return HEAD + "".join(_told(found[name], path, table, schema) for name, path in paths().items())


def _all_sections(base: type[Section]) -> Iterator[type[Section]]:
    for section in base.__subclasses__():
        yield section
        yield from _all_sections(section)


def _told(section: type[Section], path: tuple[Any, ...], table: NameTable, schema: Mapping[str, Any]) -> str:
    published = mapping_form(section.__name__, schema)
    row = table.of(section)
    heading = f"`{': '.join(str(name) for name in path if name != 0)}`" if path else "The record itself"
    one_line = f" In one line: {_code(row.example)}" if section.FORM or section.LINED else ""
    lines = [f"\n## {heading}\n\n{row.says}{one_line}\n\n| Name | What it holds | Example |\n| --- | --- | --- |\n"]
    for name in section.names():
        words = [f"`{word}`" for word, meant in section.SYNONYMS.items() if meant == name]
        also = f" (or {', '.join(words)})" if words else ""
        says = table.of(section, name).says + _choices(published["properties"][name])
        lines.append(f"| `{name}`{also} | {says} | {_code(table.of(section, name).example)} |\n")
    if section.OTHERS:
        row = table.of(section, section.OTHERS)
        lines.append(f"| any other | {row.says} | {_code(row.example)} |\n")
    return "".join(lines)


def mapping_form(section: str, schema: Mapping[str, Any]) -> Mapping[str, Any]:
    """What the schema says of a section that is written name by name."""
    if section == "Record":
        return schema
    definition: Mapping[str, Any] = schema["$defs"][section]
    form: Mapping[str, Any] = definition["then" if "then" in definition else "else"]
    return form


def _choices(published: Mapping[str, Any]) -> str:
    offered = next((entry["enum"] for entry in published.get("anyOf", ()) if "enum" in entry), [])
    return f" One of {', '.join(f'`{word}`' for word in offered)}." if offered else ""


def _code(example: str) -> str:
    """Lines as code, in a cell of a table; how far in a line stands is kept."""
    lines = [re.fullmatch(r"( *)(.*)", line) for line in example.split("\n")]
    return "<br>".join("&ensp;" * len(line[1]) + f"`{line[2]}`" for line in lines if line)


if __name__ == "__main__":
    if "--check" in sys.argv:
        sys.exit(PAGE.read_text(encoding="utf-8") != page())
    PAGE.write_text(page(), encoding="utf-8", newline="\n")
