"""No figure of the demo's sets moves without being seen."""

from __future__ import annotations

import pytest

from held_figures import SETS, figures_of, held


@pytest.mark.regression
@pytest.mark.parametrize("name", SETS)
def test_the_figures_found_of_a_set_are_those_that_were_held(name: str) -> None:
    """Where they were meant to move: ``python tests/held_figures.py --write``, and look at what it changed."""
    was = {at: row[name] for at, row in held().items() if row[name]}
    assert figures_of(name) == was
