"""A story or note in Markdown, as sanitised HTML with the computed pieces its writer placed.

Text is written by strangers. It is read by a small Markdown (``markup``), sanitised, and only then given heading ids,
permalinks, pictures and placed pieces, which are ours.
"""

from .placeholders import ImageUse, LinkUse
from .rendered_story import (
    Chunk,
    Heading,
    Html,
    Insertion,
    Story,
    StoryPart,
    StoryPhoto,
    render_note,
    render_story,
)

__all__ = [
    "Chunk",
    "Heading",
    "Html",
    "ImageUse",
    "Insertion",
    "LinkUse",
    "Story",
    "StoryPart",
    "StoryPhoto",
    "render_note",
    "render_story",
]
