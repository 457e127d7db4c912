"""The drawn string, the sweep and the bars: every piece is there, no two words run into each other."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

import makers
from benchleaf.drawing import Figure, overlaps

TUBES = "tubes:\n  V1: 12BE6\n  V2: 12BA6\n  V3: 12AV6\n  V4: 50C5\n  V5: 35W4\n"
EUROPEAN = "tubes:\n  V1: UCH42\n  V2: UF41\n  V3: UBC41\n  V4: UL41\n  V5: UY41\n"


def figures(text: str) -> dict[str, Figure]:
    return makers.figures("heaters", f"power: series string\n{text}")


def words(figure: Figure) -> list[str]:
    root = ET.fromstring(figure.svg)
    texts = [e for e in root.iter() if e.tag.rpartition("}")[2] == "text"]
    return ["".join(text.itertext()).replace("\u202f", " ") for text in texts]


def test_american_string_shows_each_heater_the_lamp_and_the_tap() -> None:
    drawn = figures(
        f"line: 120 V 60 Hz\n{TUBES}heaters:\n  order: V5, V4, V2, V1, V3\n  pilot lamp: 47 across V5 tap\n"
    )
    text = words(drawn["heater-supply-drawing"])
    for label in (
        "V5 35W4",
        "V4 50C5",
        "V2 12BA6",
        "V1 12BE6",
        "V3 12AV6",
        "35 V rated",
        "lamp",
        "47",
        "B-",
        "line 120 V",
    ):
        assert label in text, text
    assert any("tap" in label for label in text)
    assert text.index("V5 35W4") < text.index("V4 50C5") < text.index("V3 12AV6")


def test_european_string_shows_the_dropper_with_its_heat() -> None:
    drawn = figures(f"line: 230 V 50 Hz\n{EUROPEAN}heaters:\n  dropper: resistor 1200 ohm 15 W\n")
    text = words(drawn["heater-supply-drawing"])
    assert "resistor" in text
    assert "1.2 kΩ" in text
    assert "117 V, 11.5 W" in text


@pytest.mark.parametrize(
    "heaters",
    [
        "pilot lamp: 47 across V5 tap",
        "pilot lamp: screw cap, 6.3 V 0.15 A, in series",
        "dropper: capacitor 5 uF 400 V",
        "dropper: diode",
        "dropper: resistance cord 170 ohm",
        "dropper: ballast 49 V",
        "dropper: resistor 30 W",
        "order: V5, dropper, V4, lamp, V2, V1, V3\n  dropper: resistor 30 ohm\n  pilot lamp: 47 in series",
    ],
)
def test_no_two_labels_of_a_string_overlap(heaters: str) -> None:
    drawn = figures(f"line: 120 V 60 Hz\n{TUBES}heaters:\n  {heaters}\n")
    assert overlaps(drawn["heater-supply-drawing"].svg) == []


def test_string_fits_a_phone() -> None:
    """360 CSS pixels, less the page's margins."""
    drawn = figures(f"line: 120 V 60 Hz\n{TUBES}heaters:\n  pilot lamp: 47 across V5 tap\n")
    assert drawn["heater-supply-drawing"].width < 330


def test_description_says_what_the_drawing_shows() -> None:
    drawn = figures(f"line: 230 V 50 Hz\n{EUROPEAN}heaters:\n  dropper: resistor 1200 ohm 15 W\n")
    text = drawn["heater-supply-drawing"].description.replace("\u202f", " ")
    assert text.startswith("From the line to B-: resistor, 1.2 kΩ, 117 V, 11.5 W; V1 UCH42, 14 V rated, 13.5 V, 97 %")


def test_sweep_has_the_band_and_the_nominal_line() -> None:
    drawn = figures(f"line: 230 V 50 Hz\n{EUROPEAN}heaters:\n  dropper: resistor 1200 ohm 15 W\n")
    text = words(drawn["heater-supply-sweep"])
    assert "90 to 110 %" in text
    assert "nominal line" in text
    assert "all heaters" in text
    mixed = figures(f"line: 120 V\n{TUBES.replace('12BE6', '6BE6')}")
    assert {"highest", "lowest"} <= set(words(mixed["heater-supply-sweep"]))


def test_each_heater_has_its_bars() -> None:
    drawn = figures(f"line: 230 V 50 Hz\n{EUROPEAN}heaters:\n  dropper: resistor 1200 ohm 15 W\n")
    assert {f"heater-supply-share-V{k}" for k in range(1, 6)} <= set(drawn)
    assert "19" in drawn["heater-supply-share-V4"].svg
    assert "3 % low, within ± 10 %" in drawn["heater-supply-band-V4"].svg


def test_same_string_gives_the_same_bytes() -> None:
    text = f"line: 120 V 60 Hz\n{TUBES}heaters:\n  pilot lamp: 47 across V5 tap\n"
    assert figures(text) == figures(text)


def test_string_that_cannot_be_computed_is_still_drawn() -> None:
    drawn = figures(TUBES)
    assert set(drawn) == {"heater-supply-drawing"}
    assert "V4 50C5" in words(drawn["heater-supply-drawing"])


def test_hostile_type_is_drawn_as_words_and_cut_short() -> None:
    hostile = "'<script>alert(1)</script><img src=x onerror=alert(1)>'"
    svg = figures(f"line: 120 V\n{TUBES.replace('12BE6', hostile)}")["heater-supply-drawing"].svg
    assert "<script" not in svg
    assert "<img" not in svg
    assert ET.fromstring(svg) is not None
