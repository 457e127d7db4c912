"""All single faults of a set on a day, each as a change of its network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM, DcBranch, DcVariant
from ..capacitor_kinds import kind_of_capacitor
from ..elements import CAPACITOR, RESISTOR, WINDING
from ..in_place import in_place
from ..rectifier import dry_rectifier
from .can_leaks import can_leaks
from .found_bad import found_bad, merged, of_found_bad
from .freed_rails import SUPPLY
from .seen_by_meters import emission_on, insulation, may_have_dried_out, old_was_off, resistor_off
from .supposed_fault import LINE, NOTHING, FaultSite, SupposedFault
from .trade_weights import BAD, NOTHING_WRONG, Trade, sizes
from .tried_set import Tried

if TYPE_CHECKING:
    from ...electrics.dc_elements import RectifierInNet, TubeInNet
    from ...electrics.reservoir import Charging

GOOD_EMISSION = 0.75
"""A tube that a tester shows at this much or more is not weak. Common practice, no source."""


def supposed_faults(tried: Tried) -> tuple[SupposedFault, ...]:
    """Every fault in every size, that nothing is wrong first: each a change of the set as it was found (``as_found``).

    What was measured sound has none. With nothing wrong all is as marked that a meter has found bad.
    """
    bad = found_bad(tried)
    whole = merged(NOTHING, (one.marked for one in bad))
    return (
        SupposedFault("", NOTHING, NOTHING_WRONG, whole, FaultSite("")),
        *of_found_bad(bad),
        *_of_resistors(tried),
        *can_leaks(tried),
        *_of_windings(tried),
        *_of_capacitors(tried),
        *_of_tubes(tried),
        *_of_supply(tried),
    )


def _of_resistors(tried: Tried) -> Iterator[SupposedFault]:
    """The faults of the resistors that no meter has judged."""
    ohms = {branch.name: branch.ohms for branch in tried.net.branches}
    for element, site in tried.elements(RESISTOR):
        how, _ = resistor_off(in_place(element.listed, tried.day))
        if how or element.name not in ohms or old_was_off(element.listed, tried.day)[0]:
            continue
        floating = _left_afloat(element.name, site, tried) if site.where == "grid" else None
        for one in sizes("resistor"):
            fault = _changed(element.name, one, element.name, ohms[element.name] * one.size, site)
            yield from (fault,) if one.fault != "open" or floating is None else _afloat(fault, floating)


def _left_afloat(leak: str, site: FaultSite, tried: Tried) -> TubeInNet | None:
    """The tube whose grid nothing but capacitors reach once its leak is open; none of one that grid current biases."""
    contact = {one.name for one in tried.closed.stages if one.contact}
    tube = next((one for one in tried.net.tubes if one.grid in site.nodes - {BOTTOM} and one.name not in contact), None)
    others = (b for b in tried.net.branches if b.name != leak and b.name not in tried.closed.capacitors)
    return None if tube is None or any(tube.grid in branch.ends for branch in others) else tube


def _afloat(fault: SupposedFault, tube: TubeInNet) -> Iterator[SupposedFault]:
    """A grid without a leak: what its capacitor and its tube's gas let through drives it up to its own current."""
    for one in sizes("grid afloat"):
        variant = replace(fault.variant, name=f"{fault.variant.name} {one.size:g}", grid_amps=((tube.name, one.size),))
        weight = fault.weight * one.weight
        yield replace(fault, variant=variant, weight=weight, size=one.size, afloat=tube.grid, float_amps=one.size)


def _of_windings(tried: Tried) -> Iterator[SupposedFault]:
    names = {branch.name for branch in tried.net.branches}
    for element, site in tried.elements(WINDING):
        if element.name in names:
            for one in sizes("winding"):
                yield _changed(element.name, one, element.name, one.size, site)


def _changed(subject: str, one: Trade, branch: str, ohms: float, site: FaultSite) -> SupposedFault:
    variant = DcVariant(f"{subject} {one.fault} {one.size:g}", ohms=((branch, ohms),))
    return SupposedFault(subject, one.fault, one.weight, variant, site, one.size)


