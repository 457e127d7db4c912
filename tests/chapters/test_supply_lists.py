"""Which point a list of readings is read to, where B- is another than the chassis."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.examine import _read_to_b_minus

SET = """line: 120 V 60 Hz
power: series string
chassis: through R and C
readings:
  first:
    to: chassis
    B+: 110 V
  second:
    to: B-
    B+: 112 V
  third:
    B+: 113 V
"""


@pytest.mark.parametrize(("read_in", "to_b_minus"), [("first", False), ("second", True), ("third", False), ("", False)])
def test_a_list_is_read_to_the_point_that_it_says_itself(read_in: str, to_b_minus: bool) -> None:
    assert _read_to_b_minus(makers.bench(SET), read_in) is to_b_minus


def test_b_minus_and_the_chassis_are_one_point_where_the_set_has_them_so() -> None:
    """A transformer's set has its B- on the chassis."""
    of_transformer = SET.replace("series string", "transformer").replace("chassis: through R and C\n", "")
    assert not _read_to_b_minus(makers.bench(of_transformer), "second")
