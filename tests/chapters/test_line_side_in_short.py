"""The line side in short: what stands on the record of before and after the work."""

from __future__ import annotations

import makers
from benchleaf.chapters.line_side.figures import MOST_LYING
from benchleaf.drawing.svg import view_box
from benchleaf.report.sentence import text_of
from line_sides import EUROPEAN_SET, FIVE_TUBE


def test_in_short_it_is_under_the_limit_only_where_it_stays_so() -> None:
    """0.637 mA through an unmeasured 10 nF paper capacitor at 120 V: high line or its drift puts it over 0.7 mA."""
    head = "line: 120 V 60 Hz, high 132 V\npower: transformer\nchassis: isolated\n"
    lines = (
        "line side:\n  before:\n    plug: two-pin, either way\n    switch: hot lead\n    line to chassis: 10 nF paper\n"
    )
    made = makers.digest("line_side", f"{head}{lines}    touchable: chassis\n")
    assert made.table is not None
    (row, *_) = made.table.rows()
    assert "under as written only" in row.cells[0].text
    assert "At 132\u202fV and with the parts at the end of their tolerance it is over." in text_of(made.conclusion)
    assert "as written only under" in text_of(made.brief.compared[0].how)


def test_a_current_before_the_work_names_its_part_where_that_is_another() -> None:
    """The shafts were live before; after the work what a hand reaches is the chassis."""
    lines = (
        "line: 120 V 60 Hz\npower: series string\nline side:\n"
        "  before:\n    plug: two-pin, either way\n    switch: hot lead\n    B- to chassis: wire\n    touchable: {}\n"
        "  after:\n    plug: polarized\n    switch: hot lead\n    B- to chassis: 220 kohm, 100 nF Y1\n"
        "    touchable: chassis\n"
    )
    for part, said in (("shafts", " on the shafts"), ("chassis", "")):
        made = makers.digest("line_side", lines.format(part))
        assert text_of(made.brief.compared[0].before).partition("mA")[2] == said


def test_a_fault_that_brings_a_current_where_there_was_none_is_said_with_it() -> None:
    """An earth wire takes all with nothing wrong; broken, 0.637 mA of 10 nF at 120 V stand where nothing stood."""
    lead = "    switch: hot lead\n    line to chassis: C8\n    touchable: chassis\n"
    text = (
        "line: 120 V 60 Hz, high 132 V\npower: transformer\nchassis: earthed\n"
        "parts:\n  C8: was 10 nF paper, now 10 nF Y2\nline side:\n"
        f"  before:\n    plug: two-pin, either way\n{lead}  after:\n    plug: three-pin with earth\n{lead}"
    )
    made = makers.digest("line_side", text)
    said = text_of(made.conclusion)
    assert "So it is with any one fault" not in said
    assert "With one fault up to 0.637\u202fmA, and over the limit in the worst case." in said
    assert made.table is not None
    (row,) = (row for row in made.table.rows() if row.head.text.startswith("One thing wrong"))
    assert row.head.text == "One thing wrong, the worst"
    before, after = (cell.text for cell in row.cells)
    assert "shorted" in before
    assert "wire broken" in after


def test_the_source_of_the_limit_says_how_it_was_read_and_not_that_it_is_from_memory() -> None:
    """“read as two service manuals reproduce them (from memory)” stood among the sources of every record."""
    made = makers.digest("line_side", FIVE_TUBE)
    (limit,) = {one for one in made.sources() if "touch current" in one.entry}
    assert limit.entry.endswith("Annex D, read as two service manuals reproduce them")


def test_a_lying_drawing_ends_where_its_own_lines_do() -> None:
    """What stands lower in one of two was an empty strip below the other; lead and scale are the same in both."""
    bench = makers.bench(EUROPEAN_SET)
    before, after = [f for f in makers.figures("line_side", bench).values() if f.name.endswith("-lying")]
    boxes = [view_box(figure.svg) for figure in (before, after)]
    assert boxes[0][:3] == boxes[1][:3]
    assert before.width == after.width
    assert before.height != after.height
    assert max(before.height, after.height) <= MOST_LYING
