"""Filters, headings, ids and links of a page."""

from __future__ import annotations

import datetime
from html.parser import HTMLParser

import jinja2
import pytest

from benchleaf.pages import rendering as pages
from benchleaf.report.amount import signed_percent
from benchleaf.report.html import aligned


class _Text(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def _spans(html: str) -> list[str]:
    reader = _Text()
    reader.feed(html)
    return reader.said


def test_a_number_is_split_at_its_decimal_point() -> None:
    assert _spans(str(aligned("12.6 V"))) == ["12", ".6 V"]
    assert _spans(str(aligned("−7.1 V"))) == ["−7", ".1 V"]
    assert _spans(str(aligned("470 kΩ"))) == ["470", " kΩ"]
    assert _spans(str(aligned("–"))) == ["–"]


@pytest.mark.parametrize(
    ("deviation", "said"),
    [(0.264, "+26\u202f%"), (-0.004, "±0\u202f%"), (-0.2, "−20\u202f%"), (None, "–")],
)
def test_a_deviation_has_its_sign(deviation: float | None, said: str) -> None:
    assert signed_percent(deviation) == said


def test_a_date_is_said_as_the_record_writes_it() -> None:
    assert pages.day(datetime.date(2026, 3, 4)) == "2026-03-04"
    assert pages.day(None) == "–"


def test_templates_escape_and_refuse_unknown_names() -> None:
    env = pages.environment()
    assert env.from_string("{{ x }}").render(x="<b>") == "&lt;b&gt;"
    with pytest.raises(jinja2.UndefinedError):
        env.from_string("{{ nothing }}").render()


PAGE = """<article><h1 id="top">A &amp; B</h1><h2 id="one">Line <em>side</em></h2><h3 id="two">B- &lt; chassis</h3>
<svg id="hidden"><title>not said</title><a href="no"></a></svg>
<a href="parts.csv">x</a> <a href="https://example.org/">y</a> <a href="#one">z</a>
<a href="../o/index.md?a=1&amp;b=2">w</a>
<p class="bl-conclusion">All <b>within</b>.</p></article>"""


def test_headings_are_text_and_come_in_order() -> None:
    assert pages.headings(PAGE) == [pages.Entry(2, "one", "Line side"), pages.Entry(3, "two", "B- < chassis")]


def test_permanent_links_are_added_once_and_stay_out_of_the_contents() -> None:
    linked = pages.with_permalinks(PAGE)
    assert linked.count('class="headerlink"') == 2
    assert pages.with_permalinks(linked) == linked
    assert pages.headings(linked) == pages.headings(PAGE)


def test_links_to_other_hosts_and_to_the_page_itself_are_not_looked_up() -> None:
    assert pages.links(PAGE) == ("no", "parts.csv", "../o/index.md?a=1&b=2")


def test_a_links_target_is_found_as_source_and_as_address() -> None:
    assert pages.link_targets("../b/index.md#x", "sets/a/index.md", "sets/a/") == (
        "sets/b/index.md",
        "sets/b/index.md",
        "x",
    )
    assert pages.link_targets("../b/", "sets/a/index.md", "sets/a/")[1] == "sets/b"
    assert pages.link_targets("../index.html", "sets/a/index.md", "sets/a/index.html")[1] == "sets/index.html"


def test_addresses_take_the_place_of_links() -> None:
    changed = pages.with_addresses(PAGE, {"../o/index.md?a=1&b=2": "../o/"})
    assert 'href="../o/"' in changed
    assert 'href="parts.csv"' in changed


def test_the_search_text_has_no_drawings_and_no_tags() -> None:
    assert pages.plain_text(PAGE).startswith("A & B Line side B- < chassis x y z w")
    assert pages.conclusion(PAGE) == "All within."
    html = pages.search_html("A <b>", "top", [("one", "Line & side", "5 < 6"), ("", "", "words")])
    assert html == '<h1 id="top">A &lt;b&gt;</h1>\n<h2 id="one">Line &amp; side</h2><p>5 &lt; 6</p>\n<p>words</p>'


def test_a_column_in_which_nothing_stands_is_left_out() -> None:
    def table(*rows: str, kind: str = "bl-table") -> str:
        cells = ("".join(f"<td>{one}</td>" for one in row.split()) for row in rows)
        body = "".join(f'<tr><th scope="row">V1</th>{each}</tr>' for each in cells)
        head = '<tr><th scope="col">Tube</th><th scope="col">Plate</th><th scope="col">Screen</th></tr>'
        group = '<tr class="bl-group"><th scope="rowgroup" colspan="3">all</th></tr>'
        return f'<table class="{kind}"><thead>{head}</thead><tbody>{group}{body}</tbody></table>'

    def shown(html: str) -> str:
        return pages.without_empty_columns(pages.with_empty_cells_marked(html))

    kept = shown(table("1 –", "2 –"))
    assert "Screen" not in kept
    assert "–" not in kept
    assert kept.count("<td>") == 2
    assert 'colspan="2"' in kept
    lined_up = table("1 –").replace("<td>–</td>", '<td data-label="a"><span class="bl-number">–</span></td>')
    assert "Screen" not in shown(lined_up)
    for whole in (table("1 –", "– 2"), table("1 –", kind="bl-table bl-parts")):
        assert "Screen" in shown(whole)


def test_a_date_stays_on_one_line_where_it_is_read_and_is_left_alone_in_tags_and_drawings() -> None:
    html = (
        '<p title="2026-09-19">On 2026-09-19, not 2026-09-190</p><svg><title>2026-09-19 as found</title></svg>'
        "<th>T1 2026-09-12</th>"
    )
    kept = pages.with_whole_dates(html)
    assert kept.count('<span class="bl-date">') == 2
    assert '<p title="2026-09-19">On <span class="bl-date">2026-09-19</span>, not 2026-09-190</p>' in kept
    assert pages.plain_text(kept) == pages.plain_text(html)
