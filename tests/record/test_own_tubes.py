"""A club's own tube table: what is read of it, and what is told of cells that cannot be."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.record import own_tubes
from benchleaf.record.own_tubes import FILES, read_own_table
from benchleaf.tubes import Tube, grade
from benchleaf.tubes.tables import columns_of
from benchleaf.tubes.tube_table import PACKAGE_TABLE, TubeTable
from sites import REPO

TYPES = "type,heater_volts,heater_amps,heater_source,cathode,base,role\n"
XX11 = TYPES + "XX11,6.3,0.2,Maker's sheet of 1940,heater,Y8A,output pentode\n"


def read(**files: str) -> tuple[TubeTable, list[str]]:
    table, problems = read_own_table(
        tuple((f"sets/tube-table/{name}.csv", text.encode()) for name, text in files.items())
    )
    return table, [str(problem).removeprefix("sets/tube-table/") for problem in problems]


def tube(table: TubeTable, type_: str) -> Tube:
    found = table.find(type_)
    assert found is not None, type_
    return found


def test_a_type_of_its_own_has_all_that_its_rows_say() -> None:
    table, told = read(
        types=XX11,
        pins="type,pin,electrode,source\nXX11,1,k+g3,Maker's sheet of 1940\nXX11,2,h,memory\nxx 11,3,h,from memory\n",
        ratings="type,source,plate_w,plate_v,dc_ma,condition\nXX11,Maker's sheet of 1940,9,250,,\n",
        typical="type,source,plate_v,grid_v,plate_ma\nXX11,from memory,250,-6,36\n",
        names="name,type,source\nYY99,XX11,from memory\n",
    )
    assert told == []
    own = tube(table, "xx-11")
    assert (own.type, own.asked, own.asked_as, own.base) == ("XX11", "xx-11", "type", "steel-tube 8-pin (Y8A)")
    assert (own.heater.volts, own.heater.amps, own.heater.source) == (6.3, 0.2, "Maker's sheet of 1940")
    assert dict(own.pins) == {1: "k+g3", 2: "h", 3: "h"}
    assert own.maxima.plate_watts is not None
    assert own.maxima.plate_watts.value == 9
    assert own.typical[0].plate_amps == pytest.approx(0.036)
    assert grade.heater_volts(own).grade == grade.pin(own, own.pin_rows[0]).grade == "read"
    assert grade.pins(own).grade == "from memory"
    other = tube(table, "YY99")
    assert (other.type, other.asked_as) == ("XX11", "equivalent")
    assert table.nearest("XX12", 1) == ["XX11"]
    assert tube(table, "12BE6").heater.volts == 12.6
    assert PACKAGE_TABLE.find("XX11") is None


def test_a_type_of_the_package_gets_what_it_lacks_under_all_its_names() -> None:
    """AZ1: no pins in the package's table; EM80 is 6BR5."""
    table, told = read(
        pins="type,pin,electrode,source\nAZ1,2,f,A sheet\nAZ1,3,f,A sheet\nAZ1,1,a1,A sheet\nAZ1,8,a2,A sheet\n",
        ratings="type,source,plate_v\nEM80,A sheet,300\n",
    )
    assert told == []
    assert tube(table, "AZ1").pins[8] == "a2"
    assert tube(table, "AZ1").maxima == PACKAGE_TABLE.find("AZ1").maxima  # type: ignore[union-attr]
    magic_eye = tube(table, "6BR5")
    assert (magic_eye.asked, magic_eye.asked_as) == ("6BR5", "equivalent")
    assert magic_eye.maxima.plate_volts is not None


