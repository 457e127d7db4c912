"""A resistor that was fitted in series with the dropper counts in the string, and not in the dropper's heat."""

from __future__ import annotations

import pytest

import makers

SET = """line: 220 V 50 Hz
power: AC/DC
tubes:
  V1: UCH42
  V2: UF41
  V3: UBC41
  V4: UL41
  V5: UY41
heaters:
  order: dropper, V5, V4, V2, V1, V3
  dropper: resistor 850 ohm 25 W, measured 838 ohm{now}
parts:
  R20: keep, dropper 850 ohm 25 W wirewound, measured 838 ohm
  R14: keep, 180 ohm, measured 174 ohm, between V4 cathode and chassis
  R22: was none, now 82 ohm 3 W, {where}
"""


@pytest.mark.parametrize(
    ("where", "now", "ohms"),
    [
        ("in series with R20", "", 920),
        ("in series with the dropper", "", 920),
        ("job in series with the heater string", "", 920),
        ("in series with R14", "", 838),
        ("between V4 plate and B+2", "", 838),
        ("in series with R20", ", now 920 ohm", 920),
    ],
)
def test_a_resistor_in_series_with_the_dropper_is_in_the_string(where: str, now: str, ohms: float) -> None:
    """Fitted to take the heaters from 105 % to 100 %, it was counted as added, and the page told 106 %."""
    found = makers.findings("heaters", SET.format(where=where, now=now))
    assert found.string.dropper.ohms == pytest.approx(ohms)
    alone = makers.findings("heaters", SET.format(where="spare", now=f", now {ohms} ohm"))
    assert found.nominal.current_amps == pytest.approx(alone.nominal.current_amps)


def test_its_heat_is_its_own_and_the_page_says_that_it_counts() -> None:
    text = SET.format(where="in series with R20", now="")
    found = makers.findings("heaters", text)
    heat = found.nominal.current_amps**2 * 838
    assert found.fitted_of_rating == pytest.approx(heat / 25, rel=0.01)
    shown = makers.plain(makers.page("heaters", text))
    assert "R22, 82 Ω, in series with the dropper counts with it: 920 Ω together." in shown
