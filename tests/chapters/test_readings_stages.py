"""Stages drawn from the record's own parts: what stands in them, that nothing overlaps, and how a story places them."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

import makers
from benchleaf.build.all_sets import build_set
from benchleaf.build.cache import Cache
from benchleaf.chapters.readings.findings import ReadingsFindings
from benchleaf.chapters.readings.stage_parts import StageParts
from benchleaf.drawing import crossed_labels, overlaps
from benchleaf.drawing.figure import ON_A_PHONE
from benchleaf.drawing.schematic import FONT_SIZE, SCALE
from benchleaf.drawing.svg import view_box
from benchleaf.pages.set_page import Choices
from benchleaf.words import BRITISH
from sites import REPO

DEMO = {path.parent.name: path.read_text(encoding="utf-8") for path in (REPO / "site_src/sets").glob("*/record.yml")}
HEAD = "maker: Larkfield\nmodel: Minuet 5\npower: series string\n"
TUBES = "tubes:\n  V3: 12AV6\n  V4: 50C5\n"
READ = """readings:
  2026-02-22 as found:
    to: B-
    V3: plate 39.6
    V4: plate 96.5, screen 81.2, grid 2.4, cathode 8.4
"""
LATER = READ + READ.replace("readings:\n", "").replace("02-22 as found", "03-04 after").replace("grid 2.4", "grid 0")
PARTS = """parts:
  C7:
    between: V3 plate and V4 grid
    was: .01 mfd, measured 13.6 nF, leakage 27 uA at 200 V
    now: 10 nF, measured 9.96 nF
    fitted: 2026-03-01
  C9: keep, 0.05 uF, between V4 screen and B-
  C10: now 22 uF, was none, between V4 cathode and B-
  C11: was 470 pF, now none, between V4 plate and B-
  R6: keep, 470 kohm, measured 498 kohm, between V4 grid and B-
  R8: keep, 150 ohm, measured 156 ohm, between V4 cathode and B-
  R12: keep, 2.2 kohm, between V4 screen and B+2
  T3: keep, job output transformer, between V4 plate and B+1
