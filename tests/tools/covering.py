"""Which tests pass which line, found out once: a mutant is tried by the tests that pass its line.

    python tests/tools/covering.py [--processes 2] [--only tests/electrics]

Each file of tests runs in a process of its own, so that nothing that another has kept hides what it needs. What it
passed lies in `.cache/covering`, as the library coverage writes it, beside the tree that it passed through, since
lines move. With ``--only`` those files are run again, or for the first time, in that tree. Left out are tests of whole
sites, of the style of files, those with a browser, and the longest, which try again what others try.
"""

from __future__ import annotations

import argparse
import contextlib
import multiprocessing
import os
import shutil
import sqlite3
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from tools import warm_tests

REPO = Path(__file__).parents[2]
PACKAGE = Path("plugin/benchleaf")
KEPT = REPO / ".cache" / "covering"
TREE = KEPT / "tree"
COPIED = ("plugin", "tests", "site_src", "pyproject.toml", "mkdocs.yml", "README.md", "DEVELOPERS.md")
APART = frozenset(
    [
        "test_house",
        "test_tools",
        "test_pictures",
        "test_readings_tried",
        "test_hostile_records",
        "test_turned_numbers",
        "test_one_pass",
        "test_failure",
        "test_build",
        "test_readings_circuits",
        "test_archive_browser",
        "test_command_help",
        "test_bench_pad_browser",
        "test_executors",
        "test_plot",
        "test_pack",
        "test_unpack",
        "test_words",
        "test_decimal_sign",
    ]
)
LONGEST_SECONDS = 1800


def copy_tree(to: Path, names: tuple[str, ...] = COPIED) -> None:
    """A copy of the work tree with what tests read."""
    for name in names:
        if (REPO / name).is_dir():
            shutil.rmtree(to / name, ignore_errors=True)
            shutil.copytree(REPO / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(REPO / name, to / name)


def test_files() -> list[str]:
    """The test files that say what a part of the package does."""
    files = sorted((REPO / "tests").rglob("test_*.py"))
    return [f.relative_to(REPO).as_posix() for f in files if f.stem not in APART and f.parent.name != "site"]


class _Watch:
    """A plugin of pytest that notes the lines of our package which each test passes, and its seconds."""

    def __init__(self, kept: Path) -> None:
        self.kept = kept

    def pytest_configure(self) -> None:
        import coverage

        self.watch = coverage.Coverage(data_file=str(self.kept), source=[str(TREE / PACKAGE)])
        self.watch.start()

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.watch.switch_context(nodeid)

    def end(self) -> None:
        self.watch.stop()
        self.watch.save()


def _kept_at(file: str) -> Path:
    return KEPT / f"{file.removesuffix('.py').replace('/', '.')}.sqlite"


def _watch(file: str) -> str:
    at = _kept_at(file)
    at.unlink(missing_ok=True)
    end, told = warm_tests.run(TREE, [file], LONGEST_SECONDS, plugins=[_Watch(at)])
    took = [line.partition(" ") for line in told if not line.startswith("failed ")]
    with contextlib.closing(sqlite3.connect(at)) as base, base:
        base.execute("create table took (test text, seconds real)")
        base.executemany("insert into took values (?, ?)", ((name, float(seconds)) for seconds, _, name in took))
    return f"{file}: {len(took)} tests{f', ended by {end}' if end else ''}"


class Covering:
    """What was found out: ``took``, the seconds of each test, and which tests pass a line."""

    def __init__(self) -> None:
        self.took: dict[str, float] = {}
        self._passed: dict[str, list[tuple[str, bytes]]] = {}
        for kept in sorted(KEPT.glob("*.sqlite")):
            with contextlib.closing(sqlite3.connect(kept)) as base:
                if not base.execute("select 1 from sqlite_master where name = 'took'").fetchone():
                    continue  # it was ended halfway, or still runs
                self.took.update(base.execute("select test, seconds from took"))
                asked = "select path, context, numbits from line_bits join context on context.id = context_id"
                for path, test, bits in base.execute(f"{asked} join file on file.id = file_id where context != ''"):
                    self._passed.setdefault(path.rpartition(f"{PACKAGE}/")[2], []).append((test, bits))

    def before(self, path: str) -> str:
        """The text of a module through which the tests passed; empty where there was none."""
        file = TREE / PACKAGE / path
        return file.read_text(encoding="utf-8") if file.exists() else ""

    def passing(self, path: str, lines: frozenset[int]) -> set[str]:
        """The tests that pass one of the lines of a module, as they were numbered then."""
        rows = self._passed.get(path, [])
        asked = [(line // 8, 1 << line % 8) for line in lines]  # as coverage.numbits has them
        return {test for test, bits in rows if any(at < len(bits) and bits[at] & bit for at, bit in asked)}


def main() -> int:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    ap.add_argument("--only", help="a part of the path of the test files to run again")
    given = ap.parse_args()
    if given.only is None:
        shutil.rmtree(KEPT, ignore_errors=True)
        TREE.mkdir(parents=True)
    copy_tree(TREE, COPIED if given.only is None else ("tests",))
    warm_tests.load_libraries()
    files = [file for file in test_files() if (given.only or "") in file]
    with multiprocessing.get_context("fork").Pool(given.processes) as pool:
        for number, told in enumerate(pool.imap_unordered(_watch, files, 1), 1):
            print(f"{number}/{len(files)} {told}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
