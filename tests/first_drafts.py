"""The first drafts in ``tests/record/drafts``, as they were typed and as their writers mended them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from benchleaf.build.follow import LookedOver, look_over

DRAFTS = sorted((Path(__file__).parent / "record" / "drafts").iterdir())


def drafts() -> Any:
    return pytest.mark.parametrize("draft", DRAFTS, ids=[draft.name for draft in DRAFTS])


@cache
def looked(draft: Path, *, mended: bool) -> tuple[str, LookedOver]:
    """A draft's text, and what is told of it."""
    text = (draft / "record.yml").read_text(encoding="utf-8")
    if mended:
        lines = text.split("\n")
        for answer in (draft / "answers.txt").read_text(encoding="utf-8").splitlines():
            number, _, line = answer.partition(":")
            lines[int(number) - 1] = line.replace("\\n", "\n")
        text = "\n".join(lines)
    return text, look_over(text.encode(), draft, "record.yml")
