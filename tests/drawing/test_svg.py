"""SVG clean-up: what the drawing libraries put out, made fit for a page. The rules are this project's own."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

from benchleaf.drawing import clean_svg, overlaps
from benchleaf.drawing.labels import EM_PER_LETTER, WIDEST
from benchleaf.drawing.svg import compacted, view_box

NS = "{http://www.w3.org/2000/svg}"


def cleaned(inside: str, box: str = "0 0 100 50", prefix: str = "fig", **words: str) -> str:
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    svg = f'<svg {names} viewBox="{box}">{inside}</svg>'
    said = {"title": "Title", "description": "Words", **words}
    return clean_svg(svg, prefix=prefix, title=said["title"], description=said["description"])


def test_prolog_doctype_metadata_comments_and_global_styles_go() -> None:
    svg = (
        '<?xml version="1.0" encoding="utf-8" standalone="no"?>\n<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN"\n'
        '  "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">\n'
        '<svg xmlns="http://www.w3.org/2000/svg" width="10pt" height="5pt" viewBox="0 0 10 5" version="1.1">'
        "<metadata><date>2026</date></metadata><!-- a --><defs><style>*{stroke:red}</style></defs>"
        '<g id="figure_1"><path d="M 0 0 L 1 1" style="stroke: #000000"/></g></svg>'
    )
    out = clean_svg(svg, prefix="f", title="t", description="d")
    for gone in ("<?xml", "DOCTYPE", "metadata", "2026", "<!--", "<style", "pt", "figure_1", "<g", "<defs"):
        assert gone not in out
    assert '<path d="M 0 0 L 1 1" stroke="currentColor" />' in out


def test_black_becomes_the_texts_colour_and_white_grounds_go() -> None:
    out = cleaned(
        '<path d="M0 0h9" style="fill: #ffffff"/><circle cx="1" cy="1" r="1" style="stroke:black;fill:white"/>'
        '<text fill="rgb(0, 0, 0)">a</text><rect width="3" height="4" fill="#000"/>'
    )
    assert "<path" not in out
    assert '<circle cx="1" cy="1" fill="none" r="1" stroke="currentColor" />' in out
    assert '<rect fill="currentColor" height="4" width="3" />' in out
    assert not re.search("black|white|#000|#fff|rgb", out)


def test_invalid_dashes_go_and_good_ones_stay() -> None:
    out = cleaned(
        '<path d="M0 0L1 1" style="stroke:black;stroke-dasharray:-;"/>'
        '<path d="M0 0" style="stroke:black;stroke-dasharray:5,3"/>'
    )
    assert out.count("dasharray") == 1
    assert 'stroke-dasharray="5,3"' in out


def test_long_floats_are_rounded_and_small_ones_never_turn_to_exponents_or_minus_zero() -> None:
    out = cleaned(
        '<path d="M 107.99999999999999,122.39999999999999 L -0.0,1e-17" stroke="black"/>',
        box="-4.6 -28.199999999999996 333.20000000000005 164.2",
    )
    assert 'd="M 108,122.4 L 0,0"' in out
    assert 'viewBox="-4.6 -28.2 333.2 164.2"' in out


def test_a_large_number_keeps_its_digits() -> None:
    assert 'd="M 1234567.25 0"' in cleaned('<path d="M 1234567.251 0" stroke="black"/>')


def test_ids_in_use_are_renumbered_under_the_prefix_and_others_go() -> None:
    out = cleaned(
        '<defs><path id="m15" d="M0 0L0 3" stroke="black"/>'
        '<clipPath id="p9"><rect x="0" y="0" width="1" height="1"/></clipPath></defs>'
        '<g id="axes"><use xlink:href="#m15" x="1"/><path d="M0 0L1 1" stroke="black" clip-path="url(#p9)"/></g>',
        prefix="heaters",
    )
    assert 'id="heaters-1"' in out
    assert 'clip-path="url(#heaters-1)"' in out
    assert set(re.findall(r' id="([^"]+)"', out)) == {"heaters-title", "heaters-desc", "heaters-1"}


def test_what_is_used_stands_where_it_is_used_and_nothing_is_referred_to() -> None:
    """A theme that opens pages without loading them anew stops at an address inside a drawing."""
    out = cleaned(
        '<defs><path id="tick" d="M0 0L0 3" stroke="black"/></defs>'
        '<use xlink:href="#tick" x="4" y="5" stroke-width="2"/><use href="#tick" x="8" y="5" transform="rotate(90)"/>'
        '<use href="#nothing" x="1" y="1"/>',
    )
    assert re.findall(r'transform="([^"]+)"', out) == ["translate(4 5)", "rotate(90) translate(8 5)"]
    assert out.count('d="M0 0L0 3"') == 2
    assert 'stroke-width="2"' in out
    assert not re.search(r"href|<use|<defs", out)


def test_title_and_description_are_there_escaped_and_referred_to() -> None:
    out = cleaned("", title="a <b> & \x00'c'", description='"d" <script>')
    root = ET.fromstring(out)
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-labelledby"] == "fig-title fig-desc"
    assert root.findtext(NS + "title") == "a <b> & 'c'"
    assert root.findtext(NS + "desc") == '"d" <script>'
    assert "<script" not in out


def test_fonts_are_the_pages_and_sizes_stay() -> None:
    out = cleaned(
        "<text style=\"font-size: 10px; font-family: 'DejaVu Sans', serif; text-anchor: end\" x='1' y='2'>a</text>"
    )
    assert '<text font-size="10" text-anchor="end" x="1" y="2">a</text>' in out


def test_width_and_height_give_way_to_the_view_box_and_a_natural_width() -> None:
    out = clean_svg(
        '<svg width="9pt" height="9pt" viewBox="0 0 200 100"/>', prefix="f", title="t", description="d", scale=1.5
    )
    assert re.findall(r' (?:width|height|style)="[^"]*"', out) == [' width="300"']
    assert view_box(out) == (0, 0, 200, 100)


def test_a_script_or_foreign_object_never_comes_through() -> None:
    out = cleaned("<script>alert(1)</script><foreignObject><p>x</p></foreignObject>")
    assert "alert" not in out
    assert "foreign" not in out


@pytest.mark.parametrize(
    "svg",
    [
        '<!DOCTYPE svg [<!ENTITY a "b">]><svg viewBox="0 0 1 1">&a;</svg>',
        "<svg viewBox='0 0 1 1'>",
        "<p/>",
        "<svg/>",
        "",
    ],
)
def test_what_is_not_our_svg_is_refused(svg: str) -> None:
    with pytest.raises(ValueError, match=r"SVG|entities"):
        clean_svg(svg, prefix="f", title="t", description="d")


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"', "ä"])
def test_a_prefix_must_be_an_id(prefix: str) -> None:
    with pytest.raises(ValueError, match="id"):
        cleaned("", prefix=prefix)


def test_cleaning_twice_changes_nothing_but_what_is_asked() -> None:
    once = cleaned('<g id="a"><path d="M 0.123456 1 L 2 3" style="stroke:black"/></g><text x="1" y="2">b</text>')
    assert clean_svg(once, prefix="fig", title="Title", description="Words") == once


def test_the_box_has_room_for_a_label_at_its_edge_in_a_wide_font() -> None:
    """“now 4.7 nF” lost its last letter: 10.5 units high, in a font wider than the mean."""
    out = cleaned('<text x="40" y="20" font-size="10.5">now 4.7 nF</text>', "0 0 60 40")
    found = re.search(r'viewBox="\S+ \S+ (\S+) ', out)
    assert found is not None
    assert float(found[1]) == pytest.approx(40 + WIDEST * EM_PER_LETTER * 10.5 * 10, abs=0.01)


def test_overlapping_words_are_found_and_neighbours_are_not() -> None:
    # 0.56 em a letter: the project's own measurement against Chromium. Four letters at 10 units are 22.4 wide.
    def pair(x: float, y: float, more: str = "") -> list[tuple[str, str]]:
        return overlaps(
            cleaned(
                f'<text x="0" y="20" font-size="10">abcd</text><text x="{x}" y="{y}" font-size="10"{more}>efgh</text>'
            )
        )

    assert pair(20, 20) == [("abcd", "efgh")]
    assert pair(23, 20) == []
    assert pair(0, 26) == [("abcd", "efgh")]
    assert pair(0, 31) == []
    assert pair(44, 20, ' text-anchor="end"') == [("abcd", "efgh")]
    assert pair(46, 20, ' text-anchor="end"') == []
    assert pair(30, 20, ' text-anchor="middle"') == [("abcd", "efgh")]
    assert pair(33, 20, ' transform="rotate(-90 33 20)"') == []
    assert pair(28, 20, ' transform="rotate(-90 28 20)"') == [("abcd", "efgh")]
    assert pair(28, 20, ' text-anchor="end"') == [("abcd", "efgh")]


def test_paths_that_look_alike_become_one_and_draw_the_same() -> None:
    first, second = '<path d="M 0,1 L 2,3" stroke="a" />', '<path d="M 4,5 L 6,7" stroke="a" />'
    other = '<path d="M 0,0 L 9,9" stroke="b" />'
    words = '<text x="1">M 1 of L 2</text>'
    assert compacted(f"<svg>{first}{second}{other}{words}{first}</svg>") == (
        '<svg><path d="M0,1 L2,3 M4,5 L6,7" stroke="a"/><path d="M0,0 L9,9" stroke="b"/>'
        '<text x="1">M 1 of L 2</text><path d="M0,1 L2,3" stroke="a"/></svg>'
    )
