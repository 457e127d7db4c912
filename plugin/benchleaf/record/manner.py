"""What a reader may take for granted of a text: where it stands, and what its site has settled."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

MONTH_FIRST, DAY_FIRST = "month first", "day first"
SLASH_DATES = (MONTH_FIRST, DAY_FIRST)
"""What a site or a record may say of dates with slashes that two readers read differently."""
DATE_ORDER_WORDS = {
    **dict.fromkeys(
        ("month/day", "month/day/year", "m/d/y", "mm/dd/yy", "mm/dd/yyyy", "month before day"), MONTH_FIRST
    ),
    **dict.fromkeys(("day/month", "day/month/year", "d/m/y", "dd/mm/yy", "dd/mm/yyyy"), DAY_FIRST),
}
"""Other ways to say it."""


@dataclass(frozen=True, slots=True)
class Manner:
    """How a text may be taken.

    ``american`` says that the site speaks American, where ``.05`` on a capacitor is microfarads and ``25,000`` has a
    thousands comma; ``slash_dates`` is ``month first``, ``day first`` or empty, and ``slash_told`` what in the
    record tells it, where the site has not settled it. ``part`` are the letters of the part a
    text is about (``C``, ``R``, ``VR``), ``power`` what the record says of its power supply, ``unit`` that of a number
    without one, and ``unit_remark`` what the writer is told of it. ``days`` are the first and the last that the record
    dates its work with. ``tubes`` has the position of every name that a tube of the record goes by, as ``tube_name``
    spells it. ``own_words`` are the club's own, each with what it means. ``thousands`` is the sign that parts them
    where the record's own decimals tell, ``millions`` whether M is a million ohms by what the record is of. ``points``
    are the points of the record's own, folded: names of several words over readings, words that its wires use, and
    ``+1`` of either. ``named`` are those over readings whatever their words, which are points where ``to`` joins them.
    """

    american: bool = False
    slash_dates: str = ""
    slash_told: str = ""
    part: str = ""
    power: str = ""
    unit: str = ""
    unit_remark: str = ""
    days: tuple[date, date] | None = None
    tubes: Mapping[str, str] = field(default_factory=dict, hash=False)
    own_words: tuple[tuple[str, str], ...] = ()
    thousands: str = ""
    millions: bool = False
    points: frozenset[str] = frozenset()
    named: frozenset[str] = frozenset()

    def position(self, name: str) -> str | None:
        """The position that a name of a tube means, by itself or by a type that stands there alone."""
        return next((self.tubes[known] for known in tube_names(name) if known in self.tubes), None)


AS_WRITTEN = Manner()
"""Nothing is taken for granted."""

AMERICAN_SITE = Manner(american=True)
"""What a site settles that has chosen nothing."""


_AMERICAN = re.compile(r"(\d{1,3}[a-z]{1,2}\d{1,2})(?:m?g[abcxy]?|gt[abxyw]?|wgt?[ab]?|w[abxy]?|[abcsxy])(?:/g)?")
"""An American type number with the letters that say no more than its bulb or its version."""


_OF_NO_NAME = str.maketrans("", "", " -.#")


def tube_names(type_: str) -> tuple[str, ...]:
    """A type as written, and without the letters that say no more than its bulb: 35L6GT is called 35L6."""
    return _tube_names(str(type_))


@lru_cache(maxsize=4096)
def _tube_names(written: str) -> tuple[str, ...]:
    name = tube_name(written)
    american = _AMERICAN.fullmatch(name)
    return (name, american[1]) if american else (name,)


def tube_name(written: str) -> str:
    """The name of a tube for comparison: capitals, blanks and hyphens do not matter."""
    return str(written).casefold().translate(_OF_NO_NAME)
