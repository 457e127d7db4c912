"""Real sites with sets in every place and spelling a tired person finds: nothing of them is published as it lies."""

from __future__ import annotations

import shutil
import unicodedata
from pathlib import Path

import pytest

from secrets_of_sets import SECRET, SHORT_RECORD, leaks, secret_set, with_position
from sites import build, write_site

ACCENTED = "empfänger"


def _site(folder: Path, option: str | None = None, config: str = "", *, index: str = "# Home\n") -> Path:
    plugin = "benchleaf" if option is None else f"benchleaf: {{sets: '{option}'}}"
    theme = "" if "theme:" in config else "theme: {name: mkdocs}\n"
    return write_site(folder, {}, f"plugins:\n  - search\n  - {plugin}\n{theme}{config}", index=index)


def _published(site: Path) -> set[str]:
    """The addresses of the sets; that no other page tells a story is held on the way."""
    built = {p.parent for p in (site / "site").rglob("record.json")}
    stories = {p.parent for p in (site / "site").rglob("*.html") if "How it went" in p.read_text()}
    assert stories <= built
    return {folder.relative_to(site / "site").as_posix() for folder in built}


STRAYS = {
    "sets/yaml-set": "record.yaml",
    "sets/capital-set": "Record.yml",
    "sets/shouted-set": "RECORD.YAML",
    "sets/notepad-set": "record.yml.txt",
    "sets/good/inner": "record.yml",
    "archive/2019/attic-set": "record.yml",
    "blog/mixed": "rEcOrD.yAmL",
    "stray-set": "record.yml",
}


@pytest.mark.parametrize("directory_urls", ["true", "false"])
@pytest.mark.parametrize("program", ["mkdocs", "properdocs"])
def test_every_record_in_docs_dir_is_taken_off_and_told(tmp_path: Path, program: str, directory_urls: str) -> None:
    site = _site(tmp_path, None, f"use_directory_urls: {directory_urls}\n")
    docs = site / "docs"
    secret_set(docs / "sets/good")
    secret_set(docs / "sets/north-branch/member-set")
    for place, name in STRAYS.items():
        secret_set(docs / place, name)
    secret_set(docs / "sets/no-record", None)
    with_position(docs / "sets/phone/IMG_1.jpg")
    secret_set(site / "elsewhere/linked-set")
    (docs / "sets/linked").symlink_to(site / "elsewhere/linked-set")
    (docs / "linked").symlink_to(site / "elsewhere/linked-set")
    (docs / "pictures").symlink_to(docs / "sets/good/photos")
    (docs / "letters").symlink_to(site / "elsewhere/linked-set/scans/deep")
    (docs / "data.txt").symlink_to(docs / "sets/good/readings.csv")
    (docs / "sets/index.md").write_text("# Our list\n")
    (docs / "sets/north-branch/index.md").write_text("# The north branch\n")
    (docs / "manual").mkdir()
    (docs / "manual/page.bin").write_bytes(b"the site's own")
    if program == "properdocs":
        (site / "mkdocs.yml").rename(site / "properdocs.yml")

    result = build(site, program=program)
    assert result.returncode == 0, result.stderr
    assert leaks(site / "site", docs / "sets/good", docs / "stray-set", docs / "sets/no-record") == []
    assert _published(site) == {"sets/good", "sets/north-branch/member-set"}
    assert (site / "site/manual/page.bin").read_bytes() == b"the site's own"
    assert "Our list" in (site / "site/sets/index.html").read_text()
    assert "The north branch" in (site / "site/sets/north-branch/index.html").read_text()
    for place, name in STRAYS.items():
        assert f"{place}/{name}: found" in result.stderr, place
    for place in ("sets/no-record", "sets/phone", "sets/linked", "pictures", "letters", "data.txt"):
        assert f"benchleaf: {place}: found" in result.stderr, place
    assert "linked/record.yml: found a record outside" in result.stderr
    assert SECRET.decode() not in result.stderr
    assert build(site, "--strict", program=program).returncode == 1


