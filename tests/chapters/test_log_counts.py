"""One count of the sittings: at the head of the log, by kind of work, and at the top of the record."""

from __future__ import annotations

import pytest

import makers
from benchleaf.record.work_days import sittings
from benchleaf.report.sentence import text_of
from makers import plain

LOG = """log:
  - 2026-03-01, {came}
  - 2026-03-02, 1.5 h, cold checks
  - 2026-03-03, capacitors replaced
  - 2026-03-04, 2 h, aligned
  - 2026-03-08, {went}
"""


@pytest.mark.parametrize(
    ("came", "went"), [("in from Mrs Hale", "back to Mrs Hale"), ("in", "out"), ("came in", "out to its owner")]
)
def test_coming_and_going_is_no_sitting_in_any_count(came: str, went: str) -> None:
    """“7 sittings, 1 of them without a time” stood above a table of 8, 2 of them without."""
    text = LOG.format(came=came, went=went)
    found = makers.found("log", text)
    assert plain(text_of(makers.digest("log", text).conclusion)).startswith("3.5 h in 3 sittings, ")
    assert (found.worked, found.without_time) == (3, 1)
    assert sum(kind.sittings for kind in found.by_kind) == found.worked
    assert sum(kind.without_time for kind in found.by_kind) == found.without_time
    assert len(found.sittings) == 5, "the days tell of them all the same"


@pytest.mark.parametrize("did", ["in, cleaned the chassis", "out of the cabinet", "in circuit test of C7"])
def test_work_that_begins_with_such_a_word_is_work(did: str) -> None:
    assert len(sittings(makers.record(LOG.format(came=did, went="sold")))) == 4
