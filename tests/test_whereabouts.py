"""Where the option ``sets`` leads, however it is written, and what is said where it leads nowhere."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchleaf.build.whereabouts import nothing_found, page_in_the_way, sets_folder


def _project(folder: Path, *sets: str) -> tuple[Path, Path]:
    """A project with its ``docs`` folder and a record in each of ``sets``."""
    (folder / "docs").mkdir(parents=True)
    for place in sets:
        (folder / place).mkdir(parents=True)
        (folder / place / "record.yml").write_text("maker: A\nmodel: B\n")
    return folder / "docs", folder


@pytest.mark.parametrize("written", ["sets", "sets/", "./sets", "a/../sets", "{docs}/sets", "../docs/sets", ".\\sets"])
def test_every_way_to_write_it_leads_to_the_same_folder(tmp_path: Path, written: str) -> None:
    docs, project = _project(tmp_path, "docs/sets/one")
    found = sets_folder(written.format(docs=docs), docs, project)
    assert (found.path, found.published, found.fault, found.inside) == (docs / "sets", "sets", "", True)
    set_ = docs / "sets" / "north" / "one"
    assert (found.name(set_), found.label(set_), found.address(set_)) == (
        "north/one",
        "sets/north/one",
        "sets/north/one",
    )


def test_the_root_of_the_site_has_no_name(tmp_path: Path) -> None:
    docs, project = _project(tmp_path, "docs/one")
    found = sets_folder(".", docs, project)
    assert (found.published, found.shown, found.inside, found.fault) == ("", "", True, "")
    assert found.address(docs / "one") == "one"


def test_a_folder_outside_is_published_below_sets_and_named_from_the_project(tmp_path: Path) -> None:
    docs, project = _project(tmp_path, "restored/radios/one")
    found = sets_folder("../restored/radios", docs, project)
    assert (found.published, found.shown, found.from_docs) == ("sets", "restored/radios", "../restored/radios")
    assert found.label(found.path / "one") == "restored/radios/one"
    assert found.address(found.path / "one") == "sets/one"
    assert found.docs_shown == "docs"


def test_a_folder_outside_the_project_has_no_edit_link_and_no_path_of_the_machine(tmp_path: Path) -> None:
    docs, project = _project(tmp_path / "project")
    (tmp_path / "far" / "radios").mkdir(parents=True)
    found = sets_folder(str(tmp_path / "far" / "radios"), docs, project)
    assert (found.shown, found.from_docs, found.fault) == ("radios", None, "")
    (tmp_path / ".git").mkdir()
    assert sets_folder("../../far/radios", docs, project).from_docs == "../../far/radios"


def test_another_path_to_docs_dir_is_docs_dir(tmp_path: Path) -> None:
    docs, project = _project(tmp_path / "project", "docs/sets/one")
    (tmp_path / "other").symlink_to(docs)
    found = sets_folder(str(tmp_path / "other" / "sets"), docs, project)
    assert (found.published, found.inside) == ("sets", True)


def test_a_linked_folder_stands_for_both_its_places(tmp_path: Path) -> None:
    docs, project = _project(tmp_path, "docs/real/one")
    (docs / "sets").symlink_to(docs / "real")
    assert sets_folder("sets", docs, project).grounds == {"sets", "real"}


def test_a_disk_that_tells_no_cases_apart_is_taken_at_its_word(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    docs, project = _project(tmp_path, "docs/Sets/one")
    assert "which leads to no folder" in sets_folder("sets", docs, project).fault
    monkeypatch.setattr(os.path, "samefile", lambda one, other: True)
    found = sets_folder("sets", docs, project)
    assert (found.path, found.published, found.fault) == (docs / "Sets", "Sets", "")


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("stes", "records lie in “sets”; write “sets: sets”"),
        ("Sets", "records lie in “sets”; write “sets: sets”"),
        ("index.md", "which is a file"),
        ("..", "which holds docs_dir"),
        ("../..", "which holds docs_dir"),
    ],
)
def test_what_is_wrong_is_told_with_the_folder_that_was_meant(tmp_path: Path, written: str, told: str) -> None:
    docs, project = _project(tmp_path / "project", "docs/sets/north/one")
    (docs / "index.md").write_text("# Home\n")
    fault = sets_folder(written, docs, project).fault
    assert told in fault
    assert "the option “sets”: found" in fault


def test_records_beside_docs_dir_are_named_as_the_option_wants_them(tmp_path: Path) -> None:
    docs, project = _project(tmp_path, "radios/one", "site/sets/one")
    fault = sets_folder("sets", docs, project, project / "site").fault
    assert "records lie in “../radios”; write “sets: ../radios”" in fault
    assert "site" not in fault


def test_without_any_record_the_nearest_folder_is_named_or_how_to_begin(tmp_path: Path) -> None:
    docs, project = _project(tmp_path)
    assert "start one with “benchleaf new sets/my-first-set”" in sets_folder("sets", docs, project).fault
    (docs / "radios").mkdir()
    assert "did you mean “radios”?" in sets_folder("radois", docs, project).fault


def test_signs_that_command_a_terminal_are_not_passed_on(tmp_path: Path) -> None:
    docs, project = _project(tmp_path)
    (docs / "se\x1b[2Jts" / "o\x07ne").mkdir(parents=True)
    found = sets_folder("se\x1b[2Jts", docs, project)
    said = [found.fault, nothing_found(found, kept_out=0), page_in_the_way(found, found.path / "o\x07ne", "a\x1bb.md")]
    assert not any(sign in text for text in said for sign in "\x1b\x07")


@pytest.mark.parametrize("written", ["loop", "../loop", "loop/sets", "../sets/loop"])
def test_an_option_that_leads_round_in_a_circle_of_links_is_told(written: str, tmp_path: Path) -> None:
    (docs := tmp_path / "docs").mkdir()
    (tmp_path / "sets").mkdir()
    for folder in (docs, tmp_path, tmp_path / "sets"):
        (folder / "loop").symlink_to("loop")
    assert "leads to no folder" in sets_folder(written, docs, tmp_path).fault
