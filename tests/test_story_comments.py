"""Comments in a story are private."""

from __future__ import annotations

import pytest

from stories import kinds, made, places, story


@pytest.mark.parametrize(
    "comment",
    [
        "<!-- secret -->",
        "<!--secret-->",
        "<!-- sec\nret secret -->",
        "<!-- secret --!>",
        "<!--\n# secret\n\n[[parts]]\n\n![](secret.jpg) [x](javascript:secret)\n-->",
        "<!-- secret <!-- -->",
        "`<!-- secret -->`",
        "```\n<!-- secret -->\n```",
        "<!\x00-- secret -->",
        "[a](<!-- secret -->)",
        "<!-- secret, never closed",
        "<!-- secret -- >",
        "<!-- sec --",
    ],
)
def test_a_comment_is_not_published_and_nothing_quotes_it(comment: str) -> None:
    rendered = story(f"# Hum\n\nThe set hummed. {comment}")
    said = "".join([made(rendered), str(rendered.texts), rendered.first_sentence, *map(str, rendered.problems)])
    assert "sec" not in said
    assert "ret" not in said
    assert rendered.first_sentence.startswith("The set hummed.")
    assert "parts" not in kinds(rendered)
    assert [heading.text for heading in rendered.headings] == ["Hum"]
    assert rendered.images == ()


def test_what_stands_around_a_comment_keeps_its_lines() -> None:
    rendered = story("one <!-- a\nb\nc --> two\n\nsee [[parts]] here <!-- d")
    assert "one" in made(rendered)
    assert "two" in made(rendered)
    assert places(rendered) == [(5, 5), (5, 20)]
    assert "found a comment that is not closed; expected “-->” at its end" in str(rendered.problems[1])


def test_a_piece_may_stand_behind_a_comment() -> None:
    rendered = story("before\n\n<!-- mine\n-->\n[[parts]]\n\nafter")
    assert rendered.problems == ()
    assert kinds(rendered) == ["Html", "parts", "Html"]


def test_a_flood_of_comments_is_read_once() -> None:
    assert made(story("<!--" * 20_000)) == ""
    assert made(story("<!-- x -->" * 20_000)) == ""
