"""What to order for all open sets, what is in the drawer, and the commands about parts."""

from __future__ import annotations

import csv
import io
import json
import re
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import makers
from benchleaf.archive.on_card import for_card
from benchleaf.archive.order_list import as_csv, as_json, as_text
from benchleaf.archive.orders import NotUnderstood, Order, order
from benchleaf.archive.page import archive_page
from benchleaf.archive.part_counts import Looked, across, looked_at
from benchleaf.archive.stock import InDrawer, read_stock
from benchleaf.archive.wanted_parts import WantedPart, as_dict, from_dict, wanted
from benchleaf.cli import marking as cli_marking
from benchleaf.cli import ordering as cli_order
from benchleaf.pages.set_page import Choices


def examined(parts: str, head: str = "state: on the bench\n") -> Any:
    text = f"maker: A\nmodel: B\nline: 120 V 60 Hz\npower: series string\n{head}parts:\n{parts}"
    bench = makers.bench(makers.record(text), tubes={"V4": "50C5"})
    return SimpleNamespace(record=bench.record, bench=bench, findings={"parts": makers.findings("parts", bench)})


def need(value: float = 47e-9, volts: float | None = 200.0, name: str = "one", sort: str = "film") -> WantedPart:
    return WantedPart(name, "C1", value, "F", sort, volts)


def drawer(text: str) -> tuple[InDrawer, ...]:
    found, problems = read_stock(text.encode(), "stock.csv")
    assert problems == []
    return found


def test_equal_values_stand_together_with_the_lowest_rating_that_serves_all() -> None:
    """200 V and 187 V are served by 250 V, as film is made; 0.05 µF paper is asked for as 47 nF film."""
    places = [*wanted(examined("  C1: to do, 0.05 uF 200 V paper\n  C2: to do, 50 nF 150 V wax paper\n"), "one")]
    places += wanted(examined("  C3: to do, 0.047 uF 160 V film, between B+1 and B-\n"), "two")
    (line,) = order(places).items
    assert (line.value, line.sort, line.count, line.volts) == (47e-9, "film", 3, 250.0)
    assert line.wanted == (("one", "C1"), ("one", "C2"), ("two", "C3"))
    assert line.unknown_rating is False


def test_a_finished_set_and_parts_on_order_want_nothing() -> None:
    assert wanted(examined("  C1: to do, 50 nF paper\n", "state: finished\n")) == ()
    assert wanted(examined("  C1: {was: 50 nF paper, now: 47 nF film, ordered: 2026-01-02}\n")) == ()
    assert wanted(examined("  C1: keep, 50 nF paper\n")) == ()


def test_a_place_for_a_class_asks_for_the_class() -> None:
    (one,) = wanted(examined("  C3: to do, 0.05 uF 400 V paper, between line and chassis\n"))
    assert (one.sort, one.volts) == ("class Y1", None)
    (line,) = order([one], drawer("part,count\n47 nF 630 V film,5\n47 nF Y2,2\n47 nF Y1,1\n")).items
    assert (line.in_stock, line.order) == (1, 0)
    (line,) = order([one], drawer("part,count\n47 nF Y2,2\n")).items
    assert (line.in_stock, line.order) == (0, 1)


def test_the_stock_may_come_from_any_spreadsheet_program() -> None:
    typed = "My drawer;;\r\nPart;Qty;Price\r\n47 nF 630 V film;12;0,35 €\r\n;;\r\n4,7 µF 63 V;3;\r\n"
    found, problems = read_stock(typed.encode("cp1252"), "stock.csv")
    assert problems == []
    assert [(one.value, one.count, str(one.price), one.currency) for one in found] == [
        (47e-9, 12, "0.35", "EUR"),
        (pytest.approx(4.7e-6), 3, "None", ""),
    ]


def test_spare_and_stock() -> None:
    places = [need(name=str(i)) for i in range(12)]
    (line,) = order(places, drawer("part,count\n47 nF 630 V film,5\n47 nF 100 V film,9\n"), spare=0.1).items
    assert (line.count, line.spare, line.in_stock, line.order) == (12, 2, 5, 9)


