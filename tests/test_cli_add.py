"""`benchleaf add`: the file on the disk, from what was typed to what is said of it."""

from __future__ import annotations

import errno
import io
import os
import re
import shlex
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from benchleaf.cli import replacing
from benchleaf.cli.main import main
from benchleaf.cli.replacing import NotWrittenError, alone_with
from sites import REPO

RECORD = """\
maker: Larkfield
model: Minuet 5
tubes:
  V4: 50C5, output
readings:
  2026-03-01 as found:
    meter: 10 meg
    V4: plate 96.5
"""
ADDED = "  2026-03-28:\n    meter: 10 meg\n    V4: grid 2.4\n"
ON_THE_DAY = ("--date", "2026-03-28")


@pytest.fixture
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The record of a set, in the folder that the commands are run in."""
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "record.yml"
    file.write_text(RECORD, encoding="utf-8")
    return file


def test_a_reading_goes_into_the_list_of_the_day(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record.chmod(0o640)
    assert main(["add", "record.yml", "V4 grid 2.4", *ON_THE_DAY]) == 0
    assert record.read_text() == RECORD + ADDED
    said = capsys.readouterr()
    taken = "meter 10 meg, as in “2026-03-01 as found”"
    assert said == ("", f"record.yml:9: readings “2026-03-28”, a new list ({taken}): V4 grid 2.4\n")
    assert record.stat().st_mode & 0o777 == 0o640
    assert os.listdir(record.parent) == ["record.yml"]


def test_words_need_no_quotes_and_a_folder_stands_for_its_record(record: Path) -> None:
    assert main(["add", ".", "V4", "grid", "-7.2", *ON_THE_DAY]) == 0
    assert record.read_text().endswith("    V4: grid -7.2\n")


def test_without_a_day_it_is_today(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from datetime import date

    days = {date.today().isoformat()}
    assert main(["add", "record.yml", "log 1 h, cleaned"]) == 0
    days.add(date.today().isoformat())
    assert record.read_text() in {f"{RECORD}log:\n  - {day}, 1 h, cleaned\n" for day in days}


def test_a_dry_run_shows_the_change_and_writes_nothing(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["add", "record.yml", "V4 grid 2.4", "--dry-run", *ON_THE_DAY]) == 0
    said = capsys.readouterr()
    assert said.out.startswith("--- record.yml\n+++ record.yml\n@@ -6,3 +6,6 @@\n")
    assert [line[1:] for line in said.out.splitlines() if line[0] == "+" and line[1] != "+"] == ADDED.splitlines()
    assert said.err.endswith("\nnothing was written\n")
    assert record.read_text() == RECORD


def test_a_refused_line_leaves_the_file_alone(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["add", "record.yml", "V4 gird 2.4", *ON_THE_DAY]) == 1
    told = capsys.readouterr().err
    assert "LINE: “V4 gird 2.4” would be, in the file:\nrecord.yml:11:9: readings.2026-03-28.V4: found “gird”" in told
    assert told.endswith("nothing was changed\n")
    assert record.read_text() == RECORD


def test_pasted_lines_go_in_all_or_none(
    record: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def paste(text: str) -> int:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
        return main(["add", "record.yml", "-", *ON_THE_DAY])

    bad = "V4 grid 2.4\n\nV4 gird 1\nwhat is this\n"
    assert paste(bad) == 1
    told = capsys.readouterr().err
    assert "<stdin>:3: “V4 gird 1” would be, in the file:" in told
    assert "<stdin>:4: found “what is this”" in told
    assert record.read_text() == RECORD
    own = "  2026-03-28 warm:\n    line: 118 V\n    meter: 20 kohm/V on 250 V\n    V4: grid 2.4, plate 92\n"
    assert paste(own) == 0
    assert record.read_text() == RECORD + own
    assert paste("\n# nothing\n") == 2
    assert capsys.readouterr().err.endswith("<stdin>: found 0 lines; expected 1 to 120\n")


def test_dates_and_sections_are_read_as_the_site_settles_them(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["add", "record.yml", "log 1 h, a", "--date", "3/4/26"]) == 2
    assert "--date: found “3/4/26”; expected a date that is read one way only" in capsys.readouterr().err
    assert main(["add", "record.yml", "1 h, a", "--section", "parst"]) == 1
    assert "did you mean “parts”?" in capsys.readouterr().err
    site = "site_name: x\nplugins:\n  - benchleaf: {slash_dates: day first}\n"
    (record.parent / "mkdocs.yml").write_text(site, encoding="utf-8")
    set_ = record.parent / "sets" / "one"
    set_.mkdir(parents=True)
    record.rename(set_ / "record.yml")
    assert main(["add", "sets/one", "1 h, a", "--date", "3/4/26", "--section", "log"]) == 0
    assert (set_ / "record.yml").read_text().endswith("  - 2026-04-03, 1 h, a\n")


def test_a_link_a_locked_and_a_missing_file_are_told(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record.chmod(0o444)
    assert main(["add", "record.yml", "log 1 h, a"]) == 2
    assert "found a file that may not be written" in capsys.readouterr().err
    record.chmod(0o644)
    (record.parent / "other").mkdir()
    (record.parent / "other" / "record.yml").symlink_to(record)
    assert main(["add", "other", "log 1 h, a"]) == 2
    assert "found a link; expected the record itself" in capsys.readouterr().err
    assert main(["add", "nowhere/record.yml", "log 1 h, a"]) == 2
    assert capsys.readouterr().err == "nowhere/record.yml: no record here\n"
    assert record.read_text() == RECORD
    assert sorted(os.listdir(record.parent)) == ["other", "record.yml"]


def test_a_full_disk_leaves_nothing_half_written(
    record: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(replacing.os, "fsync", full)
    assert main(["add", "record.yml", "log 1 h, a"]) == 2
    assert capsys.readouterr().err == "record.yml: cannot be written: No space left on device; nothing was changed\n"
    assert record.read_text() == RECORD
    assert os.listdir(record.parent) == ["record.yml"]


def test_lines_typed_at_once_all_arrive(record: Path) -> None:
    with ThreadPoolExecutor(4) as at_once:
        codes = list(at_once.map(lambda n: main(["add", "record.yml", f"log {n} h, hour {n}"]), range(1, 5)))
    assert codes == [0] * 4
    assert all(f", {n} h, hour {n}\n" in record.read_text() for n in range(1, 5))
    assert os.listdir(record.parent) == ["record.yml"]


def test_a_command_waits_for_another_and_not_for_ever(record: Path) -> None:
    with (
        alone_with(record),
        pytest.raises(NotWrittenError, match=r"delete \.record\.yml\.adding beside it"),
        alone_with(record, patience=0),
    ):
        pytest.fail("two at once")
    with alone_with(record, patience=0):
        assert (record.parent / ".record.yml.adding").exists()


def test_what_another_program_wrote_meanwhile_is_not_lost(record: Path) -> None:
    with alone_with(record) as unfinished:
        record.write_text(RECORD + "note: typed in an editor\n")
        assert not unfinished.take_its_place(RECORD.encode(), b"old\n")
    assert record.read_text() == RECORD + "note: typed in an editor\n"
    with alone_with(record) as unfinished:
        assert unfinished.take_its_place(record.read_bytes(), RECORD.encode())
    assert record.read_text() == RECORD


def test_the_examples_of_the_documentation_do_what_they_say(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = (REPO / "site_src" / "writing" / "commands.md").read_text(encoding="utf-8")
    example = re.search(r"```console\n((?:\$ benchleaf add .*\n(?:[^$`].*\n)*)+)```", page)
    assert example is not None
    set_ = record.parent / "sets" / "my-first-set"
    set_.mkdir(parents=True)
    record.rename(set_ / "record.yml")
    for typed, said in re.findall(r"\$ benchleaf (.*)\n((?:[^$].*\n)*)", example[1]):
        assert main(shlex.split(typed)) == 0
        assert capsys.readouterr().err == said


def test_it_loads_nothing_heavy(record: Path) -> None:
    heavy = ["numpy", "scipy", "matplotlib", "schemdraw", "PIL", "mkdocs", "jinja2", "pint"]
    code = (
        "import sys; from benchleaf.cli import main; code = main(sys.argv[1:]); "
        f"print([m for m in {heavy!r} if m in sys.modules]); sys.exit(code)"
    )
    program = [sys.executable, "-c", code, "add", "record.yml", "V4 grid 2.4"]
    done = subprocess.run(program, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, "[]\n")
