"""What may be ordered together and what never is, the ratings of today, and the list by set and by member."""

from __future__ import annotations

import csv
import io
import json
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import makers
from benchleaf.archive.order_views import WAYS, written
from benchleaf.archive.orders import Order, order
from benchleaf.archive.ratings_made import volts_made, watts_made
from benchleaf.archive.stock import InDrawer, read_stock
from benchleaf.archive.wanted_parts import WantedPart, as_dict, from_dict, wanted
from benchleaf.cli.main import main

HEAD = "maker: A\nmodel: B\nline: 120 V 60 Hz\npower: series string\nchassis: through R and C\nstate: on the bench\n"


def asked(*parts: str, line: str = "120 V 60 Hz") -> tuple[WantedPart, ...]:
    """What a transformerless set waits for, each part named C1, C2 … or as it is written."""
    lines = "".join(
        f"  {part if ':' in part.split(',')[0] else f'C{n}: to do, {part}'}\n" for n, part in enumerate(parts, 1)
    )
    bench = makers.bench(f"{HEAD.replace('120 V 60 Hz', line)}parts:\n{lines}", tubes={"V4": "50C5", "V5": "35W4"})
    examined: Any = SimpleNamespace(
        record=bench.record, bench=bench, findings={"parts": makers.findings("parts", bench)}
    )
    return wanted(examined, "one")


def items(*parts: str, **more: Any) -> list[tuple[float, str, float | None, int]]:
    return [
        (i.value, i.sort, i.volts if i.unit == "F" else i.watts, i.count) for i in order(asked(*parts), **more).items
    ]


def drawer(text: str) -> tuple[InDrawer, ...]:
    found, problems = read_stock(text.encode(), "stock.csv")
    assert problems == []
    return found


# The value
def test_one_part_is_listed_and_a_pair_only_on_request() -> None:
    (one,) = order(asked("25 uF 25 V electrolytic")).items
    assert (one.value, one.others, one.count) == (pytest.approx(22e-6), (pytest.approx(33e-6),), 1)
    two = order(asked("25 uF 25 V electrolytic", "10 uF 25 V electrolytic"), pairs=True)
    assert [(i.value, i.count) for i in two.items] == [(pytest.approx(10e-6), 2), (pytest.approx(15e-6), 1)]
    said = written(two, "part", "text")
    assert "for one: C1 (one of a pair: 10 µF and 15 µF in parallel), C2" in said
    assert "C1: 15 µF, 25 V at least, electrolytic (one of a pair: 10 µF and 15 µF in parallel)" in written(
        two, "set", "text"
    )


def test_without_one_inside_the_tolerance_the_old_value_is_listed_and_said() -> None:
    (one,) = order(asked("25 uF 5 % 25 V electrolytic")).items
    assert (one.value, one.single) == (25e-6, False)
    assert "25 µF, no one value made lies inside the old tolerance, 25 V" in written(
        order(asked("25 uF 5 % 25 V electrolytic")), "part", "text"
    )


def test_values_that_serve_one_place_only_are_not_offered_for_both() -> None:
    """25 µF may be 22 or 33; 20 µF (16 to 30) may be 22 alone."""
    (one,) = order(asked("25 uF 25 V electrolytic", "20 uF 25 V electrolytic")).items
    assert (one.count, one.others) == (2, ())


def test_a_part_without_a_value_is_listed_and_never_left_off() -> None:
    """Each stands by itself, as nobody knows whether two of them are one sort; no drawer serves it."""
    parts = ["C1: to do", "C2: to do, 400 V paper", "C3: to do, 25 V electrolytic", "R4: to do, 1 W"]
    parts += ["T1: to do, output transformer", "C6: to do", "C7: {state: to do, was: none, sheet: 47 nF 400 V film}"]
    found = order(asked(*parts), drawer("part,count,price\n47 nF 630 V film,9,0.35 EUR\n"))
    assert [(i.value, i.sort, i.volts or i.watts, i.order, i.places[0].part) for i in found.items] == [
        (None, "output transformer", None, 1, "T1"),
        (None, "capacitor", None, 1, "C1"), (None, "capacitor", None, 1, "C6"),
        (None, "electrolytic", 25.0, 1, "C3"), (pytest.approx(47e-9), "film", 400.0, 0, "C7"),
        (None, "film", 400.0, 1, "C2"), (None, "resistor", 1.0, 1, "R4"),
    ]  # fmt: skip
    for way in WAYS:
        assert written(found, way, "text").count("value not known: read it off the part, ") >= 6
        rows = csv.DictReader(io.StringIO(written(found, way, "csv"), newline=""))
        assert sum(row["value"] == "value not known: read it off the part" for row in rows) == 6
        assert written(found, way, "json").count('"value": null') >= 6
    assert from_dict(json.loads(json.dumps(as_dict(found.items[0].places[0])))) == found.items[0].places[0]


