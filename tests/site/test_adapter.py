"""The adapter on real sites: what is published, what is not, and what a writer is told."""

from __future__ import annotations

import contextlib
import json
import os
import pty
import re
import subprocess
import sys
from importlib.metadata import entry_points
from pathlib import Path

import pytest

from sites import REPO, SMALL_RECORD, build, write_site

PRIVATE = SMALL_RECORD + "serial: 998877\nowner: Somebody Private\n"


@pytest.mark.parametrize("theme", ["material", "mkdocs"])
@pytest.mark.parametrize("directory_urls", ["true", "false"])
def test_a_set_is_published_under_each_theme_and_address_style(tmp_path: Path, theme: str, directory_urls: str) -> None:
    config = f"theme: {{name: {theme}}}\nuse_directory_urls: {directory_urls}\n"
    site = write_site(tmp_path, {"trial": SMALL_RECORD}, config)
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr
    page = (site / "site/sets/trial/index.html").read_text()
    assert page.count("<h1") == 1
    assert "Testwell Trial (1950)" in page
    assert "35W4" in page
    assert "<!-- benchleaf page -->" not in page
    index = (site / "site/sets/index.html").read_text()
    href = "trial/" if directory_urls == "true" else "trial/index.html"
    assert f'href="{href}"' in index
    to_index = "../" if directory_urls == "true" else "../index.html"
    assert f'aria-label="Above this page"><a href="{to_index}">Sets</a>' in page


