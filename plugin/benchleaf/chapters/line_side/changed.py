"""What was changed between plug and hand, in one line."""

from __future__ import annotations

from collections.abc import Iterator

from ...record.kind_of_part import UNIT_BY_KIND
from ...record.sections.line_side import Fuse, LineSideState
from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words
from ..bench import Bench
from .barriers import ComputedComponent, components_of
from .described import DescribedState, is_one_switch
from .findings import LineSideFindings
from .say import ANCHOR
from .side import StateFindings


def done(f: LineSideFindings, bench: Bench) -> Iterator[Sentence]:
    """What was changed between plug and hand, in one line."""
    sides = bench.record.line_side
    if sides is None or sides.before is None or sides.after is None or f.before is None or f.after is None:
        return
    first, then = _told(sides.before, f.before, bench), _told(sides.after, f.after, bench)
    if is_one_switch(f.before.described, f.after.described):
        then.pop("switch", None)
    changed = [said for name, said in then.items() if first.get(name) != said]
    if changed:
        said = "; ".join(changed)
        yield Sentence(Verdict.PLAIN, f"{said[:1].upper()}{said[1:]}.", ANCHOR)


def _told(state: LineSideState, side: StateFindings, bench: Bench) -> dict[str, str]:
    """What a state says of each place between plug and hand, in few words."""
    fuse, words = state.fuse, bench.words
    barrier = " and ".join(_component(c) for c in components_of(side.described.wiring.b_minus) if c.kind != "wire")
    said = {
        "plug": f"plug {words.of_key(state.plug)}" if state.plug else "",
        "fuse": "" if fuse is None or fuse.none else _fuse(fuse, words),
        "switch": _switch(side.described, words),
        "earth lead": f"{words.earth} lead {state.earth_lead}" if state.earth_lead else "",
        "b minus": f"{barrier} from {words.b_minus} to chassis" if barrier else "",
    }
    return {name: text for name, text in said.items() if text}


def _fuse(fuse: Fuse, words: Words) -> str:
    """Where it is, or of what rating it is where that is not written."""
    if fuse.in_:
        return f"fuse{_in(words.of_key(str(fuse.in_)))}"
    return f"fuse of {say(fuse.amps.si, 'A')}" if fuse.amps and fuse.amps.si else "fuse fitted"


def _switch(described: DescribedState, words: Words) -> str:
    on = f" on the {described.control}" if described.control else ""
    if described.switch and described.switch.endswith("lead"):
        return f"switch{_in(words.of_key(described.switch))}{on}"
    return f"{described.switch} switch{on}" if described.switch else f"switch{on}" if on else ""


def _in(lead: str) -> str:
    return f" in {lead}" if lead.startswith("both") else f" in the {lead}" if lead else ""


def _component(component: ComputedComponent) -> str:
    value = say(component.value, UNIT_BY_KIND[component.kind])
    return f"{value} {component.of_class or ''}".rstrip()
