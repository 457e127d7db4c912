"""What the readers of a line make of words, reader by reader: ``lines_read.txt`` has a row for each way to write."""

from __future__ import annotations

import re

import pytest

from lines_shown import READ, SHOWN

_PARTS = re.split(r"^== (\w+): .*\n", READ.read_text(encoding="utf-8"), flags=re.M)
ROWS = {name: [row for row in rows.splitlines() if row] for name, rows in zip(_PARTS[1::2], _PARTS[2::2], strict=True)}


@pytest.mark.parametrize("reader", SHOWN)
def test_what_a_reader_makes_of_words(reader: str) -> None:
    expected = dict(row.split(" => ") if " => " in row else (row.removesuffix(" =>"), "") for row in ROWS[reader])
    assert len(expected) == len(ROWS[reader])
    assert {said: SHOWN[reader](*said.split(" ; ")) for said in expected} == expected
