"""The commands between pipes, devices and odd paths: one line is said, nothing hangs, nothing is written elsewhere."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from benchleaf.cli.main import main
from benchleaf.record import spreadsheet
from benchleaf.record.encoding import MAX_BYTES

GOOD = "maker: Larkfield\nmodel: Minuet 5\n"
NAMES = ("--maker", "Larkfield", "--model", "Minuet 5")
LONG = "x" * 5_000
PARTS = "part,section,sheet as written,found as written,now as written\nC1,,,,10 nF 630 V film\n"
PROGRAM = (sys.executable, "-c", "import sys; from benchleaf.cli import main; sys.exit(main())")


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that the commands are run in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def one_line(capsys: pytest.CaptureFixture[str]) -> str:
    """What a command said, which must be one line and not its own mistake."""
    told = capsys.readouterr()
    lines = [line for line in (told.out + told.err).splitlines() if not line.endswith("1 problem")]
    assert len(lines) == 1, lines
    assert "stopped by a mistake" not in lines[0]
    return lines[0]


@pytest.mark.parametrize(
    "arguments",
    [
        *(["check", LONG], ["export", LONG], ["order", LONG], ["readings", LONG], ["new", LONG, *NAMES]),
        *(["start-from", LONG, "new", *NAMES], ["start-from", "parts.csv", LONG, *NAMES]),
        ["order", "--stock", LONG, "."],
    ],
    ids=lambda arguments: " ".join(arguments).replace(LONG, "LONG"),
)
def test_a_path_too_long_for_any_disk_is_one_line(
    arguments: list[str], here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "parts.csv").write_text(PARTS)
    assert main(arguments) == 2
    assert LONG in one_line(capsys)
    assert [path.name for path in here.iterdir()] == ["parts.csv"]


@pytest.mark.parametrize("arguments", [["check"], ["export"], ["order"], ["readings"], ["start-from"]], ids=str)
@pytest.mark.parametrize("special", ["pipe", "/dev/zero"])
def test_a_pipe_and_an_endless_file_are_not_read(
    arguments: list[str], special: str, here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(here / "pipe")
    more = ["new", *NAMES] if arguments == ["start-from"] else []
    assert main([*arguments, special, *more]) in (1, 2)
    assert "found something that is no ordinary file" in one_line(capsys)


@pytest.mark.parametrize("way", ["/", "//", "/..", "/./"])
@pytest.mark.parametrize(
    "command", [["check"], ["export"], ["order"], ["new", *NAMES], ["start-from", "none.csv", *NAMES]], ids=str
)
def test_the_root_of_a_disk_is_neither_looked_through_nor_written_to(
    command: list[str], way: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, way]) == 2
    assert one_line(capsys) == f"{Path(way) if '--maker' in command else way}: {ROOT}"


@pytest.mark.parametrize("command", [["check"], ["export"], ["order"], ["pages", "out", "--from"]], ids=str)
def test_a_link_to_the_root_of_a_disk_is_one(
    command: list[str], here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "link").symlink_to("/")
    assert main([*command, "link"]) == 2
    assert "link: found the root of a disk; expected a" in one_line(capsys)


ROOT = "found the root of a disk; expected a set's folder, or a folder of sets"


@pytest.mark.parametrize(
    "command", [["new", "file"], ["new", "file/in it"], ["start-from", "parts.csv", "file"]], ids=str
)
def test_a_file_where_the_set_should_lie_is_told(
    command: list[str], here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "parts.csv").write_text(PARTS)
    (here / "file").write_text("mine")
    assert main([*command, *NAMES]) == 2
    assert "found a file in the way; expected a folder; nothing was changed" in one_line(capsys)
    assert (here / "file").read_text() == "mine"


class _Endless(io.RawIOBase):
    """A pipe whose writer never stops; it counts what was taken from it."""

    taken = 0

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: bytearray) -> int:  # type: ignore[override]
        self.taken += len(buffer)
        assert self.taken < 4 * MAX_BYTES, "it is read without end"
        buffer[:] = b"x" * len(buffer)
        return len(buffer)


@pytest.mark.parametrize("command", ["check", "export", "readings"])
def test_a_pipe_without_end_is_given_up(
    command: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    endless = _Endless()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BufferedReader(endless)))
    assert main([command, "-"]) == 1
    assert "found a file of more than 1,000,000 bytes" in one_line(capsys)
    assert endless.taken >= min(MAX_BYTES, spreadsheet.MOST_BYTES)


@pytest.mark.parametrize(
    ("command", "told"),
    [
        ("check", "<stdin>: no record here"),
        ("export", "<stdin>: no record here"),
        ("readings", "<stdin>:1:1: found no standard input; expected a file on it; name the file, or pipe it in"),
    ],
)
def test_no_standard_input_is_told(
    command: str, told: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    assert main([command, "-"]) == 2
    assert one_line(capsys) == told


@pytest.mark.parametrize("command", [["schema"], ["check", "."], ["export", "."], ["marking", "473J"]], ids=str)
def test_a_full_disk_is_told_in_one_line(command: list[str], here: Path) -> None:
    (here / "record.yml").write_text(GOOD + "yeer: 1949\n" if command[0] == "check" else GOOD)
    with open("/dev/full", "w") as full:
        done = subprocess.run([*PROGRAM, *command], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    said = [line for line in done.stderr.splitlines() if line != "1 problem"]
    assert said == [f"benchleaf {command[0]}: what it found cannot be written: No space left on device"]
    assert done.returncode == 2


def test_a_closed_output_is_told(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert main(["schema"]) == 2
    assert capsys.readouterr().err == "benchleaf schema: what it found cannot be written: there is no standard output\n"


@pytest.mark.parametrize("name", ["my: sets", "#1", "a, b} c", "yes?", "it's", '"x"', "sets [old]", "- a"])
def test_a_hint_can_be_copied_whatever_the_folder_is_called(
    name: str, here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (here / "mkdocs.yml").write_text("plugins: [search]\n")
    (here / "docs").mkdir()
    assert main(["new", f"{name}/one", *NAMES]) == 0
    hint = capsys.readouterr().err.splitlines()[1].partition("write under plugins: “")[2].removesuffix("”")
    assert yaml.safe_load(hint) == [{"benchleaf": {"sets": f"../{name}"}}]


def test_what_other_commands_say_commands_no_terminal(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["order", "a\x1b[2J"]) == 2
    assert main(["readings", "a\x1b[2J"]) == 2
    assert "\x1b" not in capsys.readouterr().err