# The rating
@pytest.mark.parametrize(
    ("line", "part", "asked_for", "made"),
    [
        ("120 V 60 Hz", "was: 47 nF 400 V paper, between: [line, B-]", 132.0, 250.0),
        ("240 V 50 Hz", "was: 47 nF 400 V paper, between: [line, B-]", 264.0, 275.0),
        ("240 V 50 Hz", "was: 4.7 nF 400 V paper, between: [line, chassis]", 264.0, 300.0),
        ("220 V 50 Hz", "was: 4.7 nF 400 V paper, between: [line, chassis]", 242.0, 250.0),
        ("120 V 60 Hz", "was: 47 nF 440 V AC X1", 440.0, 440.0),
        ("120 V 60 Hz", "was: 47 nF 250 V AC paper", 250.0, 250.0),
    ],
)
def test_a_capacitor_of_a_class_has_its_rating_on_ac(line: str, part: str, asked_for: float, made: float) -> None:
    """The line at its highest, a tenth over the nominal one, RMS: a rating below it is found at fault on its page."""
    (one,) = asked(f"C1: {{state: to do, {part}}}", line=line)
    assert one.ac_volts == pytest.approx(asked_for)
    found = order([one])
    assert (found.items[0].volts, found.items[0].ac_volts, found.items[0].unknown_rating) == (None, made, False)
    assert f", {made:g} V AC at least, " in written(found, "part", "text")
    (row,) = csv.DictReader(io.StringIO(written(found, "part", "csv"), newline=""))
    assert (row["rating (V)"], row["rating (V AC)"]) == ("", f"{made:g}")
    assert json.loads(written(found, "set", "json"))["sets"][0]["parts"][0]["rating_volts_ac"] == made


def test_the_drawer_serves_a_class_with_a_rating_that_is_enough() -> None:
    one = WantedPart("one", "C1", 47e-9, "F", "class X2", ac_volts=264.0)
    for written_, serves in (
        ("47 nF X2", 1),
        ("47 nF 275 V AC X2", 1),
        ("47 nF 250 V AC X1", 0),
        ("47 nF 300 V AC Y2", 1),
    ):
        (line,) = order([one], drawer(f"part,count\n{written_},1\n")).items
        assert line.in_stock == serves, written_


def test_the_rating_is_the_highest_of_sheet_old_part_and_place() -> None:
    """A place between B+1 and B- sees the crest of 132 V at most, √2 · 1.1 · 120 = 186.7 V."""
    for line, most in (
        ("C1: {state: to do, sheet: 47 nF 400 V film, was: 47 nF 200 V film, PLACE}", 400.0),
        ("C1: {state: to do, sheet: 47 nF 100 V film, was: 47 nF 200 V film, PLACE}", 200.0),
        ("C1: {state: to do, sheet: 47 nF 100 V film, was: 47 nF 150 V film, PLACE}", pytest.approx(186.7, abs=0.05)),
        ("C1: {state: to do, was: 47 nF 150 V film, now: 47 nF 630 V film, PLACE}", 630.0),
    ):
        (one,) = asked(line.replace("PLACE", "between: [B+1, B-]"))
        assert one.volts == most, line


def test_the_watts_are_the_highest_too() -> None:
    (one,) = asked("R1: {state: to do, sheet: 1 kohm 2 W, was: 1 kohm 1 W}")
    assert one.watts == 2.0


@pytest.mark.parametrize(
    ("kind", "need", "made"),
    [
        ("electrolytic", 12.0, 16.0), ("electrolytic", 150.0, 160.0), ("electrolytic", 451.0, 500.0),
        ("electrolytic", 700.0, 700.0), ("film", 200.0, 250.0), ("film", 600.0, 630.0), ("film", 400.0, 400.0),
        ("film, line side", 300.0, 400.0), ("ceramic", 350.0, 500.0), ("silver mica", 350.0, 500.0),
        ("capacitor", 25.0, 63.0), ("film", None, None),
    ],
)  # fmt: skip
def test_ratings_are_those_of_today(kind: str, need: float | None, made: float | None) -> None:
    """Common practice of those who sell parts, no source; above the highest the need itself."""
    assert volts_made(kind, [need]) == made
    assert watts_made([0.3, 1.6]) == 2.0


# What never merges
def test_a_cathode_bypass_never_merges_with_a_capacitor_of_the_high_voltage() -> None:
    assert items(
        "22 uF 12 V electrolytic, cathode bypass", "22 uF 450 V electrolytic, filter", "22 uF 25 V electrolytic"
    ) == [
        (22e-6, "electrolytic", 450.0, 1),
        (22e-6, "electrolytic", 25.0, 2),
    ]


