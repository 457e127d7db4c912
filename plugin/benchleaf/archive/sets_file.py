"""All sets of a site as one file for other programs, and for other sites that join archives: ``sets.json``."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .cards import href, member_of
from .failed_parts import from_dict

if TYPE_CHECKING:
    from ..pages.set_page import Choices, SetPage

FILE = "sets.json"
FORMAT, VERSION = "benchleaf-sets", 1
_STEPS = ("complaint", "cause", "cure")
"""Of a fault; its cause is what was found where no cause is written."""


@dataclass(frozen=True, slots=True)
class OfSite:
    """The site that the file is of: its name and address, empty where it does not say; ``at`` leads to the index."""

    name: str
    address: str
    at: str


def sets_file(pages: Sequence[SetPage], choices: Choices, site: OfSite) -> str:
    """The file of the sets that have a card, in the order of their folders.

    A card that cannot be shown is left out; the index tells of it.
    """
    carded = sorted((page for page in pages if page.card), key=lambda page: page.folder)
    data = {
        "format": FORMAT,
        "version": VERSION,
        "name": site.name,
        "site_url": site.address or None,
        "file": f"{site.at}{FILE}",
        "dialect": choices.dialect,
        "sets": [one for page in carded if (one := _shown(page, f"{site.at}{href(page, choices)}"))],
    }
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def _shown(page: SetPage, address: str) -> dict[str, Any] | None:
    try:
        return _of_set(page, page.card or {}, address)
    except (AttributeError, KeyError, TypeError, ValueError):
        return None


def _of_set(page: SetPage, card: Mapping[str, Any], address: str) -> dict[str, Any]:
    failed, ruled_out = ([from_dict(one) for one in card.get(name, ())] for name in ("failed", "ruled_out"))
    return {
        "id": page.folder,
        "address": address,
        "title": page.title,
        "maker": card["maker"],
        "model": card["model"],
        "called": card.get("called") or None,
        "member": member_of(page) or None,
        "by": card.get("by") or None,
        "made": card.get("made") or None,
        "year": card["year"],
        "chassis_number": card.get("chassis_number") or None,
        "kind": card["kind"] or None,
        "state": card["state"] or None,
        "summary": card["lead"],
        "finished": card.get("finished") or None,
        "last_date": card["dated"] or None,
        "tubes": list(dict.fromkeys(card["tube_types"])),
        "faults": [
            {name: step or None for name, step in zip(_STEPS, fault, strict=True)} for fault in card.get("faults", ())
        ],
        "failed": [
            {"job": one.job, "verdict": one.how, "kind": one.kind or None, "part": one.name, "was": one.typed or None}
            for one in failed
        ],
        "ruled_out": [
            {"job": one.job, "kind": one.kind or None, "part": one.name, "complaint": one.typed or None}
            for one in ruled_out
        ],
    }
