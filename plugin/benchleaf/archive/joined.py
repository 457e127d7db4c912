"""Pages across archives: this one's sets and those of others in one list, one “what failed”, one list of tubes.

Each set is linked to its own site. What others wrote is text here, whatever it says.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..pages.set_page import Choices, OutFile, WorkingPage
from ..pages.site_files import ASSETS
from ..record.sections.faults import RULED_OUT
from ..words import DIALECTS
from .cards import LETTERS, OTHER, by_name, letter_of
from .failed_parts import Failed
from .index import JOINED
from .job_tallies import JobTallies, job_tallies
from .lists_across import MOST_ROWS

if TYPE_CHECKING:
    from ..words import Words
    from .other_archives import ForeignSet, OtherArchive

_LINKS_A_ROW = 3
_MARK = "<!-- joined archives -->"
"""Where the index of this site's sets leads on to them: it is kept from build to build, and knows nothing of others."""
_JOBS = ("plate", "plates", "screen", "tube", "tubes", "filter", "reservoir", "aerial", "earth", "b_plus", "b_minus")
"""Words of the dialects that jobs of parts are made of."""


@dataclass(frozen=True, slots=True)
class JoinedSet:
    """A set of one of the archives. ``away`` says that its page is on another site; ``href`` is empty for no page."""

    href: str
    away: bool
    title: str
    club: str
    of: ForeignSet

    @property
    def what(self) -> str:
        """What it had: the first complaint and its cause, or its summary."""
        steps = [step for fault in self.of.faults[:1] for step in (fault.complaint, fault.cause) if step]
        return " → ".join(steps) or str(self.of.summary or "")


@dataclass(frozen=True, slots=True)
class JoinedLink:
    """A set in a list, with what is said of it there."""

    set: JoinedSet
    remark: str = ""


@dataclass(frozen=True, slots=True)
class JoinedGroup:
    """Sets that have something in common; ``count`` is of the whole group, of which ``links`` may be a part."""

    name: str
    links: tuple[JoinedLink, ...]
    count: int


@dataclass(frozen=True)
class _JoinedList:
    """One list across archives, cut into sheets of groups."""

    name: str
    heading: str
    lead: str
    sheets: tuple[tuple[JoinedGroup, ...], ...]
    wordy: bool = True
    tallies: JobTallies | None = None


def joined_pages(
    own: OtherArchive, others: Sequence[OtherArchive], choices: Choices, to_root: str
) -> tuple[list[WorkingPage], list[OutFile]]:
    """The pages below the index, and a script for each archive, which the search looks through.

    ``to_root`` leads from the index to the root of the site, which the addresses of ``own`` sets are counted from.
    """
    archives = _called_apart([own, *others] if own.sets else others)
    of_each = [
        [_joined(one, archive.name, to_root if own.sets and n == 0 else None) for one in archive.sets]
        for n, archive in enumerate(archives)
    ]
    every = sorted((one for sets in of_each for one in sets), key=lambda one: by_name(one.title))
    words = DIALECTS[choices.dialect]
    dialects = {archive.name: archive.dialect for archive in archives}
    lists = [_by_tube(every, words), _what_failed(every, words, dialects)]
    names = [_list_of(letter, [one for one in every if letter_of(one.title) == letter]) for letter in (*LETTERS, OTHER)]
    shown = [one for one in (*lists, *names) if one.sheets]
    letters = [(one.name.rpartition("/")[2].upper(), one.name if one.sheets else "") for one in names]
    ways = [(one.heading, one.name) for one in lists if one.sheets]
    scripts = [OutFile(f"{JOINED}/sets-{n}.js", _script(n, sets)) for n, sets in enumerate(of_each)]
    pages = [_first(archives, scripts, ways, letters, choices, to_root)]
    pages += [page for one in shown for page in _pages(one, choices)]
    return pages, scripts


def leading_on(index: str, choices: Choices, *, joined: bool) -> str:
    """The index of this site's sets with the way to those of all archives, where there are any."""
    way = choices.address(JOINED)
    said = f'<p class="bl-hint"><a href="{way}">Sets of all archives</a>: this one and those it is joined with.</p>'
    return index.replace(_MARK, said if joined else "", 1)


def _called_apart(archives: Sequence[OtherArchive]) -> list[OtherArchive]:
    """The archives, those of one name told apart by their number among all."""
    names = Counter(archive.name for archive in archives)
    return [
        replace(archive, name=f"{archive.name} ({n})") if names[archive.name] > 1 else archive
        for n, archive in enumerate(archives, 1)
    ]


