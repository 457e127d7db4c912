"""The stages put into a network: each electrode at what feeds it, by the record or by rule, with its tube's law."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from ...electrics.dc_elements import BOTTOM, Deviations, TubeInNet
from ...electrics.tube_law import oscillator_triode
from ...record.place_words import AVC, B_PLUS
from ..places import Place
from ..stages import Stage, operations
from .bias_known import GRID_AT_ZERO_VOLTS, at_bottom, biased_by_contact, of_unknown_bias
from .cathode_loads import works_into_its_cathode
from .closed_network import ClosedStage, Lacking, TakenAs
from .in_the_making import NetInTheMaking
from .indicator_closing import close_indicators
from .laws import StageLaw, law_of
from .oscillating import OSCILLATOR_SPREAD, USUAL_OSCILLATOR, oscillator_at_work
from .rail_above import AT_A_RAIL, WIRE_OHMS, rail_above

PLATE_OHMS, LOAD_OHMS = 20.0, 300.0
LOAD_SPREAD = 0.5
GRID_LEAK_OHMS, GRID_LEAK_SPREAD = 470e3, 0.3
OSCILLATING_VOLTS = -1.5
"""A triode's grid that reads below this, its cathode at the bottom, rectifies an oscillation. Common practice."""
AVC_SPREAD = 0.3
"""Volts that a tube's grid may be off where AVC makes it: without a signal that is the diode's contact potential, 0 to
-0.6 V. Common practice, no source."""
HELD_SPREAD = 0.02
LITTLE_AMPS = 2.5e-3
"""A triode published at no more works behind a resistor at a third of it. Common practice, no source."""
_USUAL_SCREEN_SHARE, _USUAL_RAIL_VOLTS, _LEAST_PULL_VOLTS = 0.4, 250.0, 20.0
_AT_ZERO_VOLTS = 0.2


def close_stages(making: NetInTheMaking, rails: list[Place]) -> bool:
    """Puts every stage in, in the record's order; what is lacking is written down.

    True where the rails bear what the set draws: no stage is left out that draws more than a little, and no plate or
    screen is held from outside.
    """
    close_indicators(making, rails)
    whole = not list(_of_unknown_types(making))
    for stage in making.circuit.network.stages:
        put_in = _close(making, stage, rails)
        ends = {making.point(at) for at in (*stage.plates, *stage.screens)}
        from_outside = {at for at in making.held & ends if at.kind != B_PLUS}
        whole = whole and (_draws_little(making, stage) or (put_in and not from_outside))
    return whole


def _of_unknown_types(making: NetInTheMaking) -> Iterator[str]:
    """The positions of unknown types that the record has a plate or screen of: each is lacking."""
    known = {position for position, tube in making.circuit.tubes.items() if tube.sections}
    parts = (end for element in making.circuit.network.elements for end in element.ends)
    drawing = {at.tube: at for at in (*parts, *making.volts) if at.kind in ("plate", "screen")}
    for position, fitted in making.circuit.record.tubes.items():
        if position in drawing and position not in known:
            making.lacks.append(Lacking("type", drawing[position], part=str(position), type=str(fitted.type)))
            yield str(position)


def _draws_little(making: NetInTheMaking, stage: Stage) -> bool:
    """Whether a stage is a triode for small signals, whose part of a rail's current is lost in the range."""
    tube = making.circuit.tubes.get(stage.tube)
    if tube is None or stage.screens or "triode" not in stage.section or any(at.swings for at in stage.plates):
        return False
    published = [point.plate_amps for point in operations(stage, tube) if point.plate_amps]
    return max(published) <= LITTLE_AMPS if published else "high-mu" in (tube.role or "")


def _close(making: NetInTheMaking, stage: Stage, rails: list[Place]) -> bool:
    """Whether a stage could be put in."""
    tube = making.circuit.tubes.get(stage.tube)
    plate = stage.plates[0] if stage.plates else None
    if tube is not None and tube.heater.direct and stage.cathode is None:
        stage = _on_its_filament(making, stage)
    if tube is None or plate is None or stage.cathode is None:
        return False
    mixes = not any(making.has_no_supply(at) for at in stage.beside)
    law = law_of(stage, tube, _pull_volts(making, stage, rails), mixes=mixes)
    if law is None:
        making.unknown.update(making.point(p) for p in (*stage.plates, *stage.screens, stage.cathode))
        making.lacks.append(Lacking("type", plate, part=stage.name, type=tube.asked or tube.type))
        return False
    _cathode(making, stage.cathode)
    if (stage.oscillates and law.point.grid_volts == 0) or _makes_its_own_bias(making, stage):
        law = oscillator_at_work(making, law, plate)
    closed = [_fed(making, stage, place, rails) for place in (plate, *stage.screens[:1])]
    if not all(closed):
        making.unknown.update(making.point(p) for p in (plate, *stage.screens, stage.cathode))
        return False
    for number, other in enumerate(stage.plates[1:], start=2):
        _further_plate(making, stage, other, number)
    grid = _grid(making, stage) if law.law.grid_acts else None
    if law.law.grid_acts and of_unknown_bias(making, stage):
        # What it draws is little either way; where its plate stands hangs on the bias.
        making.lacks.append(Lacking("part", stage.cathode))
        making.taken[:] = [one for one in making.taken if (one.how, one.place) != ("at the bottom", stage.cathode)]
        making.unknown.update(making.point(p) for p in (*stage.plates, stage.cathode))
    _tube(making, stage, law, plate, grid)
    return True


