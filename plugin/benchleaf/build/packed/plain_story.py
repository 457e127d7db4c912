"""A story as it may be handed on: without what its page does not show."""

from __future__ import annotations

import re

from ...pages.story.comments import without_comments

_FENCE = re.compile(r" {0,3}(?P<sign>`{3,}|~{3,})")
_HIDDEN = re.compile(r" {0,3}\[(?://|comment|#)\]:\s", re.I)
"""A link that is called ``//``: the usual way to write a comment in Markdown without one."""
_MOST_TURNS = 20


def plain_story(text: str) -> tuple[str, tuple[int, int] | None]:
    """The text without comments; where one begins that is never closed, its line and column, from 1.

    Taking one out can leave another one behind, so that it is done until nothing changes.
    """
    unclosed = None
    for _ in range(_MOST_TURNS):
        bare, begins = without_comments(text)
        unclosed = unclosed or begins
        if bare == text:
            break
        text = bare
    text = re.sub(r"<!-+", "", text) if "<!--" in text else text
    return "\n".join(_shown(text.split("\n"))).strip("\n") + "\n", unclosed


def _shown(lines: list[str]) -> list[str]:
    kept, fence = [], ""
    for line in lines:
        mark = _FENCE.match(line)
        if mark and not fence:
            fence = mark["sign"]
        elif mark and mark["sign"].startswith(fence) and not line[mark.end() :].strip():
            fence = ""
        elif not fence and _HIDDEN.match(line):
            continue
        kept.append(line)
    return kept
