"""What of a set's folder is read, and what of it is told instead. Common practice, no source."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchleaf.build.all_sets import build_set
from benchleaf.build.cache import Cache
from benchleaf.build.found_sets import find_sets
from benchleaf.cli import main
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.record import set_files
from benchleaf.record.set_files import Refusal, is_below, located, read
from sites import SMALL_RECORD, kept_in

SECRET_TEXT = "maker: Nobody-may-read-this\nmodel: secret\n"
OUTSIDE = "a link to somewhere outside the set's folder"
NOWHERE = "a link that leads nowhere"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A set beside another; outside the sets lies a file that no link may show."""
    for name in ("one", "other"):
        (tmp_path / "sets" / name / "photos").mkdir(parents=True)
        (tmp_path / "sets" / name / "record.yml").write_text(SMALL_RECORD)
    (tmp_path / "outside").mkdir()
    for name in ("record.yml", "story.md", "a.md", "r.csv", "p.jpg"):
        (tmp_path / "outside" / name).write_text(SECRET_TEXT)
    return tmp_path / "sets" / "one"


def page_of(folder: Path, cache: Cache | None = None) -> SetPage:
    return build_set(folder, Choices(), cache or Cache(None))


def found_in(page: SetPage) -> list[tuple[str, str]]:
    return [(problem.file, problem.found) for problem in page.problems]


def linked(place: Path, target: Path | str) -> None:
    place.unlink(missing_ok=True)
    place.symlink_to(target)


def piped(place: Path) -> None:
    place.unlink()
    os.mkfifo(place)


def foldered(place: Path) -> None:
    place.unlink()
    place.mkdir()


RECORDS: dict[str, tuple[Callable[[Path], None], str]] = {
    "a link outside": (lambda p: linked(p, p.parents[2] / "outside" / "record.yml"), OUTSIDE),
    "a system's file": (lambda p: linked(p, "/etc/passwd"), OUTSIDE),
    "a neighbour's record": (lambda p: linked(p, "../other/record.yml"), OUTSIDE),
    "a dangling link outside": (lambda p: linked(p, p.parents[2] / "outside" / "none"), OUTSIDE),
    "a dangling link": (lambda p: linked(p, "none.yml"), NOWHERE),
    "a circle": (lambda p: linked(p, "record.yml"), NOWHERE),
    "a pipe": (piped, "something that is no ordinary file"),
    "a folder": (foldered, "a folder"),
}


