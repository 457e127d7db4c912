"""What no supply can have is not told: each case without a steady state says why, and has no figure."""

from __future__ import annotations

from dataclasses import replace

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings
from benchleaf.report.verdict import Verdict
from sites import DEMO

TUBES = "tubes:\n  V1: 6K7\n  V4: 6Q7\n  V5: 6F6\n  V6: {}\n"
REGENT = """line: 120 V 60 Hz
power: transformer
readings:
  2026-09-19 as found:
    line: 120 V
    V6: plate 340 AC
    V5: plate 228, screen 246, cathode 19.8
    B+1: 331
    B+2: 246
parts:
  C12: was 16 uF 450 V electrolytic, now 16 uF 450 V electrolytic, between B+1 and chassis
  C13: keep, 16 uF 450 V electrolytic, between B+2 and chassis
  L1: keep, job speaker field as choke, 1 kohm, between B+1 and B+2
  R7: keep, 400 ohm, measured 431 ohm, between V5 cathode and chassis
"""
LIGHT = """line: 117 V 60 Hz
power: transformer
heaters:
  windings:
    HT: 350-0-350 V, feeds V6, measured 352-0-351
parts:
  C2: 22 uF 500 V electrolytic, between B+ and chassis
  R7: 400 ohm, between V5 cathode and chassis
readings:
  2026-03-04 after:
    line: 117 V
    V5: plate 264, screen 272, cathode 20.4
    B+: 272
"""
HALF_WAVE = """line: 117 V 60 Hz
power: series string
parts:
  C2: was 40 uF 150 V electrolytic, measured 2 uF, now 47 uF 200 V electrolytic, between B+ and B-
  R7: 150 ohm, between V5 cathode and B-
readings:
  2026-03-04 after:
    line: 117 V
    V5: cathode 6
    B+: 110
"""


def known(text: str, rectifier: str = "5Y3GT") -> SupplyFindings:
    found = makers.findings("supply", text + TUBES.format(rectifier))
    assert isinstance(found, SupplyFindings)
    return found


def test_low_line_behind_a_high_one_stands_below_the_peak_of_its_own_line() -> None:
    """Nothing charged the reservoir that began at the volts of the nominal line; the peak of 105 V is 446 V."""
    found = known(LIGHT, "5Z4")
    volts = [one.rails[0].volts for one in found.working]
    assert len(volts) == 3
    for one in found.working:
        assert 0 < one.rails[0].volts < 351.5 * 2**0.5 * one.line_volts / 117
    assert volts == sorted(volts)


def test_a_case_that_has_no_state_is_told_and_the_others_stand() -> None:
    """34 mA take 280 V from 2 µF in a period of the line, whose peak is 165 V."""
    found = known(HALF_WAVE, "35Z5GT")
    assert found.before is None
    assert [which for which, _ in found.refused_at] == ["before"]
    assert found.nominal is not None
    page = makers.page("supply", "", found)
    assert "Not computed for “with the old capacitors”: more current is drawn than the rectifier can deliver" in page


def test_nothing_is_told_where_the_set_as_it_is_has_no_state() -> None:
    found = known(LIGHT.replace("22 uF", "0.3 uF"))
    assert (found.working, found.lacks) == ((), ())
    assert "more current is drawn" in makers.page("supply", "", found)
    assert "are not computed: more current" in makers.leaf("supply", "", found)


def test_what_does_not_agree_is_no_headline() -> None:
    text = REGENT.replace("B+1: 331", "B+1: 200").replace("B+2: 246", "B+2: 150")
    found = known(text)
    brief = makers.digest("supply", text + TUBES.format("5Y3GT"), found).brief
    (figure,) = (one for one in brief.compared if "read" in one.label)
    assert "200" in str(figure.after)
    assert "does not agree" in str(figure.how)


@pytest.mark.parametrize(
    ("peak", "published", "read_off", "verdict"),
    [
        (0.400, True, None, Verdict.WATCH),
        (0.420, True, None, Verdict.FAULT),
        (0.420, False, None, Verdict.WATCH),
        (0.420, True, 0.2, Verdict.UNKNOWN),
    ],
)
def test_peaks_are_a_fault_only_by_more_than_they_are_known(
    peak: float, published: bool, read_off: float | None, verdict: Verdict
) -> None:
    """Of a limit of 375 mA a tenth is 412 mA; where B+ is not the one that was read, nothing is judged."""
    demo = makers.found("supply", (DEMO / "sets/larkfield-minuet-5/record.yml").read_text())
    working = replace(demo.nominal, peak_amps=peak, over_peak=True)
    findings = replace(
        demo, peak_limit_amps=0.375, peak_limit_published=published, computed_against_read=read_off, working=(working,)
    )
    assert findings.peak_verdict(working) is verdict
