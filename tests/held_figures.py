"""What the chapters find of the demo's sets, added up figure by figure: a change that moves one of them is seen.

    python tests/held_figures.py --write

writes the table anew after a change that was meant to move figures; what it moved is then seen in the difference, and
the commit says why. Words are not in it, but those that are one of few (verdicts, kinds of feed).
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from typing import Any

import held_tables
import makers
from benchleaf.report.findings import as_json
from sites import REPO

HELD = REPO / "tests" / "facts" / "held_figures.csv"
SETS = sorted(path.parent.name for path in (REPO / "site_src" / "sets").glob("*/record.yml"))
_LONGEST_WORD = 24
_MOST_WORDS = 8


def figures_of(name: str) -> dict[str, str]:
    """The findings on a set of the demo: of each figure how many there are and their sum, in SI; of words how often."""
    record = makers.record((REPO / "site_src" / "sets" / name / "record.yml").read_bytes())
    together: dict[str, list[Any]] = {}
    for chapter, found in makers.examined(record).findings.items():
        for at, value in _leaves(as_json(found), chapter):
            together.setdefault(at, []).append(value)
    return {at: text for at, values in sorted(together.items()) if (text := _summed(values))}


def table() -> dict[str, dict[str, str]]:
    """Each figure by its place in the findings, with what each set has of it."""
    return held_tables.turned({name: figures_of(name) for name in SETS})


def held() -> dict[str, dict[str, str]]:
    """The table as it was written."""
    return held_tables.read(HELD, "figure")


def _leaves(found: Any, at: str) -> Iterator[tuple[str, Any]]:
    match found:
        case dict():
            # A name that the record gives (a part's, a band's) is no name of a figure.
            for key, inner in found.items():
                yield from _leaves(inner, f"{at}.{key if key.islower() else '*'}")
        case list():
            for inner in found:
                yield from _leaves(inner, f"{at}.*")
        case _:
            yield at, found


def _summed(values: list[Any]) -> str:
    """``5: 12.34`` for five numbers of that sum, ``2 of 5`` for truths, ``high 2, ok 3`` for words."""
    numbers = [v for v in values if isinstance(v, int | float) and not isinstance(v, bool)]
    truths = [v for v in values if isinstance(v, bool)]
    words = Counter(v for v in values if isinstance(v, str) and v)
    told = [f"{len(numbers)}: {sum(numbers):.5g}"] if numbers else []
    told += [f"{sum(truths)} of {len(truths)}"] if truths else []
    if len(words) <= _MOST_WORDS and all(len(word) <= _LONGEST_WORD and word.islower() for word in words):
        told += [f"{word} {count}" for word, count in sorted(words.items())]
    return ", ".join(told)


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        raise SystemExit(__doc__)
    held_tables.write(HELD, "figure", SETS, table())
