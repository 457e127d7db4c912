"""What other sets on the same chassis read, put beside a set's own readings when all pages are made.

A page is kept by its own record alone. Were the others' readings part of it, one reading typed anywhere would make the
pages of all sets on that chassis again; so a page holds a mark, and this takes its place in each build.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..pages.working_pages import SAME_CHASSIS
from ..words import DIALECTS
from ..words.decimal_sign import decimals_behind
from .cards import href
from .chassis_volts import LEAST_FOR_USUAL, ChassisVolts, beside, from_dict, is_alike

if TYPE_CHECKING:
    from ..pages.set_page import Choices, SetPage, WorkingPage

_MOST_NAMED = 24


@dataclass(frozen=True, slots=True)
class OtherSet:
    """Another set on the same chassis: the way to its voltages, its name, and its line in words."""

    href: str
    title: str
    line: str


def with_same_chassis(pages: Sequence[SetPage], public: Sequence[SetPage], choices: Choices) -> list[SetPage]:
    """The pages with what the ``public`` ones on the same chassis read, where a page has room for it."""
    on_chassis: dict[str, list[tuple[SetPage, ChassisVolts]]] = {}
    for page in public:
        if volts := _kept(page):
            on_chassis.setdefault(volts.chassis.casefold(), []).append((page, volts))
    return [_filled(page, on_chassis, choices) for page in pages]


def _kept(page: SetPage) -> ChassisVolts | None:
    """What a set keeps of its readings; None where it keeps nothing, or nothing that can be shown."""
    try:
        one = from_dict((page.card or {})["chassis_volts"])
        volts = {str(place): float(read) for place, read in one.volts.items()}
        return ChassisVolts(str(one.chassis), str(one.reference), str(one.line), volts)
    except (AttributeError, KeyError, TypeError, ValueError):
        return None


def _filled(page: SetPage, on_chassis: dict[str, list[tuple[SetPage, ChassisVolts]]], choices: Choices) -> SetPage:
    if not any(SAME_CHASSIS in one.html for one in page.workings):
        return page
    own = _kept(page)
    there = on_chassis.get(own.chassis.casefold(), []) if own else []
    others = [(other, volts) for other, volts in there if other.folder != page.folder]
    html = _html(page, own, others, choices) if own and others else ""
    return replace(page, workings=tuple(_with(one, html) for one in page.workings))


def _with(working: WorkingPage, html: str) -> WorkingPage:
    return replace(working, html=working.html.replace(SAME_CHASSIS, html, 1))


def _html(page: SetPage, own: ChassisVolts, others: Sequence[tuple[SetPage, ChassisVolts]], choices: Choices) -> str:
    from ..pages import rendering

    rows = beside(own, [volts for _, volts in others])
    if not rows:
        return ""
    up = "../" * (page.folder.count("/") + 2)
    named = [
        OtherSet(f"{up}{href(other, choices)}#voltages", other.title, volts.line)
        for other, volts in others
        if is_alike(own, volts)
    ]
    with decimals_behind(choices.decimal_sign):
        return rendering.render(
            "same_chassis.html.j2",
            chassis=own.chassis,
            reference=own.reference,
            rows=rows,
            least=LEAST_FOR_USUAL,
            sets=named[:_MOST_NAMED],
            more=max(0, len(named) - _MOST_NAMED),
            count=len(named),
            words=DIALECTS[choices.dialect],
        )