def test_a_place_whose_rating_nobody_knows_stands_by_itself() -> None:
    made = order(asked("47 nF film", "47 nF 400 V film")).items
    assert [(i.volts, i.unknown_rating) for i in made] == [(400.0, False), (None, True)]


def test_a_large_resistor_is_not_ordered_for_a_small_one() -> None:
    assert items("R1: to do, 1 kohm 10 W", "R2: to do, 1 kohm 1/2 W", "R3: to do, 1 kohm 1 W carbon film") == [
        (1e3, "resistor", 10.0, 1),
        (1e3, "resistor", 1.0, 2),
    ]


def test_a_part_at_the_line_keeps_its_class_and_merges_only_with_its_like() -> None:
    made = items(
        "C1: {state: to do, was: 47 nF 400 V paper, between: [line, B-]}",
        "C2: {state: to do, was: 47 nF X1, between: [line, B-]}",
        "C3: {state: to do, was: 47 nF 400 V paper, between: [B-, chassis]}",
        "C4: to do, 47 nF 400 V paper",
        "C5: to do, 47 nF X2",
        "C6: {state: to do, was: 47 nF Y2, between: [B-, chassis]}",
    )
    assert made == [
        (47e-9, "class X", None, 1),
        (47e-9, "class X1", None, 1),
        (47e-9, "class X2", None, 1),
        (47e-9, "class Y1", None, 2),
        (47e-9, "film", 400.0, 1),
    ]


@pytest.mark.parametrize(
    ("needed", "serve"),
    [
        ("X", {"X1", "X2", "Y1", "Y2", "X1/Y2"}), ("X1", {"X1", "X1/Y2", "Y1", "Y2"}), ("Y1", {"Y1"}),
        ("Y2", {"Y1", "Y2", "X1/Y2"}), ("X1/Y2", {"X1/Y2", "Y1", "Y2"}),
    ],
)  # fmt: skip
def test_the_drawer_serves_with_the_class_or_a_higher_one(needed: str, serve: set[str]) -> None:
    one = WantedPart("one", "C1", 47e-9, "F", f"class {needed}")
    for has in ("X1", "X2", "Y1", "Y2", "X1/Y2", ""):
        (line,) = order([one], [InDrawer("", 1, 47e-9, "F", 630.0, None, "film", has)]).items
        if has != "X2" or needed != "X1":
            assert (line.in_stock == 1) is (has in serve), has


def test_a_volume_control_is_not_ordered_as_a_resistor() -> None:
    assert items("R1: to do, volume control, 500 kohm", "R2: to do, 500 kohm") == [
        (500e3, "potentiometer", None, 1),
        (470e3, "resistor", None, 1),
    ]


@pytest.mark.parametrize("name", ["VR1", "RV1", "P1", "vr 1"])
def test_what_is_named_as_turned_is_not_ordered_as_a_resistor(name: str) -> None:
    assert items(f"{name}: to do, 500 kohm") == [(500e3, "potentiometer", None, 1)]
    assert items(f"{name}: to do, 500 kohm wirewound")[0][1] == "wirewound"


def test_what_burns_open_stays_what_it_was() -> None:
    made = order(
        asked(
            "R1: to do, 47 ohm 2 W fusible", "R2: to do, 47 ohm 2 W", "R3: to do, 47 ohm 2 W flame-proof metal film",
            "R4: {state: to do, was: 47 ohm 2 W, between: [line, V5 plate]}",
        ),
        drawer("part,count\n47 ohm 5 W wirewound,9\n47 ohm 2 W fusible,1\n"),
    ).items  # fmt: skip
    assert [(i.sort, i.count, i.in_stock) for i in made] == [
        ("flameproof", 1, 0),
        ("fusible", 1, 1),
        ("resistor", 1, 1),
        ("resistor, line side", 1, 1),
    ]


def test_a_plain_part_of_the_drawer_goes_into_no_place_at_the_line() -> None:
    at_line = WantedPart("one", "C1", 47e-9, "F", "film, line side", 400.0)
    has = [InDrawer("", 1, 47e-9, "F", 630.0, None, "film", safety) for safety in ("", "X2")]
    assert [order([at_line], [one]).items[0].in_stock for one in has] == [0, 1]


# By set, by member
def club() -> Order:
    def one(set_: str, part: str, member: str, value: float = 47e-9) -> WantedPart:
        return WantedPart(set_, part, value, "F", "film", 400.0, member=member)

    parts = [
        one("A, R. Alder", "C10", "R. Alder"),
        one("A, R. Alder", "C9", "R. Alder"),
        one("A, I. Sand", "C1", "I. Sand"),
    ]
    parts += [one("Z", "C1", ""), one("A, I. Sand", "C2", "I. Sand", 1e-6)]
    return order(parts, drawer("part,count,price\n47 nF 630 V film,3,0.35 EUR\n"), spare=0.5)


