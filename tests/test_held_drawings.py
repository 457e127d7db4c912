"""No figure of the demo's sets is drawn otherwise without being seen."""

from __future__ import annotations

import pytest

from held_drawings import drawings_of, held
from held_figures import SETS

CHAPTERS = sorted({kind.partition(".")[0] for kind in held()})


@pytest.mark.regression
@pytest.mark.parametrize("folder", CHAPTERS)
@pytest.mark.parametrize("name", SETS)
def test_a_chapters_figures_are_drawn_as_they_were_held(name: str, folder: str) -> None:
    """Where they were meant to move: ``python tests/held_drawings.py --write``, and look at what it changed."""
    was = {kind: row[name] for kind, row in held().items() if row[name] and kind.startswith(f"{folder}.")}
    assert drawings_of(name, folder) == was
