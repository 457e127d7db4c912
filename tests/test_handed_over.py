"""Files put into a folder that others write in too: all or none, and nothing of anybody else's."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from benchleaf.build.handed_over import LIST, NotHandedOverError, hand_over
from benchleaf.pages.set_page import OutFile
from sites import contents


def files(**texts: str) -> dict[str, OutFile]:
    return {name.replace("__", "/"): OutFile(name, text=text) for name, text in texts.items()}


def put(out: Path, **texts: str) -> int:
    return hand_over(out, files(**texts), out.parent / "sets")


def listed(out: Path) -> list[str]:
    found: list[str] = json.loads((out / LIST).read_text(encoding="utf-8"))["files"]
    return found


def told(out: Path, sets: Path | None = None, **texts: str) -> str:
    with pytest.raises(NotHandedOverError) as raised:
        hand_over(out, files(**texts), sets or out.parent / "sets")
    assert "\n" not in str(raised.value)
    return str(raised.value)


def test_a_new_folder_holds_the_files_and_their_list(tmp_path: Path) -> None:
    photo = tmp_path / "photo.jpg"
    photo.write_bytes(b"\xff\xd8")
    out = tmp_path / "deep" / "out"
    given = files(a="1", b__c="é") | {"p.jpg": OutFile("p.jpg", source=str(photo)), "d": OutFile("d", data=b"\0")}
    assert hand_over(out, given, tmp_path / "sets") == 4
    found = contents(out)
    assert sorted(json.loads(found.pop(LIST))["files"]) == ["a", "b/c", "d", "p.jpg"]
    assert found == {"a": b"1", "b/c": "é".encode(), "p.jpg": b"\xff\xd8", "d": b"\0"}
    assert [path.name for path in out.parent.iterdir()] == ["out"]


def test_a_second_run_replaces_its_own_files_and_takes_away_what_is_no_more(tmp_path: Path) -> None:
    out = tmp_path / "out"
    put(out, a="1", b__c="2", b__d__e="3")
    (out / "mine.md").write_text("mine", encoding="utf-8")
    (out / "b" / "mine.md").write_text("mine too", encoding="utf-8")
    before = (out / "a").stat().st_mtime_ns
    assert put(out, a="1", b__c="changed", f="4") == 3
    found = contents(out)
    found.pop(LIST)
    assert found == {"a": b"1", "b/c": b"changed", "f": b"4", "mine.md": b"mine", "b/mine.md": b"mine too"}
    assert not (out / "b" / "d").exists()
    assert listed(out) == ["a", "b/c", "f"]
    assert (out / "a").stat().st_mtime_ns == before
    assert put(out, a="1", b__c="changed", f="4") == 0


def test_nothing_is_written_over_what_another_wrote(tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "b").mkdir(parents=True)
    (out / "b" / "c").write_text("mine", encoding="utf-8")
    assert told(out, a="1", b__c="2") == (
        f"{out / 'b' / 'c'}: is there and was not written by “benchleaf pages”; move it, or name another folder"
    )
    assert contents(out) == {"b/c": b"mine"}
    put(out, a="1")
    assert "is there and was not written" in told(out, a="2", b__c="2")
    assert (out / "a").read_text(encoding="utf-8") == "1"


def test_no_link_is_written_through(tmp_path: Path) -> None:
    out, outside = tmp_path / "out", tmp_path / "outside"
    outside.mkdir()
    put(out, a="1", b__c="2")
    (out / "a").unlink()
    (outside / "kept").write_text("kept", encoding="utf-8")
    (out / "a").symlink_to(outside / "kept")
    assert told(out, a="2").startswith(f"{out / 'a'}: is there and was not written")
    (out / "a").unlink()
    (out / "b" / "c").unlink()
    (out / "b").rmdir()
    (out / "b").symlink_to(outside)
    assert told(out, b__c="2").startswith(f"{out / 'b'}: found a file or a link")
    assert contents(outside) == {"kept": b"kept"}


@pytest.mark.parametrize(
    "text",
    [
        "[]", "no json", "{}", '{"format": "benchleaf-pages", "files": ["../x"]}', '{"format": "other", "files": []}',
        '{"format": "benchleaf-pages", "files": ["/x"]}', '{"format": "benchleaf-pages", "files": ["a//b"]}',
        '{"format": "benchleaf-pages", "files": [".git/config"]}',
        '{"format": "benchleaf-pages", "files": ["a/.GIT/x"]}',
        '{"format": "benchleaf-pages", "files": [1]}', '{"format": "benchleaf-pages", "files": [""]}', "[" * 100_000,
    ],
)  # fmt: skip
def test_a_list_that_is_none_is_told_and_nothing_goes(tmp_path: Path, text: str) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (tmp_path / "x").write_text("kept", encoding="utf-8")
    (out / LIST).write_text(text, encoding="utf-8")
    assert told(out, a="1").startswith(f"{out / LIST}: found something else; expected the list that")
    assert sorted(contents(tmp_path)) == [f"out/{LIST}", "x"]


def test_nothing_is_written_among_the_sets(tmp_path: Path) -> None:
    sets = tmp_path / "sets"
    sets.mkdir()
    assert told(tmp_path, sets, sets__a="1").startswith(f"{sets / 'a'}: would lie among the sets")
    (tmp_path / "out").symlink_to(sets)
    assert "would lie among the sets" in told(tmp_path / "out", sets, a="1")
    assert contents(sets) == {}


def test_what_cannot_be_written_leaves_all_as_it_was(tmp_path: Path) -> None:
    out = tmp_path / "out"
    put(out, a="1")
    assert "cannot be written" in told(out, a="2", **{"x" * 300: "3"})
    assert contents(out)["a"] == b"1"
    assert told(out, **{"a\0": "1"}).endswith("cannot be written: no name for a file")
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert "cannot be written" in told(tmp_path / "file", a="1")
    assert "cannot be written" in told(tmp_path / "file" / "below", a="1")
    missing = {"a": OutFile("a", text="2"), "p.jpg": OutFile("p.jpg", source=str(tmp_path / "gone"))}
    with pytest.raises(NotHandedOverError):
        hand_over(out, missing, tmp_path / "sets")
    assert contents(out)["a"] == b"1"
    assert sorted(os.listdir(tmp_path)) == ["file", "out"]
    assert sorted(os.listdir(out)) == [LIST, "a"]


def test_two_runs_at_once_do_not_mix(tmp_path: Path) -> None:
    out = tmp_path / "out"
    put(out, a="1")
    (out / ".benchleaf-pages.part").mkdir()
    assert "expected one run at a time" in told(out, a="2")
    assert (out / "a").read_text(encoding="utf-8") == "1"


def test_a_run_that_is_stopped_half_way_loses_no_file_from_the_list(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    put(out, a="1", b="1", old="1")
    real, moved = os.replace, list[str]()

    def replace(one: Path, other: Path) -> None:
        moved.append(Path(other).name)
        if len(moved) == 3:
            raise KeyboardInterrupt
        real(one, other)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", replace)
        with pytest.raises(KeyboardInterrupt):
            put(out, a="2", b="2", new="2")
    assert moved[0] == LIST
    assert set(listed(out)) == {"a", "b", "new", "old"}
    assert put(out, a="2", b="2", new="2") > 0
    assert {name: text for name, text in contents(out).items() if name != LIST} == {"a": b"2", "b": b"2", "new": b"2"}