def test_the_bill_by_member_comes_to_what_is_ordered() -> None:
    """Four of 47 nF and two spare at 0.35 EUR, less three in the drawer: three to buy, 1.05 EUR."""
    data = json.loads(written(club(), "member", "json"))
    assert [(m["member"], m["costs"]) for m in data["members"]] == [
        ("I. Sand", {"EUR": "0.35"}),
        ("R. Alder", {"EUR": "0.70"}),
        (None, {"EUR": "0.35"}),
    ]
    assert (data["spare_parts"], data["from_the_drawer"], data["costs"]) == (
        {"EUR": "0.70"},
        {"EUR": "1.05"},
        {"EUR": "1.05"},
    )
    shares = sum(Decimal(m["costs"]["EUR"]) for m in data["members"])
    assert shares + Decimal("0.70") - Decimal("1.05") == Decimal(data["costs"]["EUR"])
    rows = list(csv.DictReader(io.StringIO(written(club(), "member", "csv"), newline="")))
    assert sum(Decimal(row["cost"]) for row in rows if row["cost"]) == Decimal("1.05")
    assert [row["member"] for row in rows][-3:] == ["spare parts", "from the drawer", "spare parts"]


def test_what_has_no_price_is_listed_every_way() -> None:
    for way in WAYS:
        assert json.loads(written(club(), way, "json"))["without_price"] == [
            {"value": 1e-6, "unit": "F", "sort": "film"}
        ]
    for way in ("part", "member"):
        assert "Without a price, and so in no sum:\n      2 × 1 µF, 400 V at least, film\n" in written(
            club(), way, "text"
        )
    assert "1 × 1 µF, 400 V at least, film: no price" in written(club(), "member", "text")


def test_by_set_each_set_has_its_parts_in_the_order_of_their_names() -> None:
    data = json.loads(written(club(), "set", "json"))
    assert [(s["set"], s["member"], [p["part"] for p in s["parts"]]) for s in data["sets"]] == [
        ("A, I. Sand", "I. Sand", ["C1", "C2"]),
        ("A, R. Alder", "R. Alder", ["C9", "C10"]),
        ("Z", None, ["C1"]),
    ]
    rows = list(csv.DictReader(io.StringIO(written(club(), "set", "csv"), newline="")))
    assert [(r["set"], r["part"], r["value"], r["unit"], r["rating (V)"], r["price"]) for r in rows][:2] == [
        ("A, I. Sand", "C1", "47", "nF", "400", "0.35"),
        ("A, I. Sand", "C2", "1", "uF", "400", ""),
    ]
    assert written(club(), "set", "text").startswith("A, I. Sand\n[ ] C1: 47 nF, 400 V at least, film\n")
    for way in WAYS:
        for form in ("text", "csv", "json"):
            assert written(Order(()), way, form)


def test_kept_and_back_with_a_pair() -> None:
    (one,) = asked("25 uF 25 V electrolytic")
    assert from_dict(json.loads(json.dumps(as_dict(one)))) == one


# The command
@pytest.fixture
def sets(tmp_path: Path) -> Path:
    for folder, more in (("r-alder/b", "member: R. Alder\n"), ("i-sand/b", ""), ("c", "called: the kitchen one\n")):
        (tmp_path / "sets" / folder).mkdir(parents=True)
        (tmp_path / "sets" / folder / "record.yml").write_text(f"{HEAD}{more}parts:\n  C1: to do, 50 nF 400 V paper\n")
    (tmp_path / "sets/stock.csv").write_text("part,count,price\n47 nF 630 V film,1,0.35 EUR\n")
    return tmp_path / "sets"


def test_two_sets_of_one_model_and_the_drawer_beside_the_records(
    sets: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["order", str(sets), "--to", "csv", "--decimals", "comma"]) == 0
    (row,) = csv.DictReader(io.StringIO(capsys.readouterr().out, newline=""), delimiter=";")
    assert row["for"] == "A B, the kitchen one: C1, A B, i-sand: C1, A B, R. Alder: C1".replace("C1, A", "C1; A")
    assert (row["needed"], row["in stock"], row["order"], row["cost"]) == ("3", "1", "2", "0,70")
    assert main(["order", str(sets), "--by", "member", "--to", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [one["member"] for one in data["members"]] == ["i-sand", "R. Alder", None]


def test_a_drawer_that_is_named_counts_alone(sets: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "other.csv").write_text("part,count\n47 nF 630 V film,9\nnonsense,1\n")
    assert main(["order", str(sets), "--stock", str(tmp_path / "other.csv"), "--to", "json"]) == 1
    shown = capsys.readouterr()
    assert json.loads(shown.out)["lines"][0]["order"] == 0
    assert "other.csv:3:1" in shown.err
    assert main(["order", str(sets), "--stock", str(tmp_path / "none.csv")]) == 2