def test_a_site_with_its_sets_in_order_says_nothing(tmp_path: Path) -> None:
    site = _site(tmp_path)
    secret_set(site / "docs/sets/good")
    secret_set(site / "docs/sets/north-branch/deep/member-set")
    (site / "docs/sets/Thumbs.db").write_bytes(SECRET)
    (site / "docs/sets/good/record.yml~").write_bytes(SECRET)
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr
    assert leaks(site / "site", site / "docs/sets") == []
    assert _published(site) == {"sets/good", "sets/north-branch/deep/member-set"}
    index = (site / "site/sets/index.html").read_text()
    assert 'href="north-branch/deep/member-set/"' in index
    shown = [line for line in result.stderr.splitlines() if "WARNING" in line]
    assert shown == []


SAME_FOLDER = [
    "sets",
    "sets/",
    "./sets",
    "./sets/",
    "a/../sets",
    "sets//",
    "nowhere/../sets",
    "{docs}/sets",
    "{docs}/sets/",
    ".\\sets\\",
]


@pytest.mark.parametrize("option", SAME_FOLDER)
def test_the_option_written_another_way_is_the_same_folder(tmp_path: Path, option: str) -> None:
    site = _site(tmp_path, option.format(docs=tmp_path / "docs"))
    secret_set(site / "docs/sets/good")
    with_position(site / "docs/sets/phone/IMG_1.jpg")
    result = build(site)
    assert _published(site) == {"sets/good"}, result.stderr
    assert leaks(site / "site", site / "docs/sets") == []
    assert "sets/phone: found" in result.stderr
    assert result.stderr.count("WARNING") == 1


@pytest.mark.parametrize("option", ["stes", "Sets", "SETS/", "../stes", "/nowhere/sets", "sets/good", "index.md", ".."])
def test_an_option_that_leads_to_no_sets_publishes_none_and_names_the_nearest(tmp_path: Path, option: str) -> None:
    site = _site(tmp_path, option)
    secret_set(site / "docs/sets/good")
    with_position(site / "docs/sets/phone/IMG_1.jpg")
    (site / "docs/picture.bin").write_bytes(b"the site's own")
    result = build(site)
    assert result.returncode == 0, result.stderr
    assert _published(site) == set()
    assert leaks(site / "site", site / "docs/sets") == []
    assert "option “sets”" in result.stderr
    assert (site / "site/picture.bin").is_file()
    if option in ("stes", "Sets", "SETS/", "../stes", "index.md"):
        assert "records lie in “sets”; write “sets: sets”" in result.stderr
    assert build(site, "--strict").returncode == 1


def test_docs_dir_itself_as_the_folder_of_the_sets(tmp_path: Path) -> None:
    config = "extra_css: [style/own.css]\n"
    site = _site(tmp_path, ".", config)
    docs = site / "docs"
    secret_set(docs / "good")
    secret_set(docs / "north-branch/member-set")
    with_position(docs / "phone/IMG_1.jpg")
    (docs / "guide").mkdir()
    (docs / "guide/page.md").write_text("# A guide\n")
    (docs / "style").mkdir()
    (docs / "style/own.css").write_text("/* own */")
    result = build(site)
    assert _published(site) == {"good", "north-branch/member-set"}, result.stderr
    assert leaks(site / "site", docs / "good", docs / "phone", docs / "north-branch") == []
    assert "A guide" in (site / "site/guide/page/index.html").read_text()
    assert (site / "site/style/own.css").is_file()
    assert "phone: found" in result.stderr
    assert result.stderr.count("WARNING") == 1


def test_a_record_in_docs_dir_itself_keeps_only_the_sites_pages(tmp_path: Path) -> None:
    site = _site(tmp_path)
    secret_set(site / "docs/sets/good")
    loose = secret_set(tmp_path / "loose")
    shutil.copytree(loose, site / "docs", dirs_exist_ok=True)
    result = build(site)
    assert leaks(site / "site", loose) == []
    assert "record.yml: found a record among the site's own pages" in result.stderr
    assert "Home" in (site / "site/index.html").read_text()


