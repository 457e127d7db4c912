"""What the output tube draws from the reservoir, written or not, and a computed B+ that is not the one read."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings
from makers import meant

HEAD = "line: 120 V 60 Hz\npower: series string\n"
TUBES = {"V1": "12SA7", "V2": "12SK7", "V3": "12SQ7", "V4": "50L6GT", "V5": "35Z5GT"}
READ = """readings:
  2026-03-04 after:
    line: 117 V
    V4: plate 126, cathode 8.1
    B+1: 133
    B+2: 103
"""
PARTS = """parts:
  C12:
    sections:
      a: now 47 uF 160 V electrolytic, between B+1 and B-
      b: now 22 uF 160 V electrolytic, between B+2 and B-
  R8: keep, 150 ohm, measured 156 ohm, between V4 cathode and B-
  R9: keep, 1 kohm, between B+1 and B+2
"""
OUTPUT_TRANSFORMER = "  T3: keep, job output transformer, between V4 plate and B+1\n"


def tubes_of(tubes: Mapping[str, str]) -> str:
    return "tubes:\n" + "".join(f"  {p}: {t}\n" for p, t in tubes.items())


def known(text: str, tubes: Mapping[str, str]) -> SupplyFindings:
    findings = makers.found("supply", text + tubes_of(tubes))
    assert isinstance(findings, SupplyFindings)
    return findings


def page(text: str, tubes: Mapping[str, str]) -> str:
    return makers.page("supply", text + tubes_of(tubes))


def test_the_output_tube_draws_whether_its_transformer_is_written_or_not() -> None:
    """8.1 V across 156 ohm are 51.9 mA; with 4 mA of 53 mA in the screen (from memory) the plate has 48.0 mA."""
    text = HEAD.replace("120 V", "117 V") + READ + PARTS
    without, written = known(text, TUBES), known(text + OUTPUT_TRANSFORMER, TUBES)
    assert without.nominal is not None
    assert without.nominal == written.nominal
    assert without.nominal.rails[0].load_amps == meant(meant(8.1 / 156 * 49 / 53))
    assert any("fed from B+1: nearest above what was read there" in a for a in without.assumed)
    assert all("fed from" not in a for a in written.assumed)
    unread = known(text.replace("plate 126, ", ""), TUBES)
    assert unread.nominal == written.nominal


def test_what_the_supply_draws_is_what_the_readings_show() -> None:
    """One place works out a stage's currents: a winding's small drop of 7 V is not taken for it by either."""
    winding = OUTPUT_TRANSFORMER.replace("keep,", "keep, 100 ohm,")
    for more in ("", OUTPUT_TRANSFORMER, winding):
        on = makers.bench(HEAD.replace("120 V", "117 V") + READ + PARTS + more + tubes_of(TUBES))
        point = makers.found("readings", on).operating["V4"]
        nominal = makers.found("supply", on).nominal
        assert nominal.rails[0].load_amps == point.plate_amps


@pytest.mark.parametrize(
    ("gone", "needed"),
    [
        (
            "  R8: keep, 150 ohm, measured 156 ohm, between V4 cathode and B-\n",
            "between V4 cathode and B-”, and a reading",
        ),
        (", cathode 8.1", "a reading at V4 cathode"),
        (" 150 ohm, measured 156 ohm,", "the ohms of its resistor"),
    ],
)
def test_b_plus_is_not_computed_where_the_output_tubes_current_is_not_known(gone: str, needed: str) -> None:
    text = HEAD + READ + PARTS
    assert gone in text
    findings = known(text.replace(gone, ""), TUBES)
    assert findings.working == ()
    (lacks,) = findings.lacks
    assert lacks.startswith("the current that V4 draws from B+1: ")
    assert needed in lacks
    assert "are not computed" in page(text.replace(gone, ""), TUBES)


def test_the_sheets_cathode_will_do_where_none_was_read() -> None:
    """The sheet holds for 120 V and the readings for 117 V: what it says is taken in proportion."""
    read = READ.replace(", cathode 8.1", "") + "  sheet:\n    line: 120 V\n    V4: cathode 8.1\n"
    nominal = known(HEAD + read + PARTS, TUBES).nominal
    assert nominal is not None
    assert nominal.rails[0].load_amps == meant(meant(8.1 / 156 * 49 / 53))


def test_two_output_tubes_on_one_cathode_resistor_both_draw() -> None:
    pair = TUBES | {"V6": "50L6GT"}
    read = READ.replace("    B+1", "    V6: plate 126, cathode 8.1\n    B+1")
    both = known(HEAD + read + PARTS, pair).nominal
    assert both is not None
    assert both.rails[0].load_amps == pytest.approx(2 * 8.1 / 156 / 2 * 49 / 53 * 120 / 117, rel=5e-3)


def test_an_output_screen_on_the_first_rail_draws_there_too() -> None:
    """The whole of 51.9 mA, from a wire as from a screen that reads the same as B+1."""
    wired = "wires:\n  - V4 screen, B+1\n"
    for read, more in ((READ, wired), (READ.replace("plate 126", "plate 126, screen 133"), "")):
        nominal = known(HEAD + read + PARTS + more, TUBES).nominal
        assert nominal is not None
        assert nominal.rails[0].load_amps == pytest.approx(8.1 / 156 * 120 / 117, rel=5e-3)


def test_a_tube_that_takes_more_than_leads_on_hangs_before_the_filter_resistor() -> None:
    """Read at 100 V it is nearer to B+2 (103 V), but 30 V across 1 kohm bring only 30 mA there."""
    text = HEAD + READ.replace("plate 126", "plate 102") + PARTS
    assert known(text, TUBES).nominal == known(text + OUTPUT_TRANSFORMER, TUBES).nominal


def test_a_b_plus_is_held_against_what_the_capacitors_of_that_day_make() -> None:
    """Read on 4 March; new capacitors came the day before, or the day after a reservoir of 10 uF was still in."""
    rest = PARTS[PARTS.index("  R8:") :]
    first = "  C1: was 47 uF 160 V, measured 10 uF, now 47 uF 160 V electrolytic, between B+1 and B-, fitted {}\n"
    text = f"{HEAD}{READ}parts:\n{first}  C2: now 22 uF 160 V electrolytic, between B+2 and B-\n{rest}"
    before, after = (known(text.format(day), TUBES) for day in ("2026-03-03", "2026-03-05"))
    assert before.nominal == after.nominal
    assert before.computed_against_read is not None
    assert after.computed_against_read is not None
    assert after.computed_against_read < before.computed_against_read - 0.05


def test_a_b_plus_a_tenth_off_is_a_finding_and_stops_what_rests_on_it_only() -> None:
    """35Z5GT and 47 uF: with half the load in the record, more is computed than was read."""
    read = READ.replace("B+1: 133", "B+1: 100").replace("plate 126", "plate 95").replace("B+2: 103", "B+2: 75")
    text = HEAD + read + PARTS.replace("47 uF", "100 uF") + OUTPUT_TRANSFORMER
    findings = known(text, TUBES)
    assert findings.computed_against_read is not None
    assert findings.computed_against_read >= 0.1
    assert findings.agrees is False
    assert all(one.over_peak is None for one in findings.working)
    assert findings.reservoir_too_large is True
    said = makers.said("supply", "", findings)
    assert any("a load that the record lacks" in text and "B+1 was read 100 V" in text for text in said)
    assert any("larger first filter capacitor" in text for text in said)
    html = page(text, TUBES)
    assert "does not agree" in html
    assert "over the limit" not in html


RETURNED = """line: 240 V 50 Hz
power: transformer
chassis: earthed
tubes:
  V4: XQ77, output
  V5: 5Y3GT, rectifier
