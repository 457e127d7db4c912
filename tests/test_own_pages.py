"""Pages of a site's own where no generator reads them: which files go along, what becomes of them, what is told."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import pytest

from benchleaf.build import all_sets
from benchleaf.cli.main import main
from benchleaf.cli.own_pages_of import ways_in
from benchleaf.pages.own_page import OwnText, own_page
from benchleaf.pages.set_page import WorkingPage
from secrets_of_sets import SECRET, SHORT_RECORD, leaks, secret_set
from sites import contents
from warm_builds import FEW

CONFIG = """\
site_name: Trial
theme: {language: de}
exclude_docs: "kept-out.md"
draft_docs: "half-done.md"
markdown_extensions: [admonition, pymdownx.details, {toc: {permalink: true}}]
nav:
  - index.md
  - Us: [{The hall: about/hall.md}, https://elsewhere.example/]
plugins: [{benchleaf: {sets: ../sets, cache: false}}]
"""
PAGES = {
    "index.md": "---\ntitle: Our club\n---\n# Club\n\n[[look up]]\n\n[Hall](about/hall.md#when) [sets](sets/)\n",
    "about/hall.md": "# The hall\n\nOn Tuesdays.\n\n## When\n\nAt eight.\n\n[home](../index.md) ![map](map.png)\n",
    "about/map.png": "no picture",
    "kept-out.md": "# Kept out",
    "half-done.md": "# Half done",
    ".hidden.md": "# Hidden",
    "loose.md": "# Loose\n\n!!! note\n    here\n",
}


@pytest.fixture(autouse=True)
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A site with one set and pages of its own, which the command is run in."""
    secret_set(tmp_path / "sets" / "one", text=SHORT_RECORD)
    (tmp_path / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    for name, text in PAGES.items():
        (tmp_path / "docs" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "docs" / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(all_sets, "_FEW", FEW)
    return tmp_path


def told(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, list[str]]:
    """The exit code and what is said, without the count of files."""
    capsys.readouterr()
    code = main(["pages", *words])
    return code, capsys.readouterr().err.splitlines()[:-1]


def test_a_site_of_its_own_holds_the_pages_around_the_sets(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = told(capsys, "out", "--site")
    assert (code, len(said)) == (0, 1)
    assert said[0].startswith("remark: your own pages are read without “pymdownx.details”; abbr, admonition, ")
    out = contents(project / "out")
    own = {name for name in out if not name.startswith(("sets/", "assets/", "."))}
    assert own == {"index.html", "about/hall.html", "about/map.png", "loose.html"}
    front, hall = (out[name].decode() for name in ("index.html", "about/hall.html"))
    assert "<title>Our club – Trial</title>" in front
    assert '<div class="bl-own" lang="de">' in front
    assert '<a href="sets/index.html">Every set</a>' in front
    assert '<a href="about/hall.html#when">Hall</a> <a href="sets/index.html">sets</a>' in front
    assert "<title>The hall – Trial</title>" in hall
    assert '<a href="../index.html">home</a> <img alt="map" src="map.png"' in hall
    assert '<meta name="description" content="On Tuesdays.">' in hall
    ways = re.search(r'<nav class="bl-ways-on".*?</nav>', hall)
    assert ways is not None
    assert re.findall(r'href="([^"]+)">([^<]+)<', ways[0]) == [("../about/hall.html", "The hall")]
    assert '<div class="admonition note">' in out["loose.html"].decode()
    texts = out["assets/benchleaf/search-texts.js"].decode().removeprefix("window.benchleafTexts = ")
    rows = {row[0]: row[1:] for row in json.loads(texts.removesuffix(";\n"))}
    assert rows["about/hall.html"] == [
        "The hall", [["", "", "On Tuesdays."], ["when", "When", "At eight. home"]],
    ]  # fmt: skip
    assert leaks(project / "out", project / "sets") == []


def test_a_folder_of_pages_goes_along_with_its_pieces_put_in(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(capsys, "out", "--own", "docs") == (0, [])
    out = contents(project / "out")
    assert {name for name in out if not name.startswith(("sets/", "assets/", "."))} == {
        "index.md", "about/hall.md", "about/map.png", "loose.md",
    }  # fmt: skip
    front = out["index.md"].decode()
    assert front.startswith("---\ntitle: Our club\n---\n# Club\n")
    assert '<div class="bl-page"><link rel="stylesheet" href="assets/benchleaf/benchleaf.css"><div ' in front
    assert '<a href="sets/">Every set</a>' in front
    assert out["about/hall.md"].decode() == PAGES["about/hall.md"]
    assert told(capsys, "pages", "--own", "docs", "--for", "hugo") == (0, [])
    assert (project / "pages/_index.md").read_text(encoding="utf-8") == front
    (project / "mkdocs.yml").unlink()
    assert told(capsys, "bare", "--own", "docs", "--site")[0] == 0
    assert (project / "bare/half-done.html").is_file()


def test_a_piece_in_the_folder_that_is_written_into_is_told(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, said = told(capsys, "docs")
    assert code == 0
    assert said == [
        "docs/index.md:6: remark: “[[look up]]” stays as it is typed; keep your own pages in another folder and name "
        "it with --own, and it is put in"
    ]
    (project / "docs" / "index.md").unlink()
    assert told(capsys, "docs") == (0, [])


def test_what_cannot_go_along_is_told_and_nothing_hangs(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    docs = project / "docs"
    os.mkfifo(docs / "pipe.md")
    (project / "outside.md").write_bytes(SECRET)
    (docs / "outside.md").symlink_to(project / "outside.md")
    (docs / "folder").symlink_to(project / "sets")
    (docs / "none.md").symlink_to("nowhere")
    (docs / "latin.md").write_bytes(b"# H\xf6he\n")
    (docs / "inside.md").symlink_to("loose.md")
    (docs / "wrong.md").write_text("# Wrong\n\n[[look upp]]\n\n[gone](gone.md) [out](//x.example/) [at](#here)\n")
    (docs / "sets").mkdir()
    (docs / "sets" / "notes.txt").write_bytes(SECRET)
    (docs / "assets" / "benchleaf").mkdir(parents=True)
    (docs / "assets" / "benchleaf" / "archive.js").write_bytes(SECRET)
    out_of, plain = "found a link that leads out of the folder; expected the file itself", "found no ordinary file that"
    for words in (("out", "--site"), ("out2", "--own", "docs")):
        code, said = told(capsys, *words)
        rest = "\n".join(said)
        assert code == 1
        for line in (
            f"docs/outside.md: {out_of}. It is not published",
            f"docs/folder: {out_of}. It is not published",
            f"docs/none.md: {plain} can be read; expected one. It is not published",
            f"docs/pipe.md: {plain} can be read; expected one. It is not published",
            "docs/latin.md: found a byte that is no UTF-8 (number 4); expected a page saved as UTF-8",
            "docs/wrong.md:3:1: found “[[look upp]]”; expected the name of a piece: ",
            "docs/assets/benchleaf/archive.js: found a file where Benchleaf puts one of its own; rename it",
        ):
            assert line in rest
        assert ("wrong.md: the link “gone.md” leads to none of these pages" in said) is (words[-1] == "--site")
        assert leaks(project / words[0], project / "sets") == []
    assert "Loose" in (project / "out" / "inside.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("docs", "--own", "docs"), "docs: holds the pages of your own; expected another folder to write them into"),
        (("out", "--own", "nowhere"), "nowhere: found no folder; expected that of your own pages"),
        (("out", "--own", "/"), "/: found the root of a disk; expected a folder"),
        (("out", "--own", "mkdocs.yml"), "mkdocs.yml: found no folder; expected that of your own pages"),
        (("out", "--own", "x" * 5000), "found no folder; expected that of your own pages"),
    ],
)
def test_a_folder_that_cannot_be_is_refused(
    project: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], expected: str
) -> None:
    assert main(["pages", *words]) == 2
    said = capsys.readouterr().err
    assert (expected in said, said.count("\n")) == (True, 1)
    assert not (project / "out").exists()


def test_a_page_of_the_sites_own_at_an_address_of_the_archive_stands_there(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (project / "docs" / "sets").mkdir()
    (project / "docs" / "sets" / "index.md").write_text("# Our sets\n", encoding="utf-8")
    assert told(capsys, "out", "--site")[0] == 0
    assert "Our sets" in (project / "out/sets/index.html").read_text(encoding="utf-8")
    assert (project / "out/sets/one/index.html").is_file()


def page(text: str, **more: str) -> WorkingPage:
    return own_page("notes/my-day.md", OwnText.of(text), {}, more.get("title", ""), (), "")


def test_what_a_page_is_called_and_says_of_itself() -> None:
    assert page("# A *day*\n\nIt & rained.\n").title == "A day"
    assert page("# A day\n", title="Days").title == "Days"
    assert page("---\ntitle: 1938\ndescription: |\n  Two\n  lines\n---\ntext").title == "1938"
    assert page("---\ntitle: x\ndescription: |\n  Two\n  lines\n---\ntext").description == "Two lines"
    assert page("").title == "My day"
    assert page("<!-- private -->\n\nshown\n").description == "shown"
    assert len(page("word " * 200).description) <= 200


@pytest.mark.parametrize("front", ["a: [", "- x", "&a [*a]", "x: !!python/object:os.system {}", "7"])
def test_front_matter_that_says_nothing_is_no_part_of_the_page(front: str) -> None:
    made = page(f"---\n{front}\n---\nText.\n")
    assert (made.title, made.description) == ("My day", "Text.")


def test_navigation_of_any_shape_is_read_as_far_as_it_goes() -> None:
    nav = [{"A": ["x.md", {"B": "y.md"}]}, 7, None, "https://z.example/", "./w.md", {"C": {"D": "v.md"}}]
    assert dict(ways_in({"nav": nav}).named) == {"x.md": "", "y.md": "B", "w.md": "", "v.md": "D"}
    deep: list[object] = []
    deep.append(deep)
    assert dict(ways_in({"nav": deep, "markdown_extensions": "toc"}).named) == {}
    assert ways_in({"markdown_extensions": ["markdown.extensions.abbr", {"toc": {}}, {}]}).extensions == ("abbr", "toc")
