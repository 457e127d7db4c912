"""Pages as plain files: HTML that no Markdown and no template language reads into, front matter, the search's texts."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest
import yaml

import makers
from benchleaf.pages.framed_page import Frame, texts_script
from benchleaf.pages.markdown_page import inert, markdown_page
from benchleaf.pages.set_page import SetPage, WorkingPage
from hostile_text import HOSTILE
from markup import Markup
from plain_projects import FENCED, article

RECORD = "maker: Testwell\nmodel: Trial\ntubes:\n  V1: 12BE6\nlog:\n  2026-03-01: cleaned\n"


def page(**more: str) -> SetPage:
    return makers.set_page(RECORD, more.get("story", ""))


@pytest.mark.parametrize(
    ("html", "out"),
    [
        ("<p>a\n\nb</p>", "<p>a  b</p>"),
        ("<pre>a\n\n  b</pre>\n<p>\nc</p>", "<pre>a&#10;&#10;  b</pre> <p> c</p>"),
        ('<img alt="a\n> b"\n src="x">', '<img alt="a&#10;> b"  src="x">'),
        ("<p>{{ 7 }} {% x %} {# y #}</p>", "<p>&#123;&#123; 7 }} &#123;% x %} &#123;# y #}</p>"),
        ("<pre>one\r\ntwo</pre>", "<pre>one&#10;two</pre>"),
        ("a < b\n{", "a < b &#123;"),
    ],
)
def test_html_becomes_one_line_that_says_the_same(html: str, out: str) -> None:
    assert inert(html) == out


def test_a_page_reads_the_same_on_one_line() -> None:
    made = page(story=f"How it went.\n\n{FENCED}\n\n[[parts]]\n")
    plain = markdown_page(made, made.html, "../../")
    assert "{" not in plain
    front, body = plain.removeprefix("---\n").split("\n---\n\n")
    assert (body.count("\n"), body.index("\n")) == (1, len(body) - 1)
    assert body.startswith('<div class="bl-page"><link rel="stylesheet" href="../../assets/benchleaf/benchleaf.css">')
    assert article(body) == article(made.html)
    assert (
        "text",
        "\n{{ site.secret }} {% include x %} {{< shortcode >}}\n\n# not a heading\n~~~\n\n<b>\n",
    ) in article(body)
    assert yaml.safe_load(front)["title"] == "Testwell Trial"


def test_the_front_matter_says_what_generators_ask() -> None:
    made = page()
    front = yaml.safe_load(markdown_page(made, made.html, "").split("---\n")[1])
    assert {name: str(front[name]) for name in ("title", "date", "lastmod")} == {
        "title": "Testwell Trial",
        "date": "2026-03-01",
        "lastmod": "2026-03-01",
    }
    assert front["description"] == made.description
    assert (front["tags"], made.tags) == (["Testwell"], ("Testwell",))
    dated = replace(made, card={**(made.card or {}), "year": 1938, "kind": "line transformer"})
    assert dated.tags == ("Testwell", "line transformer", "1930s")
    assert (front["orphan"], front["hide"]) == (True, ["navigation"])
    working = WorkingPage("heaters", "Heaters", "", "<article></article>", (), (), wide=True)
    front = yaml.safe_load(markdown_page(working, working.html, "").split("---\n")[1])
    assert "tags" not in front
    assert (front["hide"], front["search"]) == (["navigation", "toc"], {"exclude": True})


@pytest.mark.parametrize(
    "title", [HOSTILE, 'a"\nb: c', "[x](javascript:1) `y`", "\\\x00\x85\u2028---", "{{ x }}", "é 😀"]
)
def test_a_title_is_text_in_any_theme(title: str) -> None:
    made = WorkingPage("heaters", title, title, "<article></article>", (), ())
    front = yaml.safe_load(markdown_page(made, made.html, "").split("\n---\n")[0])
    assert not set(front["title"]) & set('<>"`{}[]\\\n\x00\x85\u2028')
    assert front["title"] == front["description"]
    assert re.sub(r"\W", "", front["title"]) == re.sub(r"\W", "", title)


def test_the_texts_of_the_search_are_those_that_the_plugin_gives_to_one() -> None:
    made = page(story="It hummed.\n\n## Under <the> chassis\n\nC7 leaked.\n")
    script = texts_script([("sets/a/index.html", made), ("sets/a/b/index.html", WorkingPage("b", "B", "", "", (), ()))])
    rows = json.loads(script.removeprefix("window.benchleafTexts = ").removesuffix(";\n"))
    assert [row[:2] for row in rows] == [["sets/a/index.html", "Testwell Trial"]]
    sections = rows[0][2]
    assert ["under-the-chassis", "Under <the> chassis", "C7 leaked."] in sections
    assert ["", "", "It hummed."] in sections
    assert ["log", "Day by day", "cleaned"] in sections
    assert {id for id, _, _ in sections if id} <= set(made.anchors)


def test_a_frame_holds_its_page_and_no_script_of_its_own() -> None:
    html = Frame(HOSTILE, "sets/index.html").around(HOSTILE, HOSTILE, "<article>x</article>", "../")
    assert "<script>" not in html
    assert re.findall(r'<script src="([^"]*)" defer></script>', html) == ["../assets/benchleaf/site-search.js"]
    assert Markup(html).scripts == []
    assert '<a href="../sets/index.html">Sets</a>' in html
    assert "Sets</a>" not in Frame("Home", "").around("Home", "", "", "")
