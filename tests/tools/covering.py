"""Which tests pass which line, found out once: a mutant is tried by the tests that pass its line.

    python tests/tools/covering.py [--processes 2] [--changed]

Each file of tests runs in a process of its own, so that nothing that another has kept hides what it needs. What it
passed lies in a round of `.cache/covering`, as the library coverage writes it, beside the tree that it passed through,
since lines move. With ``--changed`` a further round runs the files that are new or not as they were, and the others'
stand. Left out are tests of whole sites, of the style of files, those with a browser, and the longest, which try again
what others try.
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
from tools.touched_lines import as_before

REPO = Path(__file__).parents[2]
PACKAGE = Path("plugin/benchleaf")
KEPT = REPO / ".cache" / "covering"
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

    def __init__(self, kept: Path, tree: Path) -> None:
        self.kept = kept
        self.tree = tree

    def pytest_configure(self) -> None:
        import coverage

        self.watch = coverage.Coverage(data_file=str(self.kept), source=[str(self.tree / PACKAGE)])
        self.watch.start()

    def pytest_runtest_logstart(self, nodeid: str) -> None:
        self.watch.switch_context(nodeid)

    def end(self) -> None:
        self.watch.stop()
        self.watch.save()


def _tree(of: Path) -> Path:
    return of / "tree"


def _rounds() -> list[Path]:
    """Each round that was made, the newest last."""
    return sorted((kept for kept in KEPT.glob("*") if kept.name.isdecimal()), key=lambda kept: int(kept.name))


def _kept_at(of: Path, file: str) -> Path:
    return of / f"{file.removesuffix('.py').replace('/', '.')}.sqlite"


def _newest(file: str) -> Path | None:
    """The newest round in which a file of tests ran to its end."""
    return next((of for of in reversed(_rounds()) if _is_whole(_kept_at(of, file))), None)


def _is_whole(kept: Path) -> bool:
    """Whether a file of tests was not ended halfway, and does not still run."""
    if not kept.exists():
        return False
    with contextlib.closing(sqlite3.connect(kept)) as base:
        return bool(base.execute("select 1 from sqlite_master where name = 'took'").fetchone())


def changed_files() -> list[str]:
    """The files of tests that are new, or not as they were when they ran."""
    return [file for file in test_files() if (of := _newest(file)) is None or _is_other(file, _tree(of))]


def _is_other(file: str, tree: Path) -> bool:
    return (REPO / file).read_bytes() != (tree / file).read_bytes()


def _watch(asked: tuple[Path, str]) -> str:
    of, file = asked
    at = _kept_at(of, file)
    end, told = warm_tests.run(_tree(of), [file], LONGEST_SECONDS, plugins=[_Watch(at, _tree(of))])
    took = [line.partition(" ") for line in told if not line.startswith("failed ")]
    with contextlib.closing(sqlite3.connect(at)) as base, base:
        base.execute("create table took (test text, seconds real)")
        base.executemany("insert into took values (?, ?)", ((name, float(seconds)) for seconds, _, name in took))
    return f"{file}: {len(took)} tests{f', ended by {end}' if end else ''}"


class Covering:
    """What was found out: ``took``, the seconds of each test, and which tests pass a line."""

    def __init__(self) -> None:
        self.took: dict[str, float] = {}
        self._passed: dict[str, dict[Path, list[tuple[str, bytes]]]] = {}
        for file in test_files():
            if of := _newest(file):
                self._read(of, _kept_at(of, file))

    def _read(self, of: Path, kept: Path) -> None:
        asked = "select path, context, numbits from line_bits join context on context.id = context_id"
        with contextlib.closing(sqlite3.connect(kept)) as base:
            self.took.update(base.execute("select test, seconds from took"))
            for path, test, bits in base.execute(f"{asked} join file on file.id = file_id where context != ''"):
                module = path.rpartition(f"{PACKAGE}/")[2]
                self._passed.setdefault(module, {}).setdefault(of, []).append((test, bits))

    def passing(self, path: str, lines: frozenset[int]) -> set[str]:
        """The tests that pass one of the lines of a module as it stands, wherever they stood then."""
        now, found = (REPO / PACKAGE / path).read_text(encoding="utf-8"), set[str]()
        for of, rows in self._passed.get(path, {}).items():
            before = (_tree(of) / PACKAGE / path).read_text(encoding="utf-8")
            asked = [
                (line // 8, 1 << line % 8) for line in as_before(lines, now, before)
            ]  # as coverage.numbits has them
            found |= {test for test, bits in rows if any(at < len(bits) and bits[at] & bit for at, bit in asked)}
        return found


def main() -> int:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    ap.add_argument("--changed", action="store_true", help="only what is new, or not as it was")
    given = ap.parse_args()
    if not given.changed:
        shutil.rmtree(KEPT, ignore_errors=True)
    files = changed_files()
    of = KEPT / str(1 + max((int(kept.name) for kept in _rounds()), default=0))
    _tree(of).mkdir(parents=True)
    copy_tree(_tree(of))
    warm_tests.load_libraries()
    with multiprocessing.get_context("fork").Pool(given.processes) as pool:
        for number, told in enumerate(pool.imap_unordered(_watch, [(of, file) for file in files], 1), 1):
            print(f"{number}/{len(files)} {told}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
