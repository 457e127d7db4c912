"""What the commands tell of themselves: help with an example that runs, exit codes, and completion in a shell."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from benchleaf.cli.command_help import command_rows
from benchleaf.cli.completion import SHELLS
from benchleaf.cli.main import main
from sites import REPO

DEMO = REPO / "site_src" / "sets" / "larkfield-minuet-5"
ROWS = command_rows()
COMMANDS = [command for command in ROWS if command]
BASH = """
source {script}
_init() {{ COMP_LINE="$*"; COMP_CWORD=$(($# - 1)); COMP_WORDS=("$@"); COMPREPLY=(); }}
tried() {{ _init "$@"; _shtab_benchleaf; echo "${{COMPREPLY[@]}}"; }}
tried benchleaf ma
tried benchleaf export --to ''
tried benchleaf order --
tried benchleaf check re
tried benchleaf new re
"""


def test_each_command_has_its_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert re.findall(r"^    ([a-z-]+)(?: |$)", capsys.readouterr().err, re.M) == COMMANDS


@pytest.mark.parametrize("command", ROWS)
def test_help_has_an_example_and_the_exit_codes(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    row = ROWS[command]
    with pytest.raises(SystemExit) as left:
        main([*command.split(), "--help"])
    assert left.value.code == 0
    told = capsys.readouterr().out
    assert row.says in " ".join(told.split())
    assert f"example:\n  {row.example}\n" in told
    assert re.findall(r"^  (\d)  ", told, re.M) == [str(code) for code in row.exit_codes()]
    assert max(map(len, told.splitlines())) <= 88


def test_the_examples_run_one_after_the_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(DEMO, tmp_path / "sets" / DEMO.name)
    (tmp_path / "readings.csv").write_text("tube,electrode,volts\nV3,plate,44.2\n", encoding="utf-8")
    (tmp_path / "parts.csv").write_text("part,was\nC7,0.01 uF 400 V paper\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    offline = [command for command in COMMANDS if command != "fetch"]  # which test_fetch runs on a web of its own
    for command in sorted(offline, key="start-from".__eq__):  # what it makes is still to be looked at
        program, *words = shlex.split(ROWS[command].example)
        assert (program, words[0]) == ("benchleaf", command)
        typed, file = (words[:-2], words[-1]) if ">" in words else (words, "what was said")
        assert (command, main(typed)) == (command, 0)
        (tmp_path / file).write_text(capsys.readouterr().out, encoding="utf-8")
    assert (tmp_path / "sets" / "the-other-one" / "record.yml").read_text(encoding="utf-8").count("between") > 5


def test_bash_completes_commands_options_choices_and_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", "bash"]) == 0
    (tmp_path / "completion.bash").write_text(capsys.readouterr().out, encoding="utf-8")
    (tmp_path / "record.yml").touch()
    (tmp_path / "restored").mkdir()
    done = subprocess.run(
        ["bash", "--norc", "-c", BASH.format(script=tmp_path / "completion.bash")],
        cwd=tmp_path, capture_output=True, text=True, check=True,
    )  # fmt: skip
    lines = [set(line.split()) for line in done.stdout.splitlines()]
    assert lines == [
        {"marking"},
        {"json", "csv", "jsonl", "sqlite"},
        {"--help", "--by", "--pairs", "--stock", "--spare", "--to", "--decimals"},
        {"record.yml", "restored"},
        {"restored"},
    ]


@pytest.mark.parametrize("shell", SHELLS)
def test_each_shell_has_a_script_with_every_command(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert [command for command in COMMANDS if command not in script] == []
