"""Line-up, faults, power-up, alignment, results, log and photos: nothing typed is lost, nothing typed gets loose."""

from __future__ import annotations

import importlib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.pages import rendering as pages
from benchleaf.record.decibels import decibels, ratio
from benchleaf.record.meaning import Quantity
from benchleaf.record.quantities import read_quantity
from benchleaf.report.anchors import LinkedText, part_anchor, tube_anchor, with_links
from benchleaf.report.findings import NOTE
from benchleaf.report.typed import typed
from benchleaf.words import BRITISH
from full_record import FULL
from markup import parsed, words_of

TYPED = {
    "line_up": ["12BE6", "frequency changer", "ceramic socket", "12ZZ9", "odd one", "12.6 V", "0.15 A", "noval",
                "g1, k, h, h, a", "61 %", "102 %", "low output", "2026-03-04", "tested twice"],
    "faults": ["hum and distortion after ten minutes", "grid of V4 at +2.4 V, zero with C7 lifted", "C7 leaky",
               "C30, good", "V4, tested at 98 %", "replaced", "2026-03-01", "seen twice", "dial lamp dark"],
    "power_up": ["2026-03-04", "10:40", "8 h", "116 V", "0.23 A", "41 °C", "21 °C", "quiet to the end",
                 "isolating transformer and variable transformer", "nothing warm at the end", "40 V",
                 "0.09 A", "117 V", "0.24 A", "B+1 118 V", "90 s", "no smell", "C30", "150 V through 22 kΩ",
                 "2026-03-02", "on the bench supply", "0 min", "6.1 mA", "90 min", "0.21 mA", "150 V", "steady"],
    "alignment": ["2026-03-20", "into V1 grid", "AVC", "set warm for an hour", "455 kHz", "T1 for maximum", "0.61 V",
                  "0.92 V", "touchy", "187 m", "oscillator trimmer", "38 mV", "with a whip", "the aerial socket",
                  "200 pF", "output", "445 kHz", "−12 dB", "−5 dB", "10.8 MHz", "−2.1 V",
                  "generator, for 60 mW"],
    "results": ["hum at the speaker", "38 mV", "3.1 mV", "volume at nothing", "sensitivity at 1000 kHz", "900 µV",
                "140 µV", "100 µV", "for 50 mW", "0.4 W", "1.6 W",
                "into 3.2 Ω", "at 10 %", "sine at 1 kHz", "3 kHz", "−4 dB", "−3 dB"],
    "log": ["2026-02-21", "1.5 h", "R. Alder", "cleaned and looked at C7", "3 h", "swept the bench", "10:00-11:30",
            "closed up"],
    "photos": ["Under the chassis", "the same corner", "Before", "During", "After", "Dial", "the reflector repainted",
               "CC BY 4.0"],
}  # fmt: skip


@pytest.mark.parametrize("folder", TYPED)
def test_every_word_typed_is_on_the_page(folder: str) -> None:
    """As typed, but for a unit as the trade prints it."""
    shown = makers.plain(words_of(makers.page(folder, makers.record(FULL))))
    assert [text for text in TYPED[folder] if text not in shown] == []


@pytest.mark.parametrize("folder", TYPED)
def test_every_field_of_the_model_has_a_typed_example(folder: str) -> None:
    """A field added to a model without a word in the record above would slip past the test before this one."""
    made = makers.record(FULL)
    written: dict[str, set[str]] = {}

    def collect(value: Any) -> None:
        if hasattr(type(value), "model_fields"):
            seen = written.setdefault(type(value).__name__, set())
            for name in type(value).model_fields:
                inner = getattr(value, name)
                if inner not in (None, (), {}):
                    seen.add(name)
                collect(inner)
        elif isinstance(value, dict):
            for inner in value.values():
                collect(inner)
        elif isinstance(value, tuple):
            for inner in value:
                collect(inner)

    collect(made)
    module = importlib.import_module(f"benchleaf.record.sections.{folder}")
    ours = [m for m in vars(module).values() if hasattr(m, "model_fields") and m.__module__ == module.__name__]
    assert ours
    for model in ours:
        missing = set(model.model_fields) - written.get(model.__name__, set())
        # The exchange's sides have a note by themselves only in the mapping form.
        assert missing <= ({"note"} if model.__name__ == "TestedTube" else set()), model.__name__


@settings(max_examples=40)
@given(st.text(max_size=60), st.text(max_size=20))
def test_any_text_in_a_fault_gives_a_whole_page(said: str, name: str) -> None:
    from benchleaf.record.sections.faults import Fault
    from benchleaf.record.text import Text

    made = makers.record("tubes:\n  V1: 6V6GT\n")
    fault = Fault.model_construct(
        complaint=Text(said), found=None, cause=Text(name), cure=None, date=None, note=Text(said)
    )
    page = parsed(makers.page("faults", made.model_copy(update={"faults": (fault,)})))
    assert page.scripts == []
    assert "script" not in page.tags


