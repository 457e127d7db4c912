"""The pages taken to other generators: equal to the plugin's, and built by three that take no plugins."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchleaf.build import all_sets
from benchleaf.cli.main import main
from plain_projects import DRAFT, EXCLUDED, SETS, article, published, write_project
from secrets_of_sets import leaks
from sites import build
from warm_builds import FEW

HUGO = """\
baseURL = "https://trial.example/"
title = "Trial"
disableKinds = ["taxonomy", "term", "rss"]
[markup.goldmark.renderer]
unsafe = true
[[module.mounts]]
source = "pages"
target = "content"
files = ["**/*.md"]
[[module.mounts]]
source = "pages"
target = "static"
files = ["! **.md", "! .*", "**"]
"""
SPHINX = """\
project = "Trial"
extensions = ["myst_parser"]
html_theme = "basic"
html_extra_path = ["../files"]
html_copy_source = False
"""
"""What the page on other generators says, with the theme that has least of its own."""
LAYOUT = "<html><head><title>{{ .Title }}</title></head><body>{{ .Content }}</body></html>"


@pytest.fixture(scope="module", autouse=True)
def in_this_process() -> Iterator[None]:
    """Few sets are made here: other processes would have to load everything first."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(all_sets, "_FEW", FEW)
        yield


@pytest.fixture(scope="module")
def project(in_this_process: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project with the plugin's site in ``site`` and its plain pages in ``plain``."""
    folder = write_project(tmp_path_factory.mktemp("taken") / "project")
    assert main(["pages", str(folder / "plain"), "--from", str(folder / "sets")]) == 0
    result = build(folder, "--strict")
    assert result.returncode == 0, result.stderr
    return folder


def pages_of(root: Path, name: str) -> dict[str, str]:
    """The pages below the sets' address by the folder they stand for."""
    found = (path for path in sorted((root / "sets").rglob(name)))
    return {path.parent.relative_to(root).as_posix(): path.read_text(encoding="utf-8") for path in found}


def test_the_plain_pages_are_those_of_the_plugin(project: Path) -> None:
    theirs, plain = pages_of(project / "site", "index.html"), pages_of(project / "plain", "index.md")
    assert list(plain) == list(theirs)
    assert {"sets", "sets/teal", "sets/north/fog/heaters"} <= set(plain)
    assert [place for place, html in theirs.items() if article(plain[place]) != article(html)] == []
    assert published(project / "plain") == published(project / "site")


def test_links_lead_to_pages_and_files_of_the_plain_folder(project: Path) -> None:
    plain = project / "plain"
    astray = [
        f"{place}: {href}"
        for place, text in pages_of(plain, "index.md").items()
        for href in re.findall(r'<(?:a|link|img|script)\b[^>]*?\s(?:href|src)="([^"#?]+)', text)
        if not re.match(r"[a-z]+:", href) and not _there(plain, os.path.normpath(plain / place / href))
    ]
    assert astray == ["sets/teal: ../../club/"]


def test_pieces_on_own_pages_are_those_of_the_plugin(project: Path, tmp_path: Path) -> None:
    out, sets, own = tmp_path / "out", project / "sets", project / "docs"
    assert main(["pages", str(out), "--from", str(sets), "--own", str(own)]) == 0
    theirs = (project / "site" / "index.html").read_text(encoding="utf-8")
    made = (out / "index.md").read_text(encoding="utf-8")
    assert article(made, "div", "bl-archive bl-home") == article(theirs, "div", "bl-archive bl-home")
    assert made.startswith("# Home\n\nWe mend.\n")
    assert made.endswith("\nSee [the club](club.md) and [all](sets/index.md).\n")
    assert published(out) == published(project / "plain")
    assert (out / "club.md").read_text(encoding="utf-8") == "# Club\n"
    assert leaks(out, sets) == []


def _there(plain: Path, target: str) -> bool:
    return (Path(target) / "index.md").is_file() or Path(target).is_file()


def test_drafts_stay_drafts_and_private_lines_at_home(project: Path) -> None:
    plain = project / "plain"
    assert leaks(plain, project / "sets") == []
    assert sorted(p.parent.relative_to(plain / "sets").as_posix() for p in plain.rglob("record.json")) == sorted(SETS)
    everything = " ".join(p.read_text(encoding="utf-8") for p in plain.rglob("*") if p.suffix in (".md", ".html"))
    assert f"Trial {DRAFT}" not in everything
    assert f"Trial {EXCLUDED}" not in everything


def test_what_is_published_here_no_more_is_taken_away(project: Path, tmp_path: Path) -> None:
    site = write_project(tmp_path / "again")
    out = site / "docs" / "archive"
    command = ["pages", str(out), "--from", str(site / "sets")]
    assert main(command) == 0
    assert (out / "sets" / "dusk" / "record.json").is_file()
    config = (site / "mkdocs.yml").read_text(encoding="utf-8")
    (site / "mkdocs.yml").write_text(config.replace("sets/draft/\n", "sets/draft/\n  sets/dusk/\n"), encoding="utf-8")
    assert main(command) == 0
    assert not (out / "sets" / "dusk").exists()
    assert "Trial dusk" not in (out / "sets" / "index.md").read_text(encoding="utf-8")
    assert (out / "sets" / "dawn" / "record.json").is_file()


def test_zensical_builds_the_pages(project: Path, tmp_path: Path) -> None:
    """Its exit code proves nothing: what counts is that each page is there, with all that stands in it."""
    own = ["--own", str(project / "docs")]
    assert main(["pages", str(tmp_path / "docs"), "--from", str(project / "sets"), *own]) == 0
    (tmp_path / "zensical.toml").write_text('[project]\nsite_name = "Trial"\n', encoding="utf-8")
    _run(tmp_path, "zensical", "build")
    _holds_all(project, tmp_path / "site")
    front, theirs = ((at / "site" / "index.html").read_text(encoding="utf-8") for at in (tmp_path, project))
    assert article(front, "div", "bl-archive bl-home") == article(theirs, "div", "bl-archive bl-home")


def test_hugo_builds_the_pages(project: Path, tmp_path: Path) -> None:
    assert main(["pages", str(tmp_path / "pages"), "--from", str(project / "sets"), "--for", "hugo"]) == 0
    (tmp_path / "layouts").mkdir()
    (tmp_path / "layouts" / "all.html").write_text(LAYOUT, encoding="utf-8")
    (tmp_path / "hugo.toml").write_text(HUGO, encoding="utf-8")
    _run(tmp_path, "hugo")
    _holds_all(project, tmp_path / "public")
    assert not list((tmp_path / "public").rglob("*.md"))


def test_sphinx_builds_the_pages(project: Path, tmp_path: Path) -> None:
    own = ["--own", str(project / "docs")]
    for folder in ("source", "files"):
        assert main(["pages", str(tmp_path / folder), "--from", str(project / "sets"), *own]) == 0
    (tmp_path / "source" / "conf.py").write_text(SPHINX, encoding="utf-8")
    _run(tmp_path, "sphinx", "-b", "dirhtml", "-q", "source", "built")
    _holds_all(project, tmp_path / "built")


def _run(folder: Path, *program: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *program], cwd=folder, capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr


def _holds_all(project: Path, built: Path) -> None:
    """A built site has every page with its article, every file beside them, and the style."""
    theirs, made = pages_of(project / "site", "index.html"), pages_of(built, "index.html")
    assert [place for place in theirs if place not in made] == []
    assert [place for place, html in theirs.items() if article(made[place]) != article(html)] == []
    assert published(built) == published(project / "site")
    assert (built / "assets/benchleaf/benchleaf.css").is_file()
    assert json.loads((built / "sets/teal/record.json").read_text(encoding="utf-8"))["format"] == "benchleaf-record"
