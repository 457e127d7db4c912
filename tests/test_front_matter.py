"""What stands before the chapters: title, sentence, facts, and what the record does not tell."""

from __future__ import annotations

import re
from functools import cache

import pytest

import makers
from benchleaf.pages.brief import not_measured
from benchleaf.pages.front_matter import card, facts, last_date, lead, standfirst, title
from benchleaf.pages.story import Story
from benchleaf.record import read_record
from benchleaf.record.model import Record
from benchleaf.record.progress import STATES
from benchleaf.record.untold import untold
from benchleaf.words import AMERICAN, BRITISH
from benchleaf.words.decimal_sign import decimals_behind
from sites import DEMO

LEAST = "maker: Larkfield\nmodel: Minuet 5\n"


def _record(text: str) -> Record:
    return makers.record(text)


@cache
def _full() -> Record:
    return _record((DEMO / "sets/larkfield-minuet-5/record.yml").read_text())


def test_title_names_maker_model_and_year() -> None:
    assert title(_full()) == "Larkfield Minuet 5 (1949)"
    assert title(_record(LEAST)) == "Larkfield Minuet 5"


def test_the_lead_is_the_summary_then_the_story_then_the_facts() -> None:
    told = Story(first_sentence="It hummed.")
    assert lead(_full(), told, AMERICAN).startswith("A five-tube kitchen set")
    assert lead(_record(LEAST), told, AMERICAN) == "It hummed."
    record = _record(LEAST + "year: 1949\npower: series string\ntubes:\n  V1: 12BE6\n  V2: 35W4\n")
    assert lead(record, None, BRITISH) == (
        "The Larkfield Minuet 5, a two-valve set of 1949, transformerless, valves in series."
    )


@pytest.mark.parametrize(("count", "what"), [(5, "a five-tube"), (8, "an eight-tube"), (11, "an 11-tube")])
def test_the_lead_made_of_the_facts_has_the_article_that_is_spoken(count: int, what: str) -> None:
    tubes = "".join(f"  V{number}: 6K7\n" for number in range(1, count + 1))
    assert what in lead(_record(f"{LEAST}tubes:\n{tubes}"), None, AMERICAN)


def test_private_facts_are_left_out_unless_asked_for() -> None:
    public = dict(facts(_full(), AMERICAN, private=False))
    assert "Serial number" not in public
    assert "Owner" not in public
    assert dict(facts(_full(), AMERICAN, private=True))["Serial number"] == "40417"


def test_facts_leave_nothing_empty_and_add_up_the_hours() -> None:
    found = dict(facts(_full(), AMERICAN, private=False))
    assert all(found.values())
    # 1.5 + 2 + 3 + 2.5 + 1.5 + 2 + 1 hours of the log.
    assert found["Work"] == "13.5 h in 7 sittings, 21 February 2026 to 28 March 2026"
    assert found["Line"] == "120 V 60 Hz; nameplate: 105-125 V, AC/DC, 30 W"
    assert found["Bands, IF"] == "MW 540-1620 kHz, 455 kHz"
    assert len(found) <= 9
    assert facts(_record(LEAST), AMERICAN, private=True) == []


def test_bands_have_the_decimal_sign_of_the_site_however_they_were_typed() -> None:
    record = _record(LEAST + "IF: 10,7 MHz\nbands:\n  SW: 5,9-18.1 MHz\n  MW: 515-1620 kHz\n")
    assert dict(facts(record, AMERICAN, private=False))["Bands, IF"] == "SW 5.9-18.1 MHz, MW 515-1620 kHz, 10.7 MHz"
    with decimals_behind("comma"):
        assert "SW 5,9-18,1 MHz, MW 515-1620 kHz, 10,7 MHz" in dict(facts(record, AMERICAN, private=False)).values()


def test_the_standfirst_says_who_and_when_or_how_far() -> None:
    assert standfirst(makers.examined(_full()), None)[1] == "R. Alder, 28 March 2026"
    assert standfirst(makers.examined(_record(LEAST + "state: on the bench\n")), None)[1] == "On the bench"


def test_a_new_record_is_told_what_it_does_not_have() -> None:
    assert not_measured(makers.circuit(LEAST), AMERICAN) == [
        "the tubes",
        "the nominal line voltage",
        "how the set is powered",
        "whether the chassis is connected to the line",
        "voltage readings",
        "the line side",
    ]
    assert not_measured(makers.circuit(_full()), AMERICAN) == []


def test_what_may_stand_in_a_line_that_was_lost_is_not_said_to_be_missing() -> None:
    """“Not in the record: parts looked at” stood below a part whose line was not understood."""
    tubes = "tubes:\n  V5: 35W4\n"
    assert "parts looked at" in not_measured(makers.circuit(LEAST + tubes), AMERICAN)
    assert "parts looked at" not in not_measured(makers.circuit(_torn(tubes)), AMERICAN)


