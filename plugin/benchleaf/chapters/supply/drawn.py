"""What is drawn straight from the reservoir, ahead of the choke or resistor that leads on from it.

The output tubes by their operating points; every resistor from there to somewhere else by Ohm's law; and where nothing
leads on, so that all hangs on the one rail, every other stage (Kirchhoff's current law).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.currents import OUTPUT_SHARE
from ...circuit.elements import CAPACITOR, RESISTOR, WINDING
from ...circuit.line_scaling import as_it_stands
from ...circuit.stages import stage_of_unknown
from ...circuit.usual_limits import ONE_POINT, THROUGH_A_WINDING
from ..readings.runs import Readings, told_apart
from ..readings.volts import voltages
from ..readings.working_points import working_points

if TYPE_CHECKING:
    from ...circuit.operating import Operating
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ..bench import Bench


@dataclass(frozen=True, slots=True)
class Drawn:
    """Amperes drawn straight from the first rail at ``line_volts`` (None: not known), by what, what was assumed.

    ``lacks`` says what would close it where a tube's current cannot be known.
    """

    amps: float = 0.0
    line_volts: float | None = None
    tubes: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _List:
    """One list of readings with what follows from it."""

    run: Readings
    volts: Mapping[Place, float]
    points: Mapping[str, Operating]


def drawn_from(bench: Bench, rails: Sequence[Place], flow_amps: float | None) -> Drawn:
    """What the output tubes that are fed from the first of ``rails`` draw from it, and all else that does.

    ``flow_amps`` leads on to the second rail, so that no tube which takes more can hang behind it; None where nothing
    leads on, and all hangs on the first.
    """
    expected, measured = told_apart(bench)
    network = bench.circuit.network
    lists = [_List(run, voltages(run, network), working_points(run, bench)) for run in (*reversed(measured), *expected)]
    whole, output = Drawn(), list(_output_stages(bench, lists))
    for stage in output:
        point, line_volts = _latest(stage, lists, bench)
        rail, said = _fed_from(stage, point, rails, flow_amps, lists, bench)
        if rail != rails[0]:
            whole = replace(whole, assumed=(*whole.assumed, *said))
            continue
        amps, more = _amps(stage, point, rails, lists, bench)
        lacks = () if amps is not None else (_lacking(stage, rails[0], bench),)
        scale = whole.line_volts / line_volts if whole.line_volts and line_volts else 1.0
        whole = Drawn(
            whole.amps + (amps or 0.0) * scale,
            whole.line_volts or line_volts,
            (*whole.tubes, stage.name),
            (*whole.assumed, *said, *more),
            (*whole.lacks, *lacks),
        )
    if whole.lacks or not (whole.tubes or flow_amps):
        return whole
    whole = _with_resistors(
        whole, {at for stage in output for at in (*stage.plates, *stage.screens)}, rails, lists, bench
    )
    return whole if flow_amps is not None else _with_other_stages(whole, output, rails[0], lists, bench)


def _with_resistors(
    whole: Drawn, told: set[Place], rails: Sequence[Place], lists: Sequence[_List], bench: Bench
) -> Drawn:
    """With what resistors carry from the first rail to anything but the next rails and electrodes that are ``told``.

    So does a winding that leads to the bottom of the supply: a speaker's field across it.
    """
    network = bench.circuit.network
    aside = {network.point(at) for at in (*told, *rails)}
    across = (one for one in network.at(rails[0], WINDING) if network.is_common(network.other_end(one, rails[0])))
    for element in (*network.at(rails[0], RESISTOR), *across):
        end = network.point(network.other_end(element, rails[0]))
        found = None if end in aside else _carried(element.name, rails[0], end, lists, bench)
        if found is None or found[0] <= 0:
            continue
        amps, line_volts = found
        scale = whole.line_volts / line_volts if whole.line_volts and line_volts else 1.0
        whole = replace(whole, amps=whole.amps + amps * scale, tubes=(*whole.tubes, element.name))
    return whole


def _carried(
    name: str, rail: Place, end: Place, lists: Sequence[_List], bench: Bench
) -> tuple[float, float | None] | None:
    """What a resistor carries from the rail by the latest list that has both its ends, and that list's line."""
    network = bench.circuit.network
    at = network.point(rail)
    for known in lists:
        volts = {network.point(place): read for place, read in known.volts.items()}
        if network.is_common(end):
            volts.setdefault(end, 0.0)
        there = next((r for r in bench.circuit.resistors(known.run.when, bench.words) if r.part == name), None)
        if there is not None and not there.bound and at in volts and end in volts:
            line = known.run.conditions.line_volts
            amps = (volts[at] - volts[end]) / there.ohms
            return amps, as_it_stands(bench.circuit, known.run.name, line) if line else None
    return None


