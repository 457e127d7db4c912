"""A hostile story does no harm."""

from __future__ import annotations

import re
import time
from html.parser import HTMLParser

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.pages.story import Insertion, StoryPart, StoryPhoto, render_note, render_story
from benchleaf.pages.story.bounds import WORK_LIMIT, heaviest_line
from stories import made, places, story

VECTORS = [
    "<script>alert(1)</script>",
    "<SCRIPT SRC=//x.org/a.js></SCRIPT>",
    "<img src=x onerror=alert(1)>",
    "<svg onload=alert(1)>",
    "<svg><script>alert(1)</script></svg>",
    "<math><mi xlink:href='javascript:alert(1)'>x</mi></math>",
    "<iframe src=javascript:alert(1)></iframe>",
    "<style>*{background:url(javascript:alert(1))}</style>",
    "<body onload=alert(1)>",
    "<a href=javascript:alert(1)>x</a>",
    "<details open ontoggle=alert(1)>",
    "<object data=javascript:alert(1)>",
    "<embed src=javascript:alert(1)>",
    "<form><button formaction=javascript:alert(1)>x</button></form>",
    "<meta http-equiv=refresh content='0;url=javascript:alert(1)'>",
    "<base href=//x.org/>",
    "<link rel=stylesheet href=//x.org/a.css>",
    "<!--<img src='--><img src=x onerror=alert(1)//'>",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'>",
    "<template><script>alert(1)</script></template>",
    "<x onclick=alert(1)>y</x>",
    "<scr<script>ipt>alert(1)</script>",
    "<script\n>alert(1)</script\n>",
    "<div style='background:url(javascript:alert(1))'>x</div>",
    "[x](javascript:alert(1))",
    "[x](JaVaScRiPt:alert(1))",
    "[x]( javascript:alert(1))",
    "[x](<javascript:alert(1)>)",
    "[x](<java\tscript:alert(1)>)",
    "[x](<java\nscript:alert(1)>)",
    "[x](&#106;avascript:alert(1))",
    "[x](&#x6A;avascript:alert(1))",
    "[x](&#0000106avascript:alert(1))",
    "[x](javascript&colon;alert(1))",
    "[x](javascript&amp;colon;alert(1))",
    "[x](java&Tab;script&colon;alert(1))",
    "[x](java&NewLine;script:alert(1))",
    "[x](&#1;javascript:alert(1))",
    "[x](\x01javascript:alert(1))",
    "[x](java\u00adscript:alert(1))",
    "[x](vbscript:msgbox(1))",
    "[x](data:text/html;base64,PHNjcmlwdD5hbGVydCgxKTwvc2NyaXB0Pg==)",
    "[x](view-source:javascript:alert(1))",
    "[x][r]\n\n[r]: javascript:alert(1)",
    "[x][r]\n\n[r]: <javascript:alert(1)> 'x'",
    "<javascript:alert(1)>",
    "<javascript://x@x.org>",
    '[x](a.md "\\" onmouseover=alert(1) x=\\"")',
    "[x](a.md '\" onmouseover=alert(1) x=\"')",
    '[x](a.md" onmouseover="alert(1))',
    "![x](javascript:alert(1))",
    '![x" onerror="alert(1)](photos/a.jpg)',
    '![x](photos/a.jpg" onerror="alert(1))',
    "![x](photos/a.jpg '\" onerror=\"alert(1)')",
    "![<script>alert(1)</script>](photos/a.jpg) inline",
    "# <img src=x onerror=alert(1)>",
    '# a" onclick="alert(1)',
    "| <script>alert(1)</script> |\n|---|\n| <img onerror=alert(1)> |",
    "```html onload=alert(1)\n<script>alert(1)</script>\n```",
    "``` {.x onclick=alert(1) #y}\n<script>alert(1)</script>\n```",
    "    <script>alert(1)</script>",
    "`<script>alert(1)</script>`",
    "[[<script>alert(1)</script>]]",
    "`[[<script>alert(1)</script>]]`",
    "[[parts]]<script>alert(1)</script>",
    "[a [b](javascript:alert(1)) c](x.md)",
    "{: onclick=alert(1) }",
    "x\n{: onclick=alert(1) }",
    "\x02klzzwxh:0\x03<script>alert(1)</script>",
    "\x02wzxhzdk:0\x03",
    "\ufdd0P0\ufdd1\n\n\ufdd0f0\ufdd1 \ufdd0i0\ufdd1 \ufdd0h0\ufdd1 \ufdd0w9\ufdd1",
    "<\u017fcript>alert(1)</\u017fcript>",
    "＜script＞alert(1)＜/script＞",
    "+ADw-script+AD4-alert(1)+ADw-/script+AD4-",
    "\ud83dlone <script>alert(1)</script>",
    "&lt;script&gt;alert(1)&lt;/script&gt;",
    "*<script>*alert(1)</script>",
    "[<script>](x.md)alert(1)</script>",
    *(f"&#xfdd0;{letter}0&#xfdd1;" for letter in "Pfiphuw"),
    "[[parts]]\n\n&#64976;P0&#64977;",
    "![a](photos/b.jpg)\n\n&#x000000000fdd0f0&#XFDD1",
    "# &#xfdd0;h0&#xfdd1; a",
    "&#&#xfdd0;xfdd0;P0&#xfdd1;",
    "a &#x202e;b&#8297; \u202ec",
    "&#27;[31m",
]


