"""A story in parts, and recordings at a time."""

from __future__ import annotations

from pathlib import Path

import pytest

import makers
from benchleaf.build.one_set import read_inputs
from benchleaf.pages.story import Story, StoryPart, render_story
from benchleaf.record.story_files import is_story_file, title_of
from markup import parsed
from stories import made

A = {"after the work": "https://example.org/a.mp3?x=1&y=2"}
TWO = {**A, "as found": "https://example.org/b.mp3"}


def parts(*texts: tuple[str, str]) -> Story:
    return render_story([StoryPart(text, f"s/{file}") for file, text in texts], insertions=["parts"], permalink=False)


def linked(text: str, recordings: dict[str, str]) -> Story:
    return render_story([StoryPart(text, "story.md")], insertions=[], permalink=False, recordings=recordings)


def test_several_parts_have_contents_and_the_way_from_one_to_the_next() -> None:
    told = made(
        parts(("story-1-apart.md", "It <hummed>.\n\n## The can"), ("story-2.md", "## R & S\n\nMore."), ("x.md", ""))
    )
    assert told.count("<nav") == 3
    contents, first, second = told.split("<nav")[1:]
    assert '<li><a href="#apart">Apart</a></li><li><a href="#r-s">R &amp; S</a></li></ol>' in contents
    assert '<span id="apart"></span>' in contents
    assert '<a href="#r-s">R &amp; S&nbsp;›</a>' in first
    assert '<a href="#apart">‹&nbsp;Apart</a>' in second
    assert "›" not in second
    assert "<nav" not in made(parts(("story.md", "## One\n\ntext"), ("story-2.md", "  ")))


def test_numbered_parts_are_read_in_the_order_of_their_numbers(tmp_path: Path) -> None:
    for name in ("story-10-end.md", "story-2-can.md", "story.md", "story-1.md", "notes.md", "story-x.md", "record.yml"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    (tmp_path / "story").mkdir()
    (tmp_path / "story" / "01.md").write_text("x", encoding="utf-8")
    read = [name for name, _ in read_inputs(tmp_path).story]
    assert read == ["story.md", "story-1.md", "story-2-can.md", "story-10-end.md", "story/01.md"]


@pytest.mark.parametrize(
    ("name", "title"),
    [("story-2-the-can.md", "The can"), ("story/03 alignment.md", "Alignment"), ("story-4.md", ""), ("story.md", "")],
)
def test_a_part_without_a_heading_is_called_by_its_file(name: str, title: str) -> None:
    assert title_of(name) == title
    assert is_story_file(name.rpartition("/")[2]) or name.startswith("story/")


@pytest.mark.parametrize(
    ("piece", "href", "words"),
    [
        ("[[recording 3:15]]", "#t=195", "recording after the work at 3:15"),
        ("[[recording]]", "", "recording after the work"),
        ("[[Recording after the work at 1:02:03]]", "#t=3723", "recording after the work at 1:02:03"),
        ("[[recording AFTER the work 90:00]]", "#t=5400", "recording after the work at 90:00"),
    ],
)
def test_a_recording_is_linked_at_its_time(piece: str, href: str, words: str) -> None:
    """Media Fragments URI 1.0 (W3C, 2012), 4.2.1: ``t=`` in seconds."""
    for text in (piece, f"Hear it {piece}, as it is."):
        rendered = linked(text, A)
        assert rendered.problems == ()
        escaped = "https://example.org/a.mp3?x=1&amp;y=2"
        assert f'<a href="{escaped}{href}" rel="noopener noreferrer">{words}</a>' in made(rendered)


@pytest.mark.parametrize(
    ("text", "known", "expected"),
    [
        ("[[recording 3:15]]", {}, "a recording listed under “recordings”"),
        ("x [[recording 3:15]]", TWO, "the name of a recording: “after the work” or “as found”"),
        ("[[recording before]]", A, "the name of a recording: “after the work”"),
        ("[[recording 3:75]]", A, "the name of a recording: “after the work”"),
    ],
)
def test_a_recording_that_is_not_known_is_asked_and_its_words_stay(
    text: str, known: dict[str, str], expected: str
) -> None:
    rendered = linked(text, known)
    assert [problem.expected for problem in rendered.problems] == [expected]
    assert "recording" in made(rendered)
    assert "<a" not in made(rendered)


def test_in_code_the_brackets_stay_as_typed() -> None:
    assert made(linked("`[[recording 3:15]]`", A)) == "<p><code>[[recording 3:15]]</code></p>"


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)", "//example.org/x", "ftp://example.org/x", "https://", "https://u:p@example.org/x",
        "https://example.org/a b", "https://example.org/x#t=3", "https://example.org/'x", "http://[::1",
        "data:text/html,x", f"https://example.org/{'a' * 600}", "https://exa\u200bmple.org/", "https://example.org:0/",
    ],
)  # fmt: skip
def test_an_address_that_is_none_or_gives_something_away_is_refused(address: str) -> None:
    (problem,) = makers.refused(f'recordings:\n  a: "{address}"\n')
    assert problem.line == 4
    assert "u:p" not in str(problem)


def test_recordings_stand_at_the_end_of_the_record() -> None:
    page = makers.set_page("recording: https://example.org/a.mp3?x=1&y=2\n", "It plays [[recording 0:40]].")
    assert page.problems == ()
    hrefs = [link for link in parsed(page.html).links if "example.org" in link]
    assert hrefs == ["https://example.org/a.mp3?x=1&y=2#t=40", "https://example.org/a.mp3?x=1&y=2"]
