"""The words of the trade in a part's line: conditions, kinds of parts, what something does, and what stands beside it.

They stand in ``trade_words.csv``. A row is of a ``condition``, of a ``type``, of ``now`` or ``measured`` (words that
open what was fitted and what was measured), of a ``job`` (one of these makes an item a part's job), or of what may
stand ``beside`` a job.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from pathlib import Path


def _rows() -> list[dict[str, str]]:
    with Path(__file__).with_name("trade_words.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


_ROWS = _rows()


def _words(of: str) -> dict[str, str]:
    """Each word of a kind with what it means."""
    return {word.strip(): row["means"] for row in _ROWS if row["of"] == of for word in row["words"].split(";")}


CONDITIONS: Mapping[str, str] = _words("condition")
LEAKY = "leaky"
"""What a condition means behind which a current or ohms are those of the leakage."""
TYPES: Mapping[str, str] = _words("type")
NOW = tuple(_words("now"))
MEASURED = tuple(_words("measured"))
JOBS = frozenset(word.casefold() for word in _words("job"))
BESIDE_A_JOB = JOBS | {word.casefold() for word in _words("beside")}

STANDS_BEFORE_A_RATING = frozenset({"nos", "new old stock", "new", "used", "original"})
"""Conditions behind which a voltage is the part's rating; behind others it may be what was measured there."""

REPLACED = frozenset({"replaced", "renewed", "changed", "ersetzt", "vervangen", "cambiado"})
"""Words that say by themselves that a part is another now."""

GOOD = frozenset(word.casefold() for word, means in CONDITIONS.items() if means in ("ok", "good", "kept", "cleaned"))
"""Words for a component that stays."""

LETTERS_FOR_WORDS = re.compile(r"(?<!\w)A/S(?!\w)")
"""On a fuse they are read as anti-surge; on another part they may be the aerial series capacitor."""
