"""Capacitors side by side at one rail store together, each while it is in: one that was taken out counts before."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings

SET = """line: 232 V 50 Hz
power: transformer
chassis: isolated
valves:
  L4: EL3, output
  L5: AZ1, rectifier
heaters:
  windings:
    HT: 2x280 V, feeds L5, 204 + 211 ohm, measured 2x284 V
  measured:
    line: 232 V
parts:
  C1: reservoir, was 32 uF 320 V electrolytic, measured 2 uF, now 33 uF 450 V, between L5 cathode and chassis
  C1a: was 8 uF 450 V electrolytic, measured 6.5 uF, between L5 cathode and chassis, removed
  C2: was 32 uF 320 V, measured 9 uF, now 33 uF 450 V, between B+2 and chassis
  L10: keep, choke, 500 ohm, measured 488 ohm, between L5 cathode and B+2
  T2: keep, output transformer 7k to 5 ohm, 420 ohm, between L4 anode and B+2
before power:
  - HT 204 ohm and 211 ohm
readings:
  2023-09-30 after everything:
    line: 232 V
    to: chassis
    L5: cathode 281
    B+2: 253
    L4: anode 238, screen 253
"""


def _supply(text: str) -> SupplyFindings:
    found = makers.findings("supply", text)
    assert isinstance(found, SupplyFindings)
    return found


def test_a_capacitor_that_was_taken_out_stored_beside_the_other_before() -> None:
    """A sum in steps of 2 us by another hand has 33 V of ripple with 2 + 6.5 uF and 70.6 V with 2 uF alone; the front
    page said 72 V became 10 V, and that B+ rose by 19 V."""
    found = _supply(SET)
    assert found.before
    assert found.nominal
    assert found.before.rails[0].part == "C1 and C1a"
    assert found.before.rails[0].farads == pytest.approx(8.5e-6)
    assert found.before.rails[0].ripple_volts == pytest.approx(33, rel=0.1)
    assert found.nominal.rails[0].part == "C1"
    assert found.nominal.rails[0].volts - found.before.rails[0].volts < 8
    assert [name for name, _ in found.with_old] == ["C1 and C1a", "C2"]
    alone = _supply(SET.replace("  C1a", "  # C1a"))
    assert alone.before
    assert alone.before.rails[0].ripple_volts == pytest.approx(70.6, rel=0.1)


def test_two_that_are_both_in_are_one_of_their_sum() -> None:
    text = SET.replace("measured 6.5 uF, between L5 cathode and chassis, removed", "keep, measured 6.5 uF, between L5 cathode and chassis")  # fmt: skip  # noqa: E501
    assert _supply(text).nominal.rails[0].farads == pytest.approx(39.5e-6)  # type: ignore[union-attr]