@pytest.mark.parametrize(("put", "found"), RECORDS.values(), ids=RECORDS)
def test_a_record_that_is_none_of_the_sets_own_has_a_page_that_says_so(
    put: Callable[[Path], None], found: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    put(folder / "record.yml")
    assert folder in find_sets(folder.parent).sets
    cache = kept_in(folder.parents[1] / "cache")
    first = page_of(folder, cache)
    assert found_in(first) == [("sets/one/record.yml", found)]
    assert (first.problems[0].line, first.problems[0].column) == (1, 1)
    assert first.problems[0].remedy
    assert first.title == "one: the record cannot be read"
    assert found.replace("'", "&#39;") in first.html
    assert first.files == ()
    for word in ("Nobody", "Testwell", "root:", str(folder.parents[1])):
        assert word not in first.html + first.search + repr(first.problems)
    assert page_of(folder, cache) == first == page_of(folder)
    assert main(["check", str(folder)]) == 1
    said = capsys.readouterr().out
    assert said.startswith(f"{folder / 'record.yml'}:1:1: found {found}; expected ")
    assert said.count("\n") == 1


@pytest.mark.parametrize("command", ["export", "order"])
def test_no_command_reads_a_record_through_a_link(
    command: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    linked(folder / "record.yml", folder.parents[1] / "outside" / "record.yml")
    assert main([command, str(folder)]) != 0
    said = capsys.readouterr()
    assert OUTSIDE in said.err
    assert "Nobody" not in said.out + said.err


def test_no_command_reads_a_list_through_a_link_or_waits_for_a_pipe(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    linked(folder / "r.csv", folder.parents[1] / "outside" / "r.csv")
    os.mkfifo(folder / "p.csv")
    names = ["--maker", "A", "--model", "B"]
    for name, found in (("r.csv", OUTSIDE), ("p.csv", "something that is no ordinary file")):
        table = str(folder / name)
        for command in (["readings", table], ["start-from", table, str(folder / "new"), *names]):
            assert main(command) == 2
            assert found in capsys.readouterr().err
        assert main(["order", str(folder), "--stock", table]) == 2
        assert found in capsys.readouterr().err


def test_a_link_that_stays_inside_is_followed(folder: Path) -> None:
    (folder / "written").mkdir()
    (folder / "record.yml").rename(folder / "written" / "record-2.yml")
    linked(folder / "record.yml", "written/record-2.yml")
    (folder / "chapters").mkdir()
    (folder / "chapters" / "1.md").write_text("A story told.\n")
    linked(folder / "story", "chapters")
    page = page_of(folder)
    assert page.problems == ()
    assert "Testwell" in page.html
    assert "A story told." in page.html


def test_a_sets_folder_may_lie_behind_a_link(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "way").symlink_to(folder.parent)
    assert page_of(tmp_path / "way" / "one").problems == ()


STORIES = {
    "story.md": ("story.md", "story.md", "sets/one/story.md", OUTSIDE),
    "a part": ("story/a.md", "a.md", "sets/one/story/a.md", OUTSIDE),
    "the folder of parts": ("story", "", "sets/one/story", OUTSIDE),
    "a dangling part": ("story.md", "none.md", "sets/one/story.md", OUTSIDE),
}


@pytest.mark.parametrize(("name", "target", "file", "found"), STORIES.values(), ids=STORIES)
def test_a_story_that_is_a_link_is_told_and_the_page_made_without_it(
    name: str, target: str, file: str, found: str, folder: Path
) -> None:
    (folder / name).parent.mkdir(exist_ok=True)
    linked(folder / name, folder.parents[1] / "outside" / target)
    page = page_of(folder)
    assert found_in(page) == [(file, found)]
    assert "Testwell" in page.html
    assert "Nobody" not in page.html
    assert "a.md" not in page.html or name == "story/a.md"


NAMED = {
    "a photo": ("photos/p.jpg", "p.jpg", "photos:\n  dial: photos/p.jpg\n"),
    "the folder of photos": ("photos", "", "photos:\n  dial: photos/p.jpg\n"),
    "a spreadsheet": ("r.csv", "r.csv", "readings:\n  a: table r.csv\n"),
    "a folder of spreadsheets": ("tables", "", "readings:\n  a: table tables/r.csv\n"),
}


@pytest.mark.parametrize(("name", "target", "lines"), NAMED.values(), ids=NAMED)
def test_a_file_the_record_names_is_not_read_through_a_link(name: str, target: str, lines: str, folder: Path) -> None:
    if (folder / name).is_dir():
        (folder / name).rmdir()
    (folder / "record.yml").write_text(SMALL_RECORD + lines)
    linked(folder / name, folder.parents[1] / "outside" / target)
    (problem,) = page_of(folder).problems
    assert OUTSIDE in problem.found
    assert problem.file == "sets/one/record.yml"
    assert problem.line == SMALL_RECORD.count("\n") + 2
    assert problem.remedy == "put the file itself in place of the link"


def test_a_link_does_not_tell_what_there_is_behind_it(folder: Path) -> None:
    linked(folder / "way", folder.parents[1])
    said = set()
    for name in ("way/outside/p.jpg", "way/outside/none.jpg", "way/none/p.jpg"):
        (folder / "record.yml").write_text(SMALL_RECORD + f"photos:\n  dial: {name}\n")
        (problem,) = page_of(folder).problems
        said.add(problem.found.replace(name, "…"))
    assert said == {f"“…”, {OUTSIDE}"}


def test_a_neighbours_record_is_not_read_through_a_link_out_of_the_sets(folder: Path) -> None:
    (folder / "record.yml").write_text(SMALL_RECORD + "readings:\n  similar: from other\n")
    assert page_of(folder).problems == ()
    linked(folder.parent / "other" / "record.yml", folder.parents[1] / "outside" / "record.yml")
    (problem,) = page_of(folder).problems
    assert problem.found == "“other”, a link to somewhere outside the folder of sets"
    (folder.parent / "other" / "record.yml").unlink()
    (folder.parent / "other" / "photos").rmdir()
    (folder.parent / "other").rmdir()
    linked(folder.parent / "other", folder.parents[1] / "outside")
    assert [p.found for p in page_of(folder).problems] == [problem.found]


def test_a_file_put_right_is_noticed_in_spite_of_the_cache(folder: Path) -> None:
    cache = kept_in(folder.parents[1] / "cache")
    lines = "readings:\n  a: table r.csv\n  similar: from third\n"
    (folder / "record.yml").write_text(SMALL_RECORD + lines)
    linked(folder / "r.csv", folder.parents[1] / "outside" / "r.csv")
    assert len(page_of(folder, cache).problems) == 2
    (folder / "r.csv").unlink()
    (folder / "r.csv").write_text("V1,plate,90\n")
    (problem,) = page_of(folder, cache).problems
    assert problem.found == "“third”"
    (folder.parent / "third").mkdir()
    (folder.parent / "third" / "record.yml").write_text(SMALL_RECORD)
    assert page_of(folder, cache).problems == ()


def test_a_file_replaced_by_a_link_to_its_like_is_noticed_in_spite_of_the_cache(folder: Path) -> None:
    cache = kept_in(folder.parents[1] / "cache")
    (folder / "record.yml").write_text(SMALL_RECORD + "readings:\n  a: table r.csv\n")
    (folder / "r.csv").write_text("V1,plate,90\n")
    assert page_of(folder, cache).problems == ()
    (folder / "r.csv").rename(folder.parents[1] / "outside" / "r.csv")
    linked(folder / "r.csv", folder.parents[1] / "outside" / "r.csv")
    assert page_of(folder, cache) == page_of(folder)
    assert len(page_of(folder, cache).problems) == 1


def swapped(monkeypatch: pytest.MonkeyPatch, swap: Callable[[], None]) -> None:
    """Do something between the look at a file and its opening."""
    real = set_files.plain_file

    @contextlib.contextmanager
    def after_the_swap(path: Path) -> Iterator[int]:
        swap()
        with real(path) as descriptor:
            yield descriptor

    monkeypatch.setattr(set_files, "plain_file", after_the_swap)


@pytest.mark.parametrize("name", ["record.yml", "written/record.yml"])
def test_a_link_put_there_after_the_look_is_not_followed(
    name: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place, outside = folder / name, folder.parents[1] / "outside"
    place.parent.mkdir(exist_ok=True)
    place.write_text(SMALL_RECORD)

    def swap() -> None:
        if name == "record.yml":
            linked(place, outside / "record.yml")
        elif not place.parent.is_symlink():
            place.parent.rename(folder / "old")
            linked(place.parent, outside)

    assert read(place, folder) == SMALL_RECORD.encode()
    swapped(monkeypatch, swap)
    refused = read(place, folder)
    assert isinstance(refused, Refusal)
    assert refused.found in (OUTSIDE, "a file that cannot be read")


def test_no_more_is_read_than_is_asked_for(folder: Path) -> None:
    (folder / "long.md").write_bytes(b"x" * 100)
    assert read(folder / "long.md", folder, 10) == b"x" * 11
    assert read(folder / "long.md", folder, 100) == b"x" * 100


def test_names_no_disk_can_hold_are_missing(folder: Path) -> None:
    for name in ("null\0", "x" * 300, "record.yml/below"):
        found = located(folder / name, folder)
        assert isinstance(found, Refusal)
        assert found.found == "no such file"


@pytest.mark.parametrize("path", ["a", "photos/dial.jpg", "a..b/.c", "…/ä b.jpg"])
def test_a_path_below(path: str) -> None:
    assert is_below(path)


@pytest.mark.parametrize(
    "path",
    [
        "",
        "/",
        "/etc/passwd",
        "..",
        "../x",
        "a/../../x",
        "a/..",
        "a//b",
        "./a",
        "a/",
        "a\\b",
        "C:/x",
        "c:x",
        "//h/s/x",
        "\\\\h\\s",
        "a\x00b",
    ],
)
def test_a_path_that_could_lead_anywhere_else(path: str) -> None:
    assert not is_below(path)
