"""What a new set's writer is told of the site around it."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchleaf.cli import main
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
