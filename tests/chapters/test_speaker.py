"""The speaker as the output tube's load."""

from __future__ import annotations

import pytest

import makers
from benchleaf.report.sentence import text_of
from markup import words_of

OUTPUT = "tubes:\n  V1: 6V6GT, output\n"
"""Its published load in class A1 at 180 V: 5500 ohm (Tung-Sol data sheet 6V6, 1941)."""


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("ohms", "ratio", "reflected"),
    [
        ("4 ohm", "12.25:1", 600),  # NCVEC question pool for the General class, G5C07: 600 to 4 ohm is 12.2 to 1
        ("8 ohm", "30:1", 7200),  # bitdrivencircuits.com, Transformer applications, example 1
    ],
)
def test_the_load_goes_with_the_square_of_the_turns(ohms: str, ratio: str, reflected: float) -> None:
    found = makers.found("speaker", f"speaker: {ohms}, ratio {ratio}\n")
    assert found.reflected_ohms == pytest.approx(reflected, rel=1e-3)
    assert (found.tube, found.meant_ohms) == ("", None)


@pytest.mark.handbook
def test_an_impedance_that_is_not_written_is_estimated_from_the_coil() -> None:
    """Visaton, Impedance curve: the lowest impedance is not below 80 % of the nominal one: 6.4 of 8 ohm."""
    found = makers.found("speaker", "speaker: voice coil 6.4 ohm, ratio 30:1\n")
    assert (found.impedance_ohms, found.estimated) == (pytest.approx(8), True)
    assert "loads the output stage with about 7.2" in words_of(
        makers.page("speaker", "speaker: voice coil 6.4 ohm, ratio 30:1\n")
    )
    written = makers.found("speaker", "speaker: 8 ohm, voice coil 5.5 ohm\n")
    assert (written.impedance_ohms, written.estimated, written.reflected_ohms) == (8, False, None)


@pytest.mark.parametrize(
    ("ratio", "far"), [("36.8:1", True), ("37.1:1", False), ("41.5:1", False), ("46.2:1", False), ("46.5:1", True)]
)
def test_a_load_up_to_a_quarter_off_is_near(ratio: str, far: bool) -> None:
    """Of 5500 ohm a quarter more is 6875 and as much below 4400: with 3.2 ohm, turns of 46.35 and 37.08 to one."""
    told = makers.said("speaker", f"{OUTPUT}speaker: 3.2 ohm, ratio {ratio}\n")
    assert bool(told) is far
    assert all("far from the 5.5 kΩ meant" in sentence for sentence in told)


def test_what_the_transformer_is_said_to_match_is_meant_before_the_tubes_load() -> None:
    parts = "parts:\n  T1: keep, job output transformer 2.5 k to 3.2 ohm, between V1 plate and B+1\n"
    found = makers.found("speaker", f"{OUTPUT}{parts}speaker: 3.2 ohm, ratio 28:1\n")
    assert (found.tube, found.meant_ohms, found.meant_how) == ("V1", 2500, "reflected")


def test_beside_what_the_transformer_matches_stands_what_the_tube_is_published_with() -> None:
    """3.2 ohm by 28 squared is 2.5 kohm, by 41.5 squared 5.5 kohm: the transformer's and the tube's."""
    set_ = f"{OUTPUT}parts:\n  T1: keep, job output transformer MATCH to 3.2 ohm, between V1 plate and B+1\n"
    wrong = set_.replace("MATCH", "2.5 k") + "speaker: 3.2 ohm, ratio 28:1\n"
    assert makers.found("speaker", wrong).published_ohms == 5500
    (told,) = makers.said("speaker", wrong)
    assert "near the 2.5 kΩ meant and far from the 5.5 kΩ published for it" in told
    assert makers.said("speaker", set_.replace("MATCH", "5.5 k") + "speaker: 3.2 ohm, ratio 41.5:1\n") == []


