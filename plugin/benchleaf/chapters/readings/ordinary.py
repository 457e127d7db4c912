"""What part tolerances alone make of a stage's voltages, so that a low reading can be called ordinary or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.resistors import ResistorInPlace
from ...electrics.colours import UNMARKED_TOLERANCE
from ...electrics.dc_stage import BIAS_SHARES, DcStage, calibrated, extremes
from ...record.figures import to_figures
from .comparison import ComparedRun
from .read_stages import stages
from .runs import Readings
from .volts import voltages

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ..bench import Bench


@dataclass(frozen=True, slots=True)
class Ordinary:
    """The range of one stage's voltages over its resistors' tolerances, at the sheet's own line, in volts by node."""

    stage: str
    parts: tuple[tuple[str, float, float], ...]
    ranges: Mapping[Place, tuple[float, float]] = field(default_factory=dict, metadata={"json": False})


def ordinary(source: Readings, bench: Bench, parts: Sequence[ResistorInPlace]) -> Iterator[Ordinary]:
    """Each stage that a list of expected values and the parts make solvable, with its extremes.

    The tube is made to give the list's own voltages with nominal parts; its bias is taken at a quarter to three
    quarters of cut-off. Supplies stay as they are.
    """
    network = bench.circuit.network
    volts = voltages(source, network)
    for stage in stages(source, network):
        found = _stage(stage, parts, volts, network)
        if found is None:
            continue
        built, used, nodes = found
        at = {name: volts.get(node) for name, node in nodes.items()}
        plate, cathode = at.get("plate"), at.get("cathode") or 0.0
        tubes = [
            t for share in BIAS_SHARES if plate and (t := calibrated(built, plate, at.get("screen"), cathode, share))
        ]
        if not tubes:
            continue
        tolerances = {name: part.tolerance or UNMARKED_TOLERANCE for name, part in used.items()}
        ends = extremes(tubes, tolerances)
        ranges = {nodes[name]: span for name, span in ends.items() if name in nodes and span[0] < span[1]}
        told = tuple((p.part, p.nominal_ohms or p.ohms, p.tolerance or UNMARKED_TOLERANCE) for p in used.values())
        yield Ordinary(stage.name, told, ranges)


def _stage(
    stage: Stage, parts: Sequence[ResistorInPlace], volts: Mapping[Place, float], network: Network
) -> tuple[DcStage, dict[str, ResistorInPlace], dict[str, Place]] | None:
    """A stage's network with its nominal parts, those parts by their place in it, and its nodes; None where unknown."""
    if not stage.certain or len(stage.plates) != 1 or len(stage.screens) > 1 or stage.beside:
        return None
    nodes = {"plate": stage.plates[0]} | ({"screen": stage.screens[0]} if stage.screens else {})
    if stage.cathode:
        nodes["cathode"] = stage.cathode
    if any(node not in volts for node in nodes.values()):
        return None
    used: dict[str, ResistorInPlace] = {}
    supply: dict[str, float] = {}
    for name, node in nodes.items():
        touching = [part for part in parts if node in part.ends]
        if touching and not network.stands_alone(node):
            return None
        if len(touching) > 1 or (touching and touching[0].other(node) not in volts):
            return None
        if touching and touching[0].bound and not touching[0].nominal_ohms:
            return None
        if touching:
            field_name = {"plate": "load_ohms", "screen": "screen_ohms", "cathode": "cathode_ohms"}[name]
            used[field_name] = touching[0]
            supply[name] = volts[touching[0].other(node)]
    if not used or (
        volts.get(nodes["cathode"], 0.0) > 0 and "cathode_ohms" not in used if "cathode" in nodes else False
    ):
        return None
    ohms = {name: part.nominal_ohms or part.ohms for name, part in used.items()}
    built = DcStage(
        supply_volts=supply.get("plate", volts[nodes["plate"]]),
        load_ohms=ohms.get("load_ohms", 0.0),
        cathode_ohms=ohms.get("cathode_ohms", 0.0),
        screen_supply_volts=supply.get("screen", volts[nodes["screen"]]) if "screen" in nodes else None,
        screen_ohms=ohms.get("screen_ohms", 0.0),
    )
    return built, used, nodes


def with_ordinary(found: ComparedRun, ranges: Mapping[str, Sequence[Ordinary]]) -> ComparedRun:
    """The rows with the ends of their ordinary range, scaled and moved as the expected value beside them was."""
    rows = []
    for row in found.rows:
        at = row.spot.place
        span = next((one.ranges[at] for one in ranges.get(row.source, ()) if at in one.ranges), None)
        if span and row.current == "DC" and row.expected_volts and row.adjusted_volts is not None:
            factor = (row.adjusted_volts - (row.shifted_by or 0.0)) / row.expected_volts
            low, high = (volts * factor + (row.shifted_by or 0.0) for volts in span)
            row = replace(row, ordinary_volts=(to_figures(low, 2), to_figures(high, 2)))
        rows.append(row)
    return replace(found, rows=tuple(rows))
