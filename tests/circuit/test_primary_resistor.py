"""A resistor in series with the mains transformer's primary: expected values hold for what it leaves."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.line_scaling import as_it_stands, share_at_primary
from benchleaf.circuit.primary_resistor import primary_drop

SET = """line: 220 V 50 Hz
nameplate: 110/220 V AC, 55 W
power: transformer
tubes:
  V5: EL84
parts:
  R30: 47 kohm, keep, between V5 grid and chassis
  R42: {job}, was none, now 47 ohm 7 W wirewound, fitted 2025-03-15{note}
readings:
  sheet:
    line: 220 V
    to: chassis
    V5: plate 242
  2025-03-09 found:
    line: 220 V
    to: chassis
    V5: plate 219
  2025-03-16 after:
    line: 231 V
    to: chassis
    V5: plate 238
{more}"""
STEP = """power-up:
  - date: 2025-03-17
    with: variable transformer
    steps:
      - line 231 V, 0.25 A
"""
IN_THE_PRIMARY = SET.replace("{job}", "in the primary").replace("{note}", "")


@pytest.mark.parametrize(
    ("text", "amps"), [(IN_THE_PRIMARY.replace("{more}", STEP), 0.25), (IN_THE_PRIMARY.replace("{more}", ""), 55 / 231)]
)
def test_what_it_leaves_follows_from_the_current_read_or_the_plates_watts(text: str, amps: float) -> None:
    """47 ohm at 0.25 A take 11.75 V of 231 V: 219 V were read at the primary."""
    circuit = makers.circuit(text)
    drop = primary_drop(circuit, "2025-03-16 after", 231.0)
    assert drop is not None
    assert drop.volts == pytest.approx(231 - 47 * amps)
    assert drop.parts == ("R42",)
    assert share_at_primary(circuit, "2025-03-16 after") == pytest.approx(1 - 47 * amps / 231)
    assert as_it_stands(circuit, "2025-03-16 after", 231.0) == pytest.approx(231 - 47 * amps)


def test_it_scales_no_list_before_its_day_and_no_sheet() -> None:
    circuit = makers.circuit(IN_THE_PRIMARY.replace("{more}", STEP))
    assert share_at_primary(circuit, "2025-03-09 found") == 1.0
    assert share_at_primary(circuit, "sheet") == 1.0


@pytest.mark.parametrize(
    ("job", "note"),
    [
        ("dropper", "; in series with the primary"),
        ("primary resistor", ""),
        ("surge", "; before the mains transformer primary"),
    ],
)
def test_it_is_known_by_its_job_or_its_note(job: str, note: str) -> None:
    text = SET.replace("{job}", f"job {job}").replace("{note}", note).replace("{more}", STEP)
    assert share_at_primary(makers.circuit(text), "2025-03-16 after") < 1


def test_one_without_a_day_counts_for_the_newest_list_alone() -> None:
    circuit = makers.circuit(IN_THE_PRIMARY.replace("{more}", STEP).replace(", fitted 2025-03-15", ""))
    assert share_at_primary(circuit, "2025-03-09 found") == 1.0
    assert share_at_primary(circuit, "2025-03-16 after") < 1


@pytest.mark.parametrize("job", ["surge", "output transformer primary", "IF primary damping"])
def test_a_resistor_elsewhere_takes_nothing_off_the_line(job: str) -> None:
    text = SET.replace("{job}", f"job {job}").replace("{note}", "").replace("{more}", STEP)
    assert share_at_primary(makers.circuit(text), "2025-03-16 after") == 1.0


def test_expected_values_are_scaled_by_it_and_the_page_says_so() -> None:
    text = IN_THE_PRIMARY.replace("{more}", STEP)
    found = makers.found("readings", text)
    row = next(r for r in found.rows if r.run == "2025-03-16 after")
    assert row.adjusted_volts == pytest.approx(242 * 219.25 / 220, rel=2e-3)
    page = makers.plain(makers.page("readings", text))
    assert "of which R42 of 47 Ω before the primary leaves 219 V at 250 mA" in page
    assert "times the share that reaches the primary" in page


def test_the_windings_own_ohms_lie_in_no_series_with_it() -> None:
    """``T1: mains transformer, 34 ohm primary`` left 229 of 239 V for itself."""
    text = IN_THE_PRIMARY.replace("{more}", STEP).replace(
        "  R42:", "  T1: mains transformer, 34 ohm primary, keep\n  R42:"
    )
    drop = primary_drop(makers.circuit(text), "2025-03-16 after", 231.0)
    assert drop
    assert drop.parts == ("R42",)