def test_of_two_output_tubes_none_is_compared() -> None:
    found = makers.found("speaker", "tubes:\n  V1: 6V6GT, output\n  V2: 6V6GT, output\nspeaker: 3.2 ohm, ratio 40:1\n")
    assert (found.tube, found.meant_ohms, found.reflected_ohms) == ("", None, pytest.approx(5120))


def test_an_open_voice_coil_is_a_fault_of_the_set() -> None:
    (sentence,) = makers.standouts("speaker", f"{OUTPUT}speaker: 3.2 ohm, voice coil open, ratio 40:1\n")
    assert (sentence.severity, sentence.text) == (2, "The speaker’s voice coil is open.")


FIELD = "readings:\n  found:\n    B+1: 340\n    B+2: 250\n"


def test_turns_follow_from_what_the_transformer_matches() -> None:
    """The root of 5000 over 3.2 is 39.5; with 4 ohm on it the load is 6250 ohm."""
    parts = "parts:\n  T1: output transformer 5k to 3.2 ohm, between V1 plate and B+2\n"
    found = makers.found("speaker", f"{OUTPUT}{parts}speaker: 4 ohm\n")
    assert found.ratio_from_match
    assert (found.turns_ratio, found.reflected_ohms) == (pytest.approx(39.53, abs=0.01), pytest.approx(6250))


@pytest.mark.parametrize(
    "written",
    [
        "speaker: 3.2 ohm, field 1800 ohm\n",
        "parts:\n  L1: field coil 1800 ohm, between B+1 and B+2\nspeaker: 3.2 ohm\n",
    ],
)
def test_a_field_coil_is_the_sets_choke(written: str) -> None:
    """By hand: 90 V over 1800 ohm is 50 mA and 4.5 W."""
    coil = makers.found("speaker", f"{OUTPUT}{written}{FIELD}").field
    assert (coil.volts, coil.amps, coil.watts) == (90, 0.05, 4.5)
    assert "4.5 W" in words_of(makers.page("speaker", f"{OUTPUT}{written}{FIELD}")).replace("\u202f", " ")


def test_a_field_coil_between_rails_that_another_part_joins_is_not_taken_for_the_choke() -> None:
    parts = "parts:\n  R1: 1 kohm, between B+1 and B+2\nspeaker: 3.2 ohm, field 1800 ohm\n"
    assert makers.found("speaker", f"{OUTPUT}{parts}{FIELD}").field.amps is None


def test_a_field_coil_in_the_negative_return_is_read_from_its_tap_to_the_chassis() -> None:
    """93 V across 1460 ohm are 63.7 mA and 5.92 W."""
    text = (
        "line: 240 V 50 Hz\npower: transformer\nchassis: earthed\nspeaker: 8 inch, 3 ohm\n"
        "readings:\n  today:\n    to: chassis\n    CT: -93\n"
        "parts:\n  L10: field 1500 ohms, measured 1460 ohm, keep, between chassis and CT\n"
    )
    field = makers.found("speaker", text).field
    assert (field.volts, field.amps, field.watts) == (93, 0.0637, 5.92)
    assert makers.found("speaker", text.replace("CT: -93", "B+1: 250")).field is None


def test_the_record_has_the_load_in_a_sentence_and_no_table_of_it() -> None:
    """Eight rows told once more what the sentence above them had said, beside an empty half of the page."""
    field = "parts: {L1: 'keep, field coil 1 kohm, between B+1 and B+2, job field'}\n"
    read = "readings: {as found: {B+1: 330, B+2: 250}}\n"
    made = makers.digest("speaker", f"speaker: 4 ohm, ratio 42:1, note 8 inch\n{field}{read}")
    assert made.table is None
    assert makers.plain(text_of(made.conclusion)) == (
        "The speaker loads the output stage with 7.1 kΩ. Its field coil L1 drops 80 V at 80 mA, which is 6.4 W of heat."
    )
    assert text_of(made.small) == "8 inch"
    assert made.working
