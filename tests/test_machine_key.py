"""The key of a user's cache. What is asked of its file is what OpenSSH asks of a private key; the rest is common
practice, no source."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import platformdirs
import pytest

from benchleaf.build.cache import Cache
from benchleaf.build.machine_key import machine_key


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the key of this test's user lies."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "configuration"))
    return tmp_path / "configuration" / "benchleaf" / "cache.key"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    (tmp_path / "project").mkdir()
    return tmp_path / "project"


def test_a_key_is_made_once_for_its_owner_alone(place: Path, project: Path) -> None:
    first = machine_key(project)
    assert first.why == ""
    assert first.secret is not None
    assert len(first.secret) == 32
    assert stat.S_IMODE(place.stat().st_mode) == 0o600
    assert stat.S_IMODE(place.parent.stat().st_mode) == 0o700
    assert machine_key(project) == first
    assert [p.name for p in place.parent.iterdir()] == ["cache.key"]


def test_another_user_has_another_key(place: Path, project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = machine_key(project)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(project.parent / "other"))
    assert machine_key(project).secret not in (None, first.secret)


def test_a_key_is_not_shown_where_an_object_is(place: Path, project: Path) -> None:
    key = machine_key(project)
    assert key.secret is not None
    for shown in (repr(key), repr(Cache(project, key.secret))):
        assert repr(key.secret)[2:-1] not in shown
        assert key.secret.hex() not in shown


def test_processes_that_ask_at_once_get_the_same_key(place: Path, project: Path) -> None:
    with ProcessPoolExecutor(4, mp_context=get_context("spawn")) as pool:
        keys = set(pool.map(machine_key, [project] * 40))
    assert len(keys) == 1
    assert keys == {machine_key(project)}


def test_a_second_writer_takes_the_first_ones_key(place: Path, project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = machine_key(project)
    monkeypatch.setattr(os.path, "lexists", lambda _: False)  # as it was before the first had written
    assert machine_key(project) == first
    assert [p.name for p in place.parent.iterdir()] == ["cache.key"]


def test_a_disk_without_hard_links_will_do(place: Path, project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", none)
    assert machine_key(project).secret is not None
    assert [p.name for p in place.parent.iterdir()] == ["cache.key"]


def linked(place: Path) -> None:
    place.rename(place.with_name("elsewhere"))
    place.symlink_to("elsewhere")


def piped(place: Path) -> None:
    place.unlink()
    os.mkfifo(place)


def foldered(place: Path) -> None:
    place.unlink()
    place.mkdir()


SPOILED = {
    "a link": (linked, "cannot be made or read"),
    "a dangling link": (lambda place: (place.unlink(), place.symlink_to("none")), "cannot be made or read"),
    "a named pipe": (piped, "not an ordinary file"),
    "a folder": (foldered, "cannot be made or read|not an ordinary file"),
    "too short": (lambda place: place.write_bytes(place.read_bytes()[:40]), "is none; delete it"),
    "empty": (lambda place: place.write_bytes(b""), "is none; delete it"),
    "too long": (lambda place: place.write_bytes(place.read_bytes() * 2), "is none; delete it"),
    "others may read it": (lambda place: place.chmod(0o644), "others may read"),
    "others may write it": (lambda place: place.chmod(0o620), "others may read"),
}


@pytest.mark.parametrize(("spoil", "why"), SPOILED.values(), ids=SPOILED)
def test_a_key_that_cannot_be_trusted_is_none(
    spoil: Callable[[Path], object], why: str, place: Path, project: Path
) -> None:
    machine_key(project)
    spoil(place)
    key = machine_key(project)
    assert key.secret is None
    assert str(place) in key.why
    assert re.search(why, key.why)


def test_another_users_key_is_none(place: Path, project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    machine_key(project)
    other = os.geteuid() + 1
    monkeypatch.setattr(os, "geteuid", lambda: other)
    assert "belongs to another user" in machine_key(project).why
    assert machine_key(project).secret is None


def test_a_key_that_could_have_come_with_the_project_is_none(place: Path, project: Path) -> None:
    machine_key(project)
    assert "lies inside the project" in machine_key(place.parent.parent).why
    assert "lies inside the project" in machine_key(place.parents[2]).why
    place.parent.rename(project / "came-with-it")
    place.parent.symlink_to(project / "came-with-it")
    assert "lies inside the project" in machine_key(project).why


def test_a_configuration_folder_without_a_place_of_its_own_is_none(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(project)
    monkeypatch.setattr(platformdirs, "user_config_path", lambda *_, **__: Path("configuration"))
    assert machine_key(project).why == "this user has no configuration folder"
    assert list(project.iterdir()) == []


def test_a_folder_that_cannot_be_written_gives_no_key(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (project.parent / "file").write_text("where the folder would be")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(project.parent / "file"))
    assert "Not a directory" in machine_key(project).why
    assert machine_key(project).secret is None