# Links between chapters


def test_a_part_named_in_a_fault_leads_to_its_row() -> None:
    shown = makers.page("faults", makers.record(FULL))
    assert f'<a href="#{part_anchor("C7")}">C7</a>' in shown
    assert f'<a href="#{tube_anchor("V4")}">V4</a>' in shown
    assert f'id="{tube_anchor("V4")}"' in makers.page("line_up", makers.record(FULL))


def test_names_are_found_whole_and_longest_first() -> None:
    anchors = {"C1": "part-c1", "C12": "part-c12", "C12 a": "part-c12-a"}
    assert with_links("C12 a, C120, xC1 and C1.", anchors) == (
        LinkedText("C12 a", "part-c12-a"),
        LinkedText(", C120, xC1 and "),
        LinkedText("C1", "part-c1"),
        LinkedText("."),
    )


def test_anchors_are_small_letters_with_hyphens() -> None:
    assert part_anchor("C7") == "part-c7"
    assert part_anchor("Output transformer (T2)") == "part-output-transformer-t2"
    assert tube_anchor("V1") == "tubes-v1"


# Line-up


def test_a_type_that_is_not_in_the_table_is_said_so() -> None:
    made = makers.record("tubes:\n  V1: 12BE6\n  V2: 99XX9\n")
    assert makers.findings("line_up", made).not_in_table == ("V2",)
    assert "not in the table" in makers.page("line_up", made)
    found = makers.standouts("line_up", made)
    assert [(s.severity, s.anchor) for s in found] == [(NOTE, "tubes-v2")]
    assert "99XX9" in found[0].text


@pytest.mark.handbook
def test_the_heater_of_a_12be6_as_published() -> None:
    """General Electric data sheet ET-T891A (Nov 1956): 12BE6, heater 12.6 V 0.15 A."""
    place = makers.findings("line_up", makers.record("tubes:\n  V1: 12BE6\n")).tubes[0]
    assert (place.heater_volts, place.heater_amps, place.from_record) == (12.6, 0.15, False)


@pytest.mark.parametrize(
    ("type_", "where", "factor"),
    [("UL84", "", "mu of the screen"), ("UBC41", "", "mu"), ("UCH42", ", triode", "mu")],
)
def test_a_factor_is_the_screens_where_there_is_one_though_its_point_is_not_printed(
    type_: str, where: str, factor: str
) -> None:
    """UL84: a list of tubes for sale prints 8 without any volts; of a pentode that is from grid 1 to grid 2."""
    known = makers.findings("line_up", makers.record(f"tubes:\n  V1: {type_}\n")).known
    told = [(row.what, figure) for row in known[0].rows for figure in row.text.split(", ") if figure.startswith("mu")]
    assert {(what, figure.rpartition(" ")[0]) for what, figure in told} == {(f"Typical{where}", factor)}


@pytest.mark.handbook
def test_an_operating_point_is_one_line() -> None:
    """Philips data sheet EF89, 1955: 250 V, 100 V, -2 V, 9 mA, 3 mA, 3.6 mA/V, 0.9 MΩ."""
    known = makers.findings("line_up", makers.record("tubes:\n  V1: EF89\n")).known
    points = [row.text for row in known[0].rows if row.what == "Typical"]
    assert any(
        text.startswith("plate 250\u202fV, screen 100\u202fV, grid \u22122\u202fV, plate 9\u202fmA, screen 3\u202fmA")
        and "gm 3.6\u202fmS, plate resistance 900\u202fkΩ" in text
        for text in points
    )


def test_the_table_is_shown_with_its_source() -> None:
    known = makers.findings("line_up", makers.record("tubes:\n  V1: 12BE6\n")).known
    assert known
    assert all(row.source for entry in known for row in entry.rows)
    assert "General Electric data sheet ET-T891A" in makers.page("line_up", makers.record("tubes:\n  V1: 12BE6\n"))


def test_another_name_is_shown_with_the_tables_own() -> None:
    shown = words_of(makers.page("line_up", makers.record("tubes:\n  V1: ECC83\n")))
    assert "another name for the 12AX7" in shown


def test_a_tube_exchanged_for_one_with_another_heater_stands_out() -> None:
    """35C5 and 50C5 have 35 V and 50 V heaters: the first figures of their designations (RETMA/EIA numbering)."""
    found = makers.standouts("line_up", makers.record("tubes:\n  V4: 35C5\nchanged tubes:\n  V4: was 50C5, now 35C5\n"))
    assert [s.text for s in found] == ["V4: the 35C5 has another heater than the 50C5."]


