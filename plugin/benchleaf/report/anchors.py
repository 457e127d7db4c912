"""Ids of places on a set's page that more than one chapter links to, and the text that holds such links."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

_GAP = re.compile(r"[\W_]+")


def part_anchor(name: str) -> str:
    """The id of a part's row in the list of parts: ``C7`` is ``part-c7``."""
    return f"part-{_slug(name)}"


def tube_anchor(position: str) -> str:
    """The id of a position's row in the line-up: ``V1`` is ``tubes-v1``."""
    return f"tubes-{_slug(position)}"


NEVER_ON_THE_RECORD = ("volts-at-", "volts-on-", "day-")
"""How ids begin that only a chapter's own page has ever had: no old link leads to them on the record."""


def volts_anchor(position: str) -> str:
    """The id of a position's readings on the page of the voltages; of the rails' where there is no position."""
    return f"volts-at-{_slug(position)}" if position else "volts-on-rails"


def day_anchor(iso: str) -> str:
    """The id of a day of the work: ``day-2026-03-01``."""
    return f"day-{iso}"


def photo_anchor(subject: str) -> str:
    """The id of the pictures of a subject: ``under`` is ``photo-under``."""
    return f"photo-{_slug(subject)}"


def _slug(name: str) -> str:
    return _GAP.sub("-", name.casefold()).strip("-")


@dataclass(frozen=True, slots=True)
class LinkedText:
    """A run of the writer's text; ``anchor`` is the id it leads to, empty for plain text."""

    text: str
    anchor: str = ""


def with_links(text: str, anchors: Mapping[str, str]) -> tuple[LinkedText, ...]:
    """The text cut at the names it mentions; ``anchors`` maps a name (``C7``) to the id it leads to.

    A name counts where it stands by itself, in the capitals it has in the record: ``C7`` is not found in ``C70``.
    """
    if not anchors:
        return (LinkedText(text),)
    found: list[LinkedText] = []
    end = 0
    for match in _mentions(tuple(anchors)).finditer(text):
        if match.start() > end:
            found.append(LinkedText(text[end : match.start()]))
        found.append(LinkedText(match[0], anchors[match[0]]))
        end = match.end()
    if end < len(text):
        found.append(LinkedText(text[end:]))
    return tuple(found)


@lru_cache(maxsize=16)
def _mentions(names: tuple[str, ...]) -> re.Pattern[str]:
    """Where one of the names stands by itself, the longest first; kept, as a record asks the same for each line."""
    any_of = "|".join(re.escape(name) for name in sorted(names, key=lambda n: (-len(n), n)))
    return re.compile(rf"(?<![\w.+-])(?:{any_of})(?![\w+-])")
