"""The mains selector of a list: its volts go by the line and by where it stood."""

import pytest

import makers
from benchleaf.circuit.line_scaling import line_factor, selected_at, selector_volts
from benchleaf.record.text import NOWHERE, Text

SET = """line: 230 V 50 Hz
power: transformer
tubes:
  V4: 6V6GT, output
  V5: 5Z4, rectifier
heaters:
  mains selector: on 240 V, found on 220 V
readings:
  sheet:
    line: 220 V
    B+1: 290
    V4: plate 280, cathode 12
  as found:
    line: 230 V
    mains selector: 220 V
    B+1: 303
    V4: plate 293, cathode 12.5
  after:
    line: 230 V
    B+1: 278
    V4: plate 268, cathode 11.5
"""


@pytest.mark.parametrize(
    ("written", "volts"),
    [
        ("on 240 V, found on 220 V", 240),
        ("found on 220 V, on 240 V", 240),
        ("200-220 V", 210),
        ("200 V to 220 V", 210),
        ("moved from 220 V to 240 V", 240),
        ("110", 110),
        ("on the middle one", None),
        ("2 A fuse", None),
    ],
)
def test_the_volts_of_a_selector(written: str, volts: float | None) -> None:
    assert selector_volts(Text(written, NOWHERE)) == volts


def test_each_line_goes_by_its_own_setting() -> None:
    """By hand: 230/220 over a sheet on its own line's setting; 230/240 with the selector put right."""
    found = makers.found("readings", SET)
    at = {run.name: run.line[0].factor for run in found.runs}
    assert at == {"as found": round(230 / 220, 4), "after": round(230 / 240, 4)}
    rows = {(row.run, row.tube): row for row in found.rows if row.electrode == "plate"}
    assert rows["as found", "V4"].adjusted_volts == pytest.approx(280 * 230 / 220, rel=2e-3)
    assert rows["after", "V4"].adjusted_volts == pytest.approx(280 * 230 / 240, rel=2e-3)
    text = makers.plain(makers.page("readings", SET))
    assert "the selector on 220 V" in text
    assert "the selector on 240 V (where it stands now, as the list does not say)" in text


def test_a_series_string_and_a_record_without_a_selector_go_by_the_line() -> None:
    silent = "".join(line for line in SET.splitlines(True) if "selector" not in line and line != "heaters:\n")
    for text in (SET.replace("power: transformer", "power: series string"), silent):
        assert {run.line[0].factor for run in makers.found("readings", text).runs} == {round(230 / 220, 4)}


def test_a_source_without_a_setting_stood_on_that_of_its_line() -> None:
    assert line_factor(220, None, 230, 230, 230) == pytest.approx(1.0)
    assert line_factor(220, 220, 230, None, 230) == pytest.approx(1.0)
    assert line_factor(240, 220, 220, 220, 230) == pytest.approx(220 / 240)


@pytest.mark.parametrize(
    ("name", "own", "volts"),
    [("as found", "", 220.0), ("after", "", 240.0), ("as found", "mains selector: on 240 V", 240.0)],
)
def test_a_list_as_found_was_taken_where_the_selector_was_found(name: str, own: str, volts: float) -> None:
    circuit = makers.circuit(
        "power: transformer\nline: 230 V 50 Hz\nheaters:\n  mains selector: on 240 V, found on 220 V\n"
        f"readings:\n  {name}:\n    line: 230 V\n    {own or 'B+1: 250'}\n"
    )
    found = selected_at(circuit, name)
    assert found is not None
    assert found.volts == volts


@pytest.mark.parametrize(
    ("note", "volts"),
    [
        ("FM, no station, selector on 240", 240),
        ("selector was at 220 V", 220),
        ("selector knob loose, volume 10", 220),
    ],
)
def test_a_note_of_a_list_says_where_the_selector_stood(note: str, volts: float) -> None:
    """A list that noted another setting was held against the one the set was found on: all “high”."""
    text = SET.replace("    mains selector: 220 V\n", f"    note: {note}\n")
    at = selected_at(makers.bench(text).circuit, "as found")
    assert at is not None
    assert at.volts == volts
