"""What a record names must be there. (What is told where it is not: ``record/messages.txt``.)"""

from __future__ import annotations

from pathlib import Path

import pytest

import bad_records
import makers
from benchleaf.build.follow import References, follow

HEAD = "maker: Larkfield\nmodel: Minuet 5\n"
DEMO = sorted((Path(__file__).parents[1] / "site_src" / "sets").glob("*/record.yml"))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return bad_records.make_sets(tmp_path)


def followed(text: str, folder: Path) -> References:
    record = makers.record(HEAD + text)
    return follow(record, folder, "record.yml")


def told(text: str, folder: Path) -> list[str]:
    return [p.found for p in followed(text, folder).problems]


@pytest.mark.parametrize("path", DEMO, ids=[p.parent.name for p in DEMO])
def test_demo_records_name_nothing_that_is_not_there(path: Path) -> None:
    record = makers.record(path.read_bytes())
    assert follow(record, path.parent, "record.yml").problems == ()


def test_tubes_are_found_by_any_of_their_names(folder: Path) -> None:
    found = followed("tubes:\n  V1: ECC83\n  V2: 50L6-GT\n  V3: UX-280\n", folder)
    assert {position: tube.type for position, tube in found.circuit.tubes.items()} == {
        "V1": "12AX7",
        "V2": "50L6GT",
        "V3": "80",
    }
    assert found.problems == ()


def test_a_tube_of_the_records_own(folder: Path) -> None:
    found = followed("tubes:\n  V1: X9, heater 12.6 V 0.15 A, base octal, pins h k g p h\n", folder)
    assert found.problems == ()
    assert (found.circuit.tubes["V1"].heater.volts, found.circuit.tubes["V1"].heater.amps) == (12.6, 0.15)


def test_an_unknown_type_is_told_once_and_its_readings_not_at_all(folder: Path) -> None:
    readings = "readings:\n  a:\n    V1: plate 90, foo 3\n"
    parts = "parts:\n  C1: keep, 10 nF, between V1 foo and B+\n"
    assert told(f"tubes:\n  V1: QQ1\n{readings}{parts}", folder) == ["“QQ1”"]


def test_a_changed_tube_may_be_one_of_the_records_own(folder: Path) -> None:
    text = "tubes:\n  V1: X9, heater 12.6 V 0.15 A\nchanged tubes:\n  V1: was X9 at 30 % emission, now X9\n"
    assert told(text, folder) == []


def test_only_a_string_needs_every_tube_in_its_order(folder: Path) -> None:
    text = "tubes:\n  V1: 6K7\n  V2: 6F6\nheaters:\n  order: V1\n"
    assert told("power: series string\n" + text, folder) == ["no V2"]
    assert told("power: transformer\n" + text, folder) == []


def test_a_mistyped_position_is_not_told_missing_too(folder: Path) -> None:
    assert told("tubes:\n  V1: 6K7\n  V2: 6F6\nheaters:\n  order: V1, V3\n", folder) == ["“V3”"]


LAMPS = (
    "47",
    "No. 47",
    "'#47'",
    "6.3 V 0.15 A",
    "screw cap, 6.3 V 0.3 A, in series",
    "47 across V1 tap",
    "2 x 47 across LT",
)


@pytest.mark.parametrize("lamp", LAMPS)
def test_lamps_that_are_known(lamp: str, folder: Path) -> None:
    heaters = f"heaters:\n  order: V1, lamp\n  windings:\n    LT: 6.3 V 1 A\n  pilot lamp: {lamp}\n"
    assert told(f"tubes:\n  V1: 35W4\n{heaters}", folder) == []


def test_words_of_both_sides_of_the_ocean_name_one_electrode(folder: Path) -> None:
    text = "tubes:\n  V1: 12BA6\nreadings:\n  a:\n    V1: {}\n"
    assert told(text.format("anode 90, screen 90, k 1, g1 0"), folder) == []
    assert told(text.format("plate 90, anode 91"), folder) == ["“anode”, which is “plate” again"]


