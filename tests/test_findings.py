"""Findings written out as JSON: plain data, and nothing a reader in another language would stumble over."""

from __future__ import annotations

import datetime
import json
import math
from dataclasses import dataclass, field

import pytest

from benchleaf.report.findings import as_json


@dataclass(frozen=True)
class _Found:
    in_: str
    volts: float | None
    for_page: str = field(default="", metadata={"json": False})


def test_a_finding_becomes_an_object_without_what_is_only_for_the_page() -> None:
    assert as_json(_Found("hot lead", 12.6, "words")) == {"in": "hot lead", "volts": 12.6}


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_has_no_value_is_null(number: float) -> None:
    assert as_json(_Found("", number)) == {"in": "", "volts": None}


def test_everything_written_can_be_read_again() -> None:
    day = datetime.date(2026, 3, 4)
    found = {"V1": (_Found("a", 1.0), True, None), "day": day, 3: frozenset({"x"})}
    text = json.dumps(as_json(found), allow_nan=False)
    assert json.loads(text) == {
        "V1": [{"in": "a", "volts": 1.0}, True, None],
        "day": "2026-03-04",
        "3": ["x"],
    }


def test_what_has_no_place_in_a_finding_is_refused() -> None:
    with pytest.raises(TypeError, match="cannot hold a complex"):
        as_json(1 + 2j)