heaters:
  windings:
    HT: 2x350 V, feeds V5
readings:
  today:
    line: 240 V
    to: chassis
    V4: plate 232, screen 246
    V5: cathode 246
    CT: {ct}
parts:
  C24: 10 uF 500 V, keep, between V5 cathode and CT
  C25: 10 uF 500 V, keep, V5 cathode to chassis
  L10: field 1500 ohms, measured 1460 ohm, keep, between chassis and CT
wires:
  - V5 cathode, V4 screen
"""


def test_what_the_field_in_the_return_carries_is_what_the_first_rail_gives() -> None:
    """93 V across 1460 ohm are 63.7 mA: of an output tube whose type is not known nothing else tells the current.

    “An output tube among the tubes” was asked for, where one was written.
    """
    found = makers.found("supply", RETURNED.format(ct="-93"))
    (nominal,) = (one for one in found.working if one.which == "nominal")
    assert sum(rail.load_amps for rail in nominal.rails) == pytest.approx(93 / 1460, rel=0.01)
    assert any("63.7 mA that L10 carried" in makers.plain(one) for one in found.assumed)


def test_an_output_tube_of_unknown_type_lacks_its_current_and_is_not_asked_for() -> None:
    found = makers.found("supply", RETURNED.replace("    CT: {ct}\n", ""))
    (lack,) = found.lacks
    assert lack.startswith("the current that V4 draws from ")
