"""The commands, as other people's programs may rely on them: exit codes, data to stdout, messages to stderr."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import bad_records
from benchleaf import __version__
from benchleaf.cli.main import main
from benchleaf.cli.records import MAX_BYTES
from benchleaf.record import encoding

SETS = Path(__file__).parents[1] / "site_src" / "sets"
DEMO = SETS / "larkfield-minuet-5"
PROGRAM = (sys.executable, "-c", "import sys; from benchleaf.cli import main; sys.exit(main())")
HEAVY = ["numpy", "scipy", "matplotlib", "schemdraw", "PIL", "mkdocs", "jinja2", "nh3", "markdown", "eseries"]
GOOD = "maker: Larkfield\nmodel: Minuet 5\n"
BAD = "maker: Larkfield\nyeer: 1949\n"
BAD_TOLD = (
    "record.yml:1:1: model: found nothing; expected a line “model: …”; add it\n"
    "record.yml:2:1: yeer: found the unknown name “yeer”; expected a name that belongs here; did you mean “year”?\n"
)


def run(*arguments: str, stdin: bytes = b"", cwd: Path | None = None, **environment: str) -> tuple[int, str, str]:
    """The command as a program of its own."""
    program = [sys.executable, "-c", "import sys; from benchleaf.cli import main; sys.exit(main())", *arguments]
    done = subprocess.run(
        program, input=stdin, capture_output=True, cwd=cwd, env={**os.environ, **environment}, check=False
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


@pytest.fixture
def set_(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a set, which is also the one the commands are run in."""
    folder = bad_records.make_sets(tmp_path)
    monkeypatch.chdir(folder)
    return folder


def write(folder: Path, text: str) -> None:
    (folder / "record.yml").write_text(text, encoding="utf-8")


