"""Stories made for the tests, and what is asked of what comes out."""

from __future__ import annotations

from benchleaf.pages.story import Html, Insertion, Story, StoryPart, render_story

PIECES = ("heater supply", "parts", "line side")


def story(text: str, *, permalink: bool = False, **more: object) -> Story:
    return render_story([StoryPart(text, "story.md")], insertions=PIECES, permalink=permalink, **more)  # type: ignore[arg-type]


def made(rendered: Story) -> str:
    return "".join(chunk.text for chunk in rendered.chunks if isinstance(chunk, Html))


def kinds(rendered: Story) -> list[str]:
    return [chunk.name if isinstance(chunk, Insertion) else type(chunk).__name__ for chunk in rendered.chunks]


def places(rendered: Story) -> list[tuple[int, int]]:
    return [(problem.line, problem.column) for problem in rendered.problems]