def _with_other_stages(
    whole: Drawn, output: Sequence[Stage], rail: Place, lists: Sequence[_List], bench: Bench
) -> Drawn:
    """With the stages that are fed from the one rail there is, as far as no resistor has told their current already."""
    network = bench.circuit.network
    told = {stage.name for stage in output}
    by_resistor = {
        network.point(network.other_end(one, rail)) for one in network.at(rail, RESISTOR) if one.name in whole.tubes
    }
    for stage in network.stages:
        left = [at for at in (*stage.plates, *stage.screens) if network.point(at) not in by_resistor]
        if stage.name in told or not any(at.electrode == "plate" for at in left):
            continue
        point, line_volts = _latest(stage, lists, bench)
        everything = len(left) == len(stage.plates) + len(stage.screens)
        amps = (point.cathode_amps if everything else point.plate_amps) if point else None
        if point is not None and amps is None:
            amps = point.plate_amps
        if amps is None:
            said = f"what {stage.name} draws is left out: it is not known"
            whole = replace(whole, assumed=(*whole.assumed, said))
            continue
        scale = whole.line_volts / line_volts if whole.line_volts and line_volts else 1.0
        whole = replace(whole, amps=whole.amps + amps * scale, tubes=(*whole.tubes, stage.name))
    return whole


def _output_stages(bench: Bench, lists: Sequence[_List]) -> Iterator[Stage]:
    """The stages that drive the speaker: of a tube with several sections the one with a screen, where there is one."""
    network = bench.circuit.network
    for position, fitted in bench.record.tubes.items():
        tube = bench.tubes.get(str(position))
        if not (tube and tube.role) and "output" in str(fitted.job or "").casefold():
            read = {at: None for known in lists for at in known.volts if at.tube == position}
            yield stage_of_unknown(str(position), read)
        elif tube is not None and "output" in (tube.role or ""):
            own = [stage for stage in network.stages if stage.tube == position and stage.plates]
            yield from [stage for stage in own if stage.screens] or own


def _latest(stage: Stage, lists: Sequence[_List], bench: Bench) -> tuple[Operating | None, float | None]:
    """The stage's operating point in the latest list that tells its current, and that list's line."""
    for known in lists:
        point = known.points.get(stage.name) or _shared(stage, known.points, bench)
        if point is not None and (point.plate_amps is not None or point.cathode_amps is not None):
            line = known.run.conditions.line_volts
            return point, as_it_stands(bench.circuit, known.run.name, line) if line else None
    return None, None


def _shared(stage: Stage, points: Mapping[str, Operating], bench: Bench) -> Operating | None:
    """The operating point of a tube of the same type that shares its cathode resistor with this one."""
    own = bench.tubes.get(stage.tube)
    alike = (p for p in points.values() if p.sharing_cathode > 1 and own is not None and bench.tubes.get(p.tube) == own)
    return next((p for p in alike if p.section == stage.section), None)


