"""What a capacitor is made of, by its type or its size."""

from __future__ import annotations

import datetime

import pytest

from benchleaf.circuit.capacitor_kinds import kind_of_capacitor
from benchleaf.circuit.in_place import in_place
from benchleaf.circuit.supposed_faults.seen_by_meters import resistor_off
from makers import circuit

DAY = datetime.date(2026, 3, 1)


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("2 uF 400 V paper", "paper"),
        ("0.5 uF electrolytic", "electrolytic"),
        ("16 uF 450 V dry electrolytic", "electrolytic"),
        ("0.1 uF 630 V film", "film"),
        ("2 uF 250 V polypropylene", "film"),
        ("220 pF silver mica", "film"),
        ("4.7 nF 250 V Y2", "film"),
        ("0.89 uF 400 V", "paper"),
        ("0.9 uF 400 V", "electrolytic"),
        ("1 uF 400 V", "electrolytic"),
        ("0.05 uF 400 V", "paper"),
    ],
)
def test_a_type_says_what_a_capacitor_is_and_without_one_its_size_does(written: str, kind: str) -> None:
    listed = circuit(f"parts:\n  C1: {written}\n").named["c1"]
    assert kind_of_capacitor(in_place(listed, DAY)) == kind


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("100 kohm, measured 120 kohm", "sound"),
        ("100 kohm, measured 121 kohm", "high"),
        ("100 kohm, measured 80 kohm", "sound"),
        ("100 kohm, measured 79 kohm", "low"),
        ("100 kohm 5 %, measured 119 kohm", "sound"),
        ("100 kohm, measured open", "open"),
        ("100 kohm", ""),
    ],
)
def test_a_resistor_is_sound_within_a_fifth_of_its_nominal_value(written: str, found: str) -> None:
    """No fourth band means ±20 % (IEC 60062), and what moves less than that explains no reading."""
    listed = circuit(f"parts:\n  R1: was {written}\n").named["r1"]
    assert resistor_off(in_place(listed, "before"))[0] == found
