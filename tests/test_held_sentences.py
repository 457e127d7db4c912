"""What is said in short of small sets and the demo's is what it was held to be."""

from __future__ import annotations

import pytest

from held_sentences import NAMES, held, said_of


@pytest.mark.regression
@pytest.mark.parametrize("name", NAMES)
def test_what_is_said_of_a_set_is_what_was_held(name: str) -> None:
    """Where it was meant to move: ``python tests/held_sentences.py --write``, and look at what it changed."""
    assert said_of(name) == held()[name]