def test_the_drawer_is_emptied_once_and_lowest_rating_first() -> None:
    stock = drawer("part,count\n47 nF 630 V film,1\n47 nF 250 V film,1\n")
    lines = order([need(), need(volts=400.0, sort="capacitor")], stock).items
    assert [line.in_stock for line in lines] == [1, 1]


def test_costs_by_currency() -> None:
    stock = drawer('part,count,price\n47 nF 630 V film,1,0.35 EUR\n1 kohm 2 W,0,$0.20\n"10 nF film",0,"£ 0,15"\n')
    watts = WantedPart("one", "R1", 1e3, "ohm", "resistor", None, 1.6)
    found = order([need(), need(), need(), watts, need(10e-9, None)], stock)
    assert found.costs == (("EUR", Decimal("0.70")), ("GBP", Decimal("0.15")), ("USD", Decimal("0.20")))
    assert [line.watts for line in found.items if line.unit == "ohm"] == [2.0]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("foo,2,", "one part with its value"),
        ("47 nF,many,", "a count"),
        ("47 nF,2,1.20", "a price with its currency"),
        ("47 nF and 10 nF,2,", "one part"),
        ("47 nF " * 3000 + ",2,", "17,999 characters; expected one part in at most 300"),
    ],
)
def test_lines_of_the_drawer_that_cannot_be_read(line: str, said: str) -> None:
    found, problems = read_stock(f"part,count,price\n1 kohm,3,\n{line}\n".encode(), "stock.csv")
    assert len(found) == 1
    assert str(problems[0]).startswith("stock.csv:3:1")
    assert said in str(problems[0])


def test_a_drawer_without_headings_is_said() -> None:
    assert "headings part, count" in str(read_stock(b"47 nF,2\n", "stock.csv")[1][0])
    assert read_stock(b"", "stock.csv")[1]


def test_csv_json_and_print_say_the_same() -> None:
    found = order([need(name="=Evil"), need(10e-9)], drawer("part,count,price\n10 nF 400 V,0,0.10 EUR\n"))
    rows = list(csv.DictReader(io.StringIO(as_csv(found), newline="")))
    data = json.loads(as_json(found))
    assert [(r["value"], r["unit"], r["order"]) for r in rows] == [("10", "nF", "1"), ("47", "nF", "1")]
    assert rows[1]["for"] == "'=Evil: C1"
    assert [line["order"] for line in data["lines"]] == [1, 1]
    assert data["costs"] == {"EUR": "0.10"}
    assert "1 × 47 nF, 250 V at least, film" in as_text(found)
    assert as_text(Order(())) == "Nothing to order.\n"


def test_what_was_not_understood_is_said_in_every_form() -> None:
    found = order([need()], not_understood=[NotUnderstood("=A B", (5, 7)), NotUnderstood("C D")])
    *_, row, last = csv.DictReader(io.StringIO(as_csv(found), newline=""))
    assert (row["sort"], row["value"], row["order"], row["for"]) == ("not understood", "", "", "'=A B: lines 5 and 7")
    assert last["for"] == "C D: nothing of it could be read"
    assert json.loads(as_json(found))["not_understood"] == [
        {"set": "=A B", "lines": [5, 7]},
        {"set": "C D", "lines": []},
    ]
    said = "Not understood, so that parts may be missing here:\n      =A B: lines 5 and 7\n"
    assert said in as_text(found)
    assert said in as_text(order([], not_understood=found.not_understood))


def test_the_command_says_which_lines_it_could_not_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    parts = "parts:\n  C1: to do, 50 nF paper\n  R1: to do, 470k, 680k\n"
    for name, state in (("one", "on the bench"), ("two", "finished")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "record.yml").write_text(f"maker: A\nmodel: {name}\nstate: {state}\n{parts}")
    (tmp_path / "three").mkdir()
    (tmp_path / "three" / "record.yml").write_text("[")
    assert run("order", str(tmp_path), "--to", "json") == 1
    data = json.loads(capsys.readouterr().out)
    file = str(tmp_path / "three" / "record.yml")
    assert data["not_understood"] == [{"set": "A one", "lines": [6]}, {"set": file, "lines": []}]
    assert len(data["lines"]) == 1


