"""The rule for what must not be published as it lies, without a site generator."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchleaf.build.found_sets import FoundSets, find_sets
from benchleaf.build.private_files import SiteFile, private_files
from benchleaf.build.whereabouts import SetsFolder, sets_folder


def _write(docs: Path, *paths: str) -> None:
    for path in paths:
        (docs / path).parent.mkdir(parents=True, exist_ok=True)
        (docs / path).write_bytes(b"x")


def _listed(docs: Path, *, unpublished: str = "\0") -> list[SiteFile]:
    """The files of ``docs`` as a generator walks them, links and all."""
    files = [Path(place) / name for place, _, names in os.walk(docs, followlinks=True) for name in names]
    uris = {file.relative_to(docs).as_posix(): str(file) for file in files}
    return [SiteFile(uri, path, published=not uri.startswith(unpublished)) for uri, path in sorted(uris.items())]


def _asked(docs: Path, option: str = "sets") -> tuple[SetsFolder, FoundSets]:
    sets = sets_folder(option, docs, docs.parent)
    return sets, FoundSets() if sets.fault else find_sets(sets.path, sets.shown)


def _left(docs: Path, option: str = "sets", kept: tuple[str, ...] = ()) -> set[str]:
    private = private_files(_listed(docs), docs, *_asked(docs, option), kept)
    return {file.uri for file in _listed(docs)} - private.uris


@pytest.fixture
def docs(tmp_path: Path) -> Path:
    return tmp_path / "docs"


def test_the_sites_own_files_are_left_and_nothing_is_said(docs: Path) -> None:
    own = {"index.md", "style/own.css", "guide/a.md", "guide/photo.jpg", "sets/index.md", "sets/north/README.md"}
    _write(docs, *own, "sets/north/one/record.yml", "sets/north/one/photos/a.jpg", "sets/north/one/story/1.md")
    assert _left(docs) == own
    assert private_files(_listed(docs), docs, *_asked(docs)).warnings == ()


@pytest.mark.parametrize("page", ["index.md", "notes.md", "photos/README.md"])
def test_a_page_in_a_sets_folder_is_not_published_and_told(docs: Path, page: str) -> None:
    _write(docs, "sets/one/record.yml", "sets/one/story.md", "sets/one/photos/a.jpg", f"sets/one/{page}")
    assert _left(docs) == set()
    (warning,) = private_files(_listed(docs), docs, *_asked(docs)).warnings
    assert warning.startswith(f"sets/one: found “sets/one/{page}” in a set's folder; expected its text in “story.md”")


LOOSE = "sets/story.md sets/Story.md sets/story/01.md sets/page.html sets/page.MD sets/a.jpg sets/north/letter.pdf"
LOOSER = "sets/north/story.md sets/new/notes.md sets/new/photos/a.jpg sets/north/x/y.md"


@pytest.mark.parametrize("path", [*LOOSE.split(), *LOOSER.split()])
def test_among_the_sets_only_pages_on_the_way_to_one_are_the_sites_own(docs: Path, path: str) -> None:
    _write(docs, "index.md", "sets/north/one/record.yml", path)
    assert _left(docs) == {"index.md"}
    (warning,) = private_files(_listed(docs), docs, *_asked(docs)).warnings
    assert path in warning


def test_what_lies_beside_a_clubs_records_is_not_published_and_nothing_is_said_of_it(docs: Path) -> None:
    _write(docs, "sets/a/record.yml", "sets/tube-table/types.csv", "sets/tube-table/notes.md", "tube-table/types.csv")
    _write(docs, "sets/stock.csv", "sets/words.csv", "stock.csv", "words.csv")
    private = private_files(_listed(docs), docs, *_asked(docs))
    assert {uri for uri in private.uris if "record" not in uri} == {
        "sets/tube-table/types.csv", "sets/tube-table/notes.md", "sets/stock.csv", "sets/words.csv",
    }  # fmt: skip
    assert private.warnings == ()


def test_what_is_kept_out_of_the_site_anyway_is_not_told(docs: Path) -> None:
    _write(docs, "index.md", "attic/record.yaml", "attic/a.jpg", "sets/one/record.yml")
    private = private_files(_listed(docs, unpublished="attic/"), docs, *_asked(docs))
    assert {"attic/record.yaml", "attic/a.jpg"} <= private.uris
    assert private.warnings == ()


def test_what_other_plugins_read_among_the_sets_is_left_to_them(docs: Path) -> None:
    _write(docs, "sets/.nav.yml", "sets/one/record.yml", "sets/one/.nav.yml")
    private = private_files(_listed(docs, unpublished="sets/"), docs, *_asked(docs))
    assert private.uris == {"sets/one/record.yml", "sets/one/.nav.yml"}


def test_a_theme_brings_no_set_along(docs: Path, tmp_path: Path) -> None:
    _write(docs, "index.md", "sets/one/record.yml")
    theme = [
        SiteFile("assets/own.js", str(tmp_path / "theme/assets/own.js"), of_docs=False),
        SiteFile("assets/one/record.yml", str(tmp_path / "theme/assets/one/record.yml"), of_docs=False),
        SiteFile("assets/a.jpg", str(docs / "sets/one/a.jpg"), of_docs=False),
    ]
    private = private_files(theme, docs, *_asked(docs))
    assert private.uris == {"assets/one/record.yml", "assets/a.jpg"}
    assert len(private.warnings) == 2


def test_files_that_the_configuration_names_stay_where_docs_dir_holds_the_sets(docs: Path) -> None:
    _write(docs, "one/record.yml", "logo.png", "photo.jpg", "guide/a.md")
    assert _left(docs, ".", ("logo.png", "one/record.yml")) == {"logo.png", "guide/a.md"}


def test_what_looks_like_the_folder_of_the_sets_is_held_while_the_option_leads_to_none(docs: Path) -> None:
    _write(docs, "index.md", "guide/a.jpg", "Sets/new/a.jpg", "radios/one/record.yaml", "radios/new/a.jpg")
    assert _left(docs, "stes") == {"index.md", "guide/a.jpg"}
    _write(docs, "elsewhere/x.txt")
    assert _left(docs, "elsewhere") == {"index.md", "guide/a.jpg"}


def test_links_are_followed_to_where_they_lead(docs: Path, tmp_path: Path) -> None:
    _write(docs, "index.md", "sets/one/record.yml", "sets/one/photos/a.jpg", "own/b.jpg")
    _write(tmp_path, "old/two/Record.yml", "old/two/deep/er/c.jpg", "shared/d.jpg", "record.yml")
    for link, target in (
        ("pictures", docs / "sets/one/photos"),
        ("old", tmp_path / "old/two/deep"),
        ("shared", tmp_path / "shared"),
        ("again", docs / "own"),
        ("sets/page.md", tmp_path / "old/two/deep/er/c.jpg"),
    ):
        (docs / link).symlink_to(target)
    assert _left(docs) == {"index.md", "own/b.jpg", "shared/d.jpg", "again/b.jpg"}


def test_a_name_that_commands_a_terminal_is_shown_without_its_signs(docs: Path) -> None:
    _write(docs, "a\x1b[2J/record.yml", "sets/b\x07/c\x1b.jpg")
    warnings = private_files(_listed(docs), docs, *_asked(docs)).warnings
    assert len(warnings) == 2
    assert not any(sign in "".join(warnings) for sign in "\x1b\x07")