def test_an_exchange_that_the_line_up_does_not_show_stands_out() -> None:
    found = makers.standouts("line_up", makers.record("tubes:\n  V4: 50C5\nchanged tubes:\n  V4: was 50C5, now 35C5\n"))
    assert any("still names the 50C5 there, not the 35C5" in s.text for s in found)


def test_a_british_page_speaks_of_valves_and_anodes() -> None:
    made = makers.record("tubes:\n  V1: 12BE6\n")
    shown = words_of(makers.page("line_up", makers.bench(made, words=BRITISH)))
    assert "1 valve:" in shown
    assert "anode" in shown
    assert "plate" not in shown


# Faults


def test_a_fault_without_a_cure_is_counted_and_said() -> None:
    made = makers.record(FULL)
    assert makers.findings("faults", made).open == 1
    assert "no cure written" in makers.page("faults", made)


# Power-up, reforming, alignment


def test_a_capacitor_that_draws_more_after_reforming_stands_out() -> None:
    text = "parts:\n  C30: was 40 uF 150 V electrolytic\n"
    text += "reforming:\n  C30:\n    log:\n      - 0 min, 2 mA\n      - 60 min, 5 mA\n"
    found = makers.standouts("power_up", makers.record(text))
    assert [(s.verdict.word, s.anchor) for s in found] == [("watch", "power-up-reforming")]
    assert "2.5 times" in found[0].text


def test_reforming_of_6_1_milliamps_down_to_0_21() -> None:
    part = makers.findings("power_up", makers.record(FULL)).reforming[0]
    assert part.of_first == pytest.approx(0.21 / 6.1)
    assert [s.severity for s in makers.standouts("power_up", makers.record(FULL))] == []


@pytest.mark.parametrize(
    ("power", "chassis", "warned"),
    [
        ("series string", "line-connected", True),
        ("series string", None, True),
        (None, None, True),
        ("transformer", "earthed", False),
        ("transformer", None, False),
        ("autotransformer", None, True),
        ("battery", None, False),
        ("series string", "isolated", True),
    ],
)
def test_the_earthed_generator_is_warned_of_where_chassis_or_b_minus_hang_on_the_line(
    power: str | None, chassis: str | None, warned: bool
) -> None:
    head = (f"power: {power}\n" if power else "") + (f"chassis: {chassis}\n" if chassis else "")
    made = makers.record(head + FULL)
    assert ("bl-caution" in makers.page("alignment", made)) is warned
    assert ("bl-caution" in makers.page("power_up", made)) is warned


def test_the_earthed_generator_is_warned_of_at_what_is_on_the_line() -> None:
    """In a set without transformer whose chassis is isolated, B- is one side of the line all the same."""
    on = makers.bench("power: series string\nchassis: isolated\n" + FULL)
    for chapter in ("alignment", "power_up"):
        assert "B- of this set counts as connected to the line" in makers.page(chapter, on)
    assert "instrument to B- without it" in makers.page("power_up", on)


def test_alignment_gain_in_decibels() -> None:
    """20 log(0.92 / 0.61) = 3.57 dB, by hand."""
    steps = makers.findings("alignment", makers.record(FULL)).sessions[0].steps
    assert steps[0].gain_db == pytest.approx(3.569, abs=0.001)
    assert steps[1].gain_db is None


def test_an_adjustment_for_maximum_that_lost_signal_stands_out() -> None:
    text = "alignment:\n  - steps:\n      - 455 kHz, T2 for maximum, before 1 V, after 0.5 V\n"
    found = makers.standouts("alignment", makers.record("parts:\n  T2: keep\n" + text))
    assert len(found) == 1
    assert "fell by 6.0\u202fdB" in found[0].text


@pytest.mark.parametrize(("after", "told"), [("-3.4 dB", 0), ("-3.5 dB", 0), ("-3.6 dB", 1)])
def test_half_a_decibel_is_no_loss_of_signal(after: str, told: int) -> None:
    """What a needle can be read to; common practice, no source."""
    step = f"alignment:\n  - steps:\n      - 455 kHz, T2 for maximum, before -3 dB, after {after}\n"
    assert len(makers.standouts("alignment", makers.record("parts:\n  T2: keep\n" + step))) == told


