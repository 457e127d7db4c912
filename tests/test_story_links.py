"""A story's pictures and links, and what of it is read."""

from __future__ import annotations

import pytest

from benchleaf.pages.story import ImageUse, StoryPhoto, render_note
from stories import made, places, story


def test_a_picture_alone_becomes_a_photo_with_its_words_line_and_caption() -> None:
    rendered = story('text\n\n![the chassis & *more*](photos/under.jpg "before")\n')
    assert rendered.chunks[1] == StoryPhoto("photos/under.jpg", "the chassis & *more*", "story.md", 3, "before")
    assert rendered.images == (ImageUse("photos/under.jpg", "the chassis & *more*", "story.md", 3, "before"),)


def test_two_pictures_in_one_paragraph_become_two_photos() -> None:
    rendered = story("![a](photos/a.jpg)\n![b](photos/b.jpg)")
    assert [c.src for c in rendered.chunks if isinstance(c, StoryPhoto)] == ["photos/a.jpg", "photos/b.jpg"]


def test_a_picture_inside_a_line_is_drawn_by_the_caller() -> None:
    rendered = story("see ![dial](photos/d.jpg) here", picture=lambda image: f"<picture>{image.src}</picture>")
    assert made(rendered) == "<p>see <picture>photos/d.jpg</picture> here</p>"
    assert '<img src="photos/d.jpg" alt="dial" loading="lazy">' in made(story("see ![dial](photos/d.jpg) here"))


def test_a_picture_without_words_is_reported_and_shown() -> None:
    rendered = story("\n![](photos/a.jpg)")
    assert "what the picture shows" in rendered.problems[0].expected
    assert places(rendered) == [(2, 5)]
    assert isinstance(rendered.chunks[0], StoryPhoto)


@pytest.mark.parametrize(
    "src",
    [
        "https://example.org/a.jpg",
        "HTTP://example.org/a.jpg",
        "//example.org/a.jpg",
        r"\\example.org\a.jpg",
        "/photos/a.jpg",
        "../other/photos/a.jpg",
        "photos/../../a.jpg",
        "photos/%2e%2e/%2e%2e/a.jpg",
        "data:image/png;base64,AAAA",
        "javascript:alert(1)",
        "&#104;ttps://example.org/a.jpg",
        "photos/a.jpg?x=1",
        "",
    ],
)
def test_a_picture_from_elsewhere_is_refused_and_its_words_remain(src: str) -> None:
    rendered = story(f"look: ![the dial]({src})")
    assert len(rendered.problems) == 1
    assert rendered.images == ()
    assert "<img" not in made(rendered)
    assert "the dial" in made(rendered)


def test_links_are_listed_with_their_lines_and_only_external_ones_carry_rel() -> None:
    rendered = story(
        "[a](../other/index.md#parts)\n[b](https://example.org/?a=1&b=2)\n<https://example.net>\n"
        "[c][r] [m](mailto:a@b.org)\n\n[r]: sheet.pdf\n"
    )
    assert [(link.href, link.line) for link in rendered.links] == [
        ("../other/index.md#parts", 1),
        ("https://example.org/?a=1&b=2", 2),
        ("https://example.net", 3),
        ("sheet.pdf", 6),
        ("mailto:a@b.org", 4),
    ]
    assert '<a href="../other/index.md#parts">a</a>' in made(rendered)
    assert '<a href="sheet.pdf">c</a>' in made(rendered)
    assert made(rendered).count("rel=") == 2


@pytest.mark.parametrize(
    "href", ["javascript:alert(1)", "data:text/html,x", "//example.org", "ftp://x.org", "C:/a.jpg"]
)
def test_a_refused_link_is_reported_and_leaves_its_text(href: str) -> None:
    rendered = story(f"see [the sheet]({href}) here")
    assert places(rendered) == [(1, 17)]
    assert made(rendered) == "<p>see the sheet here</p>"


def test_tables_can_be_scrolled_and_read_aloud() -> None:
    out = made(story("| V1 | volts |\n|---|--:|\n| plate | 92.4 |"))
    assert '<th scope="col">V1</th>' in out
    assert '<td align="right">92.4</td>' in out
    assert out.startswith('<div class="benchleaf-scroll" tabindex="0"')


def test_html_is_shown_as_text() -> None:
    out = made(story("a <b>bold</b> move\n\n<div>\n\n*x*\n\n</div>"))
    assert "&lt;b&gt;bold&lt;/b&gt;" in out
    assert "<div" not in out
    assert "<em>x</em>" in out


def test_attribute_lists_are_text() -> None:
    assert "{: #x onclick=a }" in story("# a {: #x onclick=a }").headings[0].text


def test_search_text_and_first_sentence_are_plain() -> None:
    rendered = story(
        "# The set\n\nIt hummed at 5.6 V & *smoked* badly. Then e.g. nothing.\n\n[[parts]]\n\n- one\n- two"
    )
    assert rendered.first_sentence == "It hummed at 5.6 V & smoked badly."
    assert rendered.texts == (("", ""), ("the-set", "It hummed at 5.6 V & smoked badly. Then e.g. nothing. one two"))


def test_each_piece_of_the_search_text_stands_under_the_heading_it_is_below() -> None:
    rendered = story("Before.\n\n# A & B\n\nOne.\n\n[[parts]]\n\nTwo ¶.\n\n## C\n\n# D\n\nThree.", permalink=True)
    assert rendered.texts == (("", "Before."), ("a-b", "One. Two ¶."), ("c", ""), ("d", "Three."))


def test_a_story_without_a_paragraph_has_no_first_sentence() -> None:
    assert story("# Title\n\n- a\n").first_sentence == ""
    assert story("").chunks == ()


@pytest.mark.parametrize(
    ("written", "out"),
    [
        ("plain words", "plain words"),
        ("**hot** lead", "<strong>hot</strong> lead"),
        ("[sheet](sheet.pdf)", '<a href="sheet.pdf">sheet</a>'),
        ("[x](javascript:alert(1))", "x"),
        ("# not a heading", "# not a heading"),
        ("- not\n- a list", "- not - a list"),
        ("1 < 2 & 3 > 2", "1 &lt; 2 &amp; 3 &gt; 2"),
        ("<img src=x onerror=alert(1)>", "&lt;img src=x onerror=alert(1)&gt;"),
        ("`<b>`", "<code>&lt;b&gt;</code>"),
        ("    four spaces", "four spaces"),
        ("![no](photos/a.jpg)", "![no](photos/a.jpg)"),
        ("**open", "**open"),
        ("", ""),
    ],
)
def test_a_note_has_emphasis_and_links_and_no_blocks(written: str, out: str) -> None:
    assert render_note(written) == out