def test_of_a_set_of_which_nothing_is_known_no_sentence_is_made() -> None:
    """“The Larkfield Minuet 5, a set.” stood below its name."""
    assert lead(_record(LEAST), None, AMERICAN) == "Only the maker and the model are written yet."
    assert lead(_torn(), None, AMERICAN) == ""


def _torn(lines: str = "") -> Record:
    """A record with a part that cannot be understood."""
    record, problems = read_record(f"{LEAST}{lines}parts:\n  C1: to do, 0.05 uFF 400 V paper\n".encode(), makers.FILE)
    assert record is not None
    assert problems
    return record


@pytest.mark.parametrize(("power", "asked"), [("transformer", False), ("series string", True)])
def test_an_earth_wire_behind_two_windings_answers_for_the_chassis(power: str, asked: bool) -> None:
    side = "line side:\n  after:\n    plug: three-pin with earth\n    earth lead: third pin to chassis\n"
    text = LEAST + f"line: 117 V 60 Hz\npower: {power}\n{side}"
    assert any("chassis is connected" in one for one in not_measured(makers.circuit(text), AMERICAN)) is asked


def test_a_battery_set_is_not_asked_for_a_line() -> None:
    found = not_measured(makers.circuit(LEAST + "power: battery\n"), AMERICAN)
    assert not [line for line in found if "line" in line]


def test_what_a_treatment_record_should_tell() -> None:
    """AIC Guidelines for Practice, Commentaries 24 to 28, as the design lists them."""
    assert {"who did the work", "what was put in", "its state after the work, measured"} <= set(_missing(LEAST))
    assert _missing((DEMO / "sets/larkfield-minuet-5/record.yml").read_text()) == [
        "the day R2, R5, R9 and R10 went in",
        "pictures of what is hidden again",
    ]


def _missing(text: str) -> list[str]:
    return [one.what for one in untold(_record(text), AMERICAN)]


def test_what_is_asked_for_hangs_on_how_far_the_work_has_come() -> None:
    waiting, begun, done = (set(_missing(f"{LEAST}state: {state}\n")) for state in STATES)
    assert waiting < begun < done
    assert waiting == {
        "who did the work",
        "when the set came in",
        "what was complained of, or its state when it came",
        "which tubes are in it",
        "pictures from before the work",
    }
    assert "what it read as found" in begun - waiting
    assert "advice for keeping and use" in done - begun


def test_what_cannot_be_asked_for_is_not() -> None:
    """Where every part was kept nothing was put in, and what stands in a line that was not understood may be there."""
    kept = _missing(f"{LEAST}parts:\n  R1: keep, 1 kohm\n")
    assert not {"what was put in", "where the original parts went", "why parts were replaced"} & set(kept)
    lost, _ = read_record(f"{LEAST}log:\n  - 2026-13-45, soldered\n".encode(), makers.FILE)
    assert lost is not None
    assert "what was done on which day" not in [one.what for one in untold(lost, AMERICAN)]


def _days_wanted(parts: str, log: str = "2026-03-01, cleaned") -> list[str]:
    record = _record(f"{LEAST}state: finished\nparts:\n{parts}log:\n  - {log}\n")
    return [one.what for one in untold(record, AMERICAN) if one.what.endswith("went in")]


def test_the_day_is_not_asked_of_a_part_that_the_log_names_or_that_is_out() -> None:
    new = "  R1: was 1 k, now 1.2 k\n"
    assert _days_wanted(new) == ["the day R1 went in"]
    assert _days_wanted(new, "2026-03-01, replaced R10") == ["the day R1 went in"]
    assert _days_wanted(new, "replaced R1") == ["the day R1 went in"]
    assert _days_wanted(new, "2026-03-01, replaced R1") == []
    assert _days_wanted("  C9: was 10 nF 400 V paper, now none\n") == []


@pytest.mark.parametrize(
    ("part", "shown"),
    [
        ("C1: was 16 uF 450 V electrolytic, now 22 uF 450 V electrolytic", "new parts"),
        ("C1: was 16 uF 450 V electrolytic, now 22 uF 450 V electrolytic, restuffed", "the filter can"),
    ],
)
def test_a_picture_of_a_can_is_proposed_where_there_is_one(part: str, shown: str) -> None:
    told = untold(_record(f"{LEAST}state: on the bench\nparts:\n  {part}\n"), AMERICAN)
    example = next(one for one in told if one.what == "pictures of what is hidden again")
    assert f"  {shown}: during photos/" in example.write


