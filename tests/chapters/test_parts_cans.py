"""Polarity, life and cans of capacitors; what must hold of any parts list."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.parts.judging import preferred_series
from benchleaf.report.findings import FAULT, NOTE, as_json
from lists_of_parts import HEAD, found, part, said


class TestPolarity:
    @pytest.mark.parametrize(
        ("line", "polarity"),
        [
            ("now 47 uF electrolytic, between B+1 and B-, positive B+1", "written"),
            ("now 47 uF electrolytic, between B+1 and B-", "implied"),
            ("now 20 uF electrolytic, between V4 cathode and B-", "implied"),
            ("now 47 uF electrolytic, between B- and chassis", "missing"),
            ("now 47 uF electrolytic", "missing"),
            ("now 47 uF electrolytic, between B+1 and B-, positive b-", "reversed"),
            ("now 47 nF film, between B+1 and B-, positive B+1", "misplaced"),
            ("now 47 nF film, between B+1 and B-", None),
            ("now 47 uF, between B+1 and B-", None),
        ],
    )
    def test_polarity(self, line: str, polarity: str | None) -> None:
        assert part(f"C1: {line}").polarity == polarity

    def test_wrong_way_round_and_missing_stand_out(self) -> None:
        findings = found(
            "  C1: now 47 uF 200 V electrolytic, between B+1 and B-, positive B-\n  C2: now 10 uF 200 V electrolytic\n"
        )
        assert said(findings) == [
            (FAULT, "C1 is written with its positive end at B-: the wrong way round."),
            (NOTE, "C2 is an electrolytic with no polarity written."),
        ]

    def test_outside_foil_of_new_wound_capacitors(self) -> None:
        assert part("C7: now 10 nF film, outside foil V3 plate, between V3 plate and V4 grid").outside_foil == "written"
        assert part("C7: now 10 nF film").outside_foil == "missing"
        assert part("C7: now 10 nF mica").outside_foil is None
        assert part("C7: keep, 10 nF paper").outside_foil is None


class TestLife:
    @pytest.mark.parametrize(
        ("line", "state"),
        [
            ("keep, 1 nF", "kept"),
            ("kept, 1 nF", "kept"),
            ("to do, 1 nF", "to do"),
            ("reform, 8 uF", "reform"),
            ("reform, 8 uF, checked 2026-03-01", "reformed"),
            ("was 1 nF", "looked at"),
            ("was 1 nF, now 1 nF", "replaced"),
            ("was 1 nF, now 1 nF, ordered 2026-03-01", "on order"),
            ("was 1 nF, now 1 nF, ordered 2026-03-01, tested 2026-03-02", "tested"),
            ("was 1 nF, now 1 nF, ordered 2026-03-01, fitted 2026-03-02", "replaced"),
            ("was 40 uF, now 47 uF, restuffed", "restuffed"),
            ("was 1 nF, now none", "removed"),
            ("was none, now 1 nF", "added"),
        ],
    )
    def test_state_follows_from_what_is_written(self, line: str, state: str) -> None:
        assert part(f"C1: {line}").state == state

    def test_progress(self) -> None:
        findings = found(
            "  C1: keep, 1 nF\n  C2: was 1 nF, now 1 nF, fitted 2026-03-01\n"
            "  C3: was 2 nF, now 2 nF, checked 2026-03-02\n"
            "  C4: to do, 1 nF\n  C5: reform, 8 uF\n  R6: was 1 kohm\n"
        )
        progress = findings.progress
        assert (progress.total, progress.done, progress.open, progress.looked_at) == (6, 3, 2, 1)
        assert progress.by_state == (("to do", 1), ("reform", 1), ("looked at", 1), ("kept", 1), ("replaced", 2))
        assert progress.unchecked == ("C2",)
        assert said(findings) == [(NOTE, "2 parts are still to do: C4, C5.")]

    def test_order_of_work(self) -> None:
        findings = found(
            "  R1: keep, 1 kohm\n"
            "  C9: keep, 100 pF mica\n"
            "  C8: to do, 50 nF, between V2 screen and B-\n"
            "  C7: to do, 10 nF, between V3 plate and V4 grid\n"
            "  C2: to do, 50 nF, job AVC filter\n"
            "  C12: to do, 40 uF, between B+1 and B-\n"
            "  C3: to do, 50 nF, between B- and chassis\n"
            "  L1: keep, 1 kohm, job speaker field\n"
        )
        assert [(group, [row.name for row in rows]) for group, rows in findings.groups()] == [
            ("line side", ["C3"]),
            ("filter", ["C12"]),
            ("coupling", ["C7"]),
            ("bypass", ["C8", "C2"]),
            ("tuned", ["C9"]),
            ("resistors", ["R1"]),
            ("others", ["L1"]),
        ]
        assert [row.name for row in findings.to_do()] == ["C3", "C12", "C7", "C8", "C2"]

    def test_kept_out_of_tolerance_stands_out_before_what_is_to_do(self) -> None:
        findings = found(
            "  C4: to do, 1 nF\n  R9: keep, 250 kohm 20 %, measured 318 kohm\n"
            "  R8: keep, 1 kohm 10 %, measured 0.5 kohm\n"
        )
        assert said(findings) == [
            (FAULT, "R8 is 50 % below its value, more than its tolerance, and is kept."),
            (FAULT, "R9 is 27 % above its value, more than its tolerance, and is kept."),
            (NOTE, "1 part is still to do: C4."),
        ]

    def test_nothing_stands_out_of_a_finished_set(self) -> None:
        assert said(found("  R8: keep, 150 ohm 10 %, measured 156 ohm\n")) == []


class TestCans:
    CAN = """\
  C12:
    job: filter
    sections:
      a: was 40 uF 150 V electrolytic, ESR 9 ohm, between B+1 and B-
      b: was 20 uF 150 V electrolytic, ESR 7 ohm, between B+2 and B-
    now: 47 uF 200 V and 22 uF 200 V, restuffed in the original can
