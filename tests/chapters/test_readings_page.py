"""The page of the voltages: numbers and words present, ids of its own, nothing of the record unescaped."""

from __future__ import annotations

import re

import pytest

import makers
from benchleaf.report.dialect import AMERICAN, BRITISH, Words
from markup import Markup, parsed

RECORD = """maker: Larkfield
model: Minuet 5
line: 120 V 60 Hz
power: series string
tubes:
  V3: 12AV6
  V4: 50C5
  V5: 35W4
readings:
  sheet:
    line: 117 V
    meter: 20 kohm/V on 250 V
    to: B-
    V3: plate 45, cathode 0
    V4: plate 110, screen 90, grid 0, cathode 5.6
    V5: plate 117 AC, cathode 118
  as found:
    meter: 10 meg
    V3: plate 44, cathode 0
    V4: plate 113, screen 92.6, grid +2.4, cathode 7.9
    V5: cathode 121
    B+1: 121
parts:
  C7: 0.01 uF 400 V paper, between V3 plate and V4 grid
  R8: keep, 150 ohm 10 %, measured 156 ohm, between V4 cathode and B-
"""


def page(record_text: str, words: Words = AMERICAN) -> tuple[Markup, str]:
    bench = makers.bench(record_text, words=words)
    texts = parsed(makers.page("readings", bench))
    assert texts.scripts == []
    assert {standout.anchor for standout in makers.standouts("readings", bench)} <= set(texts.ids)
    return texts, " ".join("".join(texts.text).split())


def test_the_conclusion_comes_first_and_names_the_positive_grid() -> None:
    texts, text = page(RECORD)
    assert texts.tags[0] == "p"
    assert text.startswith("V4 grid is positive")


def test_numbers_verdicts_and_conditions_are_on_the_page() -> None:
    _, text = page(RECORD)
    for said in ("46.2V", "−5%", "positive grid", "within", "not read", "1.0256", "C7 leaks", "meter 10MΩ"):
        assert said.replace(" ", "") in text.replace(" ", "")
    assert "20 kΩ per volt on its 250 V range" in text
    assert "assumed, as nothing is written" in text
    assert "50.6 mA" in text
    assert "valveradio.co.uk" in text


def test_ids_begin_with_the_chapters_anchor_and_are_unique() -> None:
    texts, _ = page(RECORD)
    assert all(re.match(r"voltages-[a-z0-9-]+$", id) for id in texts.ids)
    assert "h2" not in texts.tags


def test_a_british_page_says_anode_valve_and_mains() -> None:
    _, text = page(RECORD, BRITISH)
    source = "table of published tube ratings"
    assert not re.search(r"\b(plates?|tubes?)\b", text.replace(source, ""))
    assert "anode" in text
    assert "Measured: mains 120 V" in text


@pytest.mark.parametrize(
    "record",
    [
        RECORD.split("  as found:")[0],
        RECORD.replace("  sheet:", "  before cleaning:"),
        RECORD.replace("line: 120 V 60 Hz\n", "").replace("    line: 117 V\n", ""),
        RECORD.replace("V4: 50C5", "V4: ZZ99"),
        RECORD.split("parts:", maxsplit=1)[0],
        RECORD.replace("V4: plate 113", "V4: plate > 200").replace("grid +2.4", "grid x"),
    ],
    ids=["only published", "no published", "no line", "unknown tube", "no parts", "bounds"],
)
def test_a_page_with_gaps_is_still_a_page(record: str) -> None:
    texts, text = page(record)
    assert texts.tags[0] == "p"
    assert text


HOSTILE = '<script>alert(1)</script>"><img onerror=alert(1)>'


def test_text_of_the_record_is_escaped_everywhere() -> None:
    hostile = HOSTILE.replace('"', '\\"')
    record = f"""maker: M
model: N
tubes:
  "{hostile}": "{hostile}"
readings:
  "sheet {hostile}":
    to: "{hostile}"
    note: "{hostile}"
    controls: "{hostile}"
    after: "{hostile}"
    "{hostile}": plate 90, {HOSTILE} 5
    B+1: 100
  "as found {hostile}":
    to: "{hostile}"
    note: "{hostile}"
    "{hostile}": plate 9, cathode 3, grid 4, {HOSTILE} 7
    B+1: 90
  "later {hostile}":
    "{hostile}": plate 9, cathode 3, grid 4, {HOSTILE} 7
    "{hostile} rail": 5
parts:
  "{hostile}":
    was: 150 ohm
    between: ["{hostile} cathode", chassis]
"""
    texts, text = page(record)
    assert "script" not in texts.tags
    assert "img" not in texts.tags
    assert "<script>" in text


def test_without_expected_values_the_readings_are_counted() -> None:
    record = RECORD.replace("  sheet:", "  before cleaning:").replace("grid 0, ", "")
    _, text = page(record)
    assert "8 voltages were read (as found); there are no expected values to hold them against." in text
    assert "no expected value " not in text
