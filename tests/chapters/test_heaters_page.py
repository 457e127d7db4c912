"""The heater chapter as a page: numbers present, nothing unescaped, cautions where they belong."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.pages.rendering import plain_text
from benchleaf.words import AMERICAN, BRITISH, Words
from markup import parsed
from sites import DEMO

AMERICAN_SET = """line: 120 V 60 Hz
power: series string
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5
  V5: 35W4
heaters:
  order: V5, V4, V2, V1, V3
  pilot lamp: 47 across V5 tap
  measured:
    line: 117 V
    V5: 32.1 V
    V4: 48.2 V
    V2: 12.2 V
    V1: 12.2 V
    V3: 12.1 V
"""
EUROPEAN_SET = """line: 230 V 50 Hz
power: series string
tubes:
  V1: UCH42
  V2: UF41
  V3: UBC41
  V4: UL41
  V5: UY41
heaters:
  order: V5, V4, V2, V1, V3
  dropper: resistor 1200 ohm 15 W
"""
TRANSFORMER_SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V1: 6A8
  V2: 6K7
  V3: 6Q7
  V4: 6F6
  V5: 5Y3GT
heaters:
  windings:
    LT: 6.3 V 2.5 A, feeds V1 V2 V3 V4, measured 6.5 V
    rectifier: 5 V 2 A, feeds V5
"""


def page(text: str, words: Words = AMERICAN) -> str:
    return makers.page("heaters", makers.bench(text, words=words), drawn=True)


def said(text: str, words: Words = AMERICAN) -> str:
    return makers.plain(plain_text(page(text, words)))


@pytest.mark.parametrize("text", [AMERICAN_SET, EUROPEAN_SET, TRANSFORMER_SET])
def test_page_is_well_formed_with_ids_of_its_own(text: str) -> None:
    html = page(text)
    found = parsed(html)
    assert all(id_.startswith("heater") for id_ in found.ids)
    assert "h2" not in found.tags
    assert html.lstrip().startswith('<p class="bl-conclusion">')
    assert all(word not in plain_text(html) for word in ("None", "Undefined", "nan", "{{"))
    assert not re.search(r"\bsafe\b|\bsimply\b", plain_text(html))


def test_american_page_says_sum_current_and_how_it_runs() -> None:
    text = said(AMERICAN_SET)
    first = (
        "The heaters ask for 122.8 V at 150 mA; on the 120 V line, with the 47 lamp across the tap of V5, they run at"
    )
    assert text.startswith(first)
    assert "The heaters ask for 2.8 V more than the 120 V line." in text
    assert "is meant to have less than its 35 V" in text
    assert "116.8 V against 117 V of line" in text


def test_british_page_speaks_of_valves_and_mains() -> None:
    text = said(EUROPEAN_SET, BRITISH)
    assert "230 V mains" in text
    assert "Valve" in text
    assert not re.search(r"\b[Tt]ubes?\b", text.partition("Heater ratings:")[0])
    assert "1.13 kΩ" in text
    assert "1.2 kΩ" in text
    assert "25 W" in text
    assert "less than twice the heat" in text


def test_transformer_page_holds_loads_against_ratings() -> None:
    text = said(TRANSFORMER_SET)
    assert text.startswith("The heaters are in parallel: LT gives 1.6 A of its 2.5 A, rectifier gives 2 A of its 2 A.")
    assert "6.5 V (103 %) within" in text


def test_resistance_cord_brings_the_asbestos_caution() -> None:
    cord = EUROPEAN_SET.replace("resistor 1200 ohm 15 W", "resistance cord 1200 ohm")
    assert "resistance cord in this set may hold asbestos" in said(cord)
    assert "Never shorten it" in said(cord)
    ballast = EUROPEAN_SET.replace("resistor 1200 ohm 15 W", "ballast 113 V")
    assert "ballast in this set may hold asbestos" in said(ballast)
    assert "may be asbestos" in said(EUROPEAN_SET)
    assert "asbestos" not in said(AMERICAN_SET)


def test_anchors_of_standouts_are_on_the_page() -> None:
    text = EUROPEAN_SET.replace("  dropper: resistor 1200 ohm 15 W\n", "  measured:\n    line: 230 V\n    V5: 5 V\n")
    text += "    V4: 45 V\n    V2: 12 V\n    V1: 14 V\n    V3: 14 V\n    current: 0.2 A\n"
    ids = parsed(page(text)).ids
    out = makers.standouts("heaters", text)
    assert len(out) > 2
    assert {s.anchor for s in out} <= set(ids)


def test_source_of_each_rating_stands_in_the_working() -> None:
    html = page(EUROPEAN_SET)
    working = html[html.index("<details") :]
    assert "vintage-radio.com" in working
    assert "IEC 60063" in working
    assert "Darby" in working
    assert "common practice, no source" in working


HOSTILE = '<script>alert(1)</script>"><img src=x onerror=alert(1)>'


def test_hostile_words_of_a_record_come_out_as_words() -> None:
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    text = f"""line: 120 V
power: series string
tubes:
  V1: {quoted}
  {quoted}: 12BE6
  V4: 50C5
heaters:
  order: V1, V4, {quoted}
  pilot lamp:
    type: {quoted}
    across: {quoted}
  dropper:
    kind: resistor
    note: {quoted}
  measured:
    {quoted}: 3 V
  windings:
    {quoted}:
      volts: 6.3 V
      feeds: {quoted}
  note: {quoted}
"""
    html = page(text)
    found = parsed(html)
    assert "script" not in found.tags
    assert "img" not in found.tags
    assert found.scripts == []
    assert "&lt;script&gt;" in html


def test_what_is_missing_is_said_plainly() -> None:
    bare = "power: transformer\ntubes:\n  V1: 6A8\n  V2: 6ZZ9\n"
    text = said(bare)
    assert "The heater windings are not written" in text
    assert "V2, 6ZZ9 is not known" in text
    assert "line voltage is not written" in text
    assert "The heaters form a string that cannot be computed yet" in said(bare.replace("transformer", "series string"))
    assert "How the heaters of this set are fed is not written" in said(bare.replace("transformer", "three-way"))


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("ternhaag-goudvink", "Each winding, each tube"),
        ("quillon-skylark", "Each heater, battery swing"),
        ("merrow-and-daughters-teal", "Each heater, line swing, warm-up"),
        ("larkfield-minuet-5", "Each heater, line swing, lamp, warm-up"),
    ],
)
def test_the_way_to_the_page_promises_what_the_page_has(name: str, told: str) -> None:
    """“Line swing, lamp, warm-up, each heater” led to two windings, and to sets without a lamp."""
    assert makers.digest("heaters", makers.record((DEMO / "sets" / name / "record.yml").read_bytes())).working == told
