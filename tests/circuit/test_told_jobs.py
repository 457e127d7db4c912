"""A job that is not known is told: without it how the set works would pass the stage over in silence."""

from __future__ import annotations

import makers
from benchleaf.circuit.tube_jobs.told_jobs import job_remarks


def test_words_that_name_no_job_are_told_at_their_place() -> None:
    record = makers.record("maker: A\nmodel: B\ntubes:\n  V1: 6F5, 1st AF\n  V2: 6F6, knocks about\n  V3: 6H6\n")
    (told,) = job_remarks(record, makers.FILE)
    assert (told.line, told.field) == (5, "tubes.V2.job")
    assert told.said.startswith("“knocks about” names no job of a tube that is known here")
