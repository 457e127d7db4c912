"""The script that counts on what shown values rest, on a page made here."""

from __future__ import annotations

from collections import Counter

import pytest

from benchleaf.tubes.tables import read_table
from makers import bench, findings, page
from tools.sources_of_values import Page, grade_of, kind_of, said

SET = "tubes:\n  V1: 12BE6\n  V2: 12AT6\n  V3: 35W4\n"


def test_grades_of_the_page_are_those_of_the_findings() -> None:
    on = bench(SET)
    reader = Page()
    reader.feed(page("line_up", on))
    rows = [row for known in findings("line_up", on).known for row in known.rows]
    assert Counter(map(grade_of, reader.sources)) == Counter(row.grade for row in rows)
    assert {grade_of(source) for source in reader.sources} == {"read", "cross-checked", "from memory"}
    kinds = {row["title"]: row["kind"] for row in read_table("sources.csv")}
    assert Counter(kind_of(source, kinds) for source in reader.sources)["memory"] < len(rows)


def test_remembered_values_do_not_look_published() -> None:
    reader = Page()
    reader.feed(page("line_up", bench(SET)))
    remembered = sum(grade_of(source) == "from memory" for source in reader.sources)
    assert remembered > 0
    assert reader.marks["assumed"] == remembered


def test_a_source_the_table_does_not_have_is_no_kind() -> None:
    with pytest.raises(KeyError):
        kind_of("hearsay", {"from memory": "memory"})


def test_counts_are_said_in_order_with_their_shares() -> None:
    assert said("grades", Counter({"read": 3, "from memory": 1}), ("read", "from memory")) == (
        "  grades: read 3 (75%), from memory 1 (25%)"
    )
    assert said("grades", Counter(), ("read",)) == "  grades: none"
