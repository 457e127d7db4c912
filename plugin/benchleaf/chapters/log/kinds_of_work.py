"""What kind of work a line of the log tells of, by its words; and the hours of each kind."""

from __future__ import annotations

import re
from collections.abc import Iterable

from .findings import HoursOfKind, Sitting

OTHER = "other work"
_KINDS = {
    "fault finding": r"fault trac(?:ed|ing) trouble hunt\w* searching intermittent",
    "alignment": r"align\w* re-?align\w* trimmers? tracking padder",
    "power-up": r"power(?:ed)?[-_]?up first_power slow_power brought_up variac",
    "readings": r"readings? measur\w* voltages? volts touch_current insulation ohmmeter",
    "reforming": r"reform\w*",
    "line side": r"line_side mains_side (?:line_|mains_|power_)?(?:cord|lead) plug isolation fuse",
    "parts": r"re-?capp?\w* capacitors? condensers? resistors? replac\w* restuff\w* solder\w* rewir\w* shunts? dropper "
    r"transformer rectifier caps? electrolytics? fitted installed filter",
    "tubes": r"tubes? valves?",
    "cabinet": r"cabinet veneer lacquer\w* varnish\w* polish\w* grille cloth knobs? dial glass handle bakelite "
    r"paint\w* finishing sewn cord_drive drive_cord",
    "cleaning": r"clean\w* dust\w* wash\w* de-?oxit contacts?",
    "looking over": r"look\w*_(?:it_)?over looked_at inspect\w* photograph\w* pictures? cold_checks? examin\w* "
    r"dismantl\w* took_(?:it_)?apart stripped check(?:s|ed|ing)? test(?:s|ed|ing)?",
    "soak test": r"soak\w* burn\w*_in",
    "playing": r"play\w* listen\w* ran running",
    "closing up": r"closed?_up closing_up re-?assembl\w* put_back boxed",
    "papers and parts to get": r"order\w* wrote writ\w* drew draw\w* schematic research\w* sheet drove fetched",
}
"""Each kind with its words, ``_`` for a blank (common practice, no source); the first kind has a word of two."""
_WORDS = tuple(
    (kind, re.compile(rf"\b(?:{'|'.join(words.split()).replace('_', ' ')})(?!\w)", re.I))
    for kind, words in _KINDS.items()
)


def kind_of(did: str) -> str:
    """The kind of work that a line names first; ``other work`` where no word tells it."""
    found = ((match.start(), place, kind) for place, (kind, words) in enumerate(_WORDS) if (match := words.search(did)))
    return min(found, default=(0, 0, OTHER))[2]


def hours_by_kind(sittings: Iterable[Sitting]) -> tuple[HoursOfKind, ...]:
    """The hours of each kind of the sittings that tell of work, most first; one without a time counts as such only."""
    of_kind: dict[str, list[Sitting]] = {}
    for sitting in sittings:
        of_kind.setdefault(sitting.kind, []).append(sitting)
    told = (
        HoursOfKind(kind, sum(one.seconds or 0.0 for one in of), len(of), sum(one.seconds is None for one in of))
        for kind, of in of_kind.items()
    )
    return tuple(sorted(told, key=lambda one: (one.kind == OTHER, -one.seconds, -one.sittings, one.kind)))
