"""Comments of a story, which are the writer's own: they go before anything else is read, and nothing quotes them."""

from __future__ import annotations

import re

_COMMENT = re.compile(r"<!--.*?(?:--!?>|\Z)", re.DOTALL)
_CLOSED = ("-->", "--!>")


def without_comments(text: str) -> tuple[str, tuple[int, int] | None]:
    """The text without its ``<!-- … -->``, its lines left where they were; where one begins that is never closed.

    That place is line and column, counted from 1; all behind it is left out, as it may be private. A comment in code
    goes too.
    """
    unclosed: list[int] = []

    def gone(comment: re.Match[str]) -> str:
        if not comment[0].endswith(_CLOSED):
            unclosed.append(comment.start())
        return "\n" * comment[0].count("\n")

    bare = _COMMENT.sub(gone, text)
    if not unclosed:
        return bare, None
    at = unclosed[0]
    return bare, (text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at))