def test_no_option_is_needed(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    assert build(site, "--strict").returncode == 0


def test_a_site_without_sets_builds_and_says_that_none_were_found(tmp_path: Path) -> None:
    site = write_site(tmp_path, {})
    result = build(site)
    assert result.returncode == 0, result.stderr
    assert "the option “sets”: found “sets”, which leads to no folder" in result.stderr
    assert not (site / "site/sets").exists()
    assert build(site, "--strict").returncode == 1


def test_what_lies_in_a_sets_folder_is_not_published_as_it_is(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": PRIVATE})
    folder = site / "docs/sets/trial"
    (folder / "story.md").write_text("A story.\n")
    (folder / "notes-to-myself.txt").write_text("private")
    (folder / "photos").mkdir()
    (folder / "photos" / "original.jpg").write_bytes(b"not a picture, and not listed")
    assert build(site, "--strict").returncode == 0
    published = {p.relative_to(site / "site").as_posix() for p in (site / "site/sets").rglob("*") if p.is_file()}
    assert published == {
        "sets/index.html",
        "sets/sets.json",
        *(
            f"sets/trial/{name}.html"
            for name in ("index", "how-it-works/index", "bench-sheet", "bench-pad", "cabinet-card", "full-working")
        ),
        *(f"sets/trial/{chapter}/index.html" for chapter in ("heaters", "parts")),
        *(f"sets/trial/{name}" for name in ("record.yml", "record.json", "parts.csv")),
    }
    asked = re.findall(r'(?:href|src)="([^"]*bench-pad\.\w+)"', (site / "site/sets/trial/bench-pad.html").read_text())
    assert [(Path(way).name, (site / "site/sets/trial" / way).is_file()) for way in asked] == [
        ("bench-pad.css", True),
        ("bench-pad.js", True),
    ]
    for file in (site / "site").rglob("*"):
        if file.is_file():
            assert b"998877" not in file.read_bytes(), file
            assert b"Somebody Private" not in file.read_bytes(), file


def test_private_fields_are_shown_only_where_the_site_says_so(tmp_path: Path) -> None:
    config = "plugins:\n  - search\n  - benchleaf:\n      publish_private: true\n"
    site = write_site(tmp_path, {"trial": PRIVATE}, config)
    assert build(site, "--strict").returncode == 0
    assert "998877" in (site / "site/sets/trial/index.html").read_text()
    assert "998877" not in (site / "site/sets/trial/record.json").read_text()


def test_a_broken_record_becomes_a_page_that_says_so_and_the_others_build(tmp_path: Path) -> None:
    broken = "maker: Testwell\nmodle: Trial\n"
    site = write_site(tmp_path, {"broken": broken, "good": SMALL_RECORD})
    result = build(site)
    assert result.returncode == 0
    assert "sets/broken/record.yml:2:1: modle: found the unknown name “modle”" in result.stderr
    page = (site / "site/sets/broken/index.html").read_text()
    assert "“modle”" in page
    assert "did you mean “model”?" in page
    assert "Testwell Trial" in (site / "site/sets/good/index.html").read_text()
    assert build(site, "--strict").returncode == 1


def test_a_record_with_a_name_that_leads_nowhere_still_has_its_page(tmp_path: Path) -> None:
    record = SMALL_RECORD.replace("12BE6", "12BE7")
    site = write_site(tmp_path, {"trial": record})
    result = build(site)
    assert "“12BE7”" in result.stderr
    page = (site / "site/sets/trial/index.html").read_text()
    assert "What this record does not say clearly" in page
    assert "35W4" in page
    assert build(site, "--strict").returncode == 1


def test_an_unknown_option_names_the_nearest(tmp_path: Path) -> None:
    config = "plugins:\n  - search\n  - benchleaf:\n      dialekt: british\n"
    site = write_site(tmp_path, {"trial": SMALL_RECORD}, config)
    result = build(site)
    assert "did you mean “dialect”?" in result.stderr
    assert build(site, "--strict").returncode == 1


def test_the_edit_link_opens_the_record(tmp_path: Path) -> None:
    config = "theme: {name: material, features: [content.action.edit]}\n"
    config += "repo_url: https://example.org/r\nedit_uri: edit/main/docs/\n"
    odd = 'x"><i>y'
    site = write_site(tmp_path, {"trial": SMALL_RECORD, odd: SMALL_RECORD}, config)
    assert build(site, "--strict").returncode == 0
    page = (site / "site/sets/trial/index.html").read_text()
    assert 'href="https://example.org/r/edit/main/docs/sets/trial/record.yml"' in page
    page = (site / f"site/sets/{odd}/index.html").read_text()
    assert 'href="https://example.org/r/edit/main/docs/sets/x%22%3E%3Ci%3Ey/record.yml"' in page
    assert '"><i>y' not in page


def test_a_hand_written_index_wins(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    (site / "docs/sets/index.md").write_text("# Our own list\n\n[One](trial/index.md)\n")
    assert build(site, "--strict").returncode == 0
    assert "Our own list" in (site / "site/sets/index.html").read_text()


def test_pieces_of_the_archive_stand_on_the_sites_own_page_and_a_set_overwrites_no_page(tmp_path: Path) -> None:
    """Text of a record is put in after every other plugin has read the page."""
    evil = SMALL_RECORD.replace("Trial", "'Trial {{ 7*7 }} <b>'") + "state: finished\nfinished: 2026-03-01\n"
    index = "---\ntitle: Us\n---\n# Home\n\n[[last finished]]\n\n[[look upp]]\n"
    site = write_site(tmp_path, {"trial": evil, "index.html": SMALL_RECORD}, index=index)
    (site / "docs/about.md").write_text("[[last finished]]\n")
    result = build(site)
    assert result.returncode == 0, result.stderr
    assert "index.md:8:1: found “[[look upp]]”" in result.stderr
    assert "sets/index.html: found a folder where the site has the file of a page" in result.stderr
    page = (site / "site/index.html").read_text()
    assert '<a href="sets/trial/">Testwell Trial {{ 7*7 }} &lt;b&gt;</a>' in page
    assert "benchleaf piece" not in page
    assert '<a href="../sets/trial/">' in (site / "site/about/index.html").read_text()
    assert (site / "site/sets/index.html").is_file()
    assert build(site, "--strict").returncode == 1


def test_a_link_from_a_story_to_nowhere_is_a_warning(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD, "other": SMALL_RECORD})
    story = site / "docs/sets/trial/story.md"
    story.write_text("See [the other](../other/index.md) and [nothing](../nothing/index.md).\n")
    result = build(site)
    assert "the link “../nothing/index.md” leads to no file" in result.stderr
    assert 'href="../other/"' in (site / "site/sets/trial/index.html").read_text()


def test_an_anchor_that_is_not_on_a_sets_page_is_told_by_mkdocs(tmp_path: Path) -> None:
    config = "validation: {links: {anchors: warn}}\n"
    index = "# Home\n\n[good](sets/trial/index.md#tubes) [bad](sets/trial/index.md#nowhere)\n"
    site = write_site(tmp_path, {"trial": SMALL_RECORD}, config, index=index)
    result = build(site)
    assert "#nowhere" in result.stderr
    assert "#tubes" not in result.stderr


def test_chapters_are_searchable_without_their_tables(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD}, "theme: {name: material}\n")
    assert build(site, "--strict").returncode == 0
    index = json.loads((site / "site/search/search_index.json").read_text())
    mine = [d for d in index["docs"] if d["location"].startswith("sets/trial/")]
    assert any("12BE6" in d["text"] for d in mine)
    assert any(d["location"].endswith("#tubes") for d in mine)


def test_hostile_names_are_escaped_everywhere(tmp_path: Path) -> None:
    evil = "<script>alert(1)</script>"
    record = SMALL_RECORD.replace("Testwell", f"'{evil}\"><img src=x onerror=alert(1)>'")
    site = write_site(tmp_path, {"trial": record}, "theme: {name: material}\n")
    assert build(site, "--strict").returncode == 0
    for file in (site / "site/sets").rglob("*.html"):
        text = file.read_text()
        assert evil not in text, file
        assert not re.search(r"<img[^>]*onerror", text), file


def test_only_the_adapter_imports_mkdocs() -> None:
    importing = re.compile(r"^\s*(?:from|import)\s+mkdocs\b", re.M)
    found = [p.name for p in (REPO / "plugin").rglob("*.py") if importing.search(p.read_text())]
    assert found == ["mkdocs_plugin.py"]


def test_it_works_under_properdocs_with_its_plain_theme(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD}, "theme: {name: mkdocs}\n")
    (site / "mkdocs.yml").rename(site / "properdocs.yml")
    result = build(site, "--strict", program="properdocs", PYTHONHASHSEED="0")  # in a process of its own
    assert result.returncode == 0, result.stderr
    assert "Testwell Trial (1950)" in (site / "site/sets/trial/index.html").read_text()


