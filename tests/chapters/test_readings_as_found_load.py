"""What a tube had to bear as found: computed for every list, and told as what was wrong where it was too much."""

from __future__ import annotations

import pytest

import makers

OVERRUN = """line: 117 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V4: 6V6GT, output
parts:
  R8: keep, {ohms} ohm, between V4 cathode and chassis
readings:
  2026-02-22 as found:
    to: chassis
    V4: plate {volts}, screen {volts}, cathode {cathode}, grid 6
  2026-03-04 after:
    to: chassis
    V4: plate 250, screen 250, cathode 12.5, grid 0
{faults}"""
FAULT = "faults:\n  - complaint: hum\n    cause: a dry joint\n    cure: soldered\n"
"""The 6V6GT may turn 12 W into heat at its plate (RCA and Tung-Sol, 1940s); 250 V at 45 mA of it are 11.25 W."""


def overrun(volts: float = 255, cathode: float = 20, ohms: float = 270, faults: str = "") -> str:
    return OVERRUN.format(volts=volts, cathode=cathode, ohms=ohms, faults=faults)


def test_the_load_of_every_list_is_told() -> None:
    found = makers.found("readings", overrun())
    assert found.operating["V4"].run == "2026-03-04 after"
    (then,) = found.earlier_points("V4")
    assert then.cathode_amps == pytest.approx(20 / 270, rel=5e-3)
    page = makers.plain(makers.page("readings", overrun()))
    assert ">as found: 74.1 mA<" in page
    assert f">as found: {then.plate_watts:.3g} W<" in page


@pytest.mark.parametrize("faults", ["", FAULT])
def test_a_plate_that_was_over_its_rating_is_what_was_wrong(faults: str) -> None:
    """74 mA at 235 V are some 16 W, whatever the screen takes of it."""
    text = overrun(faults=faults)
    (said,) = (one for one in makers.standouts("readings", text) if "into heat" in one.text)
    plain = makers.plain(said.text)
    assert "74.1 mA through its cathode; its rating is" in plain
    assert plain.endswith("later (2026-03-04 after).")
    html = makers.set_page(f"state: finished\n{text}").html
    wrong = html.partition("What was wrong")[2].partition("</ul>")[0]
    assert "into heat at" in wrong
    assert html.count("into heat at") == 1
    assert not faults or wrong.index("Hum") < wrong.index("into heat")


def test_a_plate_that_still_is_over_is_no_matter_of_the_past() -> None:
    text = overrun().replace("cathode 12.5, grid 0", "cathode 20, grid 6")
    assert not [one for one in makers.standouts("readings", text) if "later (" in one.text]


def test_a_plate_within_its_rating_is_not_told() -> None:
    assert not [one for one in makers.standouts("readings", overrun(cathode=11)) if "into heat" in one.text]