ALLOWED_TAGS = {
    *("a", "code", "em", "strong", "br", "p", "h2", "h3", "h4", "h5", "h6", "ul", "ol", "li", "blockquote"),
    *("hr", "pre", "table", "thead", "tbody", "tr", "th", "td", "div", "img"),
}


ALLOWED_ATTRIBUTES = {
    "a": {"href", "title", "rel", "class"},
    "th": {"scope", "align"},
    "td": {"align"},
    "ol": {"start"},
    "div": {"class", "tabindex", "role", "aria-label"},
    "img": {"src", "alt", "loading"},
    **{f"h{level}": {"id"} for level in range(2, 7)},
}


class _Strict(HTMLParser):
    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in ALLOWED_TAGS, tag
        for name, value in attrs:
            assert name in ALLOWED_ATTRIBUTES.get(tag, set()), (tag, name)
            if name in ("href", "src"):
                bare = "".join(c for c in value or "" if c.isprintable() and c not in " \u00ad").lower()
                before = bare.split("/", 1)[0].split("#", 1)[0].split("?", 1)[0]
                scheme = re.match(r"[a-z][a-z0-9+.-]*(?=:)", before)  # what no scheme is made of makes it a path
                assert scheme is None or scheme[0] in ("http", "https", "mailto"), value

    handle_startendtag = handle_starttag

    def handle_comment(self, data: str) -> None:
        raise AssertionError(data)

    def handle_decl(self, decl: str) -> None:
        raise AssertionError(decl)

    def handle_pi(self, data: str) -> None:
        raise AssertionError(data)


def assert_harmless(html: str) -> None:
    parser = _Strict(convert_charrefs=True)
    parser.feed(html)
    parser.close()
    assert not any(c in html for c in "\x02\x03\x1b\u202e\u2069\ufdd0\ufdd1")


def test_the_strict_reader_of_these_tests_would_notice() -> None:
    for bad in ("<script>", "<p onclick=a>", '<a href="java&#115;cript:x">', "<!-- x -->", '<img src="data:x">'):
        with pytest.raises(AssertionError):
            assert_harmless(bad)


def test_there_are_many_vectors() -> None:
    assert len(set(VECTORS)) >= 70


@pytest.mark.parametrize("vector", VECTORS)
def test_nothing_executable_remains(vector: str) -> None:
    for text in (vector, f"- item\n\n    {vector}", f"> {vector}", f"words {vector} words"):
        rendered = story(text, permalink=True)
        assert_harmless(made(rendered))
        assert all(":" not in chunk.src for chunk in rendered.chunks if isinstance(chunk, StoryPhoto))
        assert_harmless(render_note(text))


N = 200_000


