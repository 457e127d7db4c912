"""Dial lamps by number and by volts and amperes."""

from __future__ import annotations

import pytest

from benchleaf.tubes import lamp, lamps


@pytest.mark.handbook
@pytest.mark.parametrize("written", ["47", "#47", " # 47", "No. 47", "lamp 47"])
def test_number_47(written: str) -> None:
    """pinballmedic.net, lamp chart: 6.3 V 0.15 A."""
    found = lamp(written)
    assert found is not None
    assert (found.volts, found.amps) == (6.3, 0.15)
    assert found.source.title == "pinballmedic.net, lamp chart"
    assert found.hot_ohms == pytest.approx(42.0)


@pytest.mark.handbook
def test_number_44_takes_a_quarter_ampere() -> None:
    """Arcade machine lamp notes: 6.3 V 0.25 A."""
    found = lamp("44")
    assert found is not None
    assert (found.volts, found.amps, found.base) == (6.3, 0.25, "miniature bayonet (BA9s)")


@pytest.mark.parametrize(
    ("number", "volts", "amps", "bead"),
    [
        ("40", 6.3, 0.15, "brown"),
        ("41", 2.5, 0.5, "white"),
        ("46", 6.3, 0.25, "blue"),
        ("49", 2.0, 0.06, "pink"),
        ("51", 6.3, 0.2, "white"),
        ("1847", 6.3, 0.15, None),
        ("1892", 14.0, 0.12, "white"),
    ],
)
def test_widely_used_numbers_are_there_and_say_they_are_from_memory(
    number: str, volts: float, amps: float, bead: str | None
) -> None:
    found = lamp(number)
    assert found is not None
    assert (found.volts, found.amps, found.bead) == (volts, amps, bead)
    assert found.source.from_memory


@pytest.mark.parametrize(
    ("written", "volts", "amps"),
    [
        ("6.3 V 0.3 A", 6.3, 0.3),
        ("6,3V 0,3A", 6.3, 0.3),
        ("19 V 100 mA", 19.0, 0.1),
        ("6-8 V 0.15 A", 6.3, 0.15),
        ("3.5 V 0.15 A", 3.5, 0.15),
    ],
)
def test_european_lamps_go_by_volts_and_amperes(written: str, volts: float, amps: float) -> None:
    found = lamp(written)
    assert found is not None
    assert (found.volts, found.amps) == (volts, amps)


@pytest.mark.parametrize("written", ["", "#", "99999", "6.3 V", "6.3 V 9 A", "x" * 5000])
def test_no_such_lamp(written: str) -> None:
    assert lamp(written) is None


def test_every_lamp_is_found_by_the_name_it_carries() -> None:
    assert len(lamps()) >= 35
    for name, expected in lamps().items():
        assert lamp(name) == expected
        assert expected.source.title
        assert (expected.bead is None) == (expected.bead_source is None)