def _further_plate(making: NetInTheMaking, stage: Stage, plate: Place, number: int) -> None:
    """A further plate of the section, a converter's oscillator: it has no published current of its own."""
    assert stage.cathode is not None
    if making.reaches(plate, making.sources):
        law, nodes = oscillator_triode(*USUAL_OSCILLATOR), (making.node(plate), making.node(stage.cathode))
        making.tubes.append(TubeInNet(f"{stage.name} plate {number}", law, *nodes, deviations=OSCILLATOR_SPREAD))
        return
    making.unknown.add(making.point(plate))
    if not making.circuit.network.is_common(stage.cathode):
        making.unknown.add(making.point(stage.cathode))


def _on_its_filament(making: NetInTheMaking, stage: Stage) -> Stage:
    """A stage with its filament as the cathode, where its bias is known: by what is at the filament, or at the grid.

    The parts of such a bias often end at a winding's tap, which is no place of the tube: then the stage is left out.
    """
    filament = next(iter(making.circuit.places.at_tube(stage.tube, "filament")), None)
    if filament is None or filament.kind != "cathode":
        return stage
    wired = making.node(filament) == BOTTOM or list(making.fed_from(filament)) or making.read(filament) is not None
    negative = any((making.read(grid) or 0.0) < -GRID_AT_ZERO_VOLTS for grid in stage.grids)
    if wired or negative:
        return replace(stage, cathode=filament)
    making.lacks.append(Lacking("part", filament))
    return stage


def _makes_its_own_bias(making: NetInTheMaking, stage: Stage) -> bool:
    """Whether a triode that is written to mix or to oscillate has no bias but what its oscillating grid makes.

    Its cathode is at the bottom, and its grid was not read at work: what it takes is not what one at rest would.
    """
    apart = stage.screens or stage.oscillates or not stage.swings
    if apart or stage.cathode is None or not at_bottom(making, stage.cathode):
        return False
    return not any(_rectifies(making, stage, grid, making.read(grid)) for grid in stage.grids)


def _tube(making: NetInTheMaking, stage: Stage, law: StageLaw, plate: Place, grid: Place | None) -> None:
    assert stage.cathode is not None
    contact = grid is not None and biased_by_contact(making, stage.cathode, grid)
    making.tubes.append(
        TubeInNet(
            stage.name,
            law.law,
            making.node(plate),
            making.node(stage.cathode),
            making.node(grid) if grid is not None else None,
            making.node(stage.screens[0]) if stage.screens else None,
            _spread(making, law, grid),
        )
    )
    making.stages.append(ClosedStage(stage.name, stage, law.point, law.converter, contact))


def _spread(making: NetInTheMaking, law: StageLaw, grid: Place | None) -> Deviations:
    """How far a tube may be from its law; more where its grid hangs on AVC, or on what nobody has written."""
    here = making.nodes.get(making.point(grid)) if grid is not None else None
    hung = {making.nodes[at] for at in making.nodes if at.kind == AVC}
    taken = {f"{at.name()} leak" for at in (grid,) if at is not None}
    loose = here in hung or any(
        branch.name in taken or hung & set(branch.ends) for branch in making.branches if here in branch.ends
    )
    return replace(law.deviations, offset_volts=AVC_SPREAD) if loose and law.law.grid_acts else law.deviations


def _pull_volts(making: NetInTheMaking, stage: Stage, rails: list[Place]) -> float:
    """About what the screen (a triode's plate) stands at in a sound set: published, read, or a usual share of its rail.

    What was read may be a fault's work: nothing so low counts as no tube works at.
    """
    at = making.point((stage.screens or stage.plates)[0])
    read = making.published.get(at, making.volts.get(at, 0.0))
    if read > _LEAST_PULL_VOLTS:
        return read
    top = next((v for v in map(making.read, rails) if v and v > _LEAST_PULL_VOLTS), _USUAL_RAIL_VOLTS)
    output = any(plate.swings for plate in stage.plates)
    return top if output else _USUAL_SCREEN_SHARE * top


