"""What stands before the chapters: title, sentence, facts, and what the record does not tell."""

from __future__ import annotations

import pytest

import makers
from benchleaf.pages.brief import not_measured
from benchleaf.pages.front_matter import card, facts, last_date, lead, standfirst, title, untold
from benchleaf.pages.story import Story
from benchleaf.record.model import Record
from benchleaf.words import AMERICAN, BRITISH
from sites import DEMO

LEAST = "maker: Larkfield\nmodel: Minuet 5\n"


def _record(text: str) -> Record:
    return makers.record(text)


FULL = _record((DEMO / "sets/larkfield-minuet-5/record.yml").read_text())


def test_title_names_maker_model_and_year() -> None:
    assert title(FULL) == "Larkfield Minuet 5 (1949)"
    assert title(_record(LEAST)) == "Larkfield Minuet 5"


def test_the_lead_is_the_summary_then_the_story_then_the_facts() -> None:
    told = Story(first_sentence="It hummed.")
    assert lead(FULL, told, AMERICAN).startswith("A five-tube kitchen set")
    assert lead(_record(LEAST), told, AMERICAN) == "It hummed."
    record = _record(LEAST + "year: 1949\npower: series string\ntubes:\n  V1: 12BE6\n  V2: 35W4\n")
    assert lead(record, None, BRITISH) == (
        "The Larkfield Minuet 5, a two-valve set of 1949, transformerless, valves in series."
    )


def test_private_facts_are_left_out_unless_asked_for() -> None:
    public = dict(facts(FULL, AMERICAN, private=False))
    assert "Serial number" not in public
    assert "Owner" not in public
    assert dict(facts(FULL, AMERICAN, private=True))["Serial number"] == "40417"


def test_facts_leave_nothing_empty_and_add_up_the_hours() -> None:
    found = dict(facts(FULL, AMERICAN, private=False))
    assert all(found.values())
    # 1.5 + 2 + 3 + 2.5 + 1.5 + 2 + 1 hours of the log.
    assert found["Work"] == "13.5 h in 7 sittings, 21 February 2026 to 28 March 2026"
    assert found["Line"] == "120 V 60 Hz; nameplate: 105-125 V, AC/DC, 30 W"
    assert found["Bands, IF"] == "MW 540-1620 kHz, 455 kHz"
    assert len(found) <= 9
    assert facts(_record(LEAST), AMERICAN, private=True) == []


def test_the_standfirst_says_who_and_when_or_how_far() -> None:
    assert standfirst(makers.examined(FULL), None)[1] == "R. Alder, 28 March 2026"
    assert standfirst(makers.examined(_record(LEAST + "state: on the bench\n")), None)[1] == "on the bench"


def test_a_new_record_is_told_what_it_does_not_have() -> None:
    assert not_measured(makers.circuit(LEAST), AMERICAN) == [
        "the tubes",
        "the nominal line voltage",
        "how the set is powered",
        "whether the chassis is connected to the line",
        "voltage readings",
        "the line side",
    ]
    assert not_measured(makers.circuit(FULL), AMERICAN) == []


def test_a_battery_set_is_not_asked_for_a_line() -> None:
    found = not_measured(makers.circuit(LEAST + "power: battery\n"), AMERICAN)
    assert not [line for line in found if "line" in line]


def test_what_a_treatment_record_should_tell() -> None:
    """AIC Guidelines for Practice, Commentaries 24 to 28, as the design lists them."""
    missing = untold(_record(LEAST))
    assert "who did the work" in missing
    assert "where the original parts went" in missing
    assert untold(FULL) == ["pictures of what is hidden again"]


@pytest.mark.parametrize(("written", "year"), [("1949", 1949), ("about 1938", 1938), ("the fifties", None)])
def test_the_card_sorts_by_the_year_that_was_meant(written: str, year: int | None) -> None:
    record = _record(LEAST + f"year: {written}\n")
    assert card(makers.examined(record), None, None)["year"] == year


def test_the_last_date_is_the_latest_the_record_speaks_of() -> None:
    assert last_date(FULL) == "2026-03-28"
    assert last_date(_record(LEAST)) is None
