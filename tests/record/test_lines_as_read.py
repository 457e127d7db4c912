"""What each way to write a record is read as, in SI: that two ways are one record says not that it is the right one."""

from __future__ import annotations

import pytest

from held_readings_of_lines import TYPED, as_read, held


@pytest.mark.regression
@pytest.mark.parametrize("file", ["habits", "both_forms"])
def test_a_record_is_read_as_it_was_held(file: str) -> None:
    """Where it was meant to be otherwise: ``python tests/held_readings_of_lines.py --write``; so with new ones."""
    was = {name: said for name, said in held().items() if name.startswith(f"{file}:")}
    assert {name: as_read(name) for name in was if name in TYPED} == was
