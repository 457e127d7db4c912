"""Circuit drawings: every word there, none over another, what was removed and added marked by line and by word.

The circuit drawn is an invented set: two-pin plug, fuse, switch, B- to chassis through R and C.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from itertools import combinations
from xml.etree import ElementTree as ET

import pytest
from playwright.sync_api import Browser, Page

from benchleaf.drawing import Figure, crossed_labels, overlaps
from benchleaf.drawing.schematic import CONDUCTORS, HEAVY_WIDTH, sketch

NS = "{http://www.w3.org/2000/svg}"
WORDS = [
    *("two-pin plug", "polarised", "hot", "neutral", "F1 0.5 A slow", "S1", "to V5 plate", "and heaters", "B-"),
    *("R9 330 kΩ", "C15 0.05 µF", "paper", "removed", "C22 3.3 nF Y1", "chassis", "C1 500 pF", "aerial socket"),
    *("line, hot side", "line, return side", "earth"),
]


def line_side() -> Figure:
    sheet = sketch()
    plug = sheet.plug((0, 0), "two-pin plug", "polarised", polarised=True)
    sheet.text((-0.7, 0.7), "hot", side="left")
    sheet.text((-0.7, -0.7), "neutral", side="left")
    (x, hot), (_, b_minus), bottom = plug.upper, plug.lower, -3.4
    sheet.part("fuse", (x, hot), (x + 2.4, hot), "F1 0.5 A slow", state="added", side="above")
    sheet.part("switch", (x + 2.4, hot), (x + 4.6, hot), "S1", side="above")
    sheet.wire((x + 4.6, hot), (9.2, hot), conductor="hot")
    sheet.terminal((9.3, hot), "to V5 plate", "and heaters")
    sheet.wire(plug.lower, (9.2, b_minus), conductor="return")
    sheet.text((9.2, b_minus), "B-")
    sheet.part("resistor", (2.4, b_minus), (2.4, bottom), "R9 330 kΩ")
    sheet.part("capacitor", (5.0, b_minus), (5.0, bottom), "C15 0.05 µF", "paper", state="removed")
    sheet.part("capacitor", (8.2, b_minus), (8.2, bottom), "C22 3.3 nF Y1", state="added")
    for across in (2.4, 5.0, 8.2):
        sheet.junction((across, b_minus))
    sheet.wire((1.2, bottom), (10.2, bottom), conductor="chassis")
    sheet.text((10.2, bottom), "chassis")
    sheet.chassis((1.6, bottom))
    sheet.part("capacitor", (4.2, bottom), (4.2, -5.2), "C1 500 pF")
    sheet.terminal((4.2, -5.3), "aerial socket", side="below")
    sheet.earth((7.4, -4.4))
    sheet.key((0, -6.6), ["hot", "return", "earth"])
    return sheet.figure(name="line-side-after", title="Line side, after", description="From the plug to the chassis.")


@pytest.fixture(scope="module")
def drawn() -> Figure:
    return line_side()


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    opened = browser.new_page(viewport={"width": 900, "height": 700})
    yield opened
    opened.close()


def texts(figure: Figure) -> list[str]:
    return ["".join(t.itertext()) for t in ET.fromstring(figure.svg).iter(NS + "text")]


def test_every_word_is_in_the_drawing(drawn: Figure) -> None:
    assert set(WORDS) <= set(texts(drawn))
    assert texts(drawn).count("removed") == 1
    assert texts(drawn).count("added") == 2


def test_removed_is_dashed_and_struck_through_and_added_is_heavy(drawn: Figure) -> None:
    paths = list(ET.fromstring(drawn.svg).iter(NS + "path"))
    assert sum(p.get("stroke-dasharray") == "5,3" for p in paths) == 1
    heavy = [p for p in paths if p.get("stroke-width") == f"{HEAVY_WIDTH:g}"]
    assert len(heavy) == 3  # the fuse's box and its wire, the capacitor
    slanted = [
        p for p in paths if p.get("d", "").count("L") == 1 and len({*p.get("d", "").replace(",", " ").split()}) == 6
    ]
    assert len(slanted) >= 2


def test_dashes_of_removed_parts_are_no_conductors_dashes() -> None:
    styles = {(c.width, c.dashes) for c in CONDUCTORS.values()}
    assert len(styles) == len({*CONDUCTORS}) - 1  # a plain wire and the return side of the line look alike
    assert "5,3" not in {c.dashes for c in CONDUCTORS.values()}


def test_no_label_is_estimated_to_run_into_another_or_to_be_crossed(drawn: Figure) -> None:
    assert overlaps(drawn.svg) == []
    assert crossed_labels(drawn.svg) == []


def test_a_label_on_a_line_is_found() -> None:
    sheet = sketch()
    sheet.wire((0, 0), (4, 0))
    sheet.text((1, 0), "on the wire")
    sheet.text((1, 0.6), "above it")
    figure = sheet.figure(name="f", title="t", description="d")
    assert crossed_labels(figure.svg) == ["on the wire"]


def test_labels_that_clash_are_found() -> None:
    sheet = sketch()
    sheet.text((0, 0), "one label")
    sheet.text((0.8, 0.1), "another label")
    assert overlaps(sheet.figure(name="f", title="t", description="d").svg) == [("one label", "another label")]


BOXES = """() => [...document.querySelectorAll('svg text')].map(t => {
    const box = t.getBBox();
    return [t.textContent, box.x, box.y, box.width, box.height];
})"""


def test_in_the_browser_no_label_touches_another_and_all_lie_inside(drawn: Figure, page: Page) -> None:
    page.set_content(f"<body style='font-family:sans-serif'>{drawn.svg}</body>")
    boxes = page.evaluate(BOXES)
    assert len(boxes) == len(texts(drawn))
    for (one, x, y, w, h), (other, ox, oy, ow, oh) in combinations(boxes, 2):
        assert not (x < ox + ow and ox < x + w and y < oy + oh and oy < y + h), (one, other)
    left, top, width, height = page.evaluate(
        "() => { const v = document.querySelector('svg').viewBox.baseVal; return [v.x, v.y, v.width, v.height]; }"
    )
    for words, x, y, w, h in boxes:
        assert left <= x, words
        assert x + w <= left + width, words
        assert top <= y, words
        assert y + h <= top + height, words


def test_in_the_browser_the_drawing_takes_the_colour_of_the_page(drawn: Figure, page: Page) -> None:
    page.set_content(f"<body style='color:rgb(1, 200, 3)'>{drawn.svg}</body>")
    colours = page.evaluate(
        "() => [...document.querySelectorAll('svg path, svg text')].map(e => { const s = getComputedStyle(e);"
        " return e.tagName == 'text' ? s.fill : s.stroke; })"
    )
    assert set(colours) == {"rgb(1, 200, 3)"}


@pytest.mark.parametrize(
    "words",
    [
        "<b>&amp;</b>",
        "R & C",
        "$x_2$ $\\alpha$",
        "a\x00b\x1f",
        "]]>",
        "<!--",
        "'\"",
        "𝄞 Ω µ",
        "x" * 500,
        "\u202eabc",
        "&#60;script&#62;",
    ],
)
def test_hostile_words_come_out_as_they_are(words: str) -> None:
    sheet = sketch()
    sheet.part("resistor", (0, 0), (0, -2), words)
    out = sheet.figure(name="f", title=words, description=words)
    shown = " ".join("".join(c if c.isprintable() else " " for c in words).split())
    assert texts(out) == [shown]
    assert "<script" not in out.svg
    assert "<b>" not in out.svg


def test_every_symbol_and_state_can_be_drawn() -> None:
    sheet = sketch()
    symbols = ("resistor", "capacitor", "fuse", "switch", "closed switch", "inductor", "lamp", "diode")
    for row, symbol in enumerate(symbols):
        for column, state in enumerate(("kept", "removed", "added")):
            at = (column * 5.0, row * -2.0)
            sheet.part(symbol, at, (at[0] + 2.5, at[1]), symbol, state=state, side="above")  # type: ignore[arg-type]
    plug = sheet.plug((0, -18), earthed=True)
    assert plug.earth is not None
    sheet.wire(plug.earth, (3, -18), conductor="earth", state="added")
    figure = sheet.figure(name="f", title="t", description="d")
    assert texts(figure).count("removed") == texts(figure).count("added") == len(symbols)
    assert overlaps(figure.svg) == []


def test_the_same_drawing_in_another_process_has_the_same_bytes(drawn: Figure) -> None:
    code = (
        "import importlib.util, sys\n"
        f"spec = importlib.util.spec_from_file_location('drawn', {__file__!r})\n"
        "drawn = importlib.util.module_from_spec(spec); spec.loader.exec_module(drawn)\n"
        "sys.stdout.write(drawn.line_side().svg)"
    )
    for seed in ("1", "77"):
        run = subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PATH": ""},
            capture_output=True,
            encoding="utf-8",
            check=True,
        )
        assert run.stdout == drawn.svg


def test_a_drawing_is_small_and_says_its_size(drawn: Figure) -> None:
    assert len(drawn.svg) < 12_000
    assert f' width="{drawn.width:.0f}" role=' in drawn.svg


def test_importing_the_drawing_room_loads_nothing_heavy() -> None:
    code = (
        "import sys, benchleaf.drawing, benchleaf.drawing.schematic, benchleaf.drawing.plot, benchleaf.drawing.bars\n"
        "print([m for m in ('matplotlib', 'schemdraw', 'numpy', 'PIL') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
