"""Which files of a set's folder are its story: ``story.md``, numbered parts beside it, and those of its own folder."""

from __future__ import annotations

import re

STORY_FILE, STORY_FOLDER = "story.md", "story"
_NUMBERED = re.compile(r"story[-_ ]?(?P<number>\d{1,3})(?:[-_. ][^/]*)?\.md", re.I)
_NUMBER = re.compile(r"\d+")
_NOT_A_TITLE = re.compile(r"^(?:story)?[-_ ]?\d{0,3}[-_. ]*", re.I)


def is_story_file(name: str) -> bool:
    """Whether a file in a set's folder is its story or a numbered part of it, by its name."""
    return name.casefold() == STORY_FILE or _NUMBERED.fullmatch(name) is not None


def in_reading_order(name: str) -> tuple[object, ...]:
    """The order of parts: numbers count as numbers, so that part 2 stands before part 10."""
    pieces = re.split(r"(\d+)", name.casefold())
    return tuple((0, int(one), "") if _NUMBER.fullmatch(one) else (1, 0, one) for one in pieces)


def title_of(file: str) -> str:
    """What a part is called by its file where it has no heading: ``story-2-the-can.md`` is ``The can``."""
    stem = file.rpartition("/")[2].rpartition(".")[0]
    words = " ".join(re.split(r"[-_\s]+", _NOT_A_TITLE.sub("", stem))).strip()
    return words[:1].upper() + words[1:]
