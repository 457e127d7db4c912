"""The pages of an archive: the index of all sets, and beside it what only shows across sets."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from ..pages.set_page import Choices, OutFile, SetPage, WorkingPage
from ..pages.site_files import ASSETS
from .data_script import data_script
from .index import BY_NAME, BY_YEAR, DATA, NO_YEAR, Index, index
from .lists_across import MOST_ROWS, AcrossSets, label, sheets

if TYPE_CHECKING:
    from .cards import Card
    from .stock import InDrawer

_TOP = "top"
Ways = tuple[tuple[str, str], ...]
"""Links with their words."""


def archive_page(
    pages: Sequence[SetPage],
    choices: Choices,
    *,
    to_root: str = "../",
    left_out: Collection[str] = (),
    drawer: Sequence[InDrawer] = (),
) -> SetPage:
    """The index of all sets, with the pages across sets among its ``workings``.

    ``to_root`` is the way from the index to the root of the site, ``left_out`` names pages whose address is taken,
    ``drawer`` is what need not be ordered.
    """
    from ..pages import rendering
    from ..words import DIALECTS
    from .in_one_print import offered

    found = index(pages, choices, drawer)
    across = [one for one in found.across if one.name not in left_out or not found.has_pages]
    own = [*_across_pages(found, across, choices), *_lists(found, left_out, choices)] if found.has_pages else []
    in_full = not found.newest_only or DATA in left_out
    html = rendering.render(
        "index.html.j2",
        top=_TOP,
        index=found,
        across=across,
        ways=_ways(found, across, choices),
        put_right=next((_place(found, one, choices) for one in across if one.name == "to-put-right"), ""),
        letters=_letters(found, choices) if BY_NAME not in left_out or not found.newest_only else (),
        years=_years(found, choices) if BY_YEAR not in left_out and found.newest_only else (),
        words=DIALECTS[choices.dialect],
        data="" if in_full else DATA,
        prints=offered([page.card for page in pages if page.card]),
        script=f"{to_root}{ASSETS}/archive.js",
    )
    html = rendering.with_permalinks(html) if choices.permalinks else html
    return SetPage(
        folder="",
        title=found.title,
        description=found.intro,
        html=html,
        search=rendering.search_html(found.title, _TOP, [("", "", found.intro)]),
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
        files=() if in_full else (OutFile(DATA, data_script(found.cards)),),
        workings=tuple(own),
        wide=True,
    )


def _ways(found: Index, across: Sequence[AcrossSets], choices: Choices) -> Ways:
    """The lists across sets: on pages of their own, or further down on the index."""
    return tuple((_place(found, one, choices), one.heading) for one in across)


def _place(found: Index, one: AcrossSets, choices: Choices) -> str:
    return choices.address(one.name) if found.has_pages else f"#{one.name}"


def _letters(found: Index, choices: Choices) -> tuple[tuple[str, str], ...]:
    """Each letter with where its names begin, empty where it has none; no letters where a list is short."""
    if found.density != "lines":
        return ()

    def place(letter: str) -> str:
        return choices.address(f"{BY_NAME}/{letter.lower()}") if found.newest_only else f"#letter-{letter.lower()}"

    return tuple((letter, place(letter) if has else "") for letter, has in found.letters())


def _years(found: Index, choices: Choices) -> Ways:
    decades = sorted({card.decade for card in found.cards}, key=lambda decade: (not decade, decade))
    return tuple((choices.address(f"{BY_YEAR}/{decade or NO_YEAR}"), decade or "not dated") for decade in decades)


def _across_pages(found: Index, across: Sequence[AcrossSets], choices: Choices) -> Iterator[WorkingPage]:
    for one in across:
        cut = sheets(one)
        names = [label(sheet) for sheet in cut] if len(cut) > 1 else [""]

        def body(number: int, up: str, cut: Sequence[AcrossSets] = cut) -> dict[str, object]:
            return {"across": cut[number], "up": up, "cards": (), "letters": (), "here": ""}

        yield from _sheets(one.name, one.heading, one.lead, names, body, choices)


def _lists(found: Index, left_out: Collection[str], choices: Choices) -> Iterator[WorkingPage]:
    """All sets by initial and by decade, where the index does not hold them."""
    if not found.newest_only:
        return
    letters = _letters(found, choices)
    if BY_NAME not in left_out:
        for letter, place in letters:
            of_letter = [card for card in found.cards if card.letter == letter]
            if place:
                yield from _list(f"{BY_NAME}/{letter.lower()}", f"Sets under {letter}", of_letter, letters, choices)
    if BY_YEAR not in left_out:
        for decade in sorted({card.decade for card in found.cards}):
            heading = f"Sets of the {decade}" if decade else "Sets without a year"
            of_decade = [card for card in found.cards if card.decade == decade]
            yield from _list(f"{BY_YEAR}/{decade or NO_YEAR}", heading, of_decade, (), choices)


def _list(
    name: str, heading: str, cards: Sequence[Card], letters: Sequence[tuple[str, str]], choices: Choices
) -> Iterator[WorkingPage]:
    cut = [cards[at : at + MOST_ROWS] for at in range(0, len(cards), MOST_ROWS)]
    names = [f"{part[0].name} – {part[-1].name}" for part in cut] if len(cut) > 1 else [""]

    def body(number: int, up: str) -> dict[str, object]:
        seen = [card.seen_from(up) for card in cut[number]]
        ways = [(letter, up + place if place else "") for letter, place in letters]
        return {"across": None, "up": up, "cards": seen, "letters": ways, "here": name.rpartition("/")[2].upper()}

    yield from _sheets(name, heading, f"{len(cards)} sets.", names, body, choices)


def _sheets(
    name: str,
    heading: str,
    lead: str,
    labels: Sequence[str],
    body: Callable[[int, str], dict[str, object]],
    choices: Choices,
) -> Iterator[WorkingPage]:
    """The pages of one list, which ``body`` fills; the first has the list's own name, the others are numbered."""
    from ..pages import rendering

    places = [name if number == 0 else f"{name}/{number + 1}" for number in range(len(labels))]
    for number, place in enumerate(places):
        up = "../" * (place.count("/") + 1)
        title = f"{heading}, sheet {number + 1}" if number else heading
        listed = enumerate(zip(places, labels, ["", *labels[:-1]], strict=True), 1)
        pager = [
            (up + choices.address(at), f"{n}. {said}" if said != last else str(n)) for n, (at, said, last) in listed
        ]
        html = rendering.render(
            "across.html.j2",
            top=_TOP,
            title=title,
            lead=lead,
            index=up if choices.directory_urls else f"{up}index.html",
            pager=pager if len(pager) > 1 else (),
            number=number,
            **body(number, up),
        )
        yield WorkingPage(
            name=place,
            title=f"{title}: sets",
            description=lead,
            html=html,
            entries=(),
            anchors=rendering.ids(html),
            search="" if number else rendering.search_html(title, _TOP, []),
            wide=True,
        )
