"""The tools of the project still run: what is cheap to try of each."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest
from PIL import Image

from bench.archive import growth, tables
from sites import REPO
from tools import mutant_tests, mutants
from tools.in_place import put_in_place
from tools.touched_lines import as_before, touched

SOURCE = """
from math import pi
RATE: float = 2.0
def half(a: int | None, b: float) -> float:
    'A share of 0.5.'
    if a is not None and b > 1.5:
        return b * 3
    return 0.0
"""


def test_mutants_are_the_small_mistakes_of_a_hand() -> None:
    found = {f"{m.line}: {m.old} -> {m.new}" for m in mutants.mutants_of("x.py", SOURCE)}
    assert found == {
        "3: 2.0 -> 1.9",
        "3: 2.0 -> 2.1",
        "6: a is not None -> (a is None)",
        "6: a is not None and b > 1.5 -> (a is not None or b > 1.5)",
        "6: b > 1.5 -> (b >= 1.5)",
        "6: 1.5 -> 1.425",
        "6: 1.5 -> 1.575",
        "7: b * 3 -> (b / 3)",
        "7: 3 -> 2",
        "7: 3 -> 4",
        "7: return b * 3 -> return None",
        "8: 0.0 -> 1.0",
    }


def test_a_mutant_changes_its_place_and_nothing_else() -> None:
    source = "a = 'µ'; b = 1.0 - zip(c, strict=True)\n"
    assert {m.apply(source) for m in mutants.mutants_of("x.py", source)} == {
        "a = 'µ'; b = 0.95 - zip(c, strict=True)\n",
        "a = 'µ'; b = 1.05 - zip(c, strict=True)\n",
        "a = 'µ'; b = (1.0 + zip(c, strict=True))\n",
    }


def test_every_mutant_called_equivalent_is_still_there_and_has_its_reason() -> None:
    for path in {path for path, _, _ in mutants.equivalent()}:
        source = (REPO / mutants.PACKAGE / path).read_text(encoding="utf-8")
        there = {mutant.name(source) for mutant in mutants.mutants_of(path, source)}
        named = {name: reason for name, reason in mutants.equivalent().items() if name[0] == path}
        assert set(named) - there == set()
        assert all(len(reason.split()) > 3 for reason in named.values())


@pytest.mark.parametrize(
    ("module", "nearest"),
    [
        ("electrics/touch.py", "tests/electrics/test_touch.py"),
        ("chapters/readings/judging.py", "tests/chapters/test_readings_judging.py"),
        ("record/units.py", "tests/record/test_units.py"),
    ],
)
def test_a_modules_own_tests_are_known_by_their_name(module: str, nearest: str) -> None:
    assert nearest in mutant_tests.named_for(module)


PLACED = """
from functools import cache
RATE = 2.0
TWICE = RATE * 2
def of(a, b=1.0):
    return (a
            * TWICE)
class Kept:
    share: float = 0.5
    @property
    def half(self):
        return RATE / 2
@cache
def kept(a):
    return a + 1
"""


@pytest.mark.parametrize(
    ("line", "old", "new", "value", "expected"),
    [
        (7, "* TWICE", "/ TWICE", "of(8)", 2.0),
        (3, "2.0", "4.0", "of(8)", 64.0),
        (3, "2.0", "4.0", "other.RATE", 4.0),
        (4, "RATE * 2", "RATE / 2", "of(8)", 8.0),
        (12, "RATE / 2", "RATE * 2", "Kept().half", 4.0),
        (15, "a + 1", "a - 1", "kept(8)", 7),
        (5, "b=1.0", "b=2.0", "", None),
        (9, "0.5", "0.6", "", None),
    ],
)
def test_a_mutant_is_put_into_the_loaded_module_or_is_said_not_to_be(
    monkeypatch: pytest.MonkeyPatch, line: int, old: str, new: str, value: str, expected: float | None
) -> None:
    placed, other = ModuleType("placed"), ModuleType("other")
    for module in (placed, other):
        monkeypatch.setitem(sys.modules, module.__name__, module)
    exec(compile(PLACED, "placed", "exec"), vars(placed))
    exec("from placed import RATE", vars(other))
    assert put_in_place(placed, line, PLACED.replace(old, new, 1)) is (expected is not None)
    if expected is not None:
        assert eval(value, {**vars(placed), "other": other}) == expected


def test_what_runs_at_import_has_its_effect_where_its_name_is_used(tmp_path: Path) -> None:
    (tmp_path / "placed.py").write_text(PLACED)
    (tmp_path / "other.py").write_text("from placed import RATE\ndef use():\n    return RATE\n")
    assert touched(tmp_path, "placed.py", 3) == {"placed.py": {6, 7, 12}, "other.py": {3}}
    assert touched(tmp_path, "placed.py", 4) == {"placed.py": {6, 7}}
    assert touched(tmp_path, "placed.py", 7) == {"placed.py": {6, 7}}


def test_lines_are_followed_through_a_change_of_the_text() -> None:
    assert as_before(frozenset({1, 3, 4}), "a\nnew\nb\nc\n", "a\nb\nc\n") == {1, 2, 3}


KNOB = """
import sys
from pathlib import Path
import numpy as np
from dials import knob
from draw import PICTURES, SETS, UNDERSIDES, stored_lying
from relief import Relief, rgb