def _of_capacitors(tried: Tried) -> Iterator[SupposedFault]:
    """Leaks and shorts of capacitors, but for those that a meter has judged."""
    for element, site in tried.elements(CAPACITOR):
        inside = in_place(element.listed, tried.day)
        kind = kind_of_capacitor(inside)
        seen, leak = insulation(inside, kind)
        if not inside.is_there or inside.condition in ("open", "shorted") or seen == "sound" or leak:
            continue
        for one in sizes(kind, "grid" if site.where == "coupling" else site.where):
            if one.fault == "leaks" or inside.seen.measured is None:
                yield _across(element.name, one, site)


def _across(name: str, one: Trade, site: FaultSite) -> SupposedFault:
    """A resistance across a capacitor."""
    low, high = sorted(site.nodes)
    branch = DcBranch(f"{name} {one.fault}", (high, low), one.size)
    variant = DcVariant(f"{branch.name} {one.size:g}", added=(branch,))
    return SupposedFault(name, one.fault, one.weight, variant, site, one.size)


def _of_tubes(tried: Tried) -> Iterator[SupposedFault]:
    positions = {one.name: one.stage.tube for one in tried.closed.stages}
    bulbs: dict[str, list[TubeInNet]] = {}
    for tube in tried.net.tubes:
        bulbs.setdefault(positions.get(tube.name, tube.name.split()[0]), []).append(tube)
    for position, sections in bulbs.items():
        emission = emission_on(tried.circuit.record, position, tried.day)
        for one in sizes("tube"):
            tested = emission is not None and one.fault in ("weak", "dead")
            if tested and emission is not None and emission >= GOOD_EMISSION:
                continue
            for name, variant in _of_bulb(sections, one, tried):
                weight = one.weight * (BAD if tested else 1.0)
                ends = variant.added[0].ends if variant.added else ()
                driven = (tube.grid for tube in sections if one.does == "grid amps" and tube.name == name)
                site = FaultSite("tube", nodes=frozenset((*ends, *(grid for grid in driven if grid is not None))))
                yield SupposedFault(position, one.fault, weight, variant, site, one.size, name, tested)


def _of_bulb(sections: Sequence[TubeInNet], one: Trade, tried: Tried) -> Iterator[tuple[str, DcVariant]]:
    """A fault of each section, and emission lost in all of them; sections on one cathode lose it together only."""
    together = len({tube.cathode for tube in sections}) == 1
    if one.does == "emission" and len(sections) > 1:
        emission = tuple((tube.name, one.size) for tube in sections)
        yield "", DcVariant(f"{sections[0].name} and all beside {one.fault} {one.size:g}", emission=emission)
        if together:
            return
    for tube in sections:
        variant = _of_tube(tube, one, grid_known=_is_known(tube.grid, tried))
        if variant is not None:
            yield tube.name, variant


def _is_known(grid: int | None, tried: Tried) -> bool:
    """Whether a part is listed at a grid, or it was read: else what its current does there is guesswork."""
    listed = (tried.closed.node(end) for element in tried.closed.parts.values() for end in element.ends)
    return grid not in (None, BOTTOM) and (grid in tried.read or grid in listed)


def _of_tube(tube: TubeInNet, one: Trade, *, grid_known: bool) -> DcVariant | None:
    """A tube's fault; None where it makes no difference, or one that nobody knows: a cathode at the bottom, a grid of
    which nothing is written."""
    name = f"{tube.name} {one.fault} {one.size:g}"
    if one.does == "emission":
        return DcVariant(name, emission=((tube.name, one.size),))
    if one.does == "grid amps":
        return DcVariant(name, grid_amps=((tube.name, one.size),)) if grid_known else None
    if tube.cathode == BOTTOM:
        return None
    return DcVariant(name, added=(DcBranch(name, (tube.cathode, BOTTOM), one.size),))


def _of_supply(tried: Tried) -> Iterator[SupposedFault]:
    """The faults of what feeds B+."""
    yield from _behind_the_first_rail(tried)
    for rectifier in tried.net.rectifiers:
        site = FaultSite("rectifier", None, frozenset((rectifier.node, rectifier.bottom)))
        for one in sizes("rectifier"):
            if rectifier.charging.perveance is not None:
                weaker = replace(rectifier.charging, perveance=rectifier.charging.perveance * one.size)
                yield from _as_tested(_charged(rectifier, weaker, one, rectifier.name, site), tried)
        yield from _of_selenium(tried, rectifier)
        yield from _of_line(tried, rectifier)
        yield from _of_reservoir(tried, rectifier)


