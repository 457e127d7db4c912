"""The recipes of DEVELOPERS.md, followed by the letter in a copy of the package: each is short, and works.

A file of `recipes` has what is written: a new file (``===``), or lines behind one that stands there (``---``), or in
its place (``+++``).
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from sites import REPO

RECIPES = {path.stem: path.read_text(encoding="utf-8") for path in sorted((REPO / "tests" / "recipes").glob("*.txt"))}
AT_THE_END = "(at the end)"
TRIED = """
import json
import makers
from benchleaf.chapters.examine import as_record_json
from benchleaf.circuit.rules import contradictions
from benchleaf.record.quantities import read_quantity
from benchleaf.record.units import say
from tools.names_page import page

table = "turntable: fifty turns 39.5 s; belt renewed\\n"
coil = makers.record("speaker: 3.2 ohm, voice coil 4 ohm\\n")
tube = makers.known("6ZW9GT")
print(json.dumps({
    "standouts": makers.said("turntable", table),
    "page": makers.plain(makers.page("turntable", table)),
    "json": as_record_json(makers.examined(makers.record(table)))["findings"]["turntable"],
    "names": page(),
    "told": makers.told(contradictions, coil),
    "flux": [read_quantity(said, "flux density").si for said in ("8000 gauss", "0.8 T")],
    "said": makers.plain(say(0.8, "T")),
    "tube": [tube.type, tube.heater.volts, [point.mu for point in tube.typical]],
    "pins": [str(place) for place in makers.circuit("tubes:\\n  V1: 6ZW9GT\\n").places.read("V1 pin 3").name().split()],
}))
"""


def steps(recipe: str) -> Iterator[tuple[str, list[tuple[str, str, list[str]]]]]:
    """Each file that a recipe touches, with what is written: how, at which line, and the lines."""
    for piece in re.split(r"(?m)^=== ", recipe)[1:]:
        name, _, body = piece.partition("\n")
        new, *others = re.split(r"(?m)^(---|\+\+\+) (.*)\n", body)
        written = [("===", "", new.splitlines())] if new else []
        written += [
            (how, line, added.splitlines())
            for how, line, added in zip(others[::3], others[1::3], others[2::3], strict=True)
        ]
        yield name, written


def follow(recipe: str, tree: Path) -> None:
    for name, written in steps(recipe):
        file = tree / name
        file.parent.mkdir(parents=True, exist_ok=True)
        for how, line, added in written:
            lines = file.read_text(encoding="utf-8").splitlines() if line else []
            at = len(lines) if line in ("", AT_THE_END) else lines.index(line)
            kept = lines[: at + (how == "---")], lines[at + 1 :]
            file.write_text("\n".join([*kept[0], *added, *kept[1]]) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package with all recipes followed."""
    tree = tmp_path_factory.mktemp("recipes")
    shutil.copytree(REPO / "plugin", tree / "plugin", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(REPO / "pyproject.toml", tree)
    (tree / "tests" / "record").mkdir(parents=True)
    for name in ("tests/units.txt", "tests/record/test_units.py"):
        shutil.copy(REPO / name, tree / name)
    for recipe in RECIPES.values():
        follow(recipe, tree)
    return tree


@pytest.fixture(scope="module")
def tried(tree: Path) -> dict[str, Any]:
    """What a program with all of them says."""
    paths = os.pathsep.join(map(str, (tree / "plugin", REPO / "tests")))
    done = subprocess.run(
        [sys.executable, "-c", TRIED],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": paths, "PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize(
    ("recipe", "files", "lines"), [("chapter", 6, 120), ("rule", 2, 30), ("kind", 4, 30), ("tube", 4, 12)]
)
def test_a_recipe_is_short(recipe: str, files: int, lines: int) -> None:
    touched = dict(steps(RECIPES[recipe]))
    assert len(touched) <= files
    assert sum(len(added) for written in touched.values() for *_, added in written) <= lines


def test_what_recipes_write_is_in_the_style_of_the_house(tree: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "ruff", "check", "plugin"], cwd=tree, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout


def test_a_chapter_by_the_recipe_is_read_worked_out_and_told(tried: dict[str, Any]) -> None:
    """Fifty turns in 39.5 s are 75.95 a minute, 2.5 % below 77.92."""
    assert tried["standouts"] == ["The turntable makes 76.0 turns a minute, 78 meant."]
    assert "belt renewed" in tried["page"]
    assert tried["json"] == {"hertz": 1.266, "meant_hertz": 1.299, "deviation": -0.025, "note": "belt renewed"}
    assert "## `turntable`" in tried["names"]
    assert "| `fifty turns` | The seconds that fifty turns take. | `fifty turns: 38.2 s` |" in tried["names"]


def test_a_rule_by_the_recipe_asks_at_its_word(tried: dict[str, Any]) -> None:
    assert tried["told"] == [
        "record.yml:3:30: speaker.voice coil: found “4 ohm”; expected no more ohms than the impedance, “3.2 ohm”; "
        "check both values"
    ]


def test_a_kind_of_quantity_by_the_recipe_is_read_and_said(tried: dict[str, Any]) -> None:
    assert tried["flux"] == [0.8, 0.8]
    assert tried["said"] == "0.8 T"


def test_a_tube_by_the_recipe_is_known_with_its_pins(tried: dict[str, Any]) -> None:
    assert tried["tube"] == ["6ZW9GT", 6.3, [20.0]]
    assert tried["pins"] == ["V1", "plate"]
