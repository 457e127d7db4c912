"""The set's only output tube in class A, and the most that it can give as a sine at its readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..electrics.level_curves import class_a_limit
from ..record.figures import to_figures

if TYPE_CHECKING:
    from .circuit import Circuit
    from .operating import Operating


@dataclass(frozen=True, slots=True)
class OutputStage:
    """The output tube with ``watts``, the most it can give as a sine in class A, and what that rests on.

    ``load_how`` is ``published``, ``reflected`` or ``speaker``, empty where the load is not known; ``run`` is the list
    of readings.
    """

    tube: str
    watts: float
    plate_to_cathode_volts: float
    amps: float
    load_ohms: float | None
    load_how: str
    run: str


def output_stage(circuit: Circuit, operating: Mapping[str, Operating]) -> OutputStage | None:
    """The only output tube by its last readings; None where there are more, or its volts or current are not known.

    ``operating`` has each stage's operating point by the stage's name, as ``currents.operating`` gives it.
    """
    output = {position for position, tube in circuit.tubes.items() if "output" in (tube.role or "")}
    stages = [stage for stage in circuit.network.stages if stage.tube in output and len(stage.plates) == 1]
    if len(output) != 1 or len(stages) != 1:
        return None
    stage = stages[0]
    point = operating.get(stage.name)
    volts, amps = (point.plate_to_cathode_volts, point.plate_amps) if point else (None, None)
    if point is None or not volts or not amps or volts <= 0 or amps <= 0:
        return None
    load = circuit.load(stage.plates[0])
    ohms = load.ohms if load and load.ohms > 0 and load.how != "resistors" else None
    watts = to_figures(class_a_limit(volts, amps, ohms), 2)
    return OutputStage(stage.tube, watts, volts, amps, ohms, load.how if load and ohms else "", point.run)
