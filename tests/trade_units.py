"""The units of the trade as pint has them: the authority that the package's own factors are held against."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pint import UnitRegistry


@cache
def registry() -> UnitRegistry[Any]:
    """pint's registry with the units of ``units.txt`` and no others."""
    from pint import UnitRegistry

    ureg: UnitRegistry[Any] = UnitRegistry(None)
    ureg.load_definitions(Path(__file__).with_name("units.txt").read_text(encoding="utf-8").splitlines())
    return ureg