def _fed_from(
    stage: Stage,
    point: Operating | None,
    rails: Sequence[Place],
    flow_amps: float | None,
    lists: Sequence[_List],
    bench: Bench,
) -> tuple[Place | None, tuple[str, ...]]:
    """The rail that a stage's plate hangs on: as written, else the nearest above what was read there, else the first.

    None where the record feeds it from somewhere that is no rail of the filter.
    """
    network = bench.circuit.network
    if not stage.plates:
        return rails[0], (f"{stage.tube} is fed from {rails[0].name(bench.words)}",)
    plate = stage.plates[0]
    for element in network.feeds(plate):
        end = network.point(network.other_end(element, plate))
        if rail := next((rail for rail in rails if network.same(rail, end)), None):
            return rail, ()
    amps = point.plate_amps or point.cathode_amps if point else None
    behind = flow_amps is None or amps is None or amps <= flow_amps
    near = _nearest(plate, rails if behind else rails[:1], lists)
    how = "nearest above what was read there" if near else "nothing else is written of it"
    rail = near or rails[0]
    return rail, (f"the {bench.words.plate} of {stage.tube} is fed from {rail.name(bench.words)}: {how}",)


def _nearest(plate: Place, rails: Sequence[Place], lists: Sequence[_List]) -> Place | None:
    """The rail that a plate was read next below, in the latest list that has both."""
    for known in lists:
        here = known.volts.get(plate)
        near = {
            rail: known.volts[rail] - here
            for rail in rails
            if here and known.volts.get(rail) and -ONE_POINT <= 1 - here / known.volts[rail] <= THROUGH_A_WINDING
        }
        if near:
            return min(near, key=lambda rail: abs(near[rail]))
    return None


def _amps(
    stage: Stage, point: Operating | None, rails: Sequence[Place], lists: Sequence[_List], bench: Bench
) -> tuple[float | None, tuple[str, ...]]:
    """What a stage takes from the first rail: its plate's current, with its screen's where that hangs there too."""
    if point is None:
        return None, ()
    plate, screen = point.plate_amps, point.screen_amps
    if plate is None and point.cathode_amps is not None:
        plate, screen = point.cathode_amps * (1 - OUTPUT_SHARE), point.cathode_amps * OUTPUT_SHARE
    if plate is None:
        return None, ()
    usual = point.plate_by in ("assumed share", "") and point.screen_share in (OUTPUT_SHARE, None)
    said = (f"{OUTPUT_SHARE:.0%} of {stage.tube}’s cathode current for its {bench.words.screen}",) if usual else ()
    whole = plate + (screen or 0.0) if _screen_on(stage, rails, lists, bench) else plate
    return whole, said


def _screen_on(stage: Stage, rails: Sequence[Place], lists: Sequence[_List], bench: Bench) -> bool:
    """Whether the screen hangs on the first rail too: as written, or read the same and unlike the second."""
    network = bench.circuit.network
    for screen in stage.screens:
        ends = [screen, *(network.other_end(element, screen) for element in network.feeds(screen))]
        if on := [rail for end in ends for rail in rails if network.same(end, rail)]:
            return on[0] == rails[0]
        for known in lists:
            here, first = known.volts.get(screen), known.volts.get(rails[0])
            if here and first:
                return abs(first - here) <= ONE_POINT * first
    return False


def _lacking(stage: Stage, rail: Place, bench: Bench) -> str:
    """The line of a record that would tell what a stage draws."""
    network, tube = bench.circuit.network, stage.tube
    drawn = f"the current that {tube} draws from {rail.name(bench.words)}"
    if stage.cathode is None or network.is_common(stage.cathode):
        return f"{drawn}: the ohms of what feeds its {bench.words.plate}, and readings at both its ends"
    cathode = stage.cathode.name(bench.words)
    if all(element.kind == CAPACITOR for element in network.at(stage.cathode)):
        resistor = f"“R8: 150 ohm, between {cathode} and {bench.circuit.grounding.reference}”"
        return f"{drawn}: its cathode resistor, in a line like {resistor}, and a reading at {cathode}"
    return f"{drawn}: a reading at {cathode}, and the ohms of its resistor"
