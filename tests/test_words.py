"""The words of the trade: one file a dialect, each with a word for whatever a page says."""

from __future__ import annotations

import pytest

from benchleaf.tubes.tables import read_table
from benchleaf.words import AMERICAN, DIALECTS, Words


def test_a_site_may_choose_american_or_british() -> None:
    assert set(DIALECTS) >= {"american", "british"}
    assert {name for name, words in DIALECTS.items() if words.dialect != name} == set()


@pytest.mark.parametrize("words", DIALECTS.values(), ids=DIALECTS)
def test_a_dialect_names_every_electrode_of_the_tube_table(words: Words) -> None:
    assert list(words.electrodes) == [(row["profile"], row["key"]) for row in read_table("words.csv")]
    assert "" not in words.electrodes.values()
    assert AMERICAN.electrodes.keys() == words.electrodes.keys()