# Results


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("before", "after", "kind", "expected"),
    [
        ("1 V", "10 V", "voltage", 20.0),
        ("1 W", "10 W", "power", 10.0),
        ("1 V", "2 V", "voltage", 6.02),
        ("1 W", "2 W", "power", 3.01),
    ],
)
def test_decibels_of_volts_and_of_watts(before: str, after: str, kind: str, expected: float) -> None:
    """ISO 80000-3: 20 log of field quantities, 10 log of powers; doubling is 6.02 dB and 3.01 dB."""
    assert decibels(read_quantity(before, kind), read_quantity(after, kind)) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("1 V", "<2 V", "voltage"),
        ("0 V", "1 V", "voltage"),
        ("1 V AC", "1 V DC", "voltage"),
        ("-1 V", "1 V", "voltage"),
        ("20 °C", "40 °C", "temperature"),
    ],
)
def test_what_has_no_ratio(before: str, after: str, kind: str) -> None:
    assert ratio(read_quantity(before, kind), read_quantity(after, kind)) is None


def test_frequencies_have_a_ratio_and_no_decibels() -> None:
    one, other = read_quantity("1 kHz", "frequency"), read_quantity("2 kHz", "frequency")
    assert ratio(one, other) == pytest.approx(2)
    assert decibels(one, other) is None


def test_hum_is_judged_and_output_is_not() -> None:
    results = {r.name: r for r in makers.findings("results", makers.record(FULL)).results}
    assert (results["hum at the speaker"].direction, results["hum at the speaker"].better) == ("lower", True)
    assert (results["output"].direction, results["output"].better) == ("higher", None)
    assert results["output"].change_db == pytest.approx(6.02, abs=0.01)


def test_hum_that_grew_stands_out() -> None:
    found = makers.standouts("results", makers.record("results:\n  hum: before 3 mV, after 9 mV\n"))
    assert [makers.plain(s.text) for s in found] == ["Hum is higher after the work than before: 3 mV, then 9 mV."]


# Log, photos, spelling


def test_hours_are_summed_and_lines_without_a_time_are_counted() -> None:
    found = makers.findings("log", makers.record(FULL))
    assert (found.total_seconds, found.without_time, found.first, found.last) == (
        6 * 3600,
        1,
        "2026-02-21",
        "2026-03-29",
    )
    assert "6 h in 4 sittings" in words_of(makers.page("log", makers.record(FULL)))


def test_a_picture_has_several_widths_and_says_what_it_shows() -> None:
    sources = {"webp": (("photos/b-480.webp", 480),), "jpeg": (("photos/b-480.jpg", 480), ("photos/b-960.jpg", 960))}
    picture = pages.PublishedPicture(960, 720, "photos/b-480.jpg", sources)
    shown = makers.page("photos", makers.record(FULL), pictures={"photos/b.jpg": picture})
    assert 'alt="Larkfield Minuet 5: Under the chassis, after the work"' in shown
    assert 'srcset="photos/b-480.jpg 480w, photos/b-960.jpg 960w"' in shown
    assert 'loading="lazy"' not in shown
    assert "photos/a.jpg could not be published" in shown
    assert "<script" not in shown


@pytest.mark.parametrize(
    ("text", "kind", "everyday"),
    [
        ("38 mV", "voltage", True),
        (".01 mfd", "capacitance", False),
        ("0.1 uF", "capacitance", True),
        ("1 meg", "resistance", False),
        ("22 kohm", "resistance", True),
        ("0,5 V", "voltage", True),
    ],
)
def test_only_an_old_spelling_needs_its_reading(text: str, kind: str, everyday: bool) -> None:
    said = typed(read_quantity(text, kind))
    assert said is not None
    assert said.everyday is everyday


def test_an_old_spelling_is_shown_with_its_reading() -> None:
    shown = words_of(makers.page("results", makers.record("results:\n  filter: before 10 kc, after 12 kc\n")))
    assert "10 kc read as 10" in shown


def test_a_ratio_too_small_for_a_number_is_none() -> None:
    """It would have no logarithm."""
    huge, tiny = (Quantity(si, "V", "exact", f"{si:g} V") for si in (1e200, 1e-200))
    assert ratio(huge, tiny) is None
    assert ratio(tiny, huge) is None
    assert decibels(huge, tiny) is None


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [("12BA6", "12BE6", False), ("6V6GT", "6F6", True), ("6F6", "6V6GT", True), ("6BA6", "12BA6", True)],
)
def test_another_heater_is_one_of_other_volts_or_other_amps(was: str, now: str, told: bool) -> None:
    """Tube table: 12BA6 and 12BE6 12.6 V 0.15 A; 6V6GT 6.3 V 0.45 A, 6F6 0.7 A; 6BA6 6.3 V 0.3 A."""
    text = f"tubes:\n  V1: {now}\nchanged tubes:\n  V1: was {was}, now {now}\n"
    said = makers.said("line_up", text)
    assert any(f"the {now} has another heater than the {was}" in sentence for sentence in said) is told
