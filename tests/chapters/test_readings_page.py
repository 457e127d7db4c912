"""The page of the voltages: numbers and words present, ids of its own, nothing of the record unescaped."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

import makers
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.record.units import say
from benchleaf.report.amount import signed_percent, unitless
from benchleaf.words import AMERICAN, BRITISH, Words
from markup import Markup, parsed, words_of
from sites import REPO

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
    for said in (
        "46.2",
        "−5%",
        "pin 7",
        "pins 2, 5",
        "positive grid",
        "within",
        "not read",
        "1.0256",
        "C7 leaks",
        "meter 10MΩ",
    ):
        assert said.replace(" ", "") in text.replace(" ", "")
    assert "20 kΩ per volt on its 250 V range" in text
    assert "assumed, as nothing is written" in text
    assert "50.6 mA" in text
    assert "valveradio.co.uk" in text


def test_ids_begin_with_the_chapters_anchor_and_are_unique() -> None:
    texts, _ = page(RECORD)
    assert all(re.match(r"(?:voltages|volts-at|volts-on)-[a-z0-9-]+$", id) for id in texts.ids)
    assert "h2" not in texts.tags


def test_a_british_page_says_anode_valve_and_mains() -> None:
    _, text = page(RECORD, BRITISH)
    source = "table of published tube ratings"
    assert not re.search(r"\b(plates?|tubes?)\b", text.replace(source, ""))
    assert "anode" in text
    assert "measured at mains 120 V" in text


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


def shown(html: str) -> str:
    """What a page shows, figures included, with spaces where elements part it but not inside a number."""
    return makers.plain(words_of(re.sub(r"</?span[^>]*>", "", html), " "))


def numbers_of(found: ReadingsFindings) -> Iterator[str]:
    """Every number that the chapter has worked out or been given, as its page says it."""
    for row in found.rows:
        yield from (unitless(volts, "V") for volts in (row.expected_volts, row.adjusted_volts) if volts is not None)
        yield unitless(row.measured_volts, "V") if row.measured_volts is not None and not row.as_typed else ""
        yield signed_percent(row.deviation) if row.deviation is not None else ""
        yield signed_percent(row.normalised_deviation) if row.worth_normalising else ""
        if row.verdict in ("low", "high") and row.ordinary is not None:
            yield from (say(volts, "V") for volts in row.ordinary_volts or ())
    for point in found.operating.values():
        yield from (say(a, "A") for a in (point.cathode_amps, point.plate_amps, point.screen_amps) if a is not None)
        yield from (
            say(w, "W") for w in (point.plate_watts, point.screen_watts, point.max_plate_watts) if w is not None
        )
        yield from (say(step.ohms, "ohm") for step in point.through)
    yield from (f"{scale.factor:.4f}" for scale in found.runs[-1].line if scale.factor is not None)
    for drain in found.runs[-1].drains:
        yield from (say(drain.amps, "A"), say(drain.ohms, "ohm"), say(drain.watts, "W"))
    for branch in found.runs[-1].tree:
        yield say(branch.amps, "A") if branch.amps is not None else ""
    for group in found.together:
        yield from (unitless(at.change_volts, "V") for at in group.places if at.change_volts is not None)


@pytest.mark.parametrize("name", ["larkfield-minuet-5", "oxbow-regent-six"])
def test_no_number_is_lost(name: str) -> None:
    text = (REPO / "site_src/sets" / name / "record.yml").read_text(encoding="utf-8")
    found = makers.found("readings", text)
    page = shown(makers.page("readings", text, found, drawn=True))
    numbers = {makers.plain(number) for number in numbers_of(found) if number}
    assert len(numbers) > 25
    assert [number for number in sorted(numbers) if number not in page] == []


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


def test_of_several_lists_long_remarks_stand_once_below_and_a_list_without_a_sheet_takes_one_column() -> None:
    html = makers.page("readings", (REPO / "site_src/sets/ternhaag-goudvink/record.yml").read_text(encoding="utf-8"))
    table = html[html.index('<table class="bl-table bl-readings">') :]
    head = table[table.index("<thead>") : table.index("</thead>")]
    three = ["Expected", "Read", "Off by"]
    assert re.findall(r'<th scope="col">(.*?)</th>', head) == [*three, "Read", *three]
    assert words_of(html).count("Nothing is published for this list.") == 1
    assert html.count("whatever the two meters make of it") == 1
    noted = re.findall(r'href="#(voltages-note-\d+)"', html)
    assert len(noted) > 1
    assert set(noted) == set(re.findall(r'id="(voltages-note-\d+)"', html))


@pytest.mark.parametrize("lists", [1, 2])
def test_lists_without_a_reading_have_their_conditions_and_no_table(lists: int) -> None:
    """A list whose readings a slip took away: two of them ended the set's page."""
    written = "".join(f"  {name}:\n    meter: 20 kohm/V\n    note: hot\n" for name in ("found", "after")[:lists])
    texts, text = page(f"maker: A\nmodel: B\nreadings:\n{written}")
    assert text.count("hot.") == lists
    assert "table" not in texts.tags


def test_a_meter_named_by_its_kind_has_its_usual_input_and_a_list_on_batteries_has_no_line() -> None:
    """11 megohm of a VTVM and 10 of a digital meter: common practice, no source; the page says that both were taken."""
    text = RECORD.replace("meter: 20 kohm/V on 250 V", "meter: VTVM").replace(
        "meter: 10 meg", "meter: DMM\n    line: on batteries"
    )
    found = makers.findings("readings", makers.bench(text))
    assert isinstance(found, ReadingsFindings)
    sheet = found.sources[0].conditions
    (run,) = (run.conditions for run in found.runs)
    assert (sheet.meter_ohms, sheet.meter_usual, run.meter_ohms, run.meter_usual) == (
        11e6,
        "a VTVM",
        10e6,
        "a digital meter",
    )
    assert (run.line_volts, run.line_from) == (None, "")
    _, said = page(text)
    assert "usual for a VTVM and taken, as none is written (common practice, no source)" in said
    _, said = page(RECORD.replace("meter: 20 kohm/V on 250 V", "meter: AVO Model 8 on 250 V range"))
    assert "meter 20 kΩ per volt, usual for the AVO 8 and taken, as none is written (from memory) on its 250 V" in said
