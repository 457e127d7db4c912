"""What the records in `habits.txt` and `both_forms.txt` are read as, in SI: a number read otherwise is seen.

    python tests/held_readings_of_lines.py --write

writes `tests/record/lines_as_read.txt` anew after a change that was meant to read something otherwise; what it moved is
then seen in the difference, and the commit says why. Two forms of one record may else both be wrong.
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

import makers
from benchleaf.record.mapping import as_mapping
from sites import REPO

RECORDS = REPO / "tests" / "record"
HELD = RECORDS / "lines_as_read.txt"
_LEFT_OUT = ("format", "maker", "model")
_BETWEEN = " => "


def _typed(file: Path) -> dict[str, str]:
    """The first form of each pair, by its name."""
    blocks = re.split(r"^### ", file.read_text(encoding="utf-8"), flags=re.M)[1:]
    return {block.partition("\n")[0]: block.partition("\n")[2].partition("\n=====\n")[0] for block in blocks}


TYPED = {
    f"{file}: {name}": text
    for file in ("habits", "both_forms")
    for name, text in _typed(RECORDS / f"{file}.txt").items()
}


def as_read(name: str) -> str:
    """The data of a record on one line, without what it has not and without how a value was spelled."""
    data = _meant(as_mapping(makers.record(TYPED[name])))
    return json.dumps({key: value for key, value in data.items() if key not in _LEFT_OUT}, ensure_ascii=False)


def held() -> dict[str, str]:
    """What each record was read as."""
    rows = HELD.read_text(encoding="utf-8").splitlines()
    return dict(row.split(_BETWEEN, 1) for row in rows)


def _meant(node: Any) -> Any:
    if isinstance(node, dict):
        inner = {key: _meant(value) for key, value in node.items() if not key.endswith("_written")}
        return {key: value for key, value in inner.items() if value not in (None, "", [], {})}
    if isinstance(node, list):
        return [_meant(value) for value in node]
    return float(f"{node:.9g}") if isinstance(node, float) else node


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        raise SystemExit(__doc__)
    HELD.write_text("".join(f"{name}{_BETWEEN}{as_read(name)}\n" for name in TYPED), encoding="utf-8")
