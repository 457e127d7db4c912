"""A whole site where there is nothing yet, one more set in a site, and what is told of the site around it."""

from __future__ import annotations

import importlib.metadata
import re
from pathlib import Path

import pytest
import yaml
from mkdocs.config import load_config

from benchleaf import __version__
from benchleaf.build.found_sets import find_sets
from benchleaf.cli import main
from benchleaf.cli.new_site import IGNORED, pinned
from benchleaf.cli.starting import advice

TAGGED = "site_name: !ENV [NAME, Trial]\nmarkdown_extensions:\n  - x: {y: !!python/name:os.system ''}\n"


def _site(folder: Path, config: str, name: str = "mkdocs.yml") -> Path:
    (folder / "docs").mkdir(parents=True)
    (folder / name).write_text(config)
    return folder


@pytest.mark.parametrize("name", ["mkdocs.yml", "properdocs.yml"])
def test_a_set_beside_docs_dir_is_told_the_line_it_needs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    site = _site(tmp_path, TAGGED + "plugins: [search, benchleaf]\n", name)
    monkeypatch.chdir(site)
    assert main(["new", "sets/minuet", "--maker", "A", "--model", "B"]) == 0
    said = capsys.readouterr().err
    assert f"{name}: to publish it, write under plugins: “- benchleaf: {{sets: ../sets}}”" in said
    (site / name).write_text(TAGGED + "plugins:\n  - search\n  - benchleaf: {sets: ../sets}\n")
    assert main(["new", "sets/north-branch/skylark", "--maker", "A", "--model", "B"]) == 0
    assert "plugins" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("plugins", "folder", "told"),
    [
        ("plugins: [benchleaf]", "docs/sets/one", ""),
        ("plugins: {benchleaf: {}}", "docs/sets/one", ""),
        ("plugins: {benchleaf: {sets: ../sets}}", "sets/a/b/one", ""),
        ("plugins: [search]", "docs/sets/one", "“- benchleaf”"),
        ("", "radios/one", "“- benchleaf: {sets: ../radios}”"),
        ("docs_dir: text\nplugins: [benchleaf]", "text/sets/one", ""),
    ],
)
def test_what_is_missing_for_a_set_to_be_published(tmp_path: Path, plugins: str, folder: str, told: str) -> None:
    site = _site(tmp_path, f"site_name: Trial\n{plugins}\n")
    (site / folder).mkdir(parents=True)
    said = advice(site / folder)
    assert told in said
    assert bool(told) == bool(said)


def test_a_set_beside_the_sites_others_is_sent_there(tmp_path: Path) -> None:
    site = _site(tmp_path, "plugins: [benchleaf]\n")
    (site / "docs/sets/one").mkdir(parents=True)
    (site / "docs/sets/one/record.yml").write_text("maker: A\nmodel: B\n")
    assert "this site's sets lie in “sets”; move the folder there" in advice(site / "docs/two")


@pytest.mark.parametrize("config", ["- a list", "a: [", "x: &a [*a]\n? {}\n: 1", "\0", "[" * 5000])
def test_a_configuration_that_cannot_be_read_costs_the_advice_only(tmp_path: Path, config: str) -> None:
    site = _site(tmp_path, config)
    assert advice(site / "sets" / "one") == ""


def test_without_a_site_nothing_is_said(tmp_path: Path) -> None:
    assert advice(tmp_path / "one") == ""


SITE = {
    *(".gitignore", ".github/workflows/publish.yml", "docs/index.md", "mkdocs.yml", "requirements.txt"),
    *("sets/my-first-set/record.yml", "sets/my-first-set/story.md", "sets/record.schema.json"),
}


def _files(folder: Path) -> dict[str, str]:
    return {p.relative_to(folder).as_posix(): p.read_text("utf-8") for p in folder.rglob("*") if p.is_file()}


