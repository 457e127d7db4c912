"""What the chapters find of small sets and the demo's, and how much they say of it, is what it was held to be."""

from __future__ import annotations

import pytest

from held_small_sets import NAMES, found_of, held


@pytest.mark.regression
@pytest.mark.parametrize("name", NAMES)
def test_what_is_found_of_a_set_is_what_was_held(name: str) -> None:
    """Where it was meant to move: ``python tests/held_small_sets.py --write``, and look at what it changed."""
    assert found_of(name) == held()[name]
