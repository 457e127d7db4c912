"""Every row of the package's CSV tables is well formed, plausible, and names its sources."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import benchleaf.tubes as tubes
from benchleaf.tubes.build_tube import parts_of
from benchleaf.tubes.tables import read_table, role_rows
from benchleaf.tubes.tube import TOP_CAP

PACKAGE = Path(tubes.__file__).parent
COLUMNS = {
    "types.csv": (
        "type,heater_volts,heater_amps,heater_source,parallel_volts,parallel_amps,tap_volts,tap_source,cathode,"
        "base,top_cap,role,identity_source,disagreement,notes"
    ),
    "pins.csv": "type,pin,electrode,source,notes",
    "ratings.csv": (
        "type,section,condition,plate_w,plate_v,screen_w,screen_v,cathode_ma,dc_ma,rating_system,source,notes"
    ),
    "typical.csv": (
        "type,section,use,plate_v,screen_v,grid_v,plate_ma,screen_ma,cathode_ohms,load_ohms,mu,gm_siemens,rp_ohms,"
        "source,notes"
    ),
    "rectifiers.csv": "type,figure,value,at_ma,source,notes",
    "names.csv": "name,type,relation,source",
    "lamps.csv": "lamp,volts,amps,bead,base,source,bead_source,notes",
    "sources.csv": "key,title,kind",
    "roles.csv": "role,profile,sections",
    "words.csv": "profile,key,also",
    "kin.csv": "type,kin,shares,source",
    "fitted_models.csv": "type,section,name,form,parameters,fitted_to,source",
    "barretters.csv": "type,low_volts,high_volts,amps,source,notes",
    "indicators.csv": "type,target_v,load_ohms,target_ma,closed_v,second_closed_v,source,notes",
}
SOURCED = (
    "types.csv",
    "pins.csv",
    "ratings.csv",
    "rectifiers.csv",
    "typical.csv",
    "names.csv",
    "lamps.csv",
    "indicators.csv",
    "kin.csv",
    "barretters.csv",
    "fitted_models.csv",
)
# Plausible for receiving types, in the tables' own units: common practice, no source.
RANGES = {
    "heater_volts": (1.0, 120.0),
    "heater_amps": (0.02, 3.1),
    "parallel_volts": (1.0, 15.0),
    "parallel_amps": (0.04, 1.0),
    "tap_volts": (2.0, 15.0),
    "plate_w": (0.1, 45.0),
    "plate_v": (20.0, 800.0),
    "screen_w": (0.1, 10.0),
    "screen_v": (20.0, 650.0),
    "cathode_ma": (2.0, 250.0),
    "dc_ma": (5.0, 300.0),
    "grid_v": (-90.0, 0.0),
    "plate_ma": (0.1, 150.0),
    "screen_ma": (0.1, 20.0),
    "cathode_ohms": (50.0, 5000.0),
    "load_ohms": (500.0, 25000.0),
    "mu": (3.0, 120.0),
    "gm_siemens": (2e-4, 2e-2),
    "rp_ohms": (500.0, 3e6),
    "volts": (1.0, 30.0),
    "amps": (0.02, 1.0),
}
KEYS = "a a1 a2 at ar g g1 g2 g3 g4 g5 g6 gt k k1 k2 kt kr d d1 d2 d3 h ht f f+ f- fmid s shell shield nc ic t r"


@pytest.mark.parametrize("name", COLUMNS)
def test_every_row_has_every_column_and_no_other(name: str) -> None:
    with (PACKAGE / name).open(encoding="utf-8", newline="") as table:
        rows = list(csv.reader(table))
    assert ",".join(rows[0]) == COLUMNS[name]
    assert len(rows) > 1
    assert [row for row in rows if len(row) != len(rows[0])] == []
    assert [cell for row in rows for cell in row if cell != cell.strip()] == []


@pytest.mark.parametrize("name", ["types.csv", "ratings.csv", "typical.csv", "lamps.csv"])
def test_figures_are_numbers_in_a_plausible_range(name: str) -> None:
    for row in read_table(name):
        for column, (low, high) in RANGES.items():
            if row.get(column):
                assert low <= float(row[column]) <= high, (name, row, column)


def test_at_least_350_receiving_types_each_once() -> None:
    types = [row["type"] for row in read_table("types.csv")]
    assert len(types) >= 350
    assert len(set(types)) == len(types)


def test_every_value_names_a_source_that_is_in_the_list() -> None:
    known = {row["key"] for row in read_table("sources.csv")}
    for name in SOURCED:
        for row in read_table(name):
            needed: list[str] = [column for column in ("heater_source", "identity_source", "source") if column in row]
            needed += ["tap_source"] if row.get("tap_volts") else []
            needed += ["bead_source"] if row.get("bead") else []
            for column in needed:
                assert row[column], (name, row, column)
                assert set(row[column].split()) <= known, (name, row, column)


def test_every_listed_source_is_used_and_says_what_it_is() -> None:
    used: set[str] = set()
    for name in SOURCED:
        for row in read_table(name):
            for column in ("heater_source", "identity_source", "tap_source", "bead_source", "source"):
                used.update(row.get(column, "").split())
    rows = read_table("sources.csv")
    assert {row["key"] for row in rows} == used
    kinds = {"data sheet", "quoted sheet", "reference", "symbols", "list", "model", "memory"}
    assert all(row["title"] and row["kind"] in kinds for row in rows)
    assert [row["title"] for row in rows if row["kind"] == "memory"] == ["from memory"]


def test_bases_and_roles_come_from_the_vocabularies() -> None:
    for row in read_table("types.csv"):
        assert row["base"] in tubes.PIN_COUNT, row
        assert row["role"] in role_rows(), row
        assert row["cathode"] in ("heater", "filament"), row
        assert row["top_cap"] in ("yes", "no"), row
    profiles = {row["profile"] for row in read_table("words.csv")}
    assert {row["profile"] for row in role_rows().values()} <= profiles
    assert {row["role"] for row in read_table("types.csv")} == set(role_rows())


def test_pins_lie_within_the_base_and_lead_to_known_electrodes() -> None:
    seen = set()
    for row in read_table("pins.csv"):
        tube = tubes.find(row["type"])
        assert tube is not None
        assert tube.base is not None
        if row["pin"] == TOP_CAP:
            assert tube.top_cap, row
        else:
            assert 1 <= int(row["pin"]) <= tubes.PIN_COUNT[tube.base], row
        assert set(parts_of(row["electrode"])) <= set(KEYS.split()), row
        assert (row["type"], row["pin"]) not in seen, row
        seen.add((row["type"], row["pin"]))


def test_every_tube_with_pins_has_two_heater_ends_and_a_plate() -> None:
    for name in tubes.all_types():
        tube = tubes.find(name)
        assert tube is not None
        if not tube.pin_rows:
            continue
        parts = [part for electrode in tube.pins.values() for part in parts_of(electrode)]
        ends = [part for part in parts if part in ("h", "f", "f+", "f-")]
        assert len(ends) >= 2, name
        assert any(part in ("a", "a1", "a2") for part in parts), name
        assert tube.heater.direct == bool(set(parts) & {"f", "f+", "f-"}), name


def test_every_section_has_a_plate_or_diode_and_the_role_explains_every_grid() -> None:
    for name in tubes.all_types():
        tube = tubes.find(name)
        assert tube is not None
        assert tube.sections, name
        if not tube.pin_rows:
            continue
        for section in tube.sections:
            assert any(key[0] in "ad" for key in section.electrodes), (name, section)
        in_sections = {key for section in tube.sections for key in section.electrodes}
        parts = {part for electrode in tube.pins.values() for part in parts_of(electrode)}
        grids_and_plates = {part for part in parts if part[0] in "agdt" and part != "shell"}
        assert grids_and_plates <= in_sections | {"g5"}, (name, grids_and_plates - in_sections)


def test_kin_are_other_types_of_the_table_each_pair_once() -> None:
    types = {row["type"] for row in read_table("types.csv")}
    pairs = [frozenset((row["type"], row["kin"])) for row in read_table("kin.csv")]
    assert all(len(pair) == 2 and pair <= types for pair in pairs)
    assert len(set(pairs)) == len(pairs)
    assert {row["shares"] for row in read_table("kin.csv")} == {"system", "triode", "pins"}


def test_no_row_carries_a_place_on_a_machine_or_a_link() -> None:
    for name in COLUMNS:
        text = (PACKAGE / name).read_text(encoding="utf-8")
        assert not [word for word in ("http", "github", "/home", "/tmp", "/work") if word in text.lower()]
