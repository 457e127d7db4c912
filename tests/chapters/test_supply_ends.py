"""A filter capacitor that ends at B-, where that is another point than the chassis."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.filter_rails import ends_at_b_minus, filter_rails

SET = """line: 120 V 60 Hz
power: {}
{}parts:
  C1: 40 uF 150 V electrolytic, between B+1 and {}
"""


@pytest.mark.parametrize(
    ("power", "chassis", "end", "at_b_minus"),
    [
        ("series string", "chassis: through R and C\n", "B-", True),
        ("series string", "chassis: through R and C\n", "chassis", False),
        ("transformer", "", "B-", False),
    ],
)
def test_a_filter_capacitor_ends_at_b_minus_or_at_the_chassis(
    power: str, chassis: str, end: str, at_b_minus: bool
) -> None:
    bench = makers.bench(SET.format(power, chassis, end))
    (row,) = makers.findings("parts", bench).rows()
    assert ends_at_b_minus(bench, row) is at_b_minus


@pytest.mark.parametrize(("value", "is_filter"), [("40 uF 150 V", True), ("1 nF 500 V", False)])
def test_what_holds_back_radio_frequency_alone_is_no_filter(value: str, is_filter: bool) -> None:
    bench = makers.bench(SET.format("transformer", "", "B-").replace("40 uF 150 V electrolytic", value))
    assert bool(filter_rails(bench, makers.findings("parts", bench))) is is_filter