@pytest.mark.parametrize(
    ("files", "told"),
    [
        (
            {"types": TYPES + "XX11,6;3,0.2,A sheet,heater,octal,triode\n"},
            "types.csv:2:6: heater_volts: found “6;3”; expected a number",
        ),
        (
            {"types": TYPES + 'XX11,"6,3",0.2,A sheet,heater,octal,triode\n'},
            "types.csv:2:7: heater_volts: found “6,3”; expected a number; write 6.3",
        ),
        (
            {"types": TYPES + "XX11,6.3,-1,,heater,octol,triod\n"},
            "types.csv:2:10: heater_amps: found “-1”; expected a number above zero and below 100\n"
            "types.csv:2:13: heater_source: found nothing; expected where it was read, or “from memory”\n"
            "types.csv:2:21: base: found “octol”; expected a base by its name; did you mean “octal”?\n"
            "types.csv:2:27: role: found “triod”; expected a role known here; did you mean “triode”?",
        ),
        (
            {"types": TYPES + "12BE6,6.3,0.2,A sheet,heater,octal,triode\n"},
            "types.csv:2:1: type: found “12BE6”; expected a type that the tube table lacks; add to it in the other",
        ),
        (
            {"types": "typ,heater_volts\n"},
            "types.csv:1:1: found no column “type”, “heater_amps”, “heater_source”, “cathode”, “base” and “role”; "
            "expected a first line with the names of the columns\n"
            "types.csv:1:1: found “typ”; expected a column of the tube table; did you mean “type”?",
        ),
        ({"types": TYPES + "XX11,6.3\n"}, "types.csv:2:1: found 2 cells; expected 7, as in the first line"),
        ({"types": ""}, "types.csv:1:1: found nothing; expected the columns type, heater_volts"),
        (
            {"pins": "type,pin,electrode,source\nEL84,1,a,A sheet\n"},
            "pins.csv:2:1: type: found “EL84”; expected a type without pins in the tube table",
        ),
        (
            {"pins": "type,pin,electrode,source\nAZ1,9,a7,A sheet\nZZ1,1,a,A sheet\n"},
            "pins.csv:2:5: pin: found “9”; expected 1 to 8, or “top cap”\n"
            "pins.csv:2:7: electrode: found “a7”; expected short names joined by +, such as k+g3; known here: a, a1",
        ),
        (
            {"types": XX11, "pins": "type,pin,electrode,source\nXX11,1,a,A sheet\nXX11,1,k,A sheet\n"},
            "pins.csv:3:6: pin: found “1”; expected each pin of a type once",
        ),
        (
            {"ratings": "type,source,plate_w\nUM80,A sheet,\n"},
            "ratings.csv:2:1: found a row without a value; expected one value at least",
        ),
        (
            {"typical": "type,source,plate_ma\nEM80,A sheet,1e9\n"},
            "typical.csv:2:14: plate_ma: found “1e9”; expected a number above zero and below 10,000,000",
        ),
        ({"names": "name,type,type,source\n"}, "names.csv:1:6: found “type”; expected each column once"),
        (
            {"types": XX11 + "xx 11,6.3,0.3,A sheet,heater,octal,triode\n"},
            "types.csv:3:1: type: found “xx 11”; expected each type once",
        ),
        (
            {"types": TYPES + f"{'Q' * 25},6.3,0.3,A sheet,heater,octal,triode\n"},
            "types.csv:2:1: type: found “QQQQQQQQQQQQQQQQQQQQQQQQQ”; expected a designation of at most 24 letters and",
        ),
        (
            {"types": TYPES + f"XX11,6.3,0.3,{'x' * 301},heater,octal,triode\n"},
            "types.csv:2:14: heater_source: found “xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx…”; expected at most 300",
        ),
        (
            {"types": f"{TYPES.strip()},top_cap\nXX11,6.3,0.3,A sheet,fire,octal,triode,maybe\n"},
            "types.csv:2:22: cathode: found “fire”; expected heater or filament\n"
            "types.csv:2:40: top_cap: found “maybe”; expected yes or no",
        ),
        (
            {"ratings": "type,source,plate_w\nEL84,A sheet,13\nZZ1,A sheet,1\n"},
            "ratings.csv:2:1: type: found “EL84”; expected a type without ratings in the tube table\n"
            "ratings.csv:3:1: type: found “ZZ1”; expected a type of types.csv, or of the tube table by its own name",
        ),
        (
            {"typical": "type,source,plate_v,grid_v\nEM80,A sheet,250,-1e8\n"},
            "typical.csv:2:18: grid_v: found “-1e8”; expected a number below 10,000,000",
        ),
        (
            {"names": "name,type,source\nECC83,EM80,A sheet\n"},
            "names.csv:2:1: name: found “ECC83”; expected a name that leads to no type yet",
        ),
    ],
)
def test_what_cannot_be_read_is_told_at_its_place(files: dict[str, str], told: str) -> None:
    assert "\n".join(read(**files)[1]).startswith(told)


def test_a_row_that_cannot_be_read_leaves_the_others_as_they_are() -> None:
    table, told = read(types=XX11 + "XX12,x,0.2,A sheet,heater,octal,triode\n")
    assert len(told) == 1
    assert table.find("XX11") is not None
    assert table.find("XX12") is None


def test_a_long_file_is_read_to_its_limit_and_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own_tubes, "MOST_ROWS", 20)
    table, told = read(types=TYPES + "".join(f"XX{n}X,6.3,0.2,A sheet,heater,octal,triode\n" for n in range(25)))
    assert told == ["types.csv:22:1: found more than 20 rows; expected at most 20"]
    assert table.find("XX19X") is not None
    assert table.find("XX21X") is None


@settings(max_examples=60)
@given(name=st.sampled_from(FILES), data=st.binary(max_size=300), head=st.booleans())
def test_hostile_files_are_told_of_and_never_raise(name: str, data: bytes, head: bool) -> None:
    start = (",".join(columns_of(name)) + "\n").encode() if head else b""
    table, problems = read_own_table(((f"tube-table/{name}", start + data),))
    assert table.find("12BE6") is not None
    assert all(problem.file == f"tube-table/{name}" and problem.line >= 1 for problem in problems)


def test_the_page_shows_files_that_are_read_and_names_every_column() -> None:
    page = (REPO / "site_src" / "writing" / "tubes.md").read_text(encoding="utf-8")
    shown = dict(re.findall(r"^`(\w+)\.csv`:\n\n```csv\n(.*?)```", page, re.M | re.S))
    table, told = read(**shown)
    assert told == []
    assert tube(table, "RV12P2000").typical[0].gm_siemens == 0.0015
    for name in FILES:
        row = next(line for line in page.splitlines() if line.startswith(f"| `{name}`"))
        assert set(re.findall(r"`([a-z_]+)`", row)) >= set(columns_of(name)), name
