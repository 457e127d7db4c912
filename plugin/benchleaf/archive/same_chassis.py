"""What other sets on the same chassis read, put beside a set's own readings when all pages are made.

A page is kept by its own record alone. Were the others' readings part of it, one reading typed anywhere would make the
pages of all sets on that chassis again; so a page holds a mark, and this takes its place in each build.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from math import isfinite
from typing import TYPE_CHECKING

from ..pages.working_pages import SAME_CHASSIS
from ..words import DIALECTS
from ..words.decimal_sign import decimals_behind
from .cards import href
from .chassis_volts import LEAST_FOR_USUAL, ChassisVolts, beside, from_dict, read_alike

if TYPE_CHECKING:
    from ..pages.set_page import Choices, SetPage, WorkingPage

_MOST_NAMED = 24


@dataclass(frozen=True, slots=True)
class OtherSet:
    """Another set on the same chassis: the way to its voltages, its name, and its line in words."""

    href: str
    title: str
    line: str


@dataclass(frozen=True)
class SetsAlike:
    """The sets of one chassis that were read to one point, by folder, and what they read at each place, rising."""

    sets: Mapping[str, tuple[SetPage, ChassisVolts]]

    @cached_property
    def in_order(self) -> Mapping[str, Sequence[float]]:
        """The volts of all of them, sorted once for all."""
        read: dict[str, list[float]] = {}
        for _, one in self.sets.values():
            for place, volts in one.volts.items():
                read.setdefault(place, []).append(volts)
        return {place: sorted(volts) for place, volts in read.items()}


def with_same_chassis(pages: Sequence[SetPage], public: Sequence[SetPage], choices: Choices) -> list[SetPage]:
    """The pages with what the ``public`` ones on the same chassis read, where a page has room for it."""
    found: dict[tuple[str, str], dict[str, tuple[SetPage, ChassisVolts]]] = {}
    for page in public:
        if volts := _kept(page):
            found.setdefault(read_alike(volts), {})[page.folder] = page, volts
    alike = {key: SetsAlike(sets) for key, sets in found.items()}
    return [_filled(page, alike, choices) for page in pages]


def _kept(page: SetPage) -> ChassisVolts | None:
    """What a set keeps of its readings; None where it keeps nothing, or nothing that can be shown."""
    try:
        one = from_dict((page.card or {})["chassis_volts"])
        volts = {str(place): float(read) for place, read in one.volts.items()}
        whole = all(map(isfinite, volts.values()))
        return ChassisVolts(str(one.chassis), str(one.reference), str(one.line), volts) if whole else None
    except (AttributeError, KeyError, TypeError, ValueError):
        return None


def _filled(page: SetPage, alike: Mapping[tuple[str, str], SetsAlike], choices: Choices) -> SetPage:
    if not any(SAME_CHASSIS in one.html for one in page.workings):
        return page
    own = _kept(page)
    there = alike.get(read_alike(own)) if own else None
    html = _html(page, own, there, choices) if own and there else ""
    return replace(page, workings=tuple(_with(one, html) for one in page.workings))


def _with(working: WorkingPage, html: str) -> WorkingPage:
    return replace(working, html=working.html.replace(SAME_CHASSIS, html, 1))


def _html(page: SetPage, own: ChassisVolts, there: SetsAlike, choices: Choices) -> str:
    from ..pages import rendering

    among = page.folder in there.sets
    rows = beside(own, there.in_order, among=among)
    if not rows:
        return ""
    up = "../" * (page.folder.count("/") + 2)
    others = (one for folder, one in there.sets.items() if folder != page.folder)
    named = [
        OtherSet(f"{up}{href(other, choices)}#voltages", other.title, volts.line)
        for other, volts in islice(others, _MOST_NAMED)
    ]
    count = len(there.sets) - among
    with decimals_behind(choices.decimal_sign):
        return rendering.render(
            "same_chassis.html.j2",
            chassis=own.chassis,
            reference=own.reference,
            rows=rows,
            least=LEAST_FOR_USUAL,
            sets=named,
            more=count - len(named),
            count=count,
            words=DIALECTS[choices.dialect],
        )
