"""The drawn string, the sweep and the bars: every piece is there, no two words run into each other."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

import makers
from benchleaf.chapters.heaters.string_bar import BAR
from benchleaf.drawing import Figure, overlaps
from benchleaf.report.sentence import text_of
from benchleaf.report.verdict import Verdict

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


def test_a_lamp_across_a_whole_heater_is_drawn_beside_it() -> None:
    string = f"line: 120 V 60 Hz\n{TUBES}heaters:\n  order: V5, V4, V2, V1, V3\n"
    with_lamp, bare = (figures(string + lamp)["heater-supply-drawing"] for lamp in ("  pilot lamp: 47 across V1\n", ""))
    assert [words(drawn).count("lamp") for drawn in (with_lamp, bare)] == [1, 0]
    assert with_lamp.width > bare.width


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


# The bar


def boxes(text: str) -> list[tuple[float, float]]:
    """Where each member begins and how wide it is, in per cent of the bar."""
    root = ET.fromstring(figures(text)[BAR].svg)
    rects = [e.attrib for e in root.iter() if e.tag.rpartition("}")[2] == "rect"]
    return [(float(r["x"].rstrip("%")), float(r["width"].rstrip("%"))) for r in rects]


ORDER = "order: 'V5, V4, V2, V1, V3'"
FILAMENTS = "tubes: {V1: 1R5, V2: 1T4, V3: 1S5, V4: 3V4}\nheaters: {order: 'V4, V2, V1, V3'}\n"
STRINGS = {
    "a lamp at the tap": f"line: 120 V 60 Hz\n{TUBES}heaters: {{{ORDER}, pilot lamp: 47 across V5 tap}}\n",
    "a dropper": f"line: 230 V 50 Hz\n{EUROPEAN}heaters: {{{ORDER}, dropper: resistor 1130 ohm 25 W}}\n",
    "filaments on a battery": f"line: 7.5 V DC\n{FILAMENTS}",
}


@pytest.mark.parametrize("text", STRINGS.values(), ids=STRINGS)
def test_the_bar_is_to_scale_and_fills_its_width(text: str) -> None:
    """Each member's width over the bar's is its volts over those of all: where nothing turns the phase, of the feed."""
    power = "battery" if "7.5 V" in text else "series string"
    found = makers.found("heaters", f"power: {power}\n{text}")
    drawn = makers.figures("heaters", f"power: {power}\n{text}")[BAR]
    rects = [e.attrib for e in ET.fromstring(drawn.svg).iter() if e.tag.rpartition("}")[2] == "rect"]
    widths = [float(r["width"].rstrip("%")) for r in rects]
    volts = [running.volts for running in found.nominal.tubes.values()]
    dropper = [found.nominal.dropper_volts] if found.string.dropper else []
    assert widths == pytest.approx([100 * v / found.feed.volts for v in (*dropper, *volts)], abs=0.02)
    assert [float(r["x"].rstrip("%")) for r in rects] == pytest.approx(
        [sum(widths[:n]) for n in range(len(widths))], abs=0.03
    )
    assert drawn.height <= 120
    assert float(ET.fromstring(drawn.svg).attrib["height"]) == drawn.height


@pytest.mark.parametrize("text", STRINGS.values(), ids=STRINGS)
def test_words_in_the_bar_stay_in_their_boxes_on_a_phone(text: str) -> None:
    """320 pixels wide, a letter of 0.6 em, without what a narrow screen leaves out."""
    power = "battery" if "7.5 V" in text else "series string"
    root = ET.fromstring(makers.figures("heaters", f"power: {power}\n{text}")[BAR].svg)
    widths = [float(e.attrib["width"].rstrip("%")) for e in root.iter() if e.tag.rpartition("}")[2] == "rect"]
    inner = [e for e in root if e.tag.rpartition("}")[2] == "svg"]
    assert len(inner) == len(widths)
    for box, width in zip(inner, widths, strict=True):
        for line in box:
            said = (line.text or "") + "".join(
                ("" if part.get("class") == "bl-wide-only" else part.text or "") + (part.tail or "") for part in line
            )
            turned = "transform" in line.attrib
            assert len(said) * 11.5 * 0.6 <= (86 - 6 if turned else width / 100 * 320 - 4), said


def test_what_is_no_string_has_no_bar() -> None:
    windings = "heaters: {windings: {LT: '6.3 V 2 A, feeds V1 V2'}}\n"
    assert BAR not in makers.figures(
        "heaters", f"power: transformer\nline: 120 V 60 Hz\ntubes: {{V1: 6A8, V2: 6K7}}\n{windings}"
    )


def test_a_capacitor_in_series_is_left_out_of_the_bar_and_that_is_said() -> None:
    text = f"power: series string\nline: 230 V 50 Hz\n{EUROPEAN}heaters: {{dropper: capacitor 1.6 uF}}\n"
    assert len(boxes(text.removeprefix("power: series string\n"))) == 5
    (shown,) = makers.digest("heaters", text).figures
    assert "What the capacitor takes does not add to these" in text_of(shown.caption)


def test_a_heater_out_of_its_band_wears_its_sign() -> None:
    drawn = figures(
        f"line: 230 V 50 Hz\n{EUROPEAN}heaters: {{order: 'V5, V4, V2, V1, V3', dropper: resistor 600 ohm 25 W}}\n"
    )
    assert Verdict.FAULT.sign in drawn[BAR].svg
    assert 'stroke-width="2.5"' in drawn[BAR].svg
    assert Verdict.FAULT.sign not in figures(STRINGS["a dropper"])[BAR].svg


@pytest.mark.parametrize(
    ("lamp", "said"),
    [
        ("47, across V1 tap", "133 % with lamp 47 6.24 V across its tap"),
        ("lamp 6.3 V 0.15 A, across V1 tap", "133 % with lamp 6.24 V across its tap"),
    ],
)
def test_a_lamp_without_a_name_is_a_lamp(lamp: str, said: str) -> None:
    text = f"line: 120 V\ntubes:\n  V1: 35W4\n  V2: 50C5\nheaters:\n  order: V1, V2\n  pilot lamp: {lamp}\n"
    assert said in makers.plain(figures(text)["heater-supply-drawing"].description)
