"""A story: its placed pieces and its headings."""

from __future__ import annotations

import pytest

from benchleaf.pages.story import Insertion, StoryPart, render_story
from stories import PIECES, kinds, made, places, story


@pytest.mark.parametrize(
    "text",
    [
        "before\n\n[[heater supply]]\n\nafter",
        "before\n[[heater supply]]\nafter",
        "before\n  [[ heater  supply ]]  \nafter",
        "before\r\n[[heater supply]]\r\nafter",
        "before\n[[Heater Supply]]\nafter",
        "before\n[[heater\nsupply]]\nafter",
        "# before\n[[heater supply]]\n# after",
        "- before\n[[heater supply]]\n- after",
        "> before\n[[heater supply]]\n\n> after",
        "| before |\n|---|\n[[heater supply]]\n\nafter",
        "before\n[[heater supply]]\n---\nafter",
        "1. before\n\n[[heater supply]]\n\n2. after",
        "```\nbefore\n```\n[[heater supply]]\n```\nafter\n```",
    ],
)
def test_a_piece_on_its_own_line_is_placed_whatever_surrounds_it(text: str) -> None:
    rendered = story(text)
    assert rendered.problems == ()
    assert kinds(rendered) == ["Html", "heater supply", "Html"]
    assert "before" in rendered.chunks[0].text
    assert "after" in rendered.chunks[2].text
    assert "[[" not in made(rendered)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a set [[parts]] with hum", (1, 7)),
        ("a set\nwith [[parts]]", (2, 6)),
        ("- a\n- [[parts]]", (2, 3)),
        ("- a\n\n    [[parts]]", (3, 5)),
        ("> [[parts]]", (1, 3)),
        ("# [[parts]]", (1, 3)),
        ("x\n\n| a | b |\n|---|---|\n| 1 | [[parts]] |", (5, 7)),
        ("*[[parts]]*", (1, 2)),
        ("[see [[parts]] here](x.md)", (1, 6)),
        ("![see [[parts]]](photos/a.jpg)", (1, 7)),
        ("[[parts]]: what was changed", (1, 1)),
        ("![[parts]]", (1, 2)),
        ("[[parts]] [[line side]]", (1, 1)),
    ],
)
def test_a_piece_inside_something_is_reported_at_its_place_and_not_shown(text: str, place: tuple[int, int]) -> None:
    rendered = story(text)
    assert places(rendered)[0] == place
    assert "line of its own" in rendered.problems[0].expected
    assert not any(isinstance(chunk, Insertion) for chunk in rendered.chunks)
    assert "[[" not in made(rendered)
    assert "\ufdd0" not in made(rendered) + str(rendered.texts)


def test_an_unknown_piece_names_the_nearest_right_word() -> None:
    rendered = story("text\n\n[[heater suply]]\n")
    (problem,) = rendered.problems
    assert (problem.file, problem.line, problem.column) == ("story.md", 3, 1)
    assert problem.found == "“[[heater suply]]”"
    assert problem.remedy == "did you mean “heater supply”?"
    assert "suply" not in made(rendered)


def test_a_piece_placed_twice_is_reported_the_second_time_even_in_another_file() -> None:
    rendered = render_story(
        [StoryPart("[[parts]]\n", "story/01.md"), StoryPart("more\n\n[[parts]]\n", "story/02.md")],
        insertions=PIECES,
        permalink=False,
    )
    (problem,) = rendered.problems
    assert (problem.file, problem.line) == ("story/02.md", 3)
    assert [kind for kind in kinds(rendered) if kind != "Html"] == ["parts"]


@pytest.mark.parametrize("text", ["[[parts]", "[parts]]", "  [[heater supply]  "])
def test_a_piece_with_a_bracket_too_few_is_reported(text: str) -> None:
    rendered = story(text)
    assert len(rendered.problems) == 1
    assert "two brackets" in rendered.problems[0].expected
    assert rendered.chunks == ()


@pytest.mark.parametrize(
    "text",
    [
        "`[[parts]]`",
        "``a `[[parts]]` b``",
        "    [[parts]]",
        "```\n[[parts]]\n```",
        "~~~\nx\n[[parts]]\n~~~",
        r"\[[parts]]",
    ],
)
def test_brackets_in_code_or_behind_a_backslash_stay_as_typed(text: str) -> None:
    rendered = story(text)
    assert rendered.problems == ()
    assert "[[parts]]" in made(rendered)


def test_code_keeps_links_and_blank_lines_as_typed() -> None:
    rendered = story("```\n[a](b)\n[x]: y\n[[parts]]\n\nend\n```")
    assert "[a](b)\n[x]: y\n[[parts]]\n\nend" in made(rendered)
    assert rendered.links == ()


def test_brackets_that_are_a_link_stay_a_link() -> None:
    assert '<a href="x.md">[1]</a>' in made(story("see [[1]](x.md)"))


def test_without_pieces_every_placed_name_is_reported() -> None:
    rendered = render_story([StoryPart("[[parts]]", "s.md")], insertions=(), permalink=False)
    assert "nothing to place" in rendered.problems[0].expected


def test_the_outermost_heading_becomes_the_second_level_and_no_level_is_skipped() -> None:
    rendered = story("# Arrival\n\n### Plug\n\n### Cord\n\n## Hum\n\n# Home\n")
    assert [(h.level, h.text) for h in rendered.headings] == [
        (2, "Arrival"),
        (3, "Plug"),
        (3, "Cord"),
        (3, "Hum"),
        (2, "Home"),
    ]
    assert "<h1" not in made(rendered)


def test_a_story_that_begins_at_the_second_level_is_not_pushed_down() -> None:
    assert [h.level for h in story("## a\n\n### b").headings] == [2, 3]
    assert [h.level for h in story("## a\n\n### b", first_heading_level=3).headings] == [3, 4]


def test_heading_ids_are_unique_in_the_story_and_on_the_page() -> None:
    rendered = render_story(
        [StoryPart("# Hum\n# Hum\n# hum 2", "a.md"), StoryPart("# Hum", "b.md")],
        insertions=(),
        permalink=False,
        reserved={"hum"},
    )
    ids = [h.id for h in rendered.headings]
    assert ids == ["hum-2", "hum-3", "hum-2-2", "hum-4"]
    for used in ids:
        assert f'id="{used}"' in made(rendered)


def test_heading_ids_are_ascii_where_they_can_be_and_in_their_own_script_where_not() -> None:
    ids = [h.id for h in story("# Röhre für 0,05 µF\n\n# Лампа\n\n# ???\n").headings]
    assert ids == ["rohre-fur-0-05-f", "лампа", "section"]


def test_permalinks_are_there_when_asked_for() -> None:
    link = '<a class="headerlink" href="#hum" title="Permanent link">¶</a></h2>'
    assert link in made(story("# Hum", permalink=True))
    assert "headerlink" not in made(story("# Hum"))


def test_heading_text_is_plain_and_the_tag_is_escaped() -> None:
    rendered = story("# A *quiet* `<b>` & co [link](x.md)")
    assert rendered.headings[0].text == "A quiet <b> & co link"
    assert "<code>&lt;b&gt;</code>" in made(rendered)


def test_a_heading_in_a_quotation_stays_out_of_the_outline() -> None:
    rendered = story("> # loud\n\n- # item\n")
    assert rendered.headings == ()
    assert "<strong>loud</strong>" in made(rendered)
    assert "<h" not in made(rendered).replace("<hr", "")