@pytest.mark.parametrize("program", ["mkdocs", "properdocs"])
def test_sets_beside_docs_dir_are_published_below_sets(tmp_path: Path, program: str) -> None:
    config = "repo_url: https://example.org/r\nedit_uri: edit/main/docs/\n"
    site = _site(tmp_path, "../records", config, index="# Home\n\n[One](sets/good/index.md)\n")
    secret_set(site / "records/good")
    secret_set(site / "records/north-branch/member-set")
    secret_set(site / "records/bad/member-set", text="maker: Testwell\nmodle: Trial\n")
    if program == "properdocs":
        (site / "mkdocs.yml").rename(site / "properdocs.yml")
    result = build(site, program=program)
    assert result.returncode == 0, result.stderr
    assert {"sets/good", "sets/north-branch/member-set"} == _published(site)
    assert leaks(site / "site", site / "records") == []
    assert "records/bad/member-set/record.yml:2:1" in result.stderr
    assert "https://example.org/r/edit/main/records/good/record.yml" in (site / "site/sets/good/index.html").read_text()
    assert "bad/member-set" in (site / "site/sets/index.html").read_text()
    assert str(tmp_path) not in (site / "site/sets/bad/member-set/index.html").read_text()


def test_sets_outside_hold_for_those_left_behind_in_docs_dir(tmp_path: Path) -> None:
    site = _site(tmp_path / "home", str(tmp_path / "far" / "records"))
    secret_set(tmp_path / "far/records/good")
    secret_set(site / "docs/sets/good")
    with_position(site / "docs/sets/phone/IMG_1.jpg")
    (site / "docs/pictures").symlink_to(tmp_path / "far/records/good/photos")
    result = build(site)
    assert _published(site) == {"sets/good"}
    assert leaks(site / "site", tmp_path / "far", site / "docs/sets") == []
    for told in (
        "docs/sets/good/record.yml: found a record outside",
        "docs/sets/phone: found",
        "docs/pictures: found a link",
    ):
        assert told in result.stderr


def test_a_folder_of_sets_that_is_a_link_is_read_and_not_copied(tmp_path: Path) -> None:
    site = _site(tmp_path / "home")
    secret_set(tmp_path / "far/good")
    (tmp_path / "far/index.md").write_text("# Our list\n")
    (site / "docs/sets").symlink_to(tmp_path / "far")
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr
    assert _published(site) == {"sets/good"}
    assert leaks(site / "site", tmp_path / "far/good") == []
    assert "Our list" in (site / "site/sets/index.html").read_text()


@pytest.mark.parametrize(("on_disk", "written"), [("NFC", "NFD"), ("NFD", "NFC")])
def test_an_accent_written_in_two_ways_is_the_same_folder(tmp_path: Path, on_disk: str, written: str) -> None:
    site = _site(tmp_path, unicodedata.normalize(written, ACCENTED))
    folder = unicodedata.normalize(on_disk, ACCENTED)
    secret_set(site / "docs" / folder / "good")
    with_position(site / "docs" / folder / "phone/IMG_1.jpg")
    result = build(site)
    assert _published(site) == {f"{folder}/good"}, result.stderr
    assert leaks(site / "site", site / "docs" / folder) == []


def test_excluded_sets_and_drafts_are_not_in_the_site(tmp_path: Path) -> None:
    config = "exclude_docs: |\n  sets/hidden/\n  old-*\n  attic/\ndraft_docs: |\n  sets/unfinished/index.md\n"
    site = _site(tmp_path, None, config)
    for name in ("good", "hidden", "old-one", "unfinished"):
        secret_set(site / "docs/sets" / name, text=SHORT_RECORD.replace("Trial", f"Model {name}"))
    secret_set(site / "docs/attic/gone", "record.yaml")
    secret_set(site / "docs/sets/hidden/more", "Record.yml")
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr
    assert _published(site) == {"sets/good"}
    assert leaks(site / "site", site / "docs/sets", site / "docs/attic") == []
    assert "not built, as exclude_docs says: sets/hidden, sets/old-one" in result.stderr
    assert "not built, as draft_docs says: sets/unfinished" in result.stderr
    for file in (site / "site").rglob("*"):
        if file.is_file():
            for name in ("hidden", "old-one", "unfinished"):
                assert f"Model {name}".encode() not in file.read_bytes(), file


