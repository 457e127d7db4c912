"""A field coil is warm while the set plays: its current follows from the ohms it has then."""

from __future__ import annotations

import pytest

import makers
from benchleaf.electrics.copper import copper_at

SET = """line: 230 V 50 Hz
power: transformer
tubes:
  V4: AL4
  V5: AZ1
parts:
  C1: 10 uF 500 V electrolytic, between HT1 and chassis
  C2: 22 uF 450 V electrolytic, between HT2 and chassis
  L1: field coil 1350 ohm, measured 1320 ohm, HT1 to HT2
speaker: voice coil 3.1 ohm, field 1320 ohm{note}
readings:
  2026-03-04 after:
    line: 231 V
    to: chassis
    HT1: 331
    HT2: 241
{soak}"""
SOAK = """power-up:
  - date: 2026-03-05
    soak: 2 h, 231 V, field coil 43 °C, room 18 °C
"""


def _set(note: str = "", soak: str = "") -> str:
    return SET.replace("{note}", note).replace("{soak}", soak)


@pytest.mark.handbook
def test_copper_gains_what_the_standard_says() -> None:
    """IEC 60028: 0.00393 a kelvin at 20 °C; 234.5 + t of the usual rule for windings (IEC 60034-1) is the same."""
    assert copper_at(100.0, 293.15, 303.15) == pytest.approx(103.93)
    for warm in (313.15, 353.15):
        assert copper_at(1320, 291.15, warm) == pytest.approx(1320 * (234.5 + warm - 273.15) / (234.5 + 18), rel=2e-3)
    with pytest.raises(ValueError, match="so cold or so hot"):
        copper_at(100.0, 0.0, 293.15)


@pytest.mark.parametrize(
    ("note", "soak", "ohms"),
    [
        ("", "", 1320.0),
        ("", SOAK, 1320 * (1 + 0.00393 * 23) / (1 - 0.00393 * 2)),
        ("; at 18 °C, 1450 ohm warm", "", 1450.0),
        ("; 1450 ohm warm", SOAK, 1450.0),
        ("; 3000 ohm warm", "", 1320.0),
    ],
)
def test_the_fields_current_follows_from_its_ohms_at_work(note: str, soak: str, ohms: float) -> None:
    """90 V across 1450 ohm are 62.1 mA and 5.59 W; cold ohms made 68.2 mA and 6.14 W of it."""
    on = makers.bench(_set(note, soak))
    coil = makers.found("speaker", on).field
    assert coil.amps == pytest.approx(90 / ohms, rel=2e-3)
    assert coil.watts == pytest.approx(90**2 / ohms, rel=2e-3)
    assert coil.ohms == 1320
    (through,) = (one for one in on.circuit.resistors("now") if one.part == "L1")
    assert through.ohms == pytest.approx(ohms)


def test_an_ohmmeter_before_power_has_it_cold() -> None:
    checks = "before power:\n  - 2026-03-01, field coil 1320 ohm\n"
    check, *_ = makers.found("power_up", _set("; 1450 ohm warm") + checks).before_power
    assert check.verdict == "expected"
    assert "1.45" not in check.said


def test_the_page_says_how_warm_it_was_taken() -> None:
    page = makers.plain(makers.page("speaker", _set("", SOAK)))
    assert "at 43 °C, of 18 °C when measured" in page
    assert "IEC 60028" in page
