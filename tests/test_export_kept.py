"""An export that comes from the cache of its site: the same text, and made anew wherever something has changed."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchleaf.chapters import examine
from benchleaf.cli.main import main
from sites import REPO

DEMO = REPO / "site_src" / "sets"
SET = "larkfield-minuet-5"
Run = Callable[..., tuple[int, str]]


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A site that was built before, with one set."""
    shutil.copytree(DEMO / SET, tmp_path / "docs" / "sets" / SET)
    (tmp_path / "mkdocs.yml").write_text("site_name: A\nplugins: [benchleaf]\n", encoding="utf-8")
    (tmp_path / ".cache" / "benchleaf").mkdir(parents=True)
    return tmp_path


@pytest.fixture
def run(site: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    def run(*arguments: str) -> tuple[int, str]:
        code = main(["export", str(site / "docs" / "sets" / SET), *arguments])
        return code, capsys.readouterr().out

    return run


@pytest.fixture
def examined(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was examined since, in order."""
    models: list[str] = []
    whole = examine.examine

    def told(bench: Any) -> Any:
        models.append(str(bench.record.model))
        return whole(bench)

    monkeypatch.setattr(examine, "examine", told)
    return models


def kept(site: Path) -> list[Path]:
    return [path for path in (site / ".cache" / "benchleaf" / "written").rglob("*") if path.is_file()]


def test_the_second_export_of_a_set_is_the_first_and_works_nothing_out(run: Run, examined: list[str]) -> None:
    first = run()
    assert first[0] == 0
    assert run() == first
    assert len(examined) == 1
    assert run("--to", "csv") == run("--to", "csv")
    assert run("--to", "csv") != run("--to", "csv", "--decimals", "comma")
    assert len(examined) == 3


def test_it_is_made_again_where_record_or_photo_or_words_have_changed(
    site: Path, run: Run, examined: list[str]
) -> None:
    first = run()
    folder = site / "docs" / "sets" / SET
    record = folder / "record.yml"
    record.write_text(record.read_text(encoding="utf-8").replace("model: Minuet 5", "model: Minuet 6"), "utf-8")
    assert '"Minuet 6"' in run()[1] != first[1]
    photo = next(path for path in (folder / "photos").iterdir() if path.suffix == ".jpg")
    photo.write_bytes(photo.read_bytes() + b"\0")
    run()
    (site / "mkdocs.yml").write_text("site_name: A\nplugins: [{benchleaf: {dialect: british}}]\n", encoding="utf-8")
    run()
    assert examined == ["Minuet 5", "Minuet 6", "Minuet 6", "Minuet 6"]


def test_an_entry_that_somebody_has_changed_is_not_put_out(site: Path, run: Run, examined: list[str]) -> None:
    first = run()
    (entry,) = kept(site)
    entry.write_bytes(entry.read_bytes().replace(b"Larkfield", b"Skylarks!"))
    assert run() == first
    assert len(examined) == 2


def test_what_is_told_of_a_record_is_told_each_time(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record = site / "docs" / "sets" / SET / "record.yml"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("measured 13.6 nF", "measured 13.6 furlongs"), encoding="utf-8")
    told = []
    for _ in range(2):
        code = main(["export", str(record)])
        told.append((code, *capsys.readouterr()))
    assert told[0] == told[1]
    assert (told[0][0], len(kept(site))) == (1, 1)
    assert "Minuet 5" in told[0][1]
    assert "parts.C7.was.measured: found" in told[0][2]


@pytest.mark.parametrize("how", ["not built", "keeps nothing", "no site"])
def test_nothing_is_kept_where_no_build_keeps_anything(site: Path, run: Run, how: str) -> None:
    if how == "not built":
        shutil.rmtree(site / ".cache")
    elif how == "keeps nothing":
        (site / "mkdocs.yml").write_text("site_name: A\nplugins: [{benchleaf: {cache: false}}]\n", encoding="utf-8")
    else:
        (site / "mkdocs.yml").unlink()
    assert run()[0] == 0
    assert not kept(site)
    assert (site / ".cache").exists() is (how != "not built")