def test_the_archive_says_by_member_what_was_not_understood() -> None:
    def page(name: str, by: str, state: str = "on the bench", **card: Any) -> Any:
        return makers.carded_page(name, name, state=state, by=by, not_understood=[5, 7], wanted=[], **card)

    pages = [page("two", "R. Alder"), page("one", ""), page("three", "I. Sand", "finished"), page("four", "R. Alder")]
    html = archive_page(pages, Choices()).html
    groups = re.findall(
        r"<dt>Not understood: ([^<]*?) *<|<dd><a href=\"(\w+)/\">[^<]*</a> <span[^>]*>lines 5 and 7", html
    )
    assert [a or b for a, b in groups] == [*("I. Sand", "three", "R. Alder", "four", "two", "no member named", "one")]
    assert '4 records have lines that were not understood: <a href="#to-put-right">' in html
    to_order = html[html.index('id="to-order"') :]
    assert re.findall(r'<a href="(\w+)/">', to_order[: to_order.index("</section>")]) == ["four", "one", "two"]


def test_kept_with_a_card_and_back() -> None:
    assert from_dict(json.loads(json.dumps(as_dict(need())))) == need()


def test_counts_without_percentages_below_ten() -> None:
    def of(n: int) -> list[Looked]:
        return [Looked("paper", 50e-9, "F", i % 2 == 0, 0.1 * i, None, 1938) for i in range(n)]

    assert across(of(9)).by_kind[0].share is None
    ten = across(of(10))
    assert (ten.by_kind[0].looked, ten.by_kind[0].out, ten.by_kind[0].share) == (10, 5, 0.5)
    assert ten.by_kind[0].drift_middle == pytest.approx(0.45)
    assert [t.name for t in ten.by_value["paper"]] == ["10 to 100 nF"]
    assert [(t.name, t.looked) for t in ten.by_age["paper"]] == [("1930s", 10)]


def test_what_counts_as_looked_at() -> None:
    parts = (
        "  C1: was 50 nF paper, measured 70 nF, now 47 nF film\n"
        "  C2: was 50 nF paper, leakage 50 uA at 200 V\n"
        "  C3: to do, 50 nF paper\n"
        "  C4: keep, 40 uF 150 V electrolytic, ESR 9 ohm, measured 41 uF, positive B+1\n"
        "  R1: keep, 1 kohm 10 %, measured 1.05 kohm\n"
    )
    found = looked_at(examined(parts, "state: on the bench\nyear: about 1938\n"))
    assert [(x.kind, x.out, x.year) for x in found] == [
        ("paper", True, 1938),
        ("paper", True, 1938),
        ("electrolytic", True, 1938),
        ("resistor", False, 1938),
    ]


def run(*arguments: str) -> int:
    import argparse

    parser = argparse.ArgumentParser()
    commands = parser.add_subparsers(dest="command")
    cli_order.add_to(commands)
    cli_marking.add_to(commands)
    given = parser.parse_args(arguments)
    result: int = given.run(given)
    return result


def test_marking_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("marking", "red", "violet", "yellow", "gold") == 0
    assert "270 kΩ ±5 %" in capsys.readouterr().out
    assert run("marking", "47", "nF", "5", "%") == 0
    assert "three digits: 473J" in capsys.readouterr().out
    assert run("marking", "104K") == 0
    told = capsys.readouterr().out
    assert [told.index(one) for one in ("0.1 µF ±10 %", "100 kΩ ±10 %", "104 kΩ;", "printed")] == sorted(
        told.index(one) for one in ("0.1 µF ±10 %", "100 kΩ ±10 %", "104 kΩ;", "printed")
    )
    assert run("marking", "Bird", "7") == 1
    assert "neither a marking" in capsys.readouterr().err


def test_the_archive_page_shows_both_lists_and_escapes() -> None:
    parts = "  C1: to do, 0.05 uF 200 V paper, measured 70 nF\n  R1: keep, 1 kohm 10 %, measured 1.4 kohm\n"
    card = json.loads(json.dumps(for_card(makers.examined(f"state: on the bench\nparts:\n{parts}"), "<script>")))
    html = archive_page([makers.carded_page("one", "One", **card)], Choices()).html
    assert "<script>" not in html
    assert "47\u202fnF, 250\u202fV at least, film" in html
    assert 'id="to-order"' in html
    assert "+40\u202f%" in html
    assert 'id="to-order"' not in archive_page([makers.carded_page("one", "One")], Choices()).html
