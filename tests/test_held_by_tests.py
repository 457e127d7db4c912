"""Each line that the computed numbers are held to has a test by name: ``facts/held_by_tests.csv`` says which."""

from __future__ import annotations

import ast
import csv
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).parent


def rows() -> list[dict[str, str]]:
    with (TESTS / "facts" / "held_by_tests.csv").open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


@cache
def names(file: str) -> frozenset[str]:
    """The tests of a file, those of a class behind its name."""
    found = set()
    for node in ast.parse((TESTS / file).read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            found.add(node.name)
        elif isinstance(node, ast.ClassDef):
            found |= {f"{node.name}::{one.name}" for one in node.body if isinstance(one, ast.FunctionDef)}
    return frozenset(name for name in found if name.rpartition("::")[2].startswith("test_"))


def test_every_test_that_is_named_is_there() -> None:
    gone = [
        row["test"] for row in rows() if row["test"].partition("::")[2] not in names(row["test"].partition("::")[0])
    ]
    assert gone == []


@pytest.mark.parametrize(
    ("subject", "lines"),
    [
        ("numbers that hold", {str(line) for line in range(1, 21)}),
        ("voltages worked out", {*(str(line) for line in range(1, 12)), "checked", "keys"}),
    ],
)
def test_every_line_of_both_subjects_has_one(subject: str, lines: set[str]) -> None:
    assert {row["line"] for row in rows() if row["subject"] == subject} == lines
    clauses = [(row["line"], row["clause"]) for row in rows() if row["subject"] == subject]
    assert len(clauses) == len(set(clauses))
