"""Which folders are sets, and what is told of those that only look like one."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from benchleaf.build import found_sets
from benchleaf.build.found_sets import find_sets, holds_record, is_record_name


def _record(folder: Path, name: str = "record.yml") -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text("maker: A\nmodel: B\n")
    return folder


SPELLINGS = "record.yml record.yaml Record.yml RECORD.YAML rEcOrD.yMl ｒｅｃｏｒｄ.yml"
COPIES = "record.yml~ record.yml.bak record.yml.txt record(2).yaml"


@pytest.mark.parametrize("name", [*SPELLINGS.split(), *COPIES.split(), "record.yml ", "record (1).yml"])
def test_a_record_is_known_by_every_spelling(name: str) -> None:
    assert is_record_name(name)


@pytest.mark.parametrize(
    "name", ["records.yml", "record.md", "my-record.yml", "record.json", "record.ymlx", "recordyml"]
)
def test_other_files_are_no_records(name: str) -> None:
    assert not is_record_name(name)


def test_sets_lie_at_any_depth_in_the_order_of_their_paths(tmp_path: Path) -> None:
    for name in ("zeta", "north/b", "north/a", "a/very/deep/place"):
        _record(tmp_path / name)
    found = find_sets(tmp_path)
    assert [p.relative_to(tmp_path).as_posix() for p in found.sets] == [
        "a/very/deep/place",
        "north/a",
        "north/b",
        "zeta",
    ]
    assert found.notices == ()


def test_a_thousand_folders_in_one_another_are_walked(tmp_path: Path) -> None:
    deep = tmp_path
    for _ in range(1000):
        deep /= "a"
        deep.mkdir()
    _record(deep)
    assert find_sets(tmp_path).sets == (deep,)
    # Python's own rmtree calls itself once a folder, too often for what clears the tests' folders away.
    subprocess.run(["rm", "-r", tmp_path / "a"], check=True)


def test_each_thing_that_is_no_set_is_told_once_with_what_to_do(tmp_path: Path) -> None:
    _record(tmp_path / "good")
    _record(tmp_path / "good", "Record.yml")
    _record(tmp_path / "good", "record.yml.bak")
    _record(tmp_path / "good" / "old")
    _record(tmp_path / "misspelt", "record.yaml")
    _record(tmp_path / "copied", "record.yml.txt")
    _record(tmp_path)
    _record(tmp_path / ".hidden")
    (tmp_path / "linked").symlink_to(tmp_path / "good")
    (tmp_path / "half").mkdir()
    (tmp_path / "half" / "record.yml").symlink_to(tmp_path / "good" / "record.yml")
    found = find_sets(tmp_path, "sets")
    assert found.sets == (tmp_path / "good", tmp_path / "half")
    told = {notice.path: notice.told for notice in found.notices}
    expected = {
        "copied/record.yml.txt": "expected “record.yml”; rename it",
        "good/Record.yml": "found a second record; expected one in a folder",
        "good/old/record.yml": "found a record inside the set sets/good",
        "linked": "found a link; expected a folder",
        "misspelt/record.yaml": "found “record.yaml”; expected “record.yml”; rename it",
        "record.yml": "move it to sets/my-set/record.yml",
    }
    assert told.keys() == expected.keys()
    for path, words in expected.items():
        assert told[path].startswith(f"sets/{path}: ")
        assert words in told[path]


def test_names_that_differ_in_case_or_accents_only_are_told(tmp_path: Path) -> None:
    for name in ("Minuet", "minuet", "n/Empf\u00e4nger", "n/empfa\u0308nger"):
        _record(tmp_path / name)
    found = find_sets(tmp_path, "sets")
    assert len(found.sets) == 4
    assert [n.told.partition(": ")[0] for n in found.notices] == ["sets/minuet", "sets/n/empfa\u0308nger"]


def test_a_folder_that_is_gone_or_locked_is_told(tmp_path: Path) -> None:
    (notice,) = find_sets(tmp_path / "nowhere", "sets").notices
    assert notice.told.startswith("sets: found a folder that cannot be read (No such file")


def test_no_message_commands_a_terminal(tmp_path: Path) -> None:
    _record(tmp_path / "o\x1b[2Jne", "record.yaml")
    (notice,) = find_sets(tmp_path, "sets").notices
    assert "\x1b" not in notice.told


def test_a_record_is_looked_for_a_few_folders_down_only(tmp_path: Path) -> None:
    assert not holds_record(tmp_path)
    _record(tmp_path / "a" / "b" / "c" / "d" / "e" / "f")
    assert not holds_record(tmp_path)
    _record(tmp_path / "a" / "b" / "c", "record.yaml")
    assert holds_record(tmp_path)


def test_a_folder_without_end_is_given_up_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(found_sets, "MOST_PASSED", 5)
    for n in range(6):
        (tmp_path / f"a{n}").mkdir()
    (notice,) = find_sets(tmp_path, "home").notices
    assert notice.told.startswith("home: found more than 5 folders without a record; expected a folder of sets")


def test_folders_of_sets_do_not_count_as_passed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(found_sets, "MOST_PASSED", 5)
    for n in range(9):
        (_record(tmp_path / f"a{n}") / "photos").mkdir()
    found = find_sets(tmp_path)
    assert len(found.sets) == 9
    assert found.notices == ()


def test_a_folder_whose_name_is_no_text_is_told_and_left_out(tmp_path: Path) -> None:
    """Python makes half signs of such bytes, and an address that has one ended the whole build."""
    bad = _record(tmp_path / os.fsdecode(b"t\xe9l\xe9"))
    _record(bad / "within")
    _record(tmp_path / "good")
    found = find_sets(tmp_path, "sets")
    assert [path.name for path in found.sets] == ["good"]
    (notice,) = found.notices
    assert notice.told.startswith("sets/t?l?: found a folder whose name is not written in UTF-8; expected one that is")
    assert notice.told.isprintable()
