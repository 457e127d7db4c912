"""Many bench sheets, or many cabinet cards, as one document to print: a set begins a sheet of its own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..pages.set_page import OutFile, SetPage

MOST_SETS = 120
"""In one print; of more the latest worked on."""
_FINISHED = "finished"
_MAIN = re.compile(r"<main>.*</main>", re.S)
_TITLE = re.compile(r"<title>.*?</title>", re.S)


@dataclass(frozen=True, slots=True)
class Print:
    """One such document: its file, its name, and which file of each set goes into it."""

    file: str
    title: str
    of_set: str
    finished: bool

    def of(self, card: Mapping[str, Any]) -> bool:
        """Whether a set's own goes into it: a card for a set that is finished, a sheet for one that is not."""
        return ((card.get("state") or _FINISHED) == _FINISHED) is self.finished


PRINTS = (
    Print("bench-sheets.html", "Bench sheets", "bench-sheet.html", finished=False),
    Print("cabinet-cards.html", "Cabinet cards", "cabinet-card.html", finished=True),
)


def offered(cards: Sequence[Mapping[str, Any]]) -> list[tuple[str, str, int]]:
    """The prints that there are, each with its file, its name and how many sets it holds; none for a single set."""
    counted = ((p.file, p.title, min(MOST_SETS, sum(p.of(card) for card in cards))) for p in PRINTS)
    return [one for one in counted if one[2] > 1]


def prints(pages: Sequence[SetPage]) -> tuple[OutFile, ...]:
    """The documents themselves, for the sets that have a card."""
    return tuple(OutFile(p.file, text) for p in PRINTS if (text := _bound(p, pages)))


def _bound(wanted: Print, pages: Sequence[SetPage]) -> str:
    chosen = [page for page in pages if page.card and wanted.of(page.card)]
    chosen = sorted(chosen, key=lambda page: page.updated or "", reverse=True)[:MOST_SETS]
    texts = [file.text for page in chosen for file in page.files if file.path == wanted.of_set and file.text]
    if len(texts) < 2:
        return ""
    mains = [found[0] for text in texts if (found := _MAIN.search(text))]
    head, _, _ = texts[0].partition("<main>")
    head = _TITLE.sub(f"<title>{wanted.title}: {len(mains)} sets</title>", head, count=1)
    return head + "\n".join(mains) + "\n</body>\n</html>\n"
