"""A club's tube table beside its sets, on the whole way from the folder to the page."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchleaf.build.all_sets import build_set
from benchleaf.build.own_table import own_files, problems_beside, table_problems
from benchleaf.build.whereabouts import SetsFolder, sets_folder
from benchleaf.cli.main import main
from benchleaf.pages.set_page import Choices
from sites import kept_in, write_site

RECORD = """\
maker: Testwell
model: Trial
line: 230 V 50 Hz
tubes:
  V1: XX11, output
  V2: YY99, output
changed tubes:
  V1: was XX11 at 40 % emission, now XX11 at 95 % emission
"""
TYPES = (
    "type,heater_volts,heater_amps,heater_source,cathode,base,role\n"
    "XX11,6.3,0.9,Sheet of a maker,heater,Y8A,output pentode\n"
)
NAMES = "name,type,source\nYY99,XX11,from memory\n"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A site with one set in a branch's folder, and a tube table beside."""
    write_site(tmp_path, {"north/minuet": RECORD})
    table = tmp_path / "docs" / "sets" / "tube-table"
    table.mkdir()
    (table / "types.csv").write_text(TYPES, encoding="utf-8")
    (table / "names.csv").write_text(NAMES, encoding="utf-8")
    return tmp_path


def folder(site: Path) -> Path:
    return site / "docs" / "sets" / "north" / "minuet"


def asked(site: Path) -> SetsFolder:
    return sets_folder("sets", site / "docs", site)


def text(site: Path) -> str:
    page = build_set(folder(site), Choices(), kept_in(site / "cache"), asked(site))
    assert page.failures == ()
    assert [str(problem) for problem in page.problems] == []
    return page.html + "".join(working.html for working in page.workings)


def test_a_set_is_read_with_the_table_and_its_page_names_the_source(site: Path) -> None:
    page = text(site)
    assert "Sheet of a maker" in page
    assert "steel-tube 8-pin (Y8A)" in page


def test_a_change_of_the_table_makes_the_page_again(site: Path) -> None:
    before = text(site)
    assert text(site) == before
    types = site / "docs" / "sets" / "tube-table" / "types.csv"
    types.write_text(TYPES.replace("Sheet of a maker", "Another sheet"), encoding="utf-8")
    assert "Another sheet" in text(site)


def test_without_the_table_the_types_are_not_known(site: Path) -> None:
    for file in (site / "docs" / "sets" / "tube-table").iterdir():
        file.unlink()
    page = build_set(folder(site), Choices(), kept_in(site / "cache"), asked(site))
    assert [problem.found for problem in page.problems] == ["“XX11”", "“YY99”"]


def test_check_finds_the_table_above_a_set_and_tells_what_is_wrong_in_it_once(
    site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(folder(site))]) == 0
    names = site / "docs" / "sets" / "tube-table" / "names.csv"
    names.write_text(NAMES + "ZZ1,,from memory\n", encoding="utf-8")
    capsys.readouterr()
    assert main(["check", str(folder(site)), str(folder(site))]) == 1
    assert capsys.readouterr().out == (
        "sets/tube-table/names.csv:3:5: type: found nothing; expected something in this cell\n"
    )
    assert [str(problem) for problem in table_problems(asked(site))] == [str(p) for p in problems_beside(folder(site))]


def test_a_link_out_of_the_folder_of_the_sets_is_not_followed(site: Path) -> None:
    secret = site / "types.csv"
    secret.write_text("a secret of this machine", encoding="utf-8")
    types = site / "docs" / "sets" / "tube-table" / "types.csv"
    types.unlink()
    types.symlink_to(secret)
    files, refused = own_files(folder(site), asked(site))
    assert [name for name, _ in files] == ["sets/tube-table/names.csv"]
    assert [problem.found for problem in refused] == ["a link to somewhere outside the set's folder"]
    assert "secret" not in "".join(map(str, table_problems(asked(site))))
