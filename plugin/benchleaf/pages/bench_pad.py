"""The bench pad: a page with a box for every voltage of a set, to type into on a phone at the bench.

What becomes lines of a record there is done by ``assets/bench-pad.js``; this says which boxes there are.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..chapters.power_up.cold_checks import every_check
from ..chapters.readings.spots import Spot, spot_at
from ..circuit.places import rail
from ..record.place_words import B_PLUS
from ..record.units import say
from ..report.amount import unitless
from .set_page import Choices
from .site_files import ASSETS_MARK
from .to_read import notes

if TYPE_CHECKING:
    from ..chapters.bench import Bench
    from ..chapters.examine import Examined
    from ..chapters.readings.findings import ReadingsFindings
    from ..chapters.readings.rows import ReadingRow
    from ..chapters.readings.worked_out import WorkedOut
    from ..record.sections.meter import Meter
    from ..tubes import Tube

_OF_ANY_TUBE = ("k", "g1", "g2", "a")
"""The electrodes of a tube of which nothing is known. Common practice, no source."""
_SHIELD = "s"
"""The key of a shield, which as a word may be a screen."""
_FIRST_RUN, _LATER_RUN = "as found", "after work"


@dataclass(frozen=True, slots=True)
class PadBox:
    """A voltage to type in: ``at`` is its electrode or pin as the record reads it, empty at a rail.

    ``label`` is what stands above the box, ``hint`` what to expect there, ``full`` the whole place for who does not see
    it. ``current`` is empty for direct volts.
    """

    at: str
    label: str
    full: str
    hint: str = ""
    current: str = ""


@dataclass(frozen=True, slots=True)
class PadGroup:
    """The boxes of one tube, or that of one rail: ``name`` as in the record, ``said`` what the tube is."""

    name: str
    said: str
    boxes: tuple[PadBox, ...]


@dataclass(frozen=True, slots=True)
class _Expected:
    """What is expected at the places of a set: by a sheet, and by its own circuit; and what was read there last."""

    rows: tuple[ReadingRow, ...]
    worked_out: tuple[WorkedOut, ...]
    last: tuple[ReadingRow, ...]

    def hint(self, spot: Spot) -> str:
        """What a box says beside it; empty where nothing is known."""
        row = next((row for row in self.rows if row.spot.identity == spot.identity), None)
        if row is not None:
            return _by_sheet(row)
        one = next((one for one in self.worked_out if one.at == spot.place and spot.current == "DC"), None)
        if one is not None:
            return f"worked out {say(one.volts, 'V')}, {_ends(one.low_volts, one.high_volts)}"
        last = next((row for row in self.last if row.spot.identity == spot.identity), None)
        return f"last read {last.measured_written.replace('-', '−', 1)}" if last else ""


def bench_pad(examined: Examined, name: str, choices: Choices) -> str:
    """The page to type readings into, as one HTML document; ``name`` is the folder of the set."""
    from . import front_matter, rendering
    from .cautions import cautions

    bench = examined.bench
    findings: ReadingsFindings | None = examined.findings["readings"]
    latest = findings.latest.name if findings and findings.latest else None
    return rendering.render(
        "bench_pad.html.j2",
        title=front_matter.title(bench.record),
        assets=ASSETS_MARK,
        words=bench.words,
        cautions=cautions(bench.circuit, bench.words),
        set=name,
        record_at=choices.address(""),
        run=_LATER_RUN if latest else _FIRST_RUN,
        taken=json.dumps([str(run) for run in bench.record.readings]),
        meter=next((_as_written(run.meter) for name, run in bench.record.readings.items() if name == latest), ""),
        to=_reference(bench, findings),
        notes=notes(examined),
        cold=every_check(bench, examined.findings["heaters"], examined.findings["line_side"]),
        tubes=tuple(boxes_of_tubes(bench, findings)),
        rails=tuple(boxes_of_rails(bench, findings)),
    )


def _reference(bench: Bench, findings: ReadingsFindings | None) -> str:
    """The point that the expected values are read to, or the newest readings; where neither is, the set's usual one."""
    at = findings and (findings.at_the_bench or findings.latest)
    return at.conditions.reference if at else bench.words.of_key(bench.circuit.grounding.reference)


def boxes_of_tubes(bench: Bench, findings: ReadingsFindings | None) -> Iterator[PadGroup]:
    """The boxes of every tube in the record's order, which is that of measuring."""
    expected = _expected(findings)
    for position, fitted in bench.record.tubes.items():
        tube = bench.tubes.get(str(position))
        known = _known(str(position), findings)
        boxes = {_name_at(spot): _box(spot, bench, expected) for spot in _spots(str(position), tube, known, bench)}
        job = fitted.job or (bench.words.of_key(tube.role or "") if tube else "")
        said = ", ".join(str(each) for each in (fitted.type, job) if each)
        yield PadGroup(str(position), said, tuple(boxes.values()))