def test_patterns_hold_for_sets_outside_by_their_address(tmp_path: Path) -> None:
    site = _site(
        tmp_path, "../records", "exclude_docs: |\n  sets/hidden/record.yml\ndraft_docs: |\n  /sets/north-branch/\n"
    )
    for name in ("good", "hidden", "north-branch/x"):
        secret_set(site / "records" / name)
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr
    assert _published(site) == {"sets/good"}
    assert leaks(site / "site", site / "records") == []


def test_all_sets_kept_out_is_a_warning_and_all_drafts_is_none(tmp_path: Path) -> None:
    site = _site(tmp_path, None, "exclude_docs: '*.yml'\n")
    secret_set(site / "docs/sets/good")
    assert "found 1 set, all kept out by exclude_docs" in build(site).stderr
    config = (site / "mkdocs.yml").read_text().replace("exclude_docs", "draft_docs")
    (site / "mkdocs.yml").write_text(config)
    assert build(site, "--strict").returncode == 0
    assert not (site / "site/sets").exists()


def test_a_page_at_a_sets_address_is_told_and_the_set_is_published(tmp_path: Path) -> None:
    site = _site(tmp_path)
    secret_set(site / "docs/sets/good")
    (site / "docs/sets/good.md").write_text("# In the way\n")
    result = build(site)
    assert "sets/good.md: found a page at the address of the set sets/good" in result.stderr
    assert "Testwell Trial" in (site / "site/sets/good/index.html").read_text()
    assert "In the way" not in (site / "site/sets/good/index.html").read_text()


def test_a_file_of_the_sites_own_at_the_address_of_one_of_ours_is_told(tmp_path: Path) -> None:
    site = _site(tmp_path)
    secret_set(site / "docs/sets/good")
    (site / "docs/assets/benchleaf").mkdir(parents=True)
    for name in ("benchleaf.css", "another.css"):
        (site / "docs/assets/benchleaf" / name).write_text("p { color: red }\n")
    said = build(site).stderr
    assert "assets/benchleaf/benchleaf.css: found a file at the address of one that comes with Benchleaf" in said
    assert "another.css" not in said
    assert "color: red" not in (site / "site/assets/benchleaf/benchleaf.css").read_text()
    assert (site / "site/assets/benchleaf/another.css").is_file()


def test_a_hand_written_readme_is_the_index_of_the_sets(tmp_path: Path) -> None:
    site = _site(tmp_path)
    secret_set(site / "docs/sets/good")
    (site / "docs/sets/README.md").write_text("# Our list\n")
    assert build(site, "--strict").returncode == 0
    assert "Our list" in (site / "site/sets/index.html").read_text()


def test_a_members_folder_that_is_itself_a_set_is_told(tmp_path: Path) -> None:
    site = _site(tmp_path)
    secret_set(site / "docs/sets/north-branch")
    secret_set(site / "docs/sets/north-branch/minuet")
    result = build(site)
    assert "sets/north-branch/minuet/record.yml: found a record inside the set sets/north-branch" in result.stderr
    assert _published(site) == {"sets/north-branch"}
    assert leaks(site / "site", site / "docs/sets") == []


def test_a_name_of_a_set_in_another_members_folder_is_followed(tmp_path: Path) -> None:
    site = _site(tmp_path, "../sets")
    lists = "tubes:\n  V1: 12BE6\nreadings:\n  %s\n"
    measured = SHORT_RECORD + lists % "sheet:\n    V1: plate 93"
    secret_set(site / "sets/north-branch/one", text=measured)
    secret_set(site / "sets/south-branch/two", text=SHORT_RECORD + lists % "similar: from north-branch/one")
    secret_set(site / "sets/south-branch/three", text=SHORT_RECORD + lists % "similar: from two")
    (site / "sets/south-branch/two/story.md").write_text("See [the other](../../north-branch/one/index.md).\n")
    result = build(site, "--strict")
    assert result.returncode == 0, result.stderr
    page = (site / "site/sets/south-branch/two/index.html").read_text()
    assert "north-branch/one, sheet" in (site / "site/sets/south-branch/two/voltages/index.html").read_text()
    assert 'href="../../north-branch/one/"' in page
