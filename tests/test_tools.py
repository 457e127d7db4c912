"""The tools of the project still run: what is cheap to try of each."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from bench.archive import tables
from sites import REPO
from tools import mutants

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
    source = "a = 'µ'; b = 1.0 - c\n"
    assert {m.apply(source) for m in mutants.mutants_of("x.py", source)} == {
        "a = 'µ'; b = 0.95 - c\n",
        "a = 'µ'; b = 1.05 - c\n",
        "a = 'µ'; b = (1.0 + c)\n",
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
def test_a_modules_own_tests_come_first_and_the_rules_for_all_chapters_last(module: str, nearest: str) -> None:
    found = mutants.tests_of(module)
    assert nearest in found[0]
    assert found[-1] == ["tests/chapters/test_every_chapter.py"] or module.startswith("record/")


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
    told = tables({**found, "build_cpu_seconds": builds, "cpu_seconds": {"check": 0.31, "export": 0.8}})
    assert "100 sets of 7 pages and 345 kB of HTML, 2 cores" in told
    assert "| nothing changed | 1.5 s | 15 ms | 0.15 | 0.15 | kept |" in told
    assert "| one set edited | 2.0 s | 20 ms | 0.20 | 0.15 | missed |" in told
    assert "| everything cold | 19.0 s | 190 ms | 1.90 | 2 | kept |" in told
    assert "| `check` | 0.31 s | 0.3 s | missed |\n| `export` | 0.80 s | 0.8 s | kept |" in told
