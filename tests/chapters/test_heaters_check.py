"""Heater supplies that cannot be, each told at its line; a condition of the set is no problem."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.rules.heaters import look_over

HEAD = """maker: Larkfield
model: Minuet 5
line: 120 V 60 Hz
power: series string
tubes:
  V1: 12BE6
  V2: 12BA6
  V5: 35W4
heaters:
"""


def told(rows: str) -> list[str]:
    text = HEAD + "".join(f"  {row}\n" for row in rows.splitlines())
    return makers.told(look_over, makers.record(text))


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (
            "dropper: resistor 0 ohm",
            "record.yml:10:21: heaters.dropper.ohms: found “0 ohm”; expected a value above zero",
        ),
        ("shunts:\n  V1: 0 ohm", "record.yml:11:9: heaters.shunts.V1.ohms: found “0 ohm”"),
        ("shunts:\n  V7: 84 ohm", "record.yml:11:5: heaters.shunts: found “V7”; expected tubes of the set"),
        ("windings:\n  LT: 0 V 2 A", "record.yml:11:9: heaters.windings.LT.volts: found “0 V”"),
        ("windings:\n  LT: -6.3 V 2 A", "heaters.windings.LT.volts: found “-6.3 V”; expected a value above zero"),
        ("measured:\n  V1: -12 V", "record.yml:11:9: heaters.measured.V1: found “-12 V”"),
        ("pilot lamp: bulb, 0 V 0.3 A, in series", "heaters.pilot lamp.volts: found “0 V”"),
        ("ntc: cold 40 ohm, hot 5500 ohm", "heaters.ntc.hot: found “5500 ohm”; expected fewer ohms hot than cold"),
        ("dropper: barretter, type C1", "for a C1 that is “barretter 80-200 V 0.2 A, type C1” (from memory)"),
        ("dropper: barretter C1", "for a C1 that is “barretter 80-200 V 0.2 A, type C1” (from memory)"),
        ("dropper: barretter 0.3 A, type 304", "is “barretter 95-165 V 0.3 A, type 304” (r-type.org, page on the"),
        ("dropper: barretter 0.3 A", "heaters.dropper: found “barretter”; expected its range of volts and its current"),
        ("dropper: resistor 100 ohm, shared 200 ohm", "heaters.dropper.shared: found “200 ohm”; expected no more than"),
        ("dropper: resistor 10 uF", "heaters.dropper: found “10 uF” on a resistor"),
        ("cathode currents:\n  V8: 2 mA", "heaters.cathode currents: found “V8”; expected a position"),
        ("diode in place of: 35ZZ9", "heaters.diode in place of: found “35ZZ9”; expected a type in the tube table"),
        ("primary: 0 V", "record.yml:10:12: heaters.primary: found “0 V”"),
    ],
)
def test_value_or_name_that_cannot_be_is_told_at_its_line(rows: str, expected: str) -> None:
    found = told(rows)
    assert len(found) == 1, found
    assert expected in found[0]


@pytest.mark.parametrize(
    "rows",
    [
        "order: V5, V2, V1\npilot lamp: 47 across V5 tap\nshunts:\n  V5 tap: 150 ohm\n  V1 V2: 300 ohm 2 W",
        "mains taps:\n  110 V: 0 ohm\n  120 V: 68 ohm",
        "measured:\n  V1: 0 V\n  dropper: 0 V",
        "dropper: barretter 95-165 V 0.3 A",
        "ntc: cold 5500 ohm, hot 40 ohm",
        "diode in place of: 35W4",
    ],
)
def test_what_can_be_is_no_problem(rows: str) -> None:
    assert told(rows) == []
