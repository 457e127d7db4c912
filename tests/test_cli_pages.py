"""``benchleaf pages`` as a command: the configuration it reads, what it refuses, and what ``check`` says of it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from benchleaf.build import all_sets
from benchleaf.cli.main import main
from secrets_of_sets import SECRET, SHORT_RECORD, leaks, secret_set
from sites import contents
from warm_builds import FEW

HEAD = "site_name: Trial\nplugins:\n  - benchleaf:\n      sets: ../sets\n      cache: false\n"


@pytest.fixture(autouse=True)
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with one set, which the command is run in."""
    secret_set(tmp_path / "sets" / "one", text=f"{SHORT_RECORD}tubes:\n  V1: 12BE6\n")
    (tmp_path / "sets" / "one" / "story.md").write_text("It hummed.\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(all_sets, "_FEW", FEW)
    return tmp_path


def told(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """The exit code and the messages; nothing ever goes to standard output."""
    capsys.readouterr()
    code = main(["pages", *words])
    said = capsys.readouterr()
    assert said.out == ""
    return code, said.err


def test_without_a_configuration_the_sets_here_are_written(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = told(capsys, "out")
    assert (code, re.sub(r"\d+", "n", said)) == (0, "out: n files, n of them changed\n")
    assert "It hummed." in (project / "out/sets/one/index.md").read_text(encoding="utf-8")
    assert leaks(project / "out", project / "sets") == []
    assert told(capsys, "out") == (0, re.sub(r"\d+ of", "none of", said))
    code, said = told(capsys, "out", "--site")
    assert code == 0
    found = contents(project / "out")
    assert not [name for name in found if name.endswith(".md")]
    assert b"Restoration records" in found["index.html"]
    assert b'"It hummed."' in found["assets/benchleaf/search-texts.js"]
    assert sorted(path.name for path in project.iterdir()) == [".cache", "out", "sets"]


def test_the_configuration_around_the_sets_counts(
    project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    secret_set(project / "sets" / "two", text=SHORT_RECORD.replace("Trial", "Second"))
    drafts = "draft_docs: |\n  sets/two/\nsite_url: https://trial.example/\n"
    more = "      dialect: british\n      publish_private: true\n"
    (project / "mkdocs.yml").write_text(f"{HEAD}{more}{drafts}", encoding="utf-8")
    (project / "elsewhere").mkdir()
    monkeypatch.chdir(project / "elsewhere")
    code, said = told(capsys, "out", "--from", "../sets")
    assert (code, said.splitlines()[0]) == (0, "not built, as draft_docs says: sets/two")
    out = project / "elsewhere" / "out"
    assert not (out / "sets/two").exists()
    assert SECRET not in b"".join(contents(out).values())
    assert "1 valve radio" in (out / "sets/index.md").read_text(encoding="utf-8")
    assert "trial.example/sets/one/" in (out / "sets/one/cabinet-card.html").read_text(encoding="utf-8")
    assert not (project / ".cache").exists()
    assert told(capsys, "site", "--from", "../sets", "--site")[0] == 0
    for path, kind, type_ in (
        ("sets/one/index.html", "TechArticle", "article"), ("sets/index.html", "CollectionPage", "website"),
        ("sets/one/tubes/index.html", "TechArticle", "article"), ("index.html", "", "website"),
    ):  # fmt: skip
        page = (project / "elsewhere" / "site" / path).read_text(encoding="utf-8")
        head, _, body = page.partition("</head>")
        data = re.findall(r'<script type="application/ld\+json">(.*?)</script>', head)
        assert [json.loads(one)["@type"] for one in data] == ([kind] if kind else [])
        address = f"https://trial.example/{path if kind else ''}"
        assert head.count(f'<link rel="canonical" href="{address}">') == 1
        assert f'<meta property="og:url" content="{address}">' in head
        assert f'<meta property="og:type" content="{type_}">' in head
        assert len(re.findall(r'<meta name="description" content="[^"]+">', head)) == 1
        assert "<main" in body


def test_of_a_site_in_whose_folder_it_is_run_the_sets_are_known(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "sets").rename(project / "radios")
    (project / "mkdocs.yml").write_text(HEAD.replace("../sets", "../radios"), encoding="utf-8")
    assert told(capsys, "out")[0] == 0
    assert (project / "out/sets/one/index.md").is_file()


def test_a_record_with_a_problem_is_told_and_all_is_written(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with (project / "sets/one/record.yml").open("a", encoding="utf-8") as record:
        record.write("yeer: 1949\n")
    (project / "sets/one/story.md").write_text("See [two](../two/index.md).\n", encoding="utf-8")
    code, said = told(capsys, "out")
    assert code == 1
    assert "sets/one/record.yml:9:1: yeer: found the unknown name" in said
    assert "sets/one/index.md: the link “../two/index.md” leads to none of these pages\n" in said
    assert (project / "out/sets/one/index.md").is_file()


def test_what_is_no_folder_of_sets_is_refused(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (project / "loop").symlink_to("loop")
    for words, expected in (
        (("out", "--from", "nowhere"), "nowhere: found no folder; expected that of the sets; name it with --from\n"),
        (("out", "--from", "sets/one"), "sets/one: found a set's folder; expected the folder of the sets, "),
        (("sets/out",), "sets/out: lies among the sets; expected a folder outside sets\n"),
        (("sets",), "sets: lies among the sets; expected a folder outside sets\n"),
        (("out", "--from", "/"), "/: found the root of a disk; expected a folder\n"),
        (("out", "--site", "--for", "hugo"), "--for hugo: is for files that a generator reads; expected it without"),
        (("loop",), "loop: cannot be written: "),
        (("loop/out",), "loop: "),
        (("out", "--from", "loop"), "loop: found no folder; expected that of the sets; name it with --from\n"),
        (("x" * 300,), f".benchleaf-pages.part-{'x' * 300}: cannot be written: File name too long"),
        (("x/" * 3000,), "x/x/"),
        (("sets/one/record.yml/out",), "sets/one/record.yml/out: lies among the sets"),
        ((".",), "sets/index.md: would lie among the sets; expected a folder outside sets; nothing was"),
    ):
        code, said = told(capsys, *words)
        assert (words, code) == (words, 2)
        assert said.startswith(expected)
        assert said.count("\n") == 1
    assert not (project / "out").exists()


@pytest.mark.parametrize("option", ["dialect: french", "touch_limit: none", "slash_dates: [x]", "decimal_sign: 7"])
def test_an_option_that_cannot_be_is_told(project: Path, capsys: pytest.CaptureFixture[str], option: str) -> None:
    (project / "mkdocs.yml").write_text(f"{HEAD}      {option}\n", encoding="utf-8")
    code, said = told(capsys, "out")
    name = option.partition(":")[0]
    assert (code, said.count("\n")) == (2, 1)
    assert f"mkdocs.yml: the option “{name}”: found “" in said
    assert not (project / "out").exists()


def test_what_is_in_the_way_is_named_and_left(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (project / "out/sets/one").mkdir(parents=True)
    (project / "out/sets/one/index.md").write_text("mine", encoding="utf-8")
    code, said = told(capsys, "out")
    assert (code, said.count("\n")) == (2, 1)
    assert said.endswith("out/sets/one/index.md: is there and was not written by “benchleaf pages”; move it, or name "
                         "another folder; nothing was changed\n")  # fmt: skip
    assert contents(project / "out") == {"sets/one/index.md": b"mine"}


def test_where_no_set_is_left_what_was_published_goes(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("out",), ("site", "--site")):
        (project / "mkdocs.yml").unlink(missing_ok=True)
        assert told(capsys, *words)[0] == 0
        (project / "mkdocs.yml").write_text(f"{HEAD}draft_docs: sets/one/\n", encoding="utf-8")
        assert told(capsys, *words)[0] == 0
        assert not (project / words[0] / "sets").exists()
    assert "Sets</a>" not in (project / "site/index.html").read_text(encoding="utf-8")


CONFIGURATIONS = [
    ("zensical.toml", "", "Zensical", ""),
    ("zensical.toml", "mkdocs.yml", "Zensical", ""),
    ("hugo.toml", "", "Hugo", " --for hugo"),
    ("_config.yml", "", "Jekyll", ""),
    ("conf.py", "", "Sphinx", ""),
    ("conf.py", "mkdocs.yml", "", ""),
    ("mkdocs.yml", "", "", ""),
    ("notes.txt", "", "", ""),
]


@pytest.mark.parametrize(("name", "beside", "generator", "more"), CONFIGURATIONS)
def test_check_says_where_the_generator_takes_no_plugins(
    project: Path, capsys: pytest.CaptureFixture[str], name: str, beside: str, generator: str, more: str
) -> None:
    secret_set(project / "sets" / "two", text=SHORT_RECORD)
    for file in filter(None, (name, beside)):
        (project / file).write_text("", encoding="utf-8")
    code = main(["check", "sets"])
    said = capsys.readouterr()
    expected = (
        f"{name}: remark: {generator} takes no plugins, so that it leaves the sets out; "
        f"“benchleaf pages pages --from sets{more}” writes their pages for it\n"
    )
    assert (code, said.out, said.err) == (0, "", expected if generator else "")


def test_a_configuration_above_the_repository_is_another_projects(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "_config.yml").write_text("", encoding="utf-8")
    secret_set(project / "mine" / "sets" / "one", text=SHORT_RECORD)
    (project / "mine" / ".git").mkdir()
    assert main(["check", "mine/sets"]) == 0
    assert capsys.readouterr().err == ""