def boxes_of_rails(bench: Bench, findings: ReadingsFindings | None) -> Iterator[PadGroup]:
    """A box for each rail that was read, that a sheet has or that is worked out; for B+ where there is none."""
    expected = _expected(findings)
    known = sorted(_known("", findings), key=lambda spot: spot.current == "DC")
    found = {spot.place: spot for spot in known if not spot.place.tube}
    for one in expected.worked_out:
        if not one.at.tube:
            found.setdefault(one.at, spot_at(one.at, "DC", bench.words))
    if not any(place.kind == B_PLUS for place in found):
        found[rail(B_PLUS)] = spot_at(rail(B_PLUS), "DC", bench.words)
    for spot in found.values():
        label = f"{spot.tube}{_in_brackets(spot.current)}"
        yield PadGroup(spot.tube, "", (PadBox("", label, label, expected.hint(spot), _current(spot)),))


def _expected(findings: ReadingsFindings | None) -> _Expected:
    if findings is None:
        return _Expected((), (), ())
    last = tuple(at.read[-1] for group in findings.together for at in group.places if at.read)
    rows = findings.at_the_bench.rows if findings.at_the_bench else ()
    return _Expected(tuple(row for row in rows if row.expected_written), findings.worked_out, last)


def _known(position: str, findings: ReadingsFindings | None) -> tuple[Spot, ...]:
    """The places that a tube's lists have, or those of all rails; what a sheet alone has stands in no run."""
    if findings is None:
        return ()
    runs = (at.spot for group in findings.together if group.tube == position for at in group.places)
    alone = (row.spot for group in findings.published_only if group.tube == position for row in group.rows)
    return tuple({spot.identity: spot for spot in (*runs, *alone)}.values())


def _spots(position: str, tube: Tube | None, known: Iterable[Spot], bench: Bench) -> list[Spot]:
    """The electrodes of a tube and what else was read there, in the order of looking; AC first, as DC hides it."""
    known = tuple(known)
    read = {spot.place for spot in known}
    own = [spot for spot in _electrodes(position, tube, bench) if spot.place not in read]
    return sorted((*known, *own), key=lambda spot: (*spot.look, spot.current == "DC"))


def _electrodes(position: str, tube: Tube | None, bench: Bench) -> Iterator[Spot]:
    """The electrodes that can be measured: all but heaters, a shield of its own and what leads nowhere."""
    from ..tubes import electrodes

    keys = [key for key in electrodes(tube) if key != _SHIELD] if tube else _OF_ANY_TUBE
    for key in keys or _OF_ANY_TUBE:
        for place in bench.circuit.places.at_tube(position, key):
            direct = tube is not None and tube.heater.direct
            if place.electrode != "tie" and (direct or place.electrode != "heater"):
                yield spot_at(place, "AC" if place.kind == "AC" else "DC", bench.words)


def _box(spot: Spot, bench: Bench, expected: _Expected) -> PadBox:
    from ..chapters.readings.pins import pins_of

    pins = "" if spot.pin else pins_of(spot, bench.tubes)
    said = _name_at(spot)
    label = ", ".join(each for each in (pins, said) if each) + _in_brackets(spot.current)
    return PadBox(said, label, f"{spot.tube} {said}", expected.hint(spot), _current(spot))


def _name_at(spot: Spot) -> str:
    """An electrode as a record names it; a place that is one of two pins of a name by its pin."""
    return f"pin {spot.pin}" if spot.pin.isdecimal() else spot.said


def _in_brackets(current: str) -> str:
    return "" if current == "DC" else f" ({current})"


def _current(spot: Spot) -> str:
    return "" if spot.current == "DC" else spot.current


def _by_sheet(row: ReadingRow) -> str:
    """What a sheet leads to expect, with the band about it."""
    current = "" if row.current == "DC" else f" {row.current}"
    if row.adjusted_volts is None:
        return f"expected {row.expected_written}{current}"
    band = f", {_ends(*row.allowed_volts)}" if row.allowed_volts else ""
    return f"expected {say(row.adjusted_volts, 'V')}{current}{band}"


def _ends(low: float, high: float) -> str:
    if math.isinf(low):
        return f"at most {unitless(high, 'V')}" if math.isfinite(high) else "any"
    return f"at least {unitless(low, 'V')}" if math.isinf(high) else f"{unitless(low, 'V')} to {unitless(high, 'V')}"


def _as_written(meter: Meter | None) -> str:
    """A meter as a record has it on one line; empty where none is written."""
    if meter is None:
        return ""
    sensitivity = f"{meter.ohms_per_volt.written}/V" if meter.ohms_per_volt else ""
    on = f"{sensitivity} on {meter.range_.written}" if sensitivity and meter.range_ else sensitivity
    loads = on or (meter.ohms.written if meter.ohms else "")
    of_range = f"{meter.error_of_range.written} of range" if meter.error_of_range else ""
    errors = (meter.error.written if meter.error else "", of_range)
    named = " ".join(each for each in (str(meter.note or ""), loads) if each)
    return ", ".join(each for each in (named, *errors) if each)