def test_a_rail_may_have_any_name(folder: Path) -> None:
    text = "tubes:\n  V1: 12BA6\nreadings:\n  a:\n    B+1: 118\n    HT2: 90\n    AVC: -1.2\n    across R7: 3\n"
    assert told(text, folder) == []
    assert told("tubes:\n  V1: 12BA6\nreadings:\n  a:\n    V2: 118\n", folder) == ["“V2”"]


def test_readings_of_another_set(folder: Path) -> None:
    found = followed(f"readings:\n  similar: from {bad_records.NEIGHBOUR}, the same chassis\n", folder)
    assert found.problems == ()
    assert found.neighbours == {bad_records.NEIGHBOUR: folder.parent / bad_records.NEIGHBOUR / "record.yml"}


def test_readings_of_a_spreadsheet_are_put_in(folder: Path) -> None:
    found = followed(
        "tubes:\n  V1: 12BA6\nreadings:\n  a:\n    table: readings.csv\n    V1: screen 90\n    B+: 90\n", folder
    )
    assert found.tables == {"a": folder / "readings.csv"}
    run = next(iter(found.circuit.record.readings.values()))
    assert {str(name) for name in run.points} == {"V1", "B+"}


def test_slips_of_a_spreadsheet_are_told_in_its_own_lines(folder: Path) -> None:
    (folder / "readings.csv").write_text("V1,plate,90\nV1,palte,91\nV1,grid,many\n", encoding="utf-8")
    found = followed("tubes:\n  V1: 12BA6\nreadings:\n  a: table readings.csv\n", folder)
    assert [(p.file, p.line, p.column, p.found) for p in found.problems] == [
        ("readings.csv", 2, 4, "“palte”"),
        ("readings.csv", 3, 9, "“many”"),
    ]


def test_a_link_out_of_the_folder_is_no_spreadsheet(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "outside.csv").write_text("V1,plate,90\n", encoding="utf-8")
    (folder / "linked.csv").symlink_to(tmp_path / "outside.csv")
    (problem,) = followed("readings:\n  a: table linked.csv\n", folder).problems
    assert problem.found == "“linked.csv”, a link to somewhere outside the set's folder"
    assert (problem.line, problem.column) == (4, 12)
    assert problem.remedy == "put the file itself in place of the link"


def test_photos_by_their_path(folder: Path) -> None:
    found = followed("photos:\n  dial: photos/dial.jpg, repainted\n", folder)
    assert found.problems == ()
    assert found.photos == {"photos/dial.jpg": folder / "photos" / "dial.jpg"}


def test_classes_bands_and_types_in_a_fault_are_no_parts(folder: Path) -> None:
    text = "tubes:\n  V1: 12BA6\nfaults:\n  - found: Y1 and X2 fitted, EL84 tried, B1 band, 12AX7, in C7.jpg, V1 dead\n"
    assert told(text, folder) == []


def test_parts_in_a_fault_are_listed(folder: Path) -> None:
    text = "parts:\n  C7: keep, 10 nF\nfaults:\n  - found: zero with C7 lifted, C70 too.\n"
    found = followed(text, folder)
    assert [(p.line, p.column, p.found) for p in found.problems] == [(6, 33, "“C70”")]


def test_what_the_parts_say_of_themselves_is_looked_at_too(folder: Path) -> None:
    assert told("parts:\n  C1: keep, 470 kohm 10 %\n", folder) != []


def test_many_slips_are_told_in_few_lines(folder: Path) -> None:
    many = "tubes:\n  V1: 6K7\nparts:\n" + "".join(f"  R{n}: 1 kohm, between V9 plate and B+1\n" for n in range(300))
    problems = followed(many, folder).problems
    assert len(problems) == 200
    assert [p.line for p in problems] == list(range(6, 206))


