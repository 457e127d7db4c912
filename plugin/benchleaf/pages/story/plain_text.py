"""Plain text, sentences and ids out of a story's HTML."""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Container

_TAG = re.compile(r"<[^>]*>")
_BLOCK_END = re.compile(r"</(?:p|h[1-6]|li|blockquote|pre|tr|th|td)>|<[bh]r\s*/?>")
_PARAGRAPH = re.compile(r"(?:^|\n)<p>(.*?)</p>", re.DOTALL)
_SENTENCE_END = re.compile(r"[.!?…][)”\"’']*(?=\s+[^\sa-z0-9])")
_LONGEST_SENTENCE = 240
_LONGEST_ID = 60


def plain(made: str) -> str:
    """Sanitised HTML as plain, unescaped text on one line."""
    return " ".join(html.unescape(_TAG.sub("", _BLOCK_END.sub(" ", made))).split())


def opening_sentence(made: str) -> str:
    """The first sentence of the first paragraph that has words, plain; cut where it goes on too long."""
    for paragraph in _PARAGRAPH.finditer(made):
        text = plain(paragraph[1])
        if not text:
            continue
        end = _SENTENCE_END.search(text)
        sentence = text[: end.end()] if end else text
        if len(sentence) <= _LONGEST_SENTENCE:
            return sentence
        return sentence[:_LONGEST_SENTENCE].rsplit(" ", 1)[0] + "…"
    return ""


def heading_id(text: str, taken: Container[str]) -> str:
    """An id for a heading: its words in small ASCII letters, or in their own script if they have none; not taken."""
    ascii_only = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    slug = _slug(ascii_only) or _slug(unicodedata.normalize("NFKC", text)) or "section"
    made, count = slug, 1
    while made in taken:
        count += 1
        made = f"{slug}-{count}"
    return made


def _slug(text: str) -> str:
    return re.sub(r"[\W_]+", "-", text.lower()).strip("-")[:_LONGEST_ID].strip("-")