assert set(PICTURES) <= set(UNDERSIDES)
assert all((SETS / folder / "record.yml").is_file() for folder in UNDERSIDES)
relief = Relief(rgb("#806040"), size=(200, 300))
knob(relief, (100, 120), 60, "#202020")
stored_lying(relief.finished(), Path(sys.argv[1]))
"""


def test_a_demo_picture_can_still_be_drawn(tmp_path: Path) -> None:
    """A knob on a plain ground: dark in the middle, lying on its side as a phone stores it."""
    command = [sys.executable, "-c", KNOB, str(tmp_path / "knob.jpg")]
    subprocess.run(command, cwd=REPO / "tests/tools/demo_pictures", check=True, env={"PYTHONPATH": "."})
    with Image.open(tmp_path / "knob.jpg") as picture:
        assert picture.size == (300, 200)
        assert picture.getexif()[0x0112] == 6
        grey = picture.convert("L")
    assert grey.getpixel((120, 90)) < grey.getpixel((10, 190)) - 20  # type: ignore[operator]


def test_the_tables_of_speed_say_what_was_missed() -> None:
    builds = {"by_hand": 10.0, "unchanged": 1.5, "edited": 2.0, "cold": 19.0}
    found = {"sets": 100, "cores": 2, "pages_of_a_set": 7.0, "html_bytes_of_a_set": 345_000.0}
    told = tables(
        {**found, "build_cpu_seconds": builds, "cpu_seconds": {"check": 0.31, "export": 0.8, "export again": 0.4}}
    )
    assert "100 sets of 7 pages and 345 kB of HTML, 2 cores" in told
    assert "| nothing changed | 1.5 s | 15 ms | 0.15 | 0.15 | kept |" in told
    assert "| one set edited | 2.0 s | 20 ms | 0.20 | 0.15 | missed |" in told
    assert "| everything cold | 19.0 s | 190 ms | 1.90 | 2 | kept |" in told
    assert (
        "| `check` | 0.31 s | 0.3 s | missed |\n| `export` | 0.80 s | 0.8 s | kept |\n| `export again` | 0.40 s" in told
    )


def test_the_table_of_growth_says_what_was_missed() -> None:
    small = {"sets": 100, "build_cpu_seconds": {"cold": 20.0, "unchanged": 1.0}, "largest_process_mb": {"cold": 200.0}}
    large = {
        "sets": 1000,
        "build_cpu_seconds": {"cold": 210.0, "unchanged": 12.1},
        "largest_process_mb": {"cold": 501.0, "by_hand": 900.0},
        "search_index_mb": 4.0,
    }
    assert growth(small, large).splitlines() == [
        "| CPU of a set | of 100 | of 1,000 | ratio | target | |",
        "| --- | --- | --- | --- | --- | --- |",
        "| everything cold | 200 ms | 210 ms | 1.05 | 1.1 | kept |",
        "| nothing changed | 10 ms | 12 ms | 1.21 | 1.1 | missed |",
        "",
        "| With 1,000 sets | | target | |",
        "| --- | --- | --- | --- |",
        "| largest process, everything cold | 501 MB | 500 MB | missed |",
        "| search index | 4.0 MB | 4 MB | kept |",
        "| nothing changed | 12.1 s | 12 s | missed |",
    ]
