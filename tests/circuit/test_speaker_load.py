"""The load of a speaker through its transformer, where an output tube is worked out with it: by hand."""

from __future__ import annotations

import pytest

import makers

SET = """line: 240 V 50 Hz
power: transformer
chassis: isolated
tubes:
  V4: KT61, output
  V5: U50, rectifier
speaker: {speaker}
parts:
  R8: 90 ohm, V4 cathode to chassis
  T2: output transformer{match}, V4 anode to HT2
readings:
  after:
    line: 240
    HT2: 240
    V4: anode 230, screen 240, cathode 4.2
results:
  output power: 3.2 W at 400 Hz
"""


@pytest.mark.parametrize(
    ("speaker", "match", "how", "ohms"),
    [
        ("2.8 ohm, ratio 42:1", "", "speaker", 2.8 * 42**2),
        ("2.8 ohm", "", "published", 6000),
        ("voice coil 2.8 ohm, ratio 42:1", "", "published", 6000),
        ("2.8 ohm, ratio 42:1", " 7 kohm to 3 ohm", "speaker", 2.8 * 42**2),
        ("8 ohm", " 7 kohm to 3 ohm", "reflected", 7000),
    ],
)
def test_an_output_tube_works_into_the_speaker_that_is_written(speaker: str, match: str, how: str, ohms: float) -> None:
    """“Into 6 kohm”, as published, stood beside 2.8 ohm behind 42:1: 4.9 kohm, and a fifth less power."""
    text = SET.format(speaker=speaker, match=match)
    stage = makers.found("results", text).output_stage
    assert (stage.load_how, stage.load_ohms) == (how, pytest.approx(ohms, rel=0.01))
    found = makers.found("speaker", text)
    assert found.meant_how in ("published", "reflected")
    assert found.meant_how != "speaker"
    if how == "speaker":
        assert stage.watts == pytest.approx(stage.amps**2 * ohms / 2, rel=0.03)


def test_two_tubes_from_plate_to_plate_have_half_each() -> None:
    text = SET.replace("  V5: U50", "  V6: KT61, output\n  V5: U50").replace(
        "T2: output transformer{match}, V4 anode to HT2", "T2: output transformer, V4 anode to V6 anode, ct to HT2"
    )
    circuit = makers.circuit(text.format(speaker="15 ohm, ratio 25:1", match=""))
    for tube in ("V4", "V6"):
        load = circuit.load(circuit.places.read(f"{tube} anode"))
        assert (load.how, load.ohms) == ("speaker", pytest.approx(15 * 625 / 2))