def test_a_whole_site_where_there_is_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "old-radios" / ".git").mkdir(parents=True)
    (tmp_path / "old-radios" / "LICENSE").touch()
    (tmp_path / "old-radios" / "env").mkdir()
    (tmp_path / "old-radios" / "env" / "pyvenv.cfg").touch()
    monkeypatch.chdir(tmp_path / "old-radios")
    assert main(["new", "--dialect", "british", "--power", "transformerless"]) == 0
    said = capsys.readouterr()
    assert said.out == ""
    made = _files(Path())
    assert set(made) - {"LICENSE", "env/pyvenv.cfg"} == SITE
    assert all(f"{path}: written\n" in said.err for path in SITE)
    assert made["sets/my-first-set/record.yml"].startswith(
        "# yaml-language-server: $schema=../record.schema.json\n"
        "maker: Unknown maker\nmodel: My first set\npower: series string\n"
    )
    config = load_config("mkdocs.yml")
    assert (config.site_name, config.theme.name, config.strict) == ("Old radios", "material", False)
    assert dict(config.plugins["benchleaf"].config)["dialect"] == "british"
    assert dict(config.plugins["benchleaf"].config)["slash_dates"] == "day first"
    assert [folder.name for folder in find_sets(Path("sets")).sets] == ["my-first-set"]
    assert find_sets(Path("sets")).notices == ()
    assert main(["check", "sets"]) == 0
    assert made[".gitignore"].split() == list(IGNORED)


def test_what_publishes_a_site_is_pinned_to_the_versions_that_are_installed(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "site")]) == 0
    made = _files(tmp_path / "site")
    steps = yaml.safe_load(made[".github/workflows/publish.yml"])["jobs"]["publish"]["steps"]
    used = [step["uses"] for step in steps if "uses" in step]
    assert len(used) == 4
    assert all(re.fullmatch(r"actions/[a-z-]+@v\d+\.\d+\.\d+", action) for action in used)
    assert [step["run"] for step in steps if "run" in step] == [
        "pip install -r requirements.txt",
        "mkdocs build --strict",
    ]
    lines = made["requirements.txt"].split()
    assert lines == pinned("mkdocs-benchleaf")
    assert f"mkdocs-benchleaf=={__version__}" in lines
    for line in lines:
        name, _, version = line.partition("==")
        assert importlib.metadata.version(name) == version
    assert {line.partition("==")[0].casefold() for line in lines} >= {"mkdocs", "mkdocs-material", "scipy", "click"}


def test_a_whole_site_is_written_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / ".github").write_text("no folder")
    assert main(["new", str(tmp_path / "site")]) == 2
    assert "nothing was changed" in capsys.readouterr().err
    assert _files(tmp_path) == {"site/.github": "no folder"}
    assert [p.name for p in (tmp_path / "site").iterdir()] == [".github"]
    (tmp_path / "site" / ".github").rename(tmp_path / "site" / ".gitignore")
    assert main(["new", str(tmp_path / "site")]) == 0
    assert ".gitignore: there already, left as it is" in capsys.readouterr().err
    assert (tmp_path / "site" / ".gitignore").read_text() == "no folder"
    before = _files(tmp_path)
    monkeypatch.chdir(tmp_path / "site")
    assert main(["new"]) == 2
    assert "there is a record already; nothing was changed" in capsys.readouterr().err
    assert _files(tmp_path) == before


def test_in_a_site_a_set_is_added_in_the_sites_own_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert main(["new", str(tmp_path / "site"), "--dialect", "british"]) == 0
    monkeypatch.chdir(tmp_path / "site")
    assert main(["new", "--maker", "Merrow & Daughters", "--model", "Teal"]) == 0
    assert main(["new", "sets/north-branch/skylark"]) == 0
    records = {p: text for p, text in _files(Path("sets")).items() if p.endswith("record.yml")}
    assert set(records) == {
        *("my-first-set/record.yml", "merrow-daughters-teal/record.yml", "north-branch/skylark/record.yml")
    }
    head = "# yaml-language-server: $schema=../../record.schema.json\nmaker: Unknown maker\nmodel: Skylark\n"
    assert records["north-branch/skylark/record.yml"].startswith(head)
    assert all("# valves:" in text for text in records.values())


def test_a_set_among_sets_without_a_site_is_a_set(tmp_path: Path) -> None:
    (tmp_path / "sets" / "one").mkdir(parents=True)
    (tmp_path / "sets" / "one" / "record.yml").write_text("maker: A\nmodel: B\n")
    assert main(["new", str(tmp_path / "sets" / "two")]) == 0
    assert list(_files(tmp_path / "sets" / "two")) == ["record.yml"]