def test_a_second_string_holds_the_tubes_the_first_does_not(folder: Path) -> None:
    tubes = "power: series string\ntubes:\n  V1: 6K7\n  V2: 6F6\nheaters:\n  order: V1\n"
    assert told(tubes, folder) == ["no V2"]
    assert told(tubes + "  second string: V2\n", folder) == []
    assert told(tubes + "  second string: V1\n", folder) == ["no V2", "“V1” a second time"]
    assert told(tubes + "  second string: V2, V9\n", folder) == ["“V9”"]


def test_a_set_of_another_member_is_named_by_its_way_from_the_folder_of_the_sets(tmp_path: Path) -> None:
    (tmp_path / "mkdocs.yml").write_text("site_name: Trial\n")
    places = ("sets/north/one", "sets/north/two", "sets/south/three", "elsewhere/four")
    one, two, three, four = (tmp_path / place for place in places)
    for place in (one, two, three, four):
        place.mkdir(parents=True)
        (place / "record.yml").write_text(HEAD)
    found = followed("readings:\n  a: from two\n  b: from south/three\n", one)
    assert found.problems == ()
    assert found.neighbours == {"two": two / "record.yml", "south/three": three / "record.yml"}
    assert told("readings:\n  a: from north/one\n", one) == ["“north/one”, this set itself"]
    outside = tmp_path.parent / "outside" / "five"
    outside.mkdir(parents=True)
    (outside / "record.yml").write_text(HEAD)
    for wrong in ("three", "../south/three", "south/../south/three", "outside/five", "/south/three"):
        assert told(f"readings:\n  a: from {wrong}\n", one) == [f"“{wrong}”"], wrong
    (problem,) = followed("readings:\n  a: from south/thre\n", one).problems
    assert problem.remedy == "did you mean “south/three”?"


def test_a_section_of_a_listed_can_may_be_reformed(folder: Path) -> None:
    text = "parts:\n  C12:\n    sections:\n      a: was 40 uF 150 V\nreforming:\n  C12 a:\n    note: slow\n"
    assert told(text, folder) == []
    assert told(text.replace("C12 a:", "C13 a:"), folder) == ["“C13 a”"]


@pytest.mark.parametrize(
    ("feeds", "found"),
    [
        ("V1 V2", []),
        ("V1, V2", []),
        ("V1 and V2", []),
        ("V1 and dial lamp", []),
        ("V1 V9", ["“V9”"]),
        ("V1 Vee", ["“Vee”"]),
    ],
)
def test_what_a_winding_feeds_is_a_tube_or_the_lamp(feeds: str, found: list[str], folder: Path) -> None:
    text = f"tubes:\n  V1: 6A8\n  V2: 6K7\nheaters:\n  windings:\n    LT:\n      volts: 6.3 V\n      feeds: {feeds}\n"
    assert told(text, folder) == found


CAN = "parts:\n  C12:\n    between: B+1 and B-\n    sections:\n      a: was 40 uF 150 V, now 47 uF 160 V{}\n"


@pytest.mark.parametrize(
    ("section", "found"),
    [
        (", positive B+1", []),
        (", positive B+2", ["“B+2”"]),
        (", between B+2 and B-, positive B+2", []),
        (", between B+2 and B-, positive B+1", ["“B+1”"]),
    ],
)
def test_a_section_of_a_can_lies_where_its_can_does_unless_it_says_where(
    section: str, found: list[str], folder: Path
) -> None:
    assert told(CAN.format(section), folder) == found


@pytest.mark.parametrize(("ohms", "found"), [("19", 1), ("20", 0), ("999", 0), ("1000", 1), ("1040", 1), ("5 k", 1)])
def test_ohms_of_an_output_transformer_that_may_be_what_it_matches_are_asked(
    ohms: str, found: int, folder: Path
) -> None:
    """Its primary's wire has 20 ohm to under a thousand: common practice, no source."""
    assert len(told(f"parts:\n  T1: keep, {ohms} ohm, job output transformer\n", folder)) == found