HOSTILE = {
    "open brackets": "[" * N,
    "open pictures": "![" * (N // 2),
    "half links": "[a](" * (N // 4),
    "half links with angles": "[a](<" * (N // 5),
    "brackets in many paragraphs": ("[" * 500 + "\n\n") * (N // 500),
    "nested brackets": "[" * (N // 2) + "]" * (N // 2),
    "stars": "*a" * (N // 2),
    "star pairs": "**a*b " * (N // 6),
    "underscores": "_a__b" * (N // 5),
    "backticks of every length": " ".join("`" * i for i in range(1, 630)),
    "fences of every length": "\n".join("`" * i for i in range(3, 630)),
    "quotations in quotations": ">" * N,
    "quotations growing": "\n".join(">" * i for i in range(630)),
    "lists in lists": "\n".join(" " * 4 * i + "- a" for i in range(300)),
    "lists on one line": "- " * (N // 2),
    "numbers on one line": "1. " * (N // 3),
    "quoted lists on one line": "> - " * (N // 4),
    "headings": "# a\n" * (N // 4),
    "underlined headings": "a\n=\n" * (N // 4),
    "rules": "---\n" * (N // 4),
    "cells": "|a" * (N // 2) + "\n" + "|-" * (N // 2),
    "paragraphs": "a\n\n" * (N // 3),
    "items": "- a\n" * (N // 4),
    "pieces": "[[parts]]\n" * (N // 10),
    "misplaced pieces": "a [[parts]] " * (N // 12),
    "uneven pieces": "[[parts]\n" * (N // 10),
    "spaces": "a" + " " * N + "b",
    "references": "[a]:" + " " * N + "x",
    "entities": "&#" * (N // 2),
    "angles": "<a@" * (N // 3),
    "backslashes": "\\" * N,
    "parentheses": "[a]((((((" * (N // 9),
    "titles": '[a](b "' * (N // 7),
    "links": "[a](b.md)\n" * (N // 10),
    "pictures": "![a](photos/b.jpg)\n" * (N // 20),
    "blank lines": "\n" * N,
    "tabs": "\t" * N + "a",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_is_read_or_refused_within_a_second(name: str) -> None:
    begin = time.process_time()
    rendered = story(HOSTILE[name])
    assert time.process_time() - begin < 1.0
    assert rendered.chunks or rendered.problems or not HOSTILE[name].strip()
    assert_harmless(made(rendered))


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_note_is_read_within_a_fifth_of_a_second(name: str) -> None:
    begin = time.process_time()
    assert_harmless(render_note(HOSTILE[name][:9_999]))
    assert time.process_time() - begin < 0.2


@pytest.mark.parametrize("name", ["half links", "star pairs", "lists in lists", "headings", "nested brackets"])
def test_the_largest_hostile_text_that_is_let_through_is_read_in_time(name: str) -> None:
    let_through, refused = 0, len(HOSTILE[name])
    while refused - let_through > 200:
        middle = (let_through + refused) // 2
        if heaviest_line(HOSTILE[name][:middle])[0] <= WORK_LIMIT:
            let_through = middle
        else:
            refused = middle
    begin = time.process_time()
    rendered = story(HOSTILE[name][:let_through])
    assert time.process_time() - begin < 1.5
    assert rendered.chunks


def test_a_story_of_over_a_megabyte_is_refused_across_its_files() -> None:
    half = StoryPart("word " * 110_000, "a.md")
    rendered = render_story([half, StoryPart(half.text, "b.md")], insertions=(), permalink=False)
    assert rendered.chunks == ()
    assert rendered.problems[0].file == "b.md"


def test_a_long_honest_story_is_read() -> None:
    prose = "The set came in with a hum, and the dial was cracked. It had been stored in a shed for years.\n" * 5 + "\n"
    rendered = story(prose * 1_900)
    assert rendered.problems == ()
    assert len(made(rendered)) > 900_000


def test_the_refusal_names_the_line_of_the_worst_paragraph() -> None:
    rendered = story("fine\n\nfine\n\n" + "[" * 5_000 + "\n\nfine\n")
    assert places(rendered) == [(5, 1)]


@settings(max_examples=300)
@given(st.lists(st.sampled_from(list("[]()!*_`<>#-|:&;\\\n \t\"'ab1.") + VECTORS + ["[[parts]]", "    "]), max_size=40))
def test_any_mixture_is_harmless_and_never_raises(bits: list[str]) -> None:
    text = "".join(bits)
    rendered = story(text, permalink=True)
    assert_harmless(made(rendered))
    assert_harmless(render_note(text))
    assert all(not re.search("[\ufdd0\ufdd1\u202e]", h.text) for h in rendered.headings)
    assert len({h.id for h in rendered.headings}) == len(rendered.headings)
    assert [c for c in rendered.chunks if isinstance(c, Insertion)].count(Insertion("parts")) <= 1


def test_the_same_text_gives_the_same_story() -> None:
    text = "# a\n\n[[parts]]\n\n" + "\n\n".join(VECTORS)
    assert story(text) == story(text)