def _joined(one: ForeignSet, club: str, to_root: str | None) -> JoinedSet:
    """The set with its address: one of this site's by its way from the index, another's as a whole."""
    if to_root is None:
        return JoinedSet(one.address, bool(one.address), one.title, club, one)
    return JoinedSet(f"{to_root}{one.way}" if one.way else "", away=False, title=one.title, club=club, of=one)


def _by_tube(every: Sequence[JoinedSet], words: Words) -> _JoinedList:
    pairs = ((type_, JoinedLink(one)) for one in every for type_ in dict.fromkeys(one.of.tubes))
    lead = f"Each type of {words.tube} with the sets of all archives that have it."
    sheets = _cut(_grouped(pairs), MOST_ROWS * _LINKS_A_ROW)
    return _JoinedList(f"{JOINED}/by-tube", f"By {words.tube}, in all archives", lead, sheets, wordy=False)


def _what_failed(every: Sequence[JoinedSet], words: Words, dialects: dict[str, str]) -> _JoinedList:
    found = [
        (one, replace_words(failed.job, dialects[one.club], words), failed) for one in every for failed in one.of.failed
    ]
    pairs = (
        (f"{job}, {failed.verdict}", JoinedLink(one, ": ".join(part for part in (failed.part, failed.was) if part)))
        for one, job, failed in found
    )
    tallies = job_tallies(
        (f"{one.club}\n{one.of.id}", Failed(job, failed.verdict, "", "", ""))
        for one, job, failed in found
        if failed.verdict != RULED_OUT
    )
    lead = "Parts by the job they had, found out of order as they were measured, or named as the cause of a fault."
    sheets = _cut(_grouped(pairs), MOST_ROWS, MOST_ROWS - len(tallies.jobs))
    counted = tallies if tallies.ways else None
    return _JoinedList(f"{JOINED}/what-failed", "What failed, in all archives", lead, sheets, tallies=counted)


def replace_words(job: str, dialect: str, words: Words) -> str:
    """A part's job as this site says it, where the other speaks another dialect."""
    theirs = DIALECTS.get(dialect)
    if theirs is None or theirs is words:
        return job
    said = {getattr(theirs, name): getattr(words, name) for name in _JOBS}
    return " ".join(said.get(word, word) for word in job.split(" "))


def _list_of(letter: str, sets: Sequence[JoinedSet]) -> _JoinedList:
    groups = [JoinedGroup("", (JoinedLink(one, one.what),), 1) for one in sets]
    heading = f"Sets under {letter}, in all archives"
    return _JoinedList(
        f"{JOINED}/by-name/{letter.lower()}", heading, f"{_many(len(sets), 'set')}.", _cut(groups, MOST_ROWS)
    )


def _grouped(pairs: Iterator[tuple[str, JoinedLink]]) -> list[JoinedGroup]:
    """Links by the name they share, upper and lower case as one; in the order of the names."""
    groups: dict[str, tuple[str, list[JoinedLink]]] = {}
    for name, link in pairs:
        groups.setdefault(name.casefold(), (name, []))[1].append(link)
    in_order = sorted(groups.values(), key=lambda group: by_name(group[0]))
    return [JoinedGroup(name, tuple(links), len(links)) for name, links in in_order]


def _cut(groups: Sequence[JoinedGroup], most: int, first: int = 0) -> tuple[tuple[JoinedGroup, ...], ...]:
    """The groups on sheets of ``most`` links, the ``first`` of fewer; no sheet where there is no group."""
    sheets: list[list[JoinedGroup]] = []
    room = 0
    for group in groups:
        links = group.links
        while links:
            if not room:
                room = most if sheets or not first else first
                sheets.append([])
            sheets[-1].append(replace(group, links=links[:room]))
            room, links = room - len(links[:room]), links[room:]
    return tuple(map(tuple, sheets))


def _script(number: int, sets: Sequence[JoinedSet]) -> str:
    """What the search looks through of one archive; ``joined.js`` reads each row by position."""
    # Of this site's own sets the way leads on from the page in its folder.
    hrefs = [one.href if one.away or not one.href else f"../{one.href}" for one in sets]
    rows = [
        [href, one.title, one.what, " ".join(dict.fromkeys(one.of.tubes)), one.of.state or "", _more(one.of)]
        for href, one in zip(hrefs, sets, strict=True)
    ]
    club = sets[0].club if sets else ""
    data = json.dumps({"club": club, "rows": rows}, separators=(",", ":"))
    return f"(window.benchleafJoined = window.benchleafJoined || {{}})[{number}] = {data};\n"


