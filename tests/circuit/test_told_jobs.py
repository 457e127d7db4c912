"""A job that is not known is told: without it how the set works would pass the stage over in silence."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.tube_jobs.read_jobs import jobs_of
from benchleaf.circuit.tube_jobs.told_jobs import job_remarks


def test_words_that_name_no_job_are_told_at_their_place() -> None:
    record = makers.record("maker: A\nmodel: B\ntubes:\n  V1: 6F5, 1st AF\n  V2: 6F6, knocks about\n  V3: 6H6\n")
    (told,) = job_remarks(record, makers.FILE)
    assert (told.line, told.field) == (5, "tubes.V2.job")
    assert told.said.startswith("“knocks about” names no job of a tube that is known here")


@pytest.mark.parametrize(
    ("said", "jobs"),
    [
        ("Mischer und Oszillator", ["converter"]),
        ("ZF-Verstärker", ["if"]),
        ("Demodulator, NF-Vorstufe", ["detector", "first audio"]),
        ("Netzgleichrichter", ["rectifier"]),
        ("menger", ["converter"]),
        ("detectie en laagfrequent", ["detector", "first audio"]),
        ("eindversterker", ["output"]),
        ("moyenne fréquence", ["if"]),
        ("lampe de sortie", ["output"]),
        ("redresseur biplaque", ["rectifier"]),
        ("œil magique", ["tuning eye"]),
    ],
)
def test_jobs_in_the_words_of_other_benches(said: str, jobs: list[str]) -> None:
    """German, Dutch and French words of the trade (common practice, no source)."""
    read = jobs_of(said, None)
    assert [job.key for job in read.jobs] == jobs
    assert read.unread == ()
