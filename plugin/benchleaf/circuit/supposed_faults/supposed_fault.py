"""One fault of a set, as a change of its network."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcVariant
    from ..places import Place

__all__ = ["LINE", "NOTHING", "FaultSite", "SupposedFault"]

NOTHING = "nothing wrong"
LINE = "line"
"""The subject of a line voltage that is not what the set was made for."""


@dataclass(frozen=True, slots=True)
class FaultSite:
    """Where a part or tube stands in the circuit.

    ``where`` is ``coupling`` (plate to grid), ``plate``, ``screen``, ``cathode``, ``grid``, ``rail``, ``reservoir``
    (the first filter), ``filter`` (between rails), ``output`` (the winding at an output tube's plate), ``tube``,
    ``rectifier``, ``line`` or ``elsewhere``. ``at`` is the electrode or rail, None of tubes and the line;
    ``nodes`` are what it lies between.
    """

    where: str
    at: Place | None = None
    nodes: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class SupposedFault:
    """One fault in one size. ``subject`` is the part, the tube's position or ``line``, empty where nothing is wrong.

    ``fault`` is ``nothing wrong``, ``leaks``, ``leaks to its can``, ``shorted``, ``open``, ``high``, ``low``,
    ``dried out``, ``weak``, ``dead``, ``gas`` or ``heater leak``. ``weight`` is how often the trade meets it, against
    the others; ``size`` is zero of a fault that has one only. ``section`` is the tube's, or which end of a part.
    ``measured`` says that a meter has found the part bad. ``with_others`` are the other parts that meters have found
    bad, where it is tried with all of them; ``in_set`` says that a part so found is in the set that all else is tried
    in.
    ``afloat`` is a grid's node that the fault leaves to ``float_amps``: a meter there drains it, and is its leak.
    """

    subject: str
    fault: str
    weight: float
    variant: DcVariant
    site: FaultSite
    size: float = 0.0
    section: str = ""
    measured: bool = False
    afloat: int | None = None
    float_amps: float = 0.0
    with_others: tuple[str, ...] = ()
    in_set: bool = False

    @property
    def family(self) -> tuple[str, str, str, bool]:
        """What it shares with the same fault in other sizes."""
        return self.subject, self.fault, self.section, bool(self.with_others)
