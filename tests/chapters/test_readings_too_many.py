"""A set with more faults than are tried, and what other programs read of voltages worked out and of causes."""

from __future__ import annotations

import json

import pytest

import makers
from benchleaf.chapters.readings.ranked_causes import SAID
from benchleaf.chapters.readings.runs import told_apart
from benchleaf.chapters.readings.told_causes import TOO_LARGE, run_causes
from benchleaf.chapters.readings.tried_runs import MOST_TRIED, TooLarge, tried_run
from sites import DEMO


def chain(stages: int) -> str:
    """A set of so many triode stages, each read at plate, cathode and grid."""
    lines = ["tubes:", *(f"  V{n}: 6J5, audio" for n in range(1, stages + 1)), "parts:"]
    for n in range(1, stages + 1):
        lines += [f"  R{n}: 100k, V{n} plate to B+2", f"  R{100 + n}: 2.7k, V{n} cathode to chassis"]
        lines += [f"  R{200 + n}: 470k, V{n} grid to chassis", f"  C{n}: 25u electrolytic, V{n} cathode to chassis"]
        lines += [f"  C{100 + n}: 20n paper, V{n - 1} plate to V{n} grid"] if n > 1 else []
    lines += ["  R900: 1k, B+ to B+2", "  C900: 16u 450 V electrolytic, B+ to chassis"]
    lines += ["readings:", "  as found:", "    B+: 250", "    B+2: 240"]
    lines += [f"    V{n}: plate 130, cathode 4.2, grid 0" for n in range(1, stages + 1)]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(("stages", "too_many"), [(8, False), (10, True), (20, True)])
def test_more_points_and_faults_than_a_moment_allows_are_not_tried_and_that_is_said(
    stages: int, too_many: bool
) -> None:
    """A quarter of a second at most: the cost is bounded by faults times points, and counted, not timed."""
    bench = makers.bench(chain(stages))
    expected, (run,) = told_apart(bench)
    tried = tried_run(run, expected, bench)
    assert isinstance(tried, TooLarge) is too_many
    if isinstance(tried, TooLarge):
        (told,) = run_causes([run], expected, bench)
        assert (told.ranked, told.lead) == ((), TOO_LARGE)
        assert "No faults were tried: the set has more points and faults" in makers.page("readings", bench)
    elif tried is not None:
        assert len(tried.trial.faults) * len(tried.trial.probes) < 3 * MOST_TRIED


@pytest.mark.parametrize("folder", ["larkfield-minuet-5", "ternhaag-goudvink"])
def test_other_programs_read_worked_out_volts_and_causes_by_these_keys(folder: str) -> None:
    text = (DEMO / "sets" / folder / "record.yml").read_text(encoding="utf-8")
    found = json.loads(next(f.text for f in makers.set_page(text).files if f.path == "record.json"))["findings"][
        "readings"
    ]
    assert found["worked_out"]
    for place in found["worked_out"]:
        assert set(place) >= {"place", "volts", "low_volts", "high_volts", "judged"}
        assert place["low_volts"] <= place["volts"] <= place["high_volts"]
        assert isinstance(place["judged"], bool)
    assert found["causes"]
    for run in found["causes"]:
        assert set(run) == {"run", "ranked", "no_single_fault", "next"}
        assert isinstance(run["no_single_fault"], bool)
        for cause in run["ranked"]:
            assert set(cause) >= {"subject", "fault", "said", "alike"}
            assert cause["said"] in SAID
            assert (cause["subject"] is None) == (cause["fault"] == "nothing wrong")
        for step in run["next"]:
            assert set(step) == {"place", "how"}
            assert step["how"] in {"set on", "set off", "lift an end", "another tube"}
