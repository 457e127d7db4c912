"""``benchleaf new`` beside other sets: what it writes is clean, never over anything, whatever the set is called."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

import bad_records
import makers
from benchleaf.cli.main import main
from benchleaf.cli.starter import starter
from benchleaf.record.how_powered import POWER
from benchleaf.words import DIALECTS
from published_schema import validator

GOOD = "maker: Larkfield\nmodel: Minuet 5\n"


@pytest.fixture
def set_(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a set, which is also the one the commands are run in."""
    folder = bad_records.make_sets(tmp_path)
    monkeypatch.chdir(folder)
    return folder


def write(folder: Path, text: str) -> None:
    (folder / "record.yml").write_text(text, encoding="utf-8")


def test_new_writes_a_record_that_is_clean(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = set_.parent / "new" / "set"
    (folder.parent / "another").mkdir(parents=True)
    write(folder.parent / "another", GOOD)
    assert main(["new", str(folder), "--maker", "Oxbow", "--model", "Regent", "--power", "transformer"]) == 0
    assert capsys.readouterr() == ("", f"{folder / 'record.yml'}: written; open it and go on from there\n")
    assert (folder / "photos").is_dir()
    assert main(["check", str(folder)]) == 0
    assert (
        (folder / "record.yml")
        .read_text(encoding="utf-8")
        .startswith("maker: Oxbow\nmodel: Regent\npower: transformer\n")
    )


@pytest.mark.parametrize("there", ["file", "link", "folder"])
def test_new_never_writes_over_anything(there: str, set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = set_ / "other" / "record.yml"
    target.parent.mkdir()
    if there == "file":
        target.write_text("precious", encoding="utf-8")
    elif there == "link":
        target.symlink_to(set_ / "nowhere.yml")
    else:
        target.mkdir()
    assert main(["new", str(target.parent), "--maker", "A", "--model", "B"]) == 2
    assert capsys.readouterr().err == f"{target}: there is a record already; nothing was changed\n"
    assert not (set_ / "nowhere.yml").exists()
    assert there != "file" or target.read_text(encoding="utf-8") == "precious"
    assert not (target.parent / "photos").exists()


def test_new_where_nothing_can_be_written(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (set_ / "file").write_text("x", encoding="utf-8")
    for folder, told in (("file/below", "found a file in the way"), ("a\0b", "cannot be written")):
        assert main(["new", folder, "--maker", "A", "--model", "B"]) == 2
        assert told in capsys.readouterr().err


def test_new_refuses_what_no_record_may_hold(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "x", "--maker", "A", "--model", "B", "--power", "transformr"]) == 2
    assert capsys.readouterr().err == (
        "--power: found “transformr”; expected “series string”, “transformer”, “autotransformer”, “battery”, "
        "“vibrator” or “three-way”; did you mean “transformer”?\n"
    )
    assert main(["new", "x", "--maker", " \t", "--model", "B"]) == 2
    assert not (set_ / "x").exists()


WEIRD = [
    *(
        "no",
        "null",
        "~",
        "1e3",
        "0x10",
        "12:30",
        "2026-01-01",
        "80",
        "true",
        "-",
        "- x",
        "?",
        "x: y",
        "x:",
        "#47",
        "A #5",
    ),
    *(
        "*a",
        "&a",
        "!x",
        "|",
        ">",
        "%",
        "@",
        "`",
        "{a}",
        "[a]",
        ", x",
        "'",
        '"',
        "it's",
        'a "b" c',
        "\\",
        "C:\\x",
        "a\\nb",
    ),
    *("🎚", "Ünï", "½", "=1+1", "...", "---", "<<", "<script>", "A & B", "a, b", "a,b", "Schaub-Lorenz", "x" * 500),
    *("\u00a0x", "a\u2028b", "\ufeffa", "a\x07b", "a\nb"),
]


@pytest.mark.parametrize("name", WEIRD)
def test_any_name_is_read_back_as_it_was_given(name: str) -> None:
    record = makers.record(starter(name, name))
    flat = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    assert (record.maker, record.model) == (flat, flat)


@pytest.mark.parametrize("name", WEIRD)
def test_any_name_is_text_to_other_readers_or_what_an_editor_takes_it_for(name: str) -> None:
    import yaml

    other = json.loads(json.dumps(yaml.safe_load(starter(name, name)), default=str))
    assert validator().is_valid(other)


@pytest.mark.parametrize("power", ["", *POWER])
@pytest.mark.parametrize("dialect", DIALECTS)
def test_every_starter_makes_its_page_as_it_is_and_with_each_line_in_use(
    power: str, dialect: str, set_: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = starter("Oxbow", "Regent", power, DIALECTS[dialect])
    commented = [line[2:] for line in text.splitlines() if re.match(r"# [ a-z]", line)]
    assert len(commented) > 15
    for block in re.split(r"\n(?=\S)", "\n".join(commented)):
        makers.record(f"{GOOD}{block}\n")
    used = re.sub(r"^# (?=[ a-z])", "", text, flags=re.M)
    assert makers.record(used).power == (power or "series string")
    assert [word for word in ("valves:", "anode", "HT1") if word in used] == (
        ["valves:", "anode", "HT1"] if dialect == "british" else []
    )
    for record in (text, used):
        page = makers.set_page(record, dialect=dialect)
        assert (page.problems, page.failures) == ((), ())
        write(set_, record)
        assert main(["check", "."]) == 0
        assert capsys.readouterr() == ("", "")