"""
SET = HEAD + TUBES + LATER + PARTS


def found(text: str) -> ReadingsFindings:
    result: ReadingsFindings = makers.found("readings", text)
    return result


def stage(text: str, name: str) -> StageParts:
    return next(each for each in found(text).stages if each.name == name)


def svg_of(text: str, name: str) -> str:
    stages = [each.name for each in found(text).stages]
    return makers.figures("readings", text)[f"voltages-stage-{stages.index(name) + 1}"].svg


def words_in(svg: str) -> list[str]:
    return [makers.plain("".join(each.itertext())) for each in ET.fromstring(svg).iter() if each.tag.endswith("text")]


@pytest.mark.parametrize("text", DEMO.values(), ids=[*DEMO])
def test_a_stage_of_the_demo_is_legible_on_a_phone_and_does_not_scroll_there(text: str) -> None:
    """Five of them were up to 488 units of their own wide, and lay half out of view."""
    for name, figure in makers.figures("readings", text).items():
        if name.startswith("voltages-stage"):
            wide = view_box(figure.svg)[2]
            assert ON_A_PHONE / wide * FONT_SIZE >= 9
            assert wide * SCALE <= ON_A_PHONE or 'class="bl-least-6 ' in figure.svg


def test_a_stage_with_more_around_it_scrolls_rather_than_shrink_below_what_is_legible() -> None:
    svg = svg_of(SET, "V4")
    (least,) = re.findall(r'class="bl-least-(\d+) ', svg)
    assert 9 <= int(least) * 50 / view_box(svg)[2] * FONT_SIZE < 10


@pytest.mark.parametrize("text", [*DEMO.values(), SET], ids=[*DEMO, "every kind of part"])
def test_no_words_run_into_each_other_or_into_a_line(text: str) -> None:
    drawn = [figure for name, figure in makers.figures("readings", text).items() if name.startswith("voltages-stage")]
    assert drawn
    for figure in drawn:
        assert (overlaps(figure.svg), crossed_labels(figure.svg)) == ([], [])
        assert figure.height <= 400
        root = ET.fromstring(figure.svg)
        assert [root[0].text, root[1].text] == [figure.title, " ".join(figure.description.split())]


def test_each_part_stands_at_its_electrode_as_it_was_and_is() -> None:
    around = stage(SET, "V4")
    (grid,), (screen,), (plate,) = around.grids, around.screens, around.plates
    assert around.cathode is not None
    assert (around.common, grid.pins, grid.read) == (
        "B-",
        "pins 2, 5",
        ("0 V".replace(" ", "\u202f"), "found +2.4\u202fV"),
    )
    (coupling,), (leak,) = grid.others, grid.to_common
    assert (coupling.name, coupling.far) == ("C7", "V3 plate")
    assert [makers.plain(word) for word in coupling.words] == ["was 13.6 nF", "leaked 27 µA", "now 9.96 nF"]
    assert (leak.name, [makers.plain(word) for word in leak.words], leak.far) == ("R6", ["498 kΩ"], "")
    assert [(part.name, part.far) for part in screen.feeds] == [("R12", "B+2")]
    assert [part.name for part in screen.to_common] == ["C9"]
    assert [(part.name, part.symbol, part.far) for part in plate.feeds] == [("T3", "inductor", "B+1")]
    assert {part.name: part.state for part in (*plate.to_common, *around.cathode.to_common)} == {
        "C11": "removed",
        "C10": "added",
        "R8": "kept",
    }


def test_a_positive_grid_shows_the_current_in_its_leak_and_where_it_may_come_from() -> None:
    leak = stage(SET, "V4").leak
    assert leak is not None
    # Ohm's law: 2.4 V / 498 kohm = 4.82 uA.
    assert leak.amps == pytest.approx(4.8193e-6, rel=1e-4)
    assert (leak.part, leak.through, leak.run) == ("R6", ("C7",), "2026-02-22 as found")
    assert "is 4.8 µA, which came through C7, or out of the grid itself." in makers.plain(leak.text)
    words = words_in(svg_of(SET, "V4"))
    assert {"4.8 µA", "as found", "found", "+2.4 V"} <= set(words)
    still = words_in(svg_of(HEAD + TUBES + READ + PARTS, "V4"))
    assert "+2.4 V" in still
    assert "positive" in still
    assert "as found" not in still
    assert stage(HEAD + TUBES + READ.replace("grid 2.4", "grid 0") + PARTS, "V4").leak is None


def test_a_grid_without_anything_beside_its_leak_says_so() -> None:
    leak = stage(HEAD + TUBES + READ + "parts:\n  R6: keep, 470 kohm, between V4 grid and B-\n", "V4").leak
    assert leak is not None
    assert "through something the record does not list" in leak.text


def test_what_was_assumed_of_a_leaks_time_is_said() -> None:
    """7.6 uA on one page and 8.7 on another, as the old resistor was in for one and not for the other."""
    body = (HEAD + TUBES + READ).replace("as found", "first list")
    parts = "parts:\n  R6: 470 kohm, measured 540 kohm, now 470 kohm, between V4 grid and B-\n"
    leak = stage(f"{body}{parts}  C9: 50 nF 400 V paper, now 47 nF film, 2026-02-25\n", "V4").leak
    assert leak is not None
    assert leak.ohms == 540e3
    assert leak.text.endswith("R6: the record has no day for the new part; most parts that have one came after the "
                              "reading; the old is assumed.")  # fmt: skip


def test_only_stages_with_a_part_are_drawn_and_a_joined_electrode_shows_its_rail() -> None:
    assert [each.name for each in found(SET).stages] == ["V3", "V4"]
    assert found(HEAD + TUBES + READ).stages == ()
    joined = stage(SET + "wires:\n  - V4 screen, B+2\n", "V4").screens[0]
    assert (joined.on, joined.parts) == ("B+2", ())


def test_what_there_is_no_room_for_is_named() -> None:
    more = "".join(f"  C{n}: keep, 100 pF, between V4 plate and V{n} grid\n" for n in (21, 22, 23, 24))
    tubes = TUBES + "".join(f"  V{n}: 6SK7\n" for n in (21, 22, 23, 24))
    assert "not drawn: C24" in words_in(svg_of(HEAD + tubes + READ + PARTS + more, "V4"))


def test_a_british_drawing_says_anode() -> None:
    bench = makers.bench(SET, words=BRITISH)
    words = words_in(makers.figures("readings", bench)["voltages-stage-2"].svg)
    assert "V3 anode" in words
    assert not any("plate" in word for word in words)


def test_names_of_the_record_are_escaped_and_cut() -> None:
    bad = "<script>alert(1)</script>"
    text = HEAD + TUBES + READ + f"parts:\n  '{bad}':\n    was: 1 nF\n    between: ['V4 grid', '{bad} & more']\n"
    svg = svg_of(text, "V4")
    assert "<script" not in svg
    assert "<script>alert(1)<…" in words_in(svg)
    assert (overlaps(svg), crossed_labels(svg)) == ([], [])


def built(folder: Path, story: str) -> tuple[str, list[str]]:
    folder.mkdir()
    (folder / "record.yml").write_text(SET, encoding="utf-8")
    (folder / "story.md").write_text(story, encoding="utf-8")
    page = build_set(folder, Choices(), Cache(None))
    return page.html, [str(problem) for problem in page.problems if problem.file.endswith("story.md")]


def test_a_story_places_a_stage(tmp_path: Path) -> None:
    html, told = built(tmp_path / "one", "It hummed.\n\n[[Stage v4]]\n\nIt does not.\n")
    assert told == []
    before, figure, after = html.partition('<figure class="bl-single')
    assert "It hummed." in before
    assert "It does not." in after
    assert figure
    assert "which came through C7" in makers.plain(after.partition("</figure>")[0])


@pytest.mark.parametrize(("wrong", "meant"), [("stage V5", ""), ("stge V3", "; did you mean “stage V3”?")])
def test_an_unknown_stage_is_told_with_those_that_there_are(tmp_path: Path, wrong: str, meant: str) -> None:
    """V4 is another tube than V5, and no slip of the hand for it."""
    _, (told,) = built(tmp_path / "two", f"It hummed.\n\n[[{wrong}]]\n")
    assert f"[[{wrong}]]" in told
    assert "stage V3, stage V4, t" in told
    assert told.endswith(f"or voltages{meant}")