def _more(one: ForeignSet) -> str:
    """Further words that a set is found by."""
    faults = (step for fault in one.faults for step in (fault.complaint, fault.cause))
    failed = (f"{part.job} {part.verdict}" for part in one.failed)
    return " ".join(dict.fromkeys(word for word in (one.kind, one.member, one.made, *faults, *failed) if word))


def _first(
    archives: Sequence[OtherArchive],
    scripts: Sequence[OutFile],
    ways: Sequence[tuple[str, str]],
    letters: Sequence[tuple[str, str]],
    choices: Choices,
    to_root: str,
) -> WorkingPage:
    count = sum(len(archive.sets) for archive in archives)
    counted = f"{_many(count, 'set')} of {_many(len(archives), 'archive')}"
    lead = f"{counted}. Each link leads to the set's page on its own site."
    return _page(
        JOINED,
        "Sets of all archives",
        lead,
        choices,
        archives=archives,
        scripts=[f"../{out.path}" for out in scripts],
        script=f"../{to_root}{ASSETS}/joined.js",
        ways=[("../" + choices.address(name), said) for said, name in ways],
        letters=[(letter, "../" + choices.address(name) if name else "") for letter, name in letters],
        searched=True,
    )


def _pages(one: _JoinedList, choices: Choices) -> Iterator[WorkingPage]:
    """The sheets of a list; the first has the list's own name, the others are numbered."""
    places = [one.name if n == 0 else f"{one.name}/{n + 1}" for n in range(len(one.sheets))]
    labels = [_label(sheet) for sheet in one.sheets]
    for n, (place, groups) in enumerate(zip(places, one.sheets, strict=True)):
        up = _up(place)
        pager = [
            (up + choices.address(at), f"{k}. {label}" if label != last else str(k))
            for k, (at, label, last) in enumerate(zip(places, labels, ["", *labels[:-1]], strict=True), 1)
        ]
        yield _page(
            place,
            f"{one.heading}, sheet {n + 1}" if n else one.heading,
            one.lead,
            choices,
            groups=groups,
            wordy=one.wordy,
            tallies=one.tallies if n == 0 else None,
            pager=_near(pager, n) if len(pager) > 1 else (),
            number=pager[n][0],
            searched=n == 0 and "/by-name/" not in place,
        )


_AROUND = 5


def _near(pager: Sequence[tuple[str, str]], at: int) -> list[tuple[str, str]]:
    """The sheets around one, and every so many further off: a list of hundreds is no way to anywhere."""
    step = max(1, len(pager) // 20)
    return [way for n, way in enumerate(pager) if abs(n - at) <= _AROUND or n % step == 0 or n == len(pager) - 1]


def _label(sheet: Sequence[JoinedGroup]) -> str:
    ends = [group.name or group.links[0].set.title for group in (sheet[0], sheet[-1])]
    return " – ".join(dict.fromkeys(end if len(end) <= 28 else f"{end[:27].rstrip()}…" for end in ends))


def _many(count: int, of: str) -> str:
    return f"{count} {of}{'' if count == 1 else 's'}"


def _up(place: str) -> str:
    """The way from a page to the index of this site's sets."""
    return "../" * (place.count("/") + 1)


_NOTHING: Mapping[str, object] = dict.fromkeys(("archives", "groups", "tallies", "pager"))
"""What a page may leave out."""


def _page(place: str, title: str, lead: str, choices: Choices, *, searched: bool, **more: object) -> WorkingPage:
    from ..pages import rendering

    up = _up(place)

    def href(one: JoinedSet) -> str:
        return one.href if one.away or not one.href else up + one.href

    crumbs = [(up if choices.directory_urls else f"{up}index.html", "Sets")]
    crumbs += [(up + choices.address(JOINED), "All archives")] if place != JOINED else []
    said = {"title": title, "lead": lead, "crumbs_up": crumbs, "href": href}
    html = rendering.render("joined.html.j2", top="top", **said, **{**_NOTHING, **more})
    search = rendering.search_html(title, "top", []) if searched else ""
    return WorkingPage(place, title, lead, html, (), rendering.ids(html), search=search, wide=True)
