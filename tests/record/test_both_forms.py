"""A line and the mapping it stands for are the same record."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import makers
from benchleaf.record.mapping import as_mapping

HEAD = "maker: Larkfield\nmodel: Minuet 5\n"


def _pairs() -> dict[str, tuple[str, str]]:
    """The pairs of ``both_forms.txt``: a name after ``###``, the line, a line of ``=``, the mapping."""
    text = (Path(__file__).parent / "both_forms.txt").read_text(encoding="utf-8")
    pairs = {}
    for block in re.split(r"^### ", text, flags=re.M)[1:]:
        name, _, rest = block.partition("\n")
        line, _, mapping = rest.partition("\n=====\n")
        pairs[name] = (line, mapping)
    return pairs


PAIRS = _pairs()


@pytest.mark.parametrize(("line", "mapping"), PAIRS.values(), ids=PAIRS.keys())
def test_line_and_mapping_are_one_record(line: str, mapping: str) -> None:
    assert _without_spelling(_read(line)) == _without_spelling(_read(mapping))


def test_words_of_both_dialects_are_one_record() -> None:
    assert _read("valves:\n  V1: UCH42\nmains: 230 V\nantenna: a wire") == _read(
        "tubes:\n  V1: UCH42\nline: 230 V\naerial: a wire"
    )


def test_order_of_the_items_of_a_line_is_free() -> None:
    assert _without_spelling(_read("parts:\n  C7: now 5 % film 630 V 10 nF, why leaky")) == _without_spelling(
        _read("parts:\n  C7: why leaky, now 10 nF, 630 V, film, 5 %")
    )


def _read(text: str) -> dict[str, Any]:
    record = makers.record(HEAD + text + "\n")
    return as_mapping(record)


def _without_spelling(value: Any) -> Any:
    """The mapping without how its values were spelt."""
    if isinstance(value, dict):
        return {k: _without_spelling(v) for k, v in value.items() if not k.endswith("written")}
    return [_without_spelling(v) for v in value] if isinstance(value, list) else value