def _of_selenium(tried: Tried, rectifier: RectifierInNet) -> Iterator[SupposedFault]:
    """A selenium rectifier ages: it drops more, the more current it gives. Silicon does not."""
    dry = dry_rectifier(tried.circuit.record, tried.circuit.components, tried.day)
    if dry is None or dry.type != "selenium" or rectifier.charging.table:
        return
    site = FaultSite("dry rectifier", None, frozenset((rectifier.node, rectifier.bottom)))
    for one in sizes("selenium"):
        aged = replace(rectifier.charging, ohms=rectifier.charging.ohms + one.size)
        yield _charged(rectifier, aged, one, rectifier.name, site)


def _behind_the_first_rail(tried: Tried) -> Iterator[SupposedFault]:
    """The faults of a supply of which no more is known than its volts on the sheet: each makes it weaker."""
    ohms = next((branch.ohms for branch in tried.net.branches if branch.name == SUPPLY), None)
    if tried.supplied is None or ohms is None:
        return
    tubes = tried.circuit.tubes.items()
    rectifiers = [at for at, tube in tubes if "rectifier" in (tube.role or "") and "output" not in (tube.role or "")]
    at = frozenset((tried.supplied, BOTTOM))
    capacitors = [
        (element.name, site)
        for element, site in tried.elements(CAPACITOR)
        if site.where == "reservoir" and may_have_dried_out(in_place(element.listed, tried.day))
    ]
    subjects = {
        "weak": [(name, FaultSite("rectifier", None, at)) for name in rectifiers],
        "dead": [(name, FaultSite("rectifier", None, at)) for name in rectifiers],
        "dried out": capacitors,
        "low": [] if tried.line_read or not tried.circuit.mains.from_line else [(LINE, FaultSite("line", None, at))],
    }
    for one in sizes("supply"):
        for subject, site in subjects[one.fault]:
            yield from _as_tested(_changed(subject, one, SUPPLY, ohms * one.size, site), tried)


def _as_tested(fault: SupposedFault, tried: Tried) -> Iterator[SupposedFault]:
    """A fault of a rectifier as a tube tester leaves it: none of one that tested good, likelier of one that did not."""
    shown = emission_on(tried.circuit.record, fault.subject, tried.day) if fault.site.where == "rectifier" else None
    if shown is None:
        yield fault
    elif shown < GOOD_EMISSION:
        yield replace(fault, weight=fault.weight * BAD, measured=True)


def _of_line(tried: Tried, rectifier: RectifierInNet) -> Iterator[SupposedFault]:
    if tried.line_read or not tried.circuit.mains.from_line:
        return
    for one in sizes("line"):
        peak = rectifier.charging.peak_volts * one.size
        site = FaultSite("line", None, frozenset((rectifier.node, rectifier.bottom)))
        yield _charged(rectifier, replace(rectifier.charging, peak_volts=peak), one, LINE, site)


def _of_reservoir(tried: Tried, rectifier: RectifierInNet) -> Iterator[SupposedFault]:
    """The first filter capacitor with little of its capacitance left, where its size and the line's hertz are known."""
    trade = tuple(sizes("reservoir"))
    for element, site, inside in tried.reservoirs_of(rectifier):
        farads = inside.nominal or inside.value
        if inside.how == "measured" or not farads or not may_have_dried_out(inside):
            continue
        for one, to in zip(trade, tried.dried(rectifier, [farads * one.size for one in trade]), strict=False):
            yield _charged(rectifier, to, one, element.name, site)


def _charged(rectifier: RectifierInNet, charging: Charging, one: Trade, subject: str, site: FaultSite) -> SupposedFault:
    name = f"{subject} {one.fault} {one.size:g}"
    variant = DcVariant(name, charging=((rectifier.name, charging),))
    return SupposedFault(subject, one.fault, one.weight, variant, site, one.size)