def test_nothing_is_written_among_the_documents(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    before = sorted(p.relative_to(site) for p in (site / "docs").rglob("*"))
    assert build(site, "--strict").returncode == 0
    assert sorted(p.relative_to(site) for p in (site / "docs").rglob("*")) == before
    assert {p.name for p in site.iterdir()} == {"docs", "site", "mkdocs.yml", ".cache"}


def test_without_a_cache_folder_that_can_be_written_it_still_builds(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    (site / ".cache").write_text("a file stands where the folder would be")
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr


def test_progress_is_quiet_where_there_is_no_terminal(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    assert "Records" not in build(site, "--strict").stderr


def test_a_terminal_sees_the_count_and_the_time_left(tmp_path: Path) -> None:
    site = write_site(tmp_path, {f"set-{number}": SMALL_RECORD for number in range(2)})
    terminal, ours = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-W", "ignore", "-m", "mkdocs", "build"],
        cwd=site,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "TERM": "xterm", "COLUMNS": "120"},
        stdin=ours,
        stdout=subprocess.DEVNULL,
        stderr=ours,
    )
    os.close(ours)
    seen = b""
    # The terminal's end reports an error once nobody writes to it any more.
    with contextlib.suppress(OSError):
        while part := os.read(terminal, 4096):
            seen += part
    os.close(terminal)
    assert process.wait() == 0
    assert b"Records" in seen
    assert b"2/2" in seen


def test_the_plugin_is_found_by_its_name() -> None:
    found = [point.value for point in entry_points(group="mkdocs.plugins") if point.name == "benchleaf"]
    assert found[:1] == ["benchleaf.mkdocs_plugin:BenchleafPlugin"]
