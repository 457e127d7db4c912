"""An exception is the page of its set and one line of the log or of a command: never everybody's end."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest

import benchleaf.build.one_set
import benchleaf.chapters.examine
from benchleaf.build.all_sets import build_all, build_archive, build_set
from benchleaf.build.cache import Cache
from benchleaf.build.failure import told
from benchleaf.build.found_sets import find_sets
from benchleaf.cli import main
from benchleaf.pages.set_page import Choices, SetPage
from failing import Deadly
from sites import SMALL_RECORD, build, kept_in, write_site

SECRET = "qvbxkdwgzh"


def _sets(folder: Path, *names: str) -> list[Path]:
    for name in names:
        (folder / name).mkdir(parents=True)
        (folder / name / "record.yml").write_text(SMALL_RECORD.replace("Trial", name) + f"owner: {SECRET}\n")
    return list(find_sets(folder).sets)


def _endless(record: object) -> object:
    return _endless(record)


def _raise(error: BaseException) -> Callable[..., object]:
    def stop(*given: object, **named: object) -> object:
        raise error

    return stop


@pytest.fixture
def stop_at(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, Callable[..., object]], None]:
    """Have ``instead`` called for the one model when its record is examined."""
    real = benchleaf.chapters.examine.examine

    def stop(model: str, instead: Callable[..., object]) -> None:
        monkeypatch.setattr(
            benchleaf.chapters.examine,
            "examine",
            lambda bench: instead(bench.record) if bench.record.model == model else real(bench),
        )

    return stop


@pytest.mark.parametrize(
    "instead",
    [_raise(ZeroDivisionError(SECRET)), _raise(MemoryError()), _raise(AssertionError(SECRET)), _endless],
    ids=["division", "memory", "assertion", "recursion"],
)
def test_any_exception_is_the_page_of_its_set(
    instead: Callable[..., object], stop_at: Callable[..., None], tmp_path: Path
) -> None:
    stop_at("bad", instead)
    cache = kept_in(tmp_path / "cache")
    bad, good = build_all(_sets(tmp_path / "sets", "bad", "good"), Choices(), cache)
    assert "Testwell good" in good.title
    assert good.failures == ()
    (failure,) = bad.failures
    assert failure.startswith("sets/bad/record.yml: this set could not be worked out: ")
    assert failure.endswith("Error in build/one_set.py, _examination")
    assert "This set could not be worked out: <code>sets/bad/record.yml</code>" in bad.html
    for said in (json.dumps(asdict(bad)), failure):
        assert SECRET not in said
        assert "Traceback" not in said
        assert str(tmp_path) not in said
    index = build_archive([good, bad], Choices(), cache, "../")
    assert "Sets that could not be worked out" in index.html
    assert "cannot be read" not in index.html


def test_a_failed_page_is_made_again_and_not_kept(stop_at: Callable[..., None], tmp_path: Path) -> None:
    (folder,) = _sets(tmp_path / "sets", "one")
    cache = kept_in(tmp_path / "cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("benchleaf.build.follow.read_record", _raise(MemoryError()))
        assert build_set(folder, Choices(), cache).failures
    assert build_set(folder, Choices(), cache).failures == ()


def test_a_stop_by_hand_passes(stop_at: Callable[..., None], tmp_path: Path) -> None:
    (folder,) = _sets(tmp_path / "sets", "one")
    stop_at("one", _raise(KeyboardInterrupt()))
    with pytest.raises(KeyboardInterrupt):
        build_set(folder, Choices(), Cache(None))


def test_files_that_cannot_be_read_are_their_sets_page(tmp_path: Path) -> None:
    folders = _sets(tmp_path / "sets", "gone", "good")
    shutil.rmtree(folders[0])
    gone, good = build_all(folders, Choices(), kept_in(tmp_path / "cache"))
    assert "no such file" in gone.html
    assert (gone.failures, good.failures) == ((), ())


def test_a_set_that_ends_its_process_is_named_and_the_others_are_built(tmp_path: Path) -> None:
    folders = _sets(tmp_path / "sets", "a", "b", "c", "d")
    folders[1] = Deadly(folders[1])
    counted: list[int] = []
    pages = build_all(folders, Choices(), Cache(None), counted.append)
    assert [page.folder for page in pages] == ["a", "b", "c", "d"]
    assert [page.folder for page in pages if page.failures] == ["b"]
    assert "the process that worked on it ended" in pages[1].failures[0]
    assert sum(counted) == 4


def _cards(tmp_path: Path) -> list[SetPage]:
    return build_all(_sets(tmp_path / "sets", "one", "two"), Choices(), Cache(None))


@pytest.mark.parametrize("wrong", [{"tubes": 7}, {"title": None}, {"picture": {"width": 1}}, {"kind": {1, 2}}])
def test_a_card_that_cannot_be_shown_does_not_end_the_index(wrong: dict[str, object], tmp_path: Path) -> None:
    one, two = _cards(tmp_path)
    two = replace(two, card={**(two.card or {}), **wrong})
    index = build_archive([one, two], Choices(), kept_in(tmp_path / "cache"), "../")
    (failure,) = index.failures
    assert failure.startswith("two: what the index shows of this set could not be made: ")
    assert "Testwell one" in index.html
    assert '<a href="two/">two</a>' in index.html


def test_an_index_no_card_is_to_blame_for_lists_all_sets(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    pages = _cards(tmp_path)
    real = benchleaf.archive.page.archive_page

    def only_alone(listed: list[SetPage], choices: Choices, **given: Any) -> SetPage:
        if sum(page.card is not None for page in listed) > 1:
            raise ValueError
        return real(listed, choices, **given)

    monkeypatch.setattr(benchleaf.archive.page, "archive_page", only_alone)
    index = build_archive(pages, Choices(), Cache(None), "../")
    assert index.failures == ("the index of all sets could not be made: ValueError in build/all_sets.py, _archive",)
    assert 'href="one/"' in index.html
    assert 'href="two/"' in index.html


def test_the_log_names_the_set_and_strict_counts_it(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"bad": SMALL_RECORD, "good": SMALL_RECORD})
    hook = "from pathlib import Path\nimport benchleaf.build.follow as make\nreal = make.read_record\n"
    hook += "def stop(data, file, *site):\n    if 'bad' in file:\n        raise OverflowError(file)\n"
    hook += "    return real(data, file, *site)\n"
    (site / "hook.py").write_text(f"{hook}make.read_record = stop\n")
    with (site / "mkdocs.yml").open("a") as config:
        config.write("hooks: [hook.py]\n")
    result = build(site)
    assert result.returncode == 0, result.stderr
    told_of = [line for line in result.stderr.splitlines() if "could not be worked out" in line]
    assert len(told_of) == 1
    assert "sets/bad/record.yml" in told_of[0]
    assert "OverflowError in build/follow.py, look_over" in told_of[0]
    assert "Traceback" not in result.stderr
    assert "could not be worked out" in (site / "site/sets/bad/index.html").read_text()
    assert "Testwell Trial" in (site / "site/sets/good/index.html").read_text()
    assert build(site, "--strict").returncode == 1


@pytest.mark.parametrize("command", [["check"], ["export"], ["export", "--to", "csv"], ["order"]])
def test_a_command_says_one_line_and_never_a_traceback(
    command: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (folder,) = _sets(tmp_path / "sets", "one")
    monkeypatch.setattr("benchleaf.build.follow.read_record", _raise(RecursionError(SECRET)))
    assert main([command[0], str(folder), *command[1:]]) == 3
    said = capsys.readouterr()
    (line,) = said.err.splitlines()
    assert line.startswith(f"{folder / 'record.yml'}: this set could not be worked out: RecursionError in ")
    assert SECRET not in said.out + said.err


def test_other_records_are_checked_after_one_that_fails(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    _sets(tmp_path / "sets", "a", "b")
    (tmp_path / "sets" / "b" / "record.yml").write_text("maker: A\nmodle: B\n")
    real = benchleaf.record.read_record
    monkeypatch.setattr(
        "benchleaf.build.follow.read_record",
        lambda data, file, *site: _raise(ValueError())() if "/a/" in file else real(data, file, *site),
    )
    assert main(["check", str(tmp_path / "sets")]) == 3
    said = capsys.readouterr()
    assert "could not be worked out" in said.err
    assert "modle" in said.out


def test_a_command_without_a_record_says_one_line_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("benchleaf.record.schema.record_schema", _raise(KeyError(SECRET)))
    assert main(["schema"]) == 3
    said = capsys.readouterr().err
    assert said == "benchleaf schema: stopped by a mistake of Benchleaf: KeyError in cli/main.py, _schema\n"


def test_what_is_told_names_no_place_outside_this_package() -> None:
    with pytest.raises(ValueError, match="invalid") as caught:
        int("x")
    assert told(caught.value) == "ValueError"
