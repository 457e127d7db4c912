"""What only shows across sets: which have a tube, a complaint, a failed part in common, and what they wait for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from ..record.units import say
from ..report.verdict import Verdict
from . import chassis_volts, failed_parts, orders, part_counts, wanted_parts
from .cards import by_name
from .job_tallies import JobTallies, job_tallies
from .order_list import described, sets_and_parts

if TYPE_CHECKING:
    from ..words import Words
    from .cards import Card
    from .stock import InDrawer

MOST_ROWS = 120
"""Rows of one page; a longer list goes on on the next."""
_LINKS_A_ROW = 3
"""Links without words stand side by side, at least so many."""


@dataclass(frozen=True, slots=True)
class SetLink:
    """A set to link to, with what is said of it there."""

    href: str
    title: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class SetGroup:
    """Sets that have something in common; without a name, sets that each stand for themselves.

    ``count`` is of the whole group, of which ``links`` may be a part.
    """

    name: str
    links: tuple[SetLink, ...]
    count: int = 0


@dataclass(frozen=True, slots=True)
class ToGet:
    """A sort of part to order: what it is, how many, for which sets."""

    part: str
    order: int
    wanted_by: str


@dataclass(frozen=True)
class AcrossSets:
    """One list across all sets, or one sheet of it. ``name`` is that of its page; ``short`` says what is looked up.

    ``left_out`` are sets with lines that were not understood, so that something of theirs may be missing from it.
    """

    name: str
    heading: str
    short: str
    lead: str
    groups: tuple[SetGroup, ...] = ()
    to_get: tuple[ToGet, ...] = ()
    left_out: tuple[SetLink, ...] = ()
    counts: part_counts.AcrossParts | None = None
    tallies: JobTallies | None = None
    wordy: bool = False

    @property
    def empty(self) -> bool:
        """Whether there is nothing to show."""
        return not (self.groups or self.to_get or self.left_out or (self.counts and self.counts.by_kind))


Carded = Sequence[tuple["Card", Mapping[str, Any]]]
Drawer = Sequence["InDrawer"]


def lists_across(carded: Carded, words: Words, drawer: Drawer = ()) -> tuple[AcrossSets, ...]:
    """All lists that have something to show, in the order of the pages. ``drawer`` is what need not be ordered."""
    made = (
        AcrossSets(
            "by-tube", f"By {words.tube}", f"A {words.tube}", f"Each type of {words.tube} with the sets that have it.",
            _grouped((type_, _link(card)) for card, raw in carded for type_ in dict.fromkeys(raw["tube_types"])),
        ),
        AcrossSets(
            "by-member", "By member", "A member",
            "The sets of each member, how far each is, and how many parts it waits for.",
            _by_member(carded), wordy=True,
        ),
        AcrossSets(
            "by-complaint", "By complaint", "A complaint", "What was complained of, in which set, and what it was.",
            _grouped((f[0], _link(c, f[1])) for c, raw in carded for f in raw.get("faults", ()) if f[0]), wordy=True,
        ),
        AcrossSets(
            "what-failed", "What failed", "A part that failed",
            "Parts by the job they had, found out of order as they were measured, or named as the cause of a fault.",
            _failed(carded), wordy=True, tallies=_tallies(carded),
        ),
        AcrossSets(
            "ruled-out", "Not the cause", "A part that was not the cause",
            "Parts and " + words.tubes + " that were suspected of a fault and were not its cause, by their job, with "
            "what was complained of.",
            _ruled_out(carded), wordy=True,
        ),
        AcrossSets(
            "hand-and-line", f"Between hand and {words.line}", f"Hand and {words.line}: each finished set",
            f"What still stands between the metal of a finished set and the {words.line}, as computed from its record.",
            _line_side(carded), wordy=True,
        ),
        AcrossSets(
            "to-put-right", "To be put right", "What is still to be put right",
            "The worst open finding of each set that has one; and by member, which lines of which record were not "
            "understood.",
            (*_still_open(carded), *_not_understood(carded)), wordy=True,
        ),
        AcrossSets(
            "to-order", "To order", "Parts to get",
            "What the sets that are not finished wait for: equal values together, with the lowest rating that serves "
            "every place.",
            to_get=_to_get(carded, drawer), left_out=_of_open_sets(carded),
        ),
        AcrossSets(
            "chassis-volts", "Voltages of one chassis", "Voltages: sets on one chassis",
            "What sets of one maker and chassis number read last at the same place. They show what is usual from three "
            "sets on, and never what is right.",
            _chassis_volts(carded), wordy=True,
        ),
        AcrossSets(
            "old-parts", "What old parts were like", "What old parts were like",
            "Old parts that were measured before they were kept or changed. A share is given from ten parts on; a part "
            "counts as out when it was beyond its tolerance, written or assumed, or leaked or resisted more than its "
            "limit.",
            counts=counts(carded),
        ),
    )  # fmt: skip
    return tuple(one for one in made if not one.empty)


def counts(carded: Carded) -> part_counts.AcrossParts:
    """How old parts measured."""
    return part_counts.across(part_counts.from_dict(one) for _, raw in carded for one in raw.get("looked_at", ()))


def _link(card: Card, remark: str = "") -> SetLink:
    return SetLink(card.href, card.title, remark)


def _grouped(pairs: Iterator[tuple[str, SetLink]]) -> tuple[SetGroup, ...]:
    """Links by the name they share, upper and lower case as one; in the order of the names."""
    groups: dict[str, tuple[str, list[SetLink]]] = {}
    for name, link in pairs:
        groups.setdefault(name.casefold(), (name, []))[1].append(link)
    in_order = sorted(groups.values(), key=lambda group: by_name(group[0]))
    return tuple(SetGroup(name, tuple(links), len(links)) for name, links in in_order)


def _by_member(carded: Carded) -> tuple[SetGroup, ...]:
    """The sets of each member, where records or their folders name any; those of nobody come last."""
    found = [(card.member, _link(card, _how_far(card))) for card, _ in carded]
    if not any(member for member, _ in found):
        return ()
    named = _grouped((member, link) for member, link in found if member)
    nobodys = tuple(link for member, link in found if not member)
    return (*named, SetGroup("No member named", nobodys, len(nobodys))) if nobodys else named


def _how_far(card: Card) -> str:
    waits = f"{card.to_get} part{'s' if card.to_get > 1 else ''} to get" if card.to_get else ""
    return ", ".join(filter(None, (card.state, waits)))


def _failed(carded: Carded) -> tuple[SetGroup, ...]:
    found = [(card, failed_parts.from_dict(one)) for card, raw in carded for one in raw.get("failed", ())]
    return _grouped(
        (
            f"{one.job}, {one.how}",
            SetLink(f"{card.href}#{one.anchor}", card.title, f"{one.name}{f': {one.typed}' if one.typed else ''}"),
        )
        for card, one in found
    )


def _ruled_out(carded: Carded) -> tuple[SetGroup, ...]:
    found = [(card, failed_parts.from_dict(one)) for card, raw in carded for one in raw.get("ruled_out", ())]
    return _grouped(
        (one.job, SetLink(f"{card.href}#faults", card.title, f"{one.name}{f': {one.typed}' if one.typed else ''}"))
        for card, one in found
    )


def _tallies(carded: Carded) -> JobTallies | None:
    """What failed, counted, from two sets on."""
    found = [
        (card.href, failed_parts.from_dict(one))
        for card, raw in carded
        for one in (*raw.get("failed", ()), *raw.get("ruled_out", ()))
    ]
    return job_tallies(found) if len({of_set for of_set, _ in found}) > 1 else None


def _line_side(carded: Carded) -> tuple[SetGroup, ...]:
    finished = [(card, raw["line_side"]) for card, raw in carded if raw["line_side"] and card.state == "finished"]
    links = (SetLink(f"{card.href}#line-side", card.title, str(remark)) for card, remark in finished)
    return tuple(SetGroup("", (link,), 1) for link in links)


def _still_open(carded: Carded) -> tuple[SetGroup, ...]:
    by_rank: dict[int, list[SetLink]] = {}
    for card, raw in carded:
        for rank, text in raw.get("still_open", ())[:1]:
            more = raw["open_count"] - 1
            link = SetLink(f"{card.href}#in-brief", card.title, f"{text}{f' And {more} more.' if more else ''}")
            by_rank.setdefault(rank, []).append(link)
    words = {verdict.rank: verdict.word.capitalize() for verdict in Verdict}
    ranks = sorted(by_rank, reverse=True)
    return tuple(SetGroup(words[rank], tuple(by_rank[rank]), len(by_rank[rank])) for rank in ranks)


def _not_understood(carded: Carded) -> tuple[SetGroup, ...]:
    """The lines that were not understood, a group for each member; those of sets that name nobody come last."""
    by_member: dict[str, list[SetLink]] = {}
    for card, raw in carded:
        if lines := raw.get("not_understood"):
            by_member.setdefault(card.by or card.member, []).append(_link(card, f"{orders.said_lines(lines)}."))
    members = sorted(by_member, key=lambda member: (not member, by_name(member)))
    return tuple(
        SetGroup(f"Not understood: {member or 'no member named'}", tuple(by_member[member]), len(by_member[member]))
        for member in members
    )


def _of_open_sets(carded: Carded) -> tuple[SetLink, ...]:
    """The sets with such lines that may still wait for a part."""
    waiting = ((card, raw.get("not_understood")) for card, raw in carded if card.state != "finished")
    return tuple(_link(card, orders.said_lines(lines)) for card, lines in waiting if lines)


def _chassis_volts(carded: Carded) -> tuple[SetGroup, ...]:
    found = ((n, raw.get("chassis_volts")) for n, (_, raw) in enumerate(carded))
    kept = [(n, chassis_volts.from_dict(data)) for n, data in found if data]
    lines = {n: one.line for n, one in kept}

    def link(n: int, volts: float) -> SetLink:
        card = carded[n][0]
        return SetLink(f"{card.href}#voltages", card.title, ", ".join(filter(None, (say(volts, "V"), lines[n]))))

    return tuple(
        SetGroup(one.said, tuple(link(n, volts) for n, volts in one.volts.items()), len(one.volts))
        for one in chassis_volts.across(kept)
    )


def _to_get(carded: Carded, drawer: Drawer) -> tuple[ToGet, ...]:
    wanted = (wanted_parts.from_dict(one) for _, raw in carded for one in raw.get("wanted", ()))
    items = orders.order(wanted, drawer).items
    return tuple(ToGet(described(item), item.order, sets_and_parts(item.places)) for item in items if item.order)


def sheets(across: AcrossSets) -> tuple[AcrossSets, ...]:
    """The list cut into sheets of as many rows as a page may have; the list itself where one is enough."""
    if across.to_get:
        parts = [across.to_get[at : at + MOST_ROWS] for at in range(0, len(across.to_get), MOST_ROWS)]
        return tuple(replace(across, to_get=part) for part in parts)
    if not across.groups:
        return (across,)
    cut: list[list[SetGroup]] = [[]]
    most = MOST_ROWS if across.wordy else MOST_ROWS * _LINKS_A_ROW
    room = most - (len(across.tallies.jobs) if across.tallies else 0)
    for group in across.groups:
        links = group.links
        while links:
            if not room:
                cut.append([])
                room = most
            cut[-1].append(replace(group, links=links[:room]))
            room, links = room - len(links[:room]), links[room:]
    tallies = (across.tallies, *(None for _ in cut[1:]))
    return tuple(replace(across, groups=tuple(groups), tallies=of) for groups, of in zip(cut, tallies, strict=True))


def label(sheet: AcrossSets) -> str:
    """What a sheet holds, from its first entry to its last."""
    if sheet.to_get:
        ends = sheet.to_get[0].part, sheet.to_get[-1].part
    else:
        first, last = sheet.groups[0], sheet.groups[-1]
        ends = first.name or first.links[0].title, last.name or last.links[-1].title
    return " – ".join(dict.fromkeys(_short(end) for end in ends))


def _short(text: str) -> str:
    return text if len(text) <= 28 else f"{text[:27].rstrip()}…"
