"""Ripple as a meter read it, beside what is computed: a five-tube set by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

import makers
from benchleaf.chapters.supply.ripple_read import SAWTOOTH, SINE

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5
  V5: 35W4
parts:
  C1: was 40 uF 150 V, now 47 uF 160 V, filter, B+1 to B-, fitted 2026-03-01
  C2: was 20 uF 150 V, now 22 uF 160 V, filter, B+2 to B-, fitted 2026-03-01
  R8: keep, 150 ohm, V4 cathode to B-
  R9: keep, 1 kohm 2 W, B+1 to B+2
  T3: keep, output transformer, V4 plate to B+1
readings:
  2026-03-04 after:
    line: 120 V
    V4: cathode 5.9
    B+1: 121{first}
    B+2: 92.4{second}
"""


def read(first: str = "", second: str = "", text: str = SET) -> list[Any]:
    return list(makers.found("supply", text.format(first=first, second=second)).ripple)


def test_the_shapes_by_integration() -> None:
    """RMS of a sawtooth and of a sine whose peak to peak is 1, by numbers."""
    steps = [(n + 0.5) / 10_000 for n in range(10_000)]
    saw = math.sqrt(math.fsum((x - 0.5) ** 2 for x in steps) / len(steps))
    sine = math.sqrt(math.fsum((0.5 * math.sin(2 * math.pi * x)) ** 2 for x in steps) / len(steps))
    assert saw * SAWTOOTH == pytest.approx(1, rel=1e-6)
    assert sine * SINE == pytest.approx(1, rel=1e-6)


def test_a_reading_stands_beside_what_is_computed() -> None:
    findings = makers.found("supply", SET.format(first=", ripple 4 V AC", second="\n    B+2 ripple: 0.4 AC"))
    first, second = findings.ripple
    rails = findings.nominal.rails
    assert (first.rail, first.run, first.read_volts) == ("B+1", "2026-03-04 after", 4.0)
    assert first.computed_volts == pytest.approx(rails[0].ripple_volts / (2 * math.sqrt(3)), rel=0.03)
    assert second.computed_volts == pytest.approx(rails[1].ripple_volts / (2 * math.sqrt(2)), rel=0.03)


@pytest.mark.parametrize(("times", "agrees"), [(0.9, True), (1.45, True), (1.6, False), (3.0, False), (0.4, False)])
def test_only_what_is_far_off_is_told(times: float, agrees: bool) -> None:
    (usual,) = read(", ripple 4 V AC")
    (one,) = read(f", ripple {usual.computed_volts * times:.3g} V AC")
    assert one.agrees is agrees
    page = makers.plain(makers.page("supply", SET.format(first=f", ripple {one.read_volts} V AC", second="")))
    assert ("they agree" in page) is (abs(times - 1) < 0.2)
    assert ("leave open" in page) is (agrees and times > 1.2)
    assert ("more than the filter leaves" in page) is (times > 1.5)


@pytest.mark.parametrize(("name", "told"), [("2026-02-01 as found", 0), ("sheet", 0), ("2026-03-05 again", 1)])
def test_only_lists_of_this_set_with_its_present_capacitors_tell(name: str, told: int) -> None:
    assert len(read(text=f"{SET}  {name}:\n    line: 120 V\n    B+1: 121\n    B+1 ripple: 9 AC\n")) == told


def test_behind_a_coil_without_its_henries_less_tells_nothing() -> None:
    text = SET.replace("R9: keep, 1 kohm 2 W, B+1 to B+2", "L1: field coil 1 kohm, B+1 to B+2")
    (one,) = read(second="\n    B+2 ripple: 0.01 AC", text=text)
    assert (one.at_most, one.agrees) == (True, None)


@pytest.mark.parametrize(
    ("written", "shown", "share"),
    [("Vpp", "peak to peak", 1.0), ("V p-p", "peak to peak", 1.0), ("V peak", "peak", 0.5), ("V", "RMS", None)],
)
def test_what_a_scope_shows_is_held_against_peaks(written: str, shown: str, share: float | None) -> None:
    """What the page computes from peak to peak, typed as it stands there, condemned a capacitor in order."""
    whole = makers.found("supply", SET.format(first="", second="")).nominal.rails[0].ripple_volts
    (one,) = read(f", ripple {whole * (share or 1.0):.1f} {written}")
    assert one.shown == shown
    assert one.computed_volts == pytest.approx(whole * (share or 1 / SAWTOOTH), rel=0.03)
    assert one.agrees is bool(share)
    page = makers.plain(makers.page("supply", SET.format(first=f", ripple {whole:.1f} Vpp", second="")))
    assert "peak to peak is computed: they agree" in page
    (low,) = read(", ripple 4.1 Vpp")
    assert low.agrees is False


@pytest.mark.parametrize(("line", "label"), [(105, "B+1, read at 105\u202fV and 120\u202fV"), (119, "B+1, read")])
def test_a_rail_read_at_two_lines_says_so_at_the_top(line: int, label: str) -> None:
    """88 V at 105 V of line beside 117 V at 120 V looked like 29 V gained by the work."""
    before = f"readings:\n  2026-02-20 as found:\n    line: {line} V\n    B+1: 88\n"
    text = SET.format(first="", second="").replace("readings:\n", before)
    compared = [one.label for one in makers.digest("supply", text).brief.compared]
    assert label in compared
