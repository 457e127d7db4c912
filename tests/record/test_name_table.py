"""The table of all names: each has a sentence and an example that is read where it belongs."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from benchleaf.build.follow import look_over
from benchleaf.record.model import Record
from benchleaf.record.name_table import name_table
from benchleaf.record.section import Section
from published_schema import schema
from sites import REPO
from tools.names_page import PAGE, page, paths

TABLE = name_table()
AROUND: dict[str, Any] = {
    "maker": "Larkfield",
    "model": "Minuet 5",
    "tubes": {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"},
    "parts": {
        "C3": "3.3 nF Y1",
        "C7": "10 nF paper",
        "C12": "40 uF 150 V electrolytic, between B+1 and B-",
        "C14": "20 uF 150 V electrolytic, between B+2 and B-",
        "C30": "8 uF 450 V electrolytic",
    },
}
BESIDE: dict[str, dict[str, Any]] = {
    "Dropper": {"kind": "resistor"},
    "Dropper:rectifier at": {"kind": "resistor", "sections": "150+200+420 ohm"},
    "NewDropper": {"kind": "resistor"},
    "NewDropper:farads": {"kind": "capacitor"},
    "Part:taps": {"sections": {"a": "8 uF 450 V", "b": "16 uF 450 V"}},
    "Dropper:farads": {"kind": "capacitor"},
    "PilotLamp": {"type": "47"},
    "Photo:caption": {"picture": "photos/dial.jpg"},
    "Photo:licence": {"picture": "photos/dial.jpg"},
    "Photo:marks": {"picture": "photos/dial.jpg"},
    "Gang:low": {"high": "365 pF"},
    "Gang:high": {"low": "12 pF"},
}
"""What must stand beside an example, in its own mapping."""
ABOVE: dict[str, dict[str, Any]] = {
    "Heater": {"tubes": {"V9": {"type": "XY99"}}},
    "NewDropper": {"heaters": {"dropper": {"kind": "resistor"}}},
    "HeaterSupply:second string": {"heaters": {"order": "V5, V4, V3"}},
    "PhotoMark": {"photos": {"dial": {"picture": "photos/dial.jpg"}}},
    "PhotoMark:": {"photos": {"dial": {"before": "photos/under-before.jpg", "after": "photos/under-after.jpg"}}},
    "PhotoMark:stage": {"photos": {"dial": {"before": "photos/under-before.jpg", "after": "photos/under-after.jpg"}}},
}
"""What must stand around it."""
FILES = {
    "larkfield-minuet-4/record.yml": "maker: Larkfield\nmodel: Minuet 4\n",
    "minuet/readings.csv": "V4,plate,110\n",
}
"""What the examples name on the disk."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("sets")
    for name, text in FILES.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    photo = next((REPO / "site_src" / "sets").glob("*/photos/*.jpg"))
    (root / "minuet" / "photos").mkdir()
    for name in ("dial", "under-before", "under-during", "under-after"):
        shutil.copy(photo, root / "minuet" / "photos" / f"{name}.jpg")
    return root / "minuet"


def _sections() -> list[type[Section]]:
    """The record, and the sections that its schema has."""
    published = {"Record", *schema()["$defs"]}
    waiting, found = [Section], {}
    while waiting:
        for section in waiting.pop().__subclasses__():
            found[section.__name__] = section
            waiting.append(section)
    return [found[name] for name in sorted(published)]


def _own_names(section: type[Section]) -> Iterator[str]:
    above = {name for base in section.__mro__[1:] if issubclass(base, Section) for name in base.names()}
    others = [section.OTHERS] if section.OTHERS else []
    yield from (name for name in [*section.names(), *others] if name not in above)


def _names() -> list[Any]:
    return [pytest.param(s, name, id=f"{s.__name__}:{name}") for s in _sections() for name in ["", *_own_names(s)]]


def _put(record: Any, path: tuple[Any, ...], value: Any) -> Any:
    """A record with a value put at a path into it, lists and mappings made on the way."""
    if not path:
        return {**record, **value} if isinstance(record, dict) and isinstance(value, dict) else value
    first, *rest = path
    if first == 0:
        return [_put(record[0] if isinstance(record, list) else {}, tuple(rest), value)]
    inside = record if isinstance(record, dict) else {}
    return {**inside, first: _put(inside.get(first, {}), tuple(rest), value)}


def _in_place(section: type[Section], name: str) -> str:
    """A record with the example of a name where it belongs, and the names beside it that it cannot do without."""
    row = TABLE.of(section, name)
    if section is Record and not name:
        return row.example
    record: Any = {**AROUND, **ABOVE.get(section.__name__, {}), **ABOVE.get(f"{section.__name__}:{name}", {})}
    value: Any = row.value
    if name:
        needed = {other: TABLE.of(section, other).value for other in section.required() if other != name}
        key = next(iter(yaml.safe_load(row.example))) if name == section.OTHERS else name
        beside = BESIDE.get(section.__name__, {}) | BESIDE.get(f"{section.__name__}:{name}", {})
        value = {**beside, **needed, key: row.value}
    return json.dumps(_put(record, paths()[section.__name__], value), ensure_ascii=False)


def test_the_page_of_all_names_is_the_one_that_the_table_makes() -> None:
    """Otherwise: ``python tests/tools/names_page.py``."""
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_name_has_a_row_and_every_row_a_name() -> None:
    assert {(s.__name__, name) for s in _sections() for name in ["", *_own_names(s)]} == set(TABLE.rows)


@pytest.mark.parametrize(("section", "name"), _names())
def test_a_name_has_a_sentence_and_an_example_that_is_clean(section: type[Section], name: str, folder: Path) -> None:
    row = TABLE.of(section, name)
    assert row.says.endswith(".")
    assert ". " not in row.says
    text = _in_place(section, name)
    assert [str(problem) for problem in look_over(text.encode(), folder, "record.yml").problems] == []
