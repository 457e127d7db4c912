"""Heaters side by side at one place of a string: battery, three-way and line strings, and groups that cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

import makers
import ngspice
from benchleaf.build.follow import follow
from benchleaf.chapters.heaters.figures import DRAWING
from benchleaf.chapters.heaters.findings import HeatersFindings
from benchleaf.record.mapping import as_mapping

PORTABLE = "V1: 1R5\nV2: 1T4\nV3: 1S5\nV4: 1T4"
CATHODES = "cathode currents:\n  V1: 4 mA\n  V2: 2.4 mA\n  V3: 0.6 mA\n  V4: 2.4 mA"


def text_of(tubes: str, heaters: str, head: str) -> str:
    return f"{head}\ntubes:\n{makers.rows(tubes)}heaters:\n{makers.rows(heaters)}"


def read(tubes: str, heaters: str, head: str) -> HeatersFindings:
    return makers.found("heaters", text_of(tubes, heaters, head))


@pytest.mark.parametrize("shunt", [None, 47.0])
def test_mixed_battery_string_agrees_with_ngspice(shunt: float | None) -> None:
    """1R5, then 1T4 beside 1S5 (100 mA together), then 1T4, on 4.5 V; cathode currents flow on to B-."""
    shunts = f"\nshunts:\n  V3: {shunt:g} ohm" if shunt else ""
    heaters = f"order: V1, V2 beside V3, V4\n{CATHODES}\nbatteries:\n  A: 4.5 V\n  B: 67.5 V{shunts}"
    run = read(PORTABLE, heaters, "power: battery").filaments[0]
    lines = ["Vsupply n0 0 4.5"]
    for name, a, b, cathode in (
        ("1", "n0", "n1", 0.004),
        ("2", "n1", "n2", 0.0024),
        ("3", "n1", "n2", 0.0006),
        ("4", "n2", "0", 0.0024),
    ):
        law = f"1.4*sgn(i(VS{name}))*pow(abs(i(VS{name}))/0.05,{1 / 0.6!r})"
        lines += [f"VS{name} {a} m{name} 0", f"B{name} m{name} {b} V={law}", f"Ic{name} 0 {b} {cathode}"]
    lines += [f"Rs n1 n2 {shunt}"] if shunt else []
    theirs = ngspice.direct(lines, ["v(n1)", "v(n2)", "i(vsupply)"])
    n1, n2 = theirs["v(n1)"], theirs["v(n2)"]
    assert run.amps == pytest.approx(-theirs["i(vsupply)"], rel=1e-6)
    assert [f.tube for f in run.filaments] == ["V1", "V2", "V3", "V4"]
    assert [f.volts for f in run.filaments] == pytest.approx([4.5 - n1, n1 - n2, n1 - n2, n2], rel=1e-6)
    assert [f.shunt_ohms for f in run.filaments] == [None, shunt, shunt, None]


def test_group_of_two_wants_the_shunt_of_what_arrives_over_its_sum() -> None:
    """At 100 mA a single 50 mA filament needs 28 ohm; the group behind its 4 mA cathode 1.4 V / 4 mA = 350 ohm."""
    tubes = "V1: 1R5\nV2: 1T4\nV3: 1S5\nV4: 1T4"
    heaters = f"order: V1 beside V4, V2 + V3\n{CATHODES}\nbatteries:\n  A: 3 V\n  B: 67.5 V"
    first, beside, second, last = read(tubes, heaters, "power: battery").filaments[0].filaments
    assert first.wanted_shunt_ohms is None
    assert beside.excess_amps == pytest.approx(0, abs=1e-12)
    assert second.excess_amps == pytest.approx(0.0064)
    assert last.wanted_shunt_ohms == pytest.approx(1.4 / 0.0064)


def test_three_way_set_with_a_group_on_the_line_runs_at_its_rating() -> None:
    """Three places of 1.4 V; a place of two takes 100 mA, so the 3rd and 1st, single, have shunts of 28 ohm.

    Quiet cathodes: (90 - 4.2) V / 0.1 A = 858 ohm by Ohm's law.
    """
    heaters = (
        "order: V1, V2 beside V3, V4\nfilament supply: 90 V\ndropper: resistor 858 ohm\n"
        "shunts:\n  V1: 28 ohm\n  V4: 28 ohm\ncathode currents:\n  V1: 0 mA\n  V2: 0 mA\n  V3: 0 mA\n  V4: 0 mA"
    )
    findings = read(PORTABLE, heaters, "line: 117 V\npower: three-way")
    run = next(r for r in findings.filaments if r.supply == "line")
    assert run.amps == pytest.approx(0.1, rel=1e-6)
    assert [f.volts for f in run.filaments] == pytest.approx([1.4] * 4, rel=1e-6)
    assert findings.rated_sum_volts == pytest.approx(4.2)
    assert findings.nominal is not None
    assert findings.nominal.tubes["V3"].of_rated == pytest.approx(1, rel=1e-6)


def test_two_hundred_and_fifty_milliamp_heaters_beside_each_other_in_a_300_milliamp_string() -> None:
    """12BE6 and 12BA6 (12.6 V 0.15 A) as one place of 0.3 A beside 25L6 and 25Z6 (25 V 0.3 A): 62.6 V."""
    tubes = "V1: 12BE6\nV2: 12BA6\nV3: 25L6\nV4: 25Z6"
    findings = read(
        tubes, "order: V4, V3, V1 beside V2\ndropper: resistor 181.33 ohm", "line: 117 V\npower: series string"
    )
    assert findings.rated_sum_volts == pytest.approx(62.6)
    assert findings.rated_current_amps == pytest.approx(0.3)
    assert findings.mixed == ()
    assert findings.nominal is not None
    assert findings.nominal.current_amps == pytest.approx(0.3, rel=1e-4)
    assert findings.nominal.tubes["V2"].of_rated == pytest.approx(1, rel=1e-3)
    assert {s.tube for s in findings.shorted} == {"V1", "V2", "V3", "V4"}
    assert findings.switch_on is not None
    assert findings.switch_on.peak_amps == pytest.approx(117 / (181.33 + 62.6 / 0.3 / 7.2))


def test_drawing_names_both_tubes_at_one_place() -> None:
    text = text_of(PORTABLE, f"order: V1, V2 beside V3, V4\n{CATHODES}\nbatteries:\n  A: 4.5 V", "power: battery")
    figure = makers.figures("heaters", text)[DRAWING]
    assert "V2 1T4, beside V3 1S5" in figure.description
    assert "beside V3 1S5" in figure.svg


@pytest.mark.parametrize(
    ("order", "words"),
    [
        ("V1, V2 beside V9, V3, V4", "“V9”"),
        ("V1, V2 beside V2, V3, V4", "“V2” a second time"),
        ("V1, V2 beside V3", "no V4"),
        ("V1, V2 beside lamp, V3, V4", "“lamp”"),
        ("V1, lamp beside V2, V3, V4", "“lamp”"),
    ],
)
def test_group_with_a_tube_that_is_not_there_or_there_twice(order: str, words: str, tmp_path: Path) -> None:
    head = "power: three-way\nline: 117 V"
    record = makers.record(text_of(PORTABLE, f"order: {order}", head))
    problems = [p.found for p in follow(record, tmp_path, "record.yml").problems]
    assert any(words in p for p in problems), problems


def test_tubes_side_by_side_stay_so_in_what_is_written_out() -> None:
    text = b"maker: A\nmodel: B\nheaters:\n  order: V1, V2 beside V3, V4\n"
    record = makers.record(text)
    written = as_mapping(record)["heaters"]["order"]
    assert written == ["V1", "V2 beside V3", "V4"]
    again = makers.record(f"maker: A\nmodel: B\nheaters:\n  order: {written}\n")
    assert as_mapping(again) == as_mapping(record)
