"""Words a restorer types, and the pins they lead to on one tube.

Pins of the 6BE6 family: General Electric ET-T891A (1956). Octal and older types: L. Lovell, Antique Radio Repair,
tube table. Others as the pin table's own source says; the joining of pins to words is what is tested here.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.tubes import (
    Electrode,
    ElectrodeQuestion,
    Tube,
    all_types,
    by_pin,
    described,
    electrode,
    electrodes,
    find,
    say_electrode,
)
from benchleaf.words import DIALECTS


def tube(type_: str) -> Tube:
    found = find(type_)
    assert found is not None, type_
    return found


MEANT = [
    ("12BE6", "grid", "g3", (7,)),
    ("12BE6", "signal grid", "g3", (7,)),
    ("12BE6", "osc grid", "g1", (1,)),
    ("12BE6", "oscillator grid", "g1", (1,)),
    ("12BE6", "screen", "g2+g4", (6,)),
    ("12BE6", "g4", "g2+g4", (6,)),
    ("12BE6", "suppressor", "g5", (2,)),
    ("12BE6", "Anode", "a", (5,)),
    ("6SA7", "grid #3", "g3", (8,)),
    ("6SA7", "Osc. Grid", "g1", (5,)),
    ("1R5", "grid", "g3", (6,)),
    ("6A8", "grid", "g4", ("top cap",)),
    ("6A8", "osc plate", "g2", (6,)),
    ("6A8", "oscillator anode", "g2", (6,)),
    ("6A8", "screen", "g3+g5", (4,)),
    ("7A8", "cathode", "k", (7,)),
    ("6K8", "grid", "g3", ("top cap",)),
    ("6K8", "osc grid", "gt", (5,)),
    ("UCH42", "osc grid", "gt", (4,)),
    ("UCH42", "oscillator anode", "at", (3,)),
    ("UCH42", "grid", "g1", (6,)),
    ("ECH81", "screens", "g2+g4", (1,)),
    ("50C5", "control grid", "g1", (2, 5)),
    ("50L6", "screen grid", "g2", (4,)),
    ("6SK7", "suppressor", "g3", (3,)),
    ("6SK7", "g 2", "g2", (6,)),
    ("6K7", "top cap", "g1", ("top cap",)),
    ("12AV6", "grid", "g", (1,)),
    ("12AV6", "g1", "g", (1,)),
    ("12AV6", "diode plate 1", "d1", (6,)),
    ("12AV6", "diode anode no. 2", "d2", (5,)),
    ("12AX7", "plate 2", "a2", (1,)),
    ("12AX7", "grid 1", "g1", (7,)),
    ("12AX7", "heater tap", "ht", (9,)),
    ("ECL82", "triode plate", "at", (9,)),
    ("ECL82", "plate", "a", (6,)),
    ("6F7", "triode grid", "gt", (5,)),
    ("EABC80", "diode cathode", "k2", (3,)),
    ("EABC80", "triode a", "a", (9,)),
    ("EABC80", "triode grid", "g", (8,)),
    ("35W4", "pilot tap", "ht", (6,)),
    ("35W4", "plate", "a", (5,)),
    ("5Y3", "plates", "a1&a2", (4, 6)),
    ("5Y3", "cathode", "f", (2, 8)),
    ("5Y3", "filament", "f", (2, 8)),
    ("25Z5", "cathode 2", "k2", (3,)),
    ("1T4", "cathode", "f-", (1, 5)),
    ("1T4", "filament", "f-&f+", (1, 5, 7)),
    ("3S4", "filament centre tap", "fmid", (5,)),
    ("6E5", "target", "t", (4,)),
    ("6H6", "diode plate 2", "a2", (3,)),
    ("EF80", "cathode", "k", (1, 3)),
    ("50C5", "pin 7", "a", (7,)),
    ("50C5", "heater", "h", (3, 4)),
    ("EL84", "Va", "a", (7,)),
    ("EL84", "Vk", "k", (3,)),
    ("EL84", "Ec2", "g2", (9,)),
    ("EL84", "Eb", "a", (7,)),
    ("EL84", "Esg", "g2", (9,)),
    ("ECH81", "Ua T", "at", (8,)),
    ("ECH81", "VaT", "at", (8,)),
    ("ECH81", "Va H", "a", (6,)),
    ("ECH81", "g2 g4", "g2+g4", (1,)),
]


@pytest.mark.parametrize(("type_", "written", "key", "pins"), MEANT)
def test_word_leads_to_its_pins(type_: str, written: str, key: str, pins: tuple[int | str, ...]) -> None:
    assert electrode(tube(type_), written) == Electrode(key, pins)


@pytest.mark.parametrize(
    ("type_", "written", "nearest"),
    [
        ("12AX7", "plate", ("plate 1", "plate 2")),
        ("EM34", "anode", ("plate 1", "plate 2")),
        ("ECC85", "Vg", ("grid 1", "grid 2")),
        ("12AV6", "diode plate", ("diode plate 1", "diode plate 2")),
        ("25Z5", "cathode", ("cathode 1", "cathode 2")),
        ("CBL1", "diode plate", ("diode plate 1", "diode plate 2")),
    ],
)
def test_a_word_for_two_electrodes_is_a_question(type_: str, written: str, nearest: tuple[str, ...]) -> None:
    answer = electrode(tube(type_), written)
    assert isinstance(answer, ElectrodeQuestion)
    assert (answer.reason, answer.nearest) == ("several", nearest)


@pytest.mark.parametrize(
    ("type_", "written", "near"),
    [
        ("50C5", "plat", "plate"),
        ("12BE6", "osc plate", "plate"),
        ("35W4", "grid", None),
        ("12AV6", "screen", None),
        ("50C5", "sreen", "screen"),
    ],
)
def test_a_word_for_no_electrode_of_this_tube_offers_what_there_is(type_: str, written: str, near: str | None) -> None:
    answer = electrode(tube(type_), written)
    assert isinstance(answer, ElectrodeQuestion)
    assert answer.reason == "none"
    assert "plate" in answer.offered
    assert near is None or near in answer.nearest


def test_a_tube_without_known_pins_answers_from_its_role() -> None:
    assert electrode(tube("CBL1"), "screen") == Electrode("g2", ())
    assert electrode(tube("CK1"), "osc plate") == Electrode("g2", ())
    assert electrode(described("XX1", 6.3, 0.3), "plate") == Electrode("a", ())


def test_by_pin_reads_the_socket() -> None:
    assert by_pin(tube("50C5"), 6) == Electrode("g2", (6,))
    assert by_pin(tube("6A7"), "top cap") == Electrode("g4", ("top cap",))
    assert by_pin(tube("50C5"), 9) is None


def test_both_dialects_say_their_own_word() -> None:
    assert say_electrode("a", "output pentode") == "plate"
    assert say_electrode("a", "output pentode", DIALECTS["british"]) == "anode"
    assert say_electrode("gt+g3", "triode-hexode converter", DIALECTS["british"]) == "oscillator grid"
    assert say_electrode("k+g6", "octode converter") == "cathode"
    assert say_electrode("k+g5", "octode converter") == "cathode"
    assert say_electrode("zz", None) == "zz"


def test_every_word_the_program_says_is_understood_on_the_same_tube() -> None:
    for name in all_types():
        for words in DIALECTS.values():
            for key, word in electrodes(tube(name), words).items():
                answer = electrode(tube(name), word)
                assert isinstance(answer, Electrode), (name, key, word, answer)
                if tube(name).pins:
                    assert {pin for pin, on_pin in tube(name).pins.items() if on_pin == key} <= set(answer.pins), (
                        name,
                        word,
                    )


def test_every_short_key_is_understood_on_the_same_tube() -> None:
    for name in all_types():
        for pin, key in tube(name).pins.items():
            if key not in ("nc", "ic", "shell/nc"):
                answer = electrode(tube(name), "internal shield" if key == "s" else key)
                assert isinstance(answer, Electrode), (name, key, answer)
                assert pin in answer.pins, (name, key, answer)


@given(st.sampled_from(["12BE6", "5Y3GT", "1T4", "CBL1", "12AX7"]), st.text(max_size=80))
def test_hostile_words_never_raise(type_: str, written: str) -> None:
    assert isinstance(electrode(tube(type_), written), Electrode | ElectrodeQuestion)
