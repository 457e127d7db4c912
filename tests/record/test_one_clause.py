"""What a slip in one clause of a line costs: that clause. What else the line says comes out, and one question is asked.

Each case is a section with a line, of which one clause stands in braces: as it should be, a bar, and as it was typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import makers
from benchleaf.build.follow import look_over
from benchleaf.record.mapping import as_mapping

TUBES = "tubes:\n  V1: 12SA7\n  V2: 35L6\n  V4: 35Z5\n"
CASES = Path(__file__).with_name("one_clause.txt").read_text(encoding="utf-8").strip().split("\n\n")
_CLAUSE = re.compile(r"\{(?P<good>[^|{}]*)\|(?P<bad>[^|{}]*)\}")


def flat(node: Any, name: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        for key, value in node.items():
            yield from flat(value, f"{name}.{key}")
    elif isinstance(node, list):
        for number, value in enumerate(node):
            own = (value.get("at"), value.get("name"), value.get("of")) if isinstance(value, dict) else ()
            yield from flat(value, f"{name}.{next(filter(None, own), number)}")
    else:
        yield name, node


def clause_of(case: str) -> re.Match[str]:
    found = _CLAUSE.search(case)
    assert found is not None, case
    return found


def record_of(section: str) -> str:
    parts = "" if section.startswith("parts:") else "parts:\n  C1: 10 nF\n"
    return f"{makers.SET}{parts}{'' if section.startswith('tubes:') else TUBES}{section}\n"


@pytest.mark.parametrize("case", CASES, ids=[clause_of(case)["bad"] for case in CASES])
def test_a_slip_costs_its_clause(case: str) -> None:
    clause = clause_of(case)
    good, bad = (record_of(_CLAUSE.sub(clause[which], case)) for which in ("good", "bad"))
    line, at = next((n, text.index("{")) for n, text in enumerate(record_of(case).split("\n"), 1) if "{" in text)
    looked = look_over(bad.encode(), Path("a-set"), makers.FILE)
    assert looked.references is not None
    told = [(p.line, p.column, str(p)) for p in looked.problems]
    assert len(told) == 1, told
    assert told[0][0] == line
    assert at <= told[0][1] - 1 <= at + len(clause["bad"]), told
    typed = dict(flat(as_mapping(makers.record(good))))
    left = dict(flat(as_mapping(looked.references.circuit.record)))
    lost = {key: value for key, value in typed.items() if left.get(key) != value}
    own = tuple(key.removesuffix("_written") for key in lost if key.endswith("_written"))
    said = {key: value for key, value in lost.items() if not key.startswith(own) and str(value) not in clause["good"]}
    assert said == {}
    assert {key: value for key, value in left.items() if key not in typed} == {}
