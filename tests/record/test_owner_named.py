"""The owner's name in a line that is published: said with its line, never quoted."""

from __future__ import annotations

import pytest

import makers
from benchleaf.record.owner_named import owner_remarks

SET = "maker: Haverkamp\nmodel: Leeuwerik\nowner: mevr. Roelie Tamminga\n"


def _lines(more: str, of: str = SET) -> list[int]:
    remarks = owner_remarks(makers.record(of + more), makers.FILE)
    assert not any("Tamminga" in one.said or "Roelie" in one.said for one in remarks)
    return [one.line for one in remarks]


@pytest.mark.parametrize(
    ("more", "lines"),
    [
        ("log:\n  - 2024-01-09, from mevr. Tamminga\n  - 2024-01-12, opened\n  - 2024-02-02, to Roelie\n", [5, 7]),
        ("summary: The set of the Tamminga family.\n", [4]),
        ("faults:\n  - complaint: hum, says Tamminga\n    cure: new C1\n", [5]),
        ("parts:\n  C1: 10 nF, note from Tamminga's shed\n", [5]),
        ("log:\n  - 2024-01-09, came in from its owner\n", []),
        ("serial: Tamminga 12\n", []),
        ("by: R. Tamminga\nlog:\n  - 2024-01-09, Tamminga opened it\n", []),
    ],
)  # fmt: skip
def test_each_published_line_with_a_name_of_the_owner_is_told(more: str, lines: list[int]) -> None:
    assert _lines(more) == lines


@pytest.mark.parametrize("owner", ["leona brandt, broken bow", "Leona Brandt, Broken Bow", "LEONA BRANDT"])
@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("back to leona", True),
        ("back to Leona", True),
        ("hauled to LEONA BRANDT", True),
        ("brandt's old set", True),
        ("leona brandt rang", True),
        ("to a broken wire, bow of the dial cord", False),
    ],
)
def test_a_name_is_found_in_small_letters_and_in_capitals(owner: str, said: str, told: bool) -> None:
    """A man who types all in small letters published his neighbour's name, and nothing was said."""
    of = SET.replace("mevr. Roelie Tamminga", owner)
    lines = _lines(f"log:\n  - 2024-01-09, {said}\n", of)
    assert bool(lines) is told


@pytest.mark.parametrize("owner", ["a neighbour", "The Club", "the museum", "my friend"])
def test_an_owner_without_a_name_is_in_no_line(owner: str) -> None:
    of = SET.replace("mevr. Roelie Tamminga", owner)
    assert _lines("log:\n  - 2024-01-09, a neighbour and The Club came, my friend and the museum too\n", of) == []