def test_each_line_to_write_is_clean_and_tells_what_was_missing() -> None:
    text = f"{LEAST}line: 120 V\npower: series string\nline side:\n  after: {{fuse: none}}\nparts:\n  C7: now 10 nF\n"
    for one in untold(_record(text), AMERICAN):
        key, _, rest = one.write.partition("\n")
        grown = re.sub(rf"(?m)^{key}\n(?:  C7: now 10 nF\n)?", f"{one.write}\n", text)
        grown = grown if f"{key}\n" in text else f"{text}{one.write}\n"
        if key == "parts:":
            grown = grown.replace("  C7:\n", "  C7:\n    now: 10 nF\n")
        assert one.what not in _missing(grown), (one, grown)
        assert rest or one.write == key


@pytest.mark.parametrize(("written", "year"), [("1949", 1949), ("about 1938", 1938), ("the fifties", None)])
def test_the_card_sorts_by_the_year_that_was_meant(written: str, year: int | None) -> None:
    record = _record(LEAST + f"year: {written}\n")
    assert card(makers.examined(record), None, None)["year"] == year


def test_a_set_that_waits_came_in_and_has_no_work() -> None:
    examined = makers.examined(f"{LEAST}state: waiting\ncame in: 2026-10-01\n")
    told = dict(facts(examined.record, AMERICAN, private=False))
    assert (told.get("Came in"), told.get("Work")) == ("1 October 2026", None)
    assert standfirst(examined, None)[1] == "Waiting"


def test_of_many_tubes_each_type_stands_once() -> None:
    tubes = "".join(f"  V{number}: {('6SK7', '6V6', '5U4G')[number % 2]}\n" for number in range(1, 14))
    told = dict(facts(_record(f"{LEAST}tubes:\n{tubes}  V14: 5U4G\n"), AMERICAN, private=False))
    assert told["Tubes"] == "7\u00a0×\u00a06V6 6\u00a0×\u00a06SK7 5U4G"


def test_the_last_date_is_the_latest_the_record_speaks_of() -> None:
    assert last_date(_full()) == "2026-03-28"
    assert last_date(_record(LEAST)) is None


@pytest.mark.parametrize(
    "section",
    [
        "readings:\n  before 2026-05-03:\n    V1 plate: 90 V",
        "power-up:\n  - date: 2026-05-03\n    steps: [60 V]",
        "alignment:\n  - date: 2026-05-03\n    steps: [IF 455 kHz]",
        "reforming:\n  C1: 2026-05-03, to 350 V",
        "parts:\n  C1: was 16 uF 450 V electrolytic, now 22 uF 450 V, fitted 2026-05-03",
        "faults:\n  - {complaint: hum, cure: new C1, date: 2026-05-03}",
        "before power:\n  - 2026-05-03, B+ to B- 120 kohm",
        "mechanics:\n  grille: torn, replaced, 2026-05-03",
    ],
)
def test_the_last_day_is_taken_of_every_section_that_has_days(section: str) -> None:
    """The log ends in March: what stands in another section in May is the last."""
    parts = "" if "parts:" in section else "parts:\n  C1: reform, 16 uF 450 V electrolytic\n"
    record = _record(f"{LEAST}tubes:\n  V1: 6V6\nlog:\n  - 2026-03-01, cleaned\n{parts}{section}\n")
    assert last_date(record) == "2026-05-03"
    assert card(makers.examined(record), None, None)["dated"] == "2026-05-03"


def test_a_sheets_list_of_another_set_is_no_day_of_work() -> None:
    record = _record(f"{LEAST}tubes:\n  V1: 6V6\nreadings:\n  sheet 2026-05-03:\n    V1 plate: 90 V\n")
    assert last_date(record) is None


COMES_AND_GOES = """maker: Haverkamp
model: Leeuwerik U52
came in: 2024-01-09
finished: 2024-02-02
log:
  - 2024-01-09, came in from its owner
  - 2024-01-12, 5 h, opened, measured cold
  - 2024-01-18, 9 h, all paper capacitors new
  - 2024-02-02, back to its owner, plays
  - 2024-05-11, phone, hums after an hour
  - 2024-05-14, C2 resoldered
  - 2024-05-14, about 14 h in all, parts 31.50
"""


def test_a_coming_a_going_and_a_call_are_no_sittings_and_the_work_ends_with_the_last_of_them() -> None:
    """“14 h in 9 sittings, 9 January to 2 February”, where the log went on to May."""
    found = dict(facts(_record(COMES_AND_GOES), AMERICAN, private=False))
    assert found["Work"] == "14 h in 3 sittings, 9 January 2024 to 14 May 2024"


def test_the_head_and_the_days_count_the_same_sittings() -> None:
    """“14 h in 7 sittings” at the top, “14 h in 8 sittings; 1 of them without a time” among the days."""
    said = makers.plain(makers.leaf("log", COMES_AND_GOES))
    assert "14 h</span> in 3 sittings" in said
    assert "1 of them without a time" in said