def test_version_and_help(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments, said in ((["--version"], f"benchleaf {__version__}\n"), (["--help"], "usage: benchleaf")):
        with pytest.raises(SystemExit) as stopped:
            main(arguments)
        assert stopped.value.code == 0
        assert capsys.readouterr().out.startswith(said)


@pytest.mark.parametrize("command", ["new", "check", "export", "schema"])
def test_every_command_has_help(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([command, "--help"])
    assert stopped.value.code == 0
    assert capsys.readouterr().out.startswith(f"usage: benchleaf {command}")


WRONG_CALLS = ("bogus", "check", "new x y", "new x --dialect klingon", "export", "export x --to xml", "check --x")


@pytest.mark.parametrize("call", WRONG_CALLS)
def test_a_wrong_call_is_exit_2(call: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(call.split())
    assert stopped.value.code == 2
    assert capsys.readouterr().out == ""


def test_no_command_shows_the_help_and_is_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("usage: benchleaf")


# check


def test_check_of_a_clean_record_says_nothing(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, GOOD)
    assert main(["check", "record.yml"]) == 0
    assert capsys.readouterr() == ("", "")


def test_check_tells_every_problem_on_a_line(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, BAD)
    assert main(["check", "record.yml"]) == 1
    assert capsys.readouterr() == (BAD_TOLD, "2 problems\n")


def test_check_lists_what_a_record_does_not_tell_yet(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, f"{GOOD}state: waiting\ncame in: 2026-02-21\nfaults:\n  - hum\ntubes:\n  V1: 12BE6\n")
    assert main(["check", "--complete", "record.yml"]) == 0
    head, *told = capsys.readouterr().out.splitlines()
    assert head.startswith("record.yml (waiting) does not tell yet (a list, not a grade")
    assert told[:2] == ["- who did the work: the next person may want to ask. Write:", "    by: R. Alder"]
    assert told[-1] == "      under the chassis: before photos/under-before.jpg"
    write(set_, "maker: [")
    assert main(["check", "--complete", "record.yml"]) == 1


def test_check_follows_names_too(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, GOOD + "photos:\n  dial: photos/dail.jpg\n")
    assert main(["check", "record.yml"]) == 1
    said = capsys.readouterr()
    assert said.out.startswith("record.yml:4:9: photos.dial: found no file “photos/dail.jpg”; expected ")
    assert said.err == "1 problem\n"


def test_check_takes_a_folder_of_sets(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, BAD)
    write(set_.parent / bad_records.NEIGHBOUR, BAD)
    assert main(["check", str(set_.parent)]) == 1
    said = capsys.readouterr()
    assert [line.split(":")[0] for line in said.out.splitlines()] == [
        str(set_.parent / bad_records.LINKED / "record.yml"),
        *[str(set_.parent / bad_records.NEIGHBOUR / "record.yml")] * 2,
        *[str(set_ / "record.yml")] * 2,
    ]
    assert said.err == "5 problems\n"


def test_check_tells_of_what_would_not_be_built(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("sets/north/good/record.yml", "sets/bad/Record.yml", "sets/north/good/old/record.yml"):
        (tmp_path / name).parent.mkdir(parents=True)
        (tmp_path / name).write_text(GOOD, encoding="utf-8")
    assert main(["check", str(tmp_path / "sets")]) == 1
    said = capsys.readouterr()
    assert f"{tmp_path}/sets/bad/Record.yml: found “Record.yml”; expected “record.yml”; rename it" in said.out
    assert f"found a record inside the set {tmp_path}/sets/north/good" in said.out
    assert said.err == "2 problems\n"
    assert main(["check", str(tmp_path / "sets" / "bad")]) == 1
    assert "no record here" not in capsys.readouterr().err


def test_check_takes_several_paths(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, BAD)
    assert main(["check", str(set_), "record.yml"]) == 1
    assert len(capsys.readouterr().out.splitlines()) == 4


@pytest.mark.parametrize("path", ["nowhere", "photos", "nowhere/record.yml", "a\0b"])
def test_check_of_what_is_no_record_is_exit_2(path: str, set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", path]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == f"{path}: no record here\n".replace("\0", "?")


def test_check_goes_on_after_a_missing_record(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, BAD)
    assert main(["check", "nowhere", "record.yml"]) == 2
    assert capsys.readouterr().out == BAD_TOLD


def test_check_reads_a_pipe(set_: Path) -> None:
    assert run("check", "-", stdin=GOOD.encode(), cwd=set_) == (0, "", "")
    told = BAD_TOLD.replace("record.yml", "<stdin>")
    assert run("check", "-", stdin=BAD.encode(), cwd=set_) == (1, told, "2 problems\n")


def test_check_of_no_input_at_all_is_exit_2() -> None:
    code = "import sys; sys.stdin = None; from benchleaf.cli import main; sys.exit(main(['check', '-']))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (2, "<stdin>: no record here\n")


def test_check_of_a_stream_without_end_stops_at_the_limit(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert MAX_BYTES == encoding.MAX_BYTES
    code = "import sys; from benchleaf.cli import main; sys.exit(main(['check', '-']))"
    with Path("/dev/zero").open("rb") as endless:
        done = subprocess.run([sys.executable, "-c", code], stdin=endless, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "a file of more than 1,000,000 bytes" in done.stdout
    assert main(["check", "/dev/zero"]) == 1
    assert "something that is no ordinary file" in capsys.readouterr().out


def test_check_on_a_terminal_of_another_encoding(set_: Path) -> None:
    write(set_, BAD)
    code, said, _ = run("check", "record.yml", cwd=set_, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert code == 1
    assert "\\u201cyeer\\u201d" in said


def test_a_folders_name_does_not_command_the_terminal(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["check", "\x1b[31mred"])
    assert capsys.readouterr().err == "?[31mred: no record here\n"


def test_a_reader_that_goes_away_is_no_error(set_: Path) -> None:
    write(set_, "maker: A\nmodel: B\n" + "".join(f"k{n}: 1\n" for n in range(200)))
    program = [
        sys.executable,
        "-c",
        "import sys; from benchleaf.cli import main; sys.exit(main())",
        "check",
        "record.yml",
    ]
    with subprocess.Popen(program, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=set_) as process:
        assert process.stdout is not None
        process.stdout.close()
        assert process.stderr is not None
        assert b"Traceback" not in process.stderr.read()


def test_check_loads_nothing_heavy() -> None:
    code = (
        "import sys; from benchleaf.cli import main; code = main(sys.argv[1:]); "
        f"print([m for m in {HEAVY!r} if m in sys.modules]); sys.exit(code)"
    )
    for record in sorted(SETS.glob("*/record.yml")):
        program = [sys.executable, "-c", code, "check", str(record)]
        done = subprocess.run(program, capture_output=True, text=True, check=False)
        assert done.returncode in (0, 1), done.stderr
        assert done.stdout.endswith("[]\n")


# export


def test_export_reads_a_pipe(set_: Path) -> None:
    code, said, problems = run("export", "-", stdin=GOOD.encode(), cwd=set_)
    assert (code, problems) == (0, "")
    assert json.loads(said)["record"] == {"format": 1, "maker": "Larkfield", "model": "Minuet 5"}


def test_export_is_utf_8_whatever_the_terminal(set_: Path) -> None:
    write(set_, "maker: Ünï 🎚\nmodel: B\n")
    code, said, _ = run("export", "record.yml", cwd=set_, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert code == 0
    assert json.loads(said)["record"]["maker"] == "Ünï 🎚"


def test_export_of_a_record_with_slips_goes_on_and_is_exit_1(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, GOOD + "tubes:\n  V1: QQ1\n")
    assert main(["export", "record.yml"]) == 1
    said = capsys.readouterr()
    assert json.loads(said.out)["record"]["tubes"] == {"V1": {"type": "QQ1"}}
    assert said.err.startswith("record.yml:4:7: tubes.V1: found “QQ1”; expected a type in the tube table; ")


def test_export_of_a_record_that_cannot_be_read_is_exit_1(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(set_, BAD)
    assert main(["export", "record.yml"]) == 1
    assert capsys.readouterr() == ("", BAD_TOLD)


def test_export_of_nothing_is_exit_2(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", "nowhere"]) == 2
    assert capsys.readouterr() == ("", "nowhere: no record here\n")


# schema


def test_schema_is_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert json.loads(said.out)["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_console_command_is_installed() -> None:
    command = shutil.which("benchleaf", path=str(Path(sys.executable).parent))
    assert command is not None
    done = subprocess.run([command, "--version"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (0, f"benchleaf {__version__}\n")