"""

    def test_sections_take_the_new_values_in_their_order(self) -> None:
        can = found(self.CAN)["C12"]
        assert can.state == "restuffed"
        assert can.change_of_value is None
        assert [s.change_of_value for s in can.sections.values()] == [pytest.approx(0.175), pytest.approx(0.1)]
        assert [s.name for s in can.sections.values()] == ["C12 a", "C12 b"]
        assert list(as_json(can)["sections"]) == ["a", "b"]

    def test_another_number_of_new_values_is_not_paired(self) -> None:
        can = found(self.CAN.replace("47 uF 200 V and 22 uF 200 V", "47 uF 200 V"))["C12"]
        assert [s.change_of_value for s in can.sections.values()] == [None, None, None]
        assert [s.piece.paired for s in can.sections.values()] == [True, True, False]

    def test_a_section_may_bring_its_own_new_part(self) -> None:
        can = found("  C12:\n    sections:\n      a: was 40 uF, now 47 uF\n      b: was 20 uF, to do\n")["C12"]
        assert [s.state for s in can.sections.values()] == ["replaced", "to do"]
        assert can.state == "to do"

    def test_couplate_old_beside_new(self) -> None:
        couplate = found("  K1: {was: 10 nF 400 V 470 kohm couplate, now: 10 nF 630 V 470 kohm}\n")["K1"]
        assert [s.kind for s in couplate.sections.values()] == ["capacitor", "resistor"]
        assert [s.change_of_value for s in couplate.sections.values()] == [0.0, 0.0]


@pytest.mark.handbook
def test_preferred_values_of_iec_60063() -> None:
    """standards.csv, IEC 60063: 47 in E6, 27 in E12, 51 in E24, 105 in E48, 58 not in E24."""
    assert preferred_series(47e-9) == "E6"
    assert preferred_series(27e3) == "E12"
    assert preferred_series(51e3) == "E24"
    assert preferred_series(105e3) == "E48"
    assert preferred_series(5800.0) not in ("E6", "E12", "E24")
    assert preferred_series(50e-9) is None
    assert preferred_series(None) is None
    assert preferred_series(0.0) is None


def test_nearest_value_made_today_for_what_is_to_be_ordered() -> None:
    """E6 of IEC 60063 (standards.csv): 47 is the member nearest to 50."""
    made = part("C14: to do, 0.05 uF paper").substitute
    assert made is not None
    assert made.one is not None
    assert made.one.total == pytest.approx(47e-9)


def test_json_is_the_mapping_by_name_and_nothing_else() -> None:
    findings = found("  C7: was 10 nF, now 10 nF\n  R1: keep, 1 kohm\n")
    assert list(as_json(findings)) == ["C7", "R1"]
    json.dumps(as_json(findings), allow_nan=False)


def test_findings_are_deterministic_and_show_themselves_the_same() -> None:
    text = "  C7: was 10 nF paper, measured 12 nF, leakage 1 uA at 100 V\n"
    assert found(text) == found(text)
    assert repr(found(text)) == repr(found(text))
    assert " at 0x" not in repr(found(text))


def test_rows_have_ids_of_their_own() -> None:
    findings = found("  C7: keep, 1 nF\n  c-7: keep, 1 nF\n  '-R1': keep, 1 ohm\n  '!': keep, 1 ohm\n")
    assert [row.anchor for row in findings.rows()] == ["part-c7", "part-c-7", "part-r1", "part"]
    assert len({row.anchor for row in found("  C.7: keep, 1 nF\n  C-7: keep, 1 nF\n").rows()}) == 2


PIECES = st.sampled_from(
    ["keep", "to do", "reform", "10 nF", "0 ohm", "470 kohm 20 %", "was 10 nF", "now 22 nF 0 V", "now none",
     "measured open", "measured OL", "measured >1 meg", "measured 0 pF", "leakage 0 A at 100 V", "leakage 3 uA at 0 V",
     "leakage >5 meg", "between B+1 and B-", "between V3 plate and V4 grid", "between V9 plate and V8 grid",
     "positive B-", "electrolytic", "film", "Y1", "open", "shorted", "restuffed", "paper", "outside foil x"]
)  # fmt: skip


@settings(max_examples=150)
@given(st.lists(st.tuples(st.sampled_from(["C1", "R1", "L1", "K1"]), st.lists(PIECES, max_size=6)), max_size=4))
def test_no_readable_record_makes_it_fail(parts: list[tuple[str, list[str]]]) -> None:
    lines = {name: ", ".join(items) for name, items in parts}
    text = "".join(f"  {name}: {line}\n" for name, line in lines.items() if line)
    for head in (HEAD, "maker: A\nmodel: B\n", HEAD.replace("120 V", "0 V")):
        record = makers.readable(f"{head}parts:\n{text}")
        if record is None:
            continue
        findings = makers.findings("parts", record)
        if findings is not None:
            assert list(json.loads(json.dumps(as_json(findings), allow_nan=False))) == list(record.parts)
            assert all(standout.text for standout in makers.standouts("parts", record, findings))


def test_every_demo_set_can_be_examined() -> None:
    sets = sorted((Path(__file__).parents[2] / "site_src" / "sets").glob("*/record.yml"))
    assert len(sets) >= 3
    for path in sets:
        record = makers.record(path.read_text(encoding="utf-8"))
        findings = makers.findings("parts", record)
        assert findings is not None
        assert list(findings) == list(record.parts)