def _cathode(making: NetInTheMaking, cathode: Place) -> None:
    """A cathode without a part is at the bottom, unless a reading says otherwise."""
    if making.node(cathode) == BOTTOM or list(making.fed_from(cathode)):
        return
    volts = making.volts.get(making.point(cathode), making.published.get(making.point(cathode)))
    if volts is not None and abs(volts) > _AT_ZERO_VOLTS:
        _hold(making, cathode, volts)
        return
    making.branch(f"{cathode.name()} to the bottom", cathode, making.bottom, WIRE_OHMS)
    making.taken.append(TakenAs("at the bottom", cathode, making.bottom))


def _hold(making: NetInTheMaking, place: Place, volts: float, how: Literal["held", "oscillates"] = "held") -> None:
    at = making.point(place)
    if at not in making.held:
        making.hold(place, volts, HELD_SPREAD)
        making.held.add(at)
        source = making.run if at in making.volts else making.sheet
        making.taken.append(TakenAs(how, place, value=volts, unit="V", source=source))


def _fed(making: NetInTheMaking, stage: Stage, place: Place, rails: list[Place]) -> bool:
    """Whether a plate or screen is fed, by parts of the record or by a rule."""
    if making.point(place) in making.held or making.reaches(place, making.sources):
        return True
    read = making.read(place)
    fed = [at for at in rails if making.reaches(at, making.sources)]
    near = next((at for at in reversed(fed) if read is not None and _is_at(read, making.read(at))), None)
    usual = _usual_rail(stage, place, fed, read, making)
    if near is not None or usual is not None:
        to = near or usual
        assert to is not None
        winding = place in stage.plates
        ohms = (LOAD_OHMS if place.swings else PLATE_OHMS) if winding else WIRE_OHMS
        making.branch(f"{place.name()} to its rail", place, to, ohms, LOAD_SPREAD if winding else 0.0)
        making.taken.append(TakenAs("fed from", place, to))
        return True
    if read is not None and read > _AT_ZERO_VOLTS and not list(making.fed_from(place)):
        _hold(making, place, read)
        return True
    making.lacks.append(Lacking("part", place))
    return False


def _is_at(volts: float, rail_volts: float | None) -> bool:
    return rail_volts is not None and abs(volts / rail_volts - 1) <= AT_A_RAIL if rail_volts else False


def _usual_rail(
    stage: Stage, place: Place, rails: list[Place], read: float | None, making: NetInTheMaking
) -> Place | None:
    """Where a plate without a part hangs: an output tube's on the first rail, a winding's of others on the second.

    Where it was read, it is on the last rail that stands above it. The plate of a triode that is no output works into
    a resistor, and the screen of an RF tube hangs on one: neither is on a rail without a sign of it. The screen of an
    output tube is on the second rail.
    """
    if not rails:
        return None
    first, second = rails[0], rails[min(1, len(rails) - 1)]
    if place in stage.plates and not (stage.screens or place.swings or stage.mixes):
        return None
    if place in stage.screens and not any(plate.swings for plate in stage.plates):
        return None
    to = first if place.swings and place in stage.plates else second
    return rail_above(making, rails, read, to, nearest=place in stage.plates)


def _grid(making: NetInTheMaking, stage: Stage) -> Place | None:
    """The control grid of a stage; without a part it is at the bottom, with a capacitor behind the usual leak."""
    grids = [at for at in stage.grids if at.electrode == "grid"] or list(stage.grids)
    if not grids:
        return None
    grid = grids[0]
    read = making.read(grid)
    if _rectifies(making, stage, grid, read):
        assert read is not None
        _hold(making, grid, read, "oscillates")
        return grid
    if making.node(grid) == BOTTOM or list(making.fed_from(grid)):
        return grid
    if read is not None and read < -GRID_AT_ZERO_VOLTS:
        _hold(making, grid, read)
        return grid
    if works_into_its_cathode(making, stage):
        # Its grid hangs somewhere on what lies in the cathode: where, nobody wrote, and nothing is judged by a guess.
        assert stage.cathode is not None
        making.branch(f"{grid.name()} leak", grid, stage.cathode, GRID_LEAK_OHMS, GRID_LEAK_SPREAD)
        making.lacks.append(Lacking("part", grid))
        making.unknown |= {making.point(at) for at in (*stage.plates, *stage.grids, stage.cathode)}
        return grid
    making.branch(f"{grid.name()} leak", grid, making.bottom, GRID_LEAK_OHMS, GRID_LEAK_SPREAD)
    making.taken.append(TakenAs("grid leak", grid, making.bottom, value=GRID_LEAK_OHMS, unit="ohm"))
    return grid


def _rectifies(making: NetInTheMaking, stage: Stage, grid: Place, read: float | None) -> bool:
    """Whether a triode's own oscillation makes its grid negative, more than its current at rest would.

    Not where the grid's leak ends at a point that may be negative by itself: that is a bias.
    """
    if read is None or read > OSCILLATING_VOLTS or stage.screens or stage.cathode is None:
        return False
    ends = {BOTTOM, making.node(stage.cathode)}
    return at_bottom(making, stage.cathode) and ends.issuperset(making.fed_from(grid))
