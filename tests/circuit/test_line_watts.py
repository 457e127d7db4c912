"""What was read of the line is parted from the loudspeaker's, and a step of part of the set from the running one."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.line_watts import is_line_power, nameplate_of
from benchleaf.circuit.powered_steps import has_lamp_in_series, near_line, read_amps


@pytest.mark.parametrize(
    ("line", "is_lines"),
    [
        ("power: 31 W at 117 V, kill a watt", True),
        ("line power: 31 W at 117 V, plug in wattmeter", True),
        ("power: 118 W, 1.04 A", True),
        ("consumption: 45 W", True),
        ("power: 45 W from the mains", True),
        ("output power: .9 W at clipping, into 3.2 ohm", False),
        ("output: 6 W into 6 ohm, clips at 7.5", False),
        ("power: 1.2 W at 10 %", False),
        ("power: before 0.4 W, after 1.6 W", False),
        ("output: 1.2 W", False),
        ("hum: 3 mV", False),
        ("line power: 4 W, into 3.2 ohm", False),
        ("line power: 45 W, at full output", True),
        ("output: 45 W from the mains, at full output", False),
        ("power: 45 W at 117 V", True),
        ("power: 45 W at 90 V", True),
        ("power: 4.5 W at 89 V", False),
        ("power: 45 W, 0.4 A", True),
    ],
)
def test_a_power_is_the_lines_by_what_its_line_says(line: str, is_lines: bool) -> None:
    ((name, result),) = makers.record(f"results:\n  {line}\n").results.items()
    assert is_line_power(str(name), result) is is_lines


@pytest.mark.parametrize(
    ("watts", "is_lines"),
    [
        ("118 W", True),
        ("6 W", False),
        ("400 W", False),
        ("64 W", False),
        ("65 W", True),
        ("195 W", True),
        ("196 W", False),
    ],
)
def test_without_a_word_it_is_the_lines_where_it_is_about_the_nameplates(watts: str, is_lines: bool) -> None:
    ((name, result),) = makers.record(f"results:\n  power: {watts}\n").results.items()
    assert is_line_power(str(name), result, 130.0) is is_lines


@pytest.mark.parametrize(
    ("using", "step", "why"),
    [
        ("100w dim bulb, rect out", "", "no rectifier"),
        ("60 W lamp in series", "", "lamp"),
        ("60w dim bulb and variac", "", "lamp"),
        ("variac, no bulb", "", ""),
        ("60 W lamp in series, then variac", "", ""),
        ("variac", ", rectifier pulled", "no rectifier"),
        ("variac, V10 out", "", "no rectifier"),
        ("variac, V4 out", "", ""),
        ("variac, all tubes out", "", "no tubes"),
        ("variac, power transformer alone", "", "no tubes"),
        ("isolating transformer", ", plays", ""),
    ],
)
def test_why_a_current_is_not_the_running_sets(using: str, step: str, why: str) -> None:
    text = f"power-up:\n  - date: 2025-03-01\n    with: {using}\n    steps:\n      - 117 V, 0.36 A{step}\n"
    (found,) = read_amps(makers.record(text), ("V10",))
    assert found == (117.0, 0.36, why)


def test_the_newest_stands_first_and_a_soak_is_a_step() -> None:
    text = """power-up:
  - date: 2025-03-01
    with: 60 W lamp in series
    steps:
      - 117 V, 0.36 A
  - date: 2025-03-08
    steps:
      - 90 V, 0.7 A
      - 117 V, 1.02 A
    soak: 4 h, 117 V, 1.0 A
"""
    assert list(read_amps(makers.record(text))) == [
        (117.0, 1.0, ""), (117.0, 1.02, ""), (90.0, 0.7, ""), (117.0, 0.36, "lamp")]  # fmt: skip


@pytest.mark.parametrize("using", ["no dim bulb", "without the series lamp", "dim bulb out"])
def test_a_lamp_that_is_not_there_is_none(using: str) -> None:
    assert not has_lamp_in_series(using)


@pytest.mark.parametrize(
    ("volts", "near"), [(101.9, False), (102.1, True), (120.0, True), (137.9, True), (138.1, False), (240.0, False)]
)
def test_what_is_read_within_15_percent_of_the_nominal_line_is_of_the_set_there(volts: float, near: bool) -> None:
    assert near_line(volts, 120.0) is near


@pytest.mark.parametrize(
    ("plate", "watts"),
    [
        ("105-120 v ac only 60 cy 35 watts", 35.0),
        ("115 v 60 cy 75 w", 75.0),
        ("117v 60 cy, 35w, clock radio, appliance outlet 1100w max", 35.0),
        ("110/127/220/240 V~, 50 W", 50.0),
        ("Wrenford Radio Ltd. 200-250 V AC/DC", None),
        ("0 W", None),
        ("model W 60", None),
    ],
)
def test_the_watts_of_a_nameplate_stand_among_its_other_words(plate: str, watts: float | None) -> None:
    """Both plates without commas had no watts, and no check from pin to pin."""
    assert nameplate_of(makers.record(f"nameplate: {plate}\n"), "power") == watts
