"""No number brings the computation to a stop: with the guard off, nothing raises anything, anywhere."""

from __future__ import annotations

from collections.abc import Callable
from itertools import islice
from pathlib import Path

import pytest

import benchleaf.chapters.examine
from benchleaf.build.all_sets import build_set
from benchleaf.build.cache import Cache
from benchleaf.pages.set_page import Choices
from sites import SMALL_RECORD, kept_in
from turned_numbers import Source, sources, turned, work_out

SAMPLED = 397
"""One in so many is tried where the whole is not asked for. Prime, so that all four turns and all places come up."""
NAMES = [source.name for source in sources(Path())]


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Cache:
    """One cache for all: a chapter that a number does not touch is drawn once."""
    return kept_in(tmp_path_factory.mktemp("turned"))


@pytest.mark.parametrize("number", range(len(NAMES)), ids=NAMES)
def test_no_number_stops_the_computation(
    number: int, cache: Cache, tmp_path: Path, sampled: Callable[[int], int]
) -> None:
    source = sources(tmp_path)[number]
    step = sampled(SAMPLED)
    for case in islice(turned(source.text), number % step, None, step):
        try:
            work_out(case.record, source, cache)
        except Exception as error:
            raise AssertionError(f"{source.name}: {case.line}") from error


def test_there_are_as_many_records_as_there_are_numbers_to_turn() -> None:
    lines = [case.line.strip() for source in sources(Path()) for case in turned(source.text)]
    assert len(lines) > 4_000
    assert {
        "meter: 20 kohm/V on -250 V",
        "meter: 20 kohm/V on 0 V",
        "line: 1e9 V 60 Hz",
        "line: 120 V 0 Hz",
        "IF: 1e-9 kHz",
    } <= set(lines)


def test_an_exception_is_noticed(monkeypatch: pytest.MonkeyPatch, cache: Cache, tmp_path: Path) -> None:
    def stop(bench: object) -> None:
        raise ZeroDivisionError

    source = Source("small", SMALL_RECORD, tmp_path)
    assert work_out(SMALL_RECORD, source, cache)
    monkeypatch.setattr(benchleaf.chapters.examine, "examine", stop)
    with pytest.raises(ZeroDivisionError):
        work_out(SMALL_RECORD, source, cache)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "readings:\n  a:\n    meter: 20 kohm/V on -1 V\n    B+1: 100\n",
            "found “-1 V”; expected a range above zero",
        ),
        ("readings:\n  a:\n    meter: -20 kohm/V on 1 V\n    B+1: 100\n", "found “-20 kohm”"),
        ("  V3: X1, heater -6.3 V 0.3 A\n", "found “-6.3 V”; expected one value of heater volts, above zero"),
        ("  V3: X1, heater 6.3 V -0.3 A\n", "found “-0.3 A”; expected one value of heater amps, above zero"),
        (
            "  V3: X1, heater 1e9 V 0.3 A\n",
            "found “1e9 V”; expected one value of heater volts, above zero and below 1,",
        ),
        (
            "  V3: X1, heater 6.3 V 1e9 A\n",
            "found “1e9 A”; expected one value of heater amps, above zero and below 100",
        ),
    ],
)
def test_what_cannot_be_is_a_problem_at_its_word(line: str, told: str, tmp_path: Path) -> None:
    folder = tmp_path / "sets" / "one"
    folder.mkdir(parents=True)
    record = SMALL_RECORD.replace("parts:", f"{line}parts:") if line.startswith(" ") else SMALL_RECORD + line
    (folder / "record.yml").write_text(record)
    page = build_set(folder, Choices(), Cache(None))
    assert page.failures == ()
    assert any(told in str(problem) for problem in page.problems), page.problems
