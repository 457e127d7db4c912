"""What a set's rectifier is fed from: the volts of its winding, its ways to the reservoir, the resistance before it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..record.place_words import folded
from ..record.sections.reading_lists import is_published
from .elements import ends_of
from .heater_names import fed_by
from .in_place import When, in_place
from .line_scaling import as_it_stands, line_of
from .read_volts import plain_readings

if TYPE_CHECKING:
    from ..record.sections.heaters import Winding
    from ..record.sections.readings import Run
    from .circuit import Circuit
    from .listed import Listed
    from .places import Place
    from .rectifier import DryRectifier

_HEATER_AND_MORE = 2.0
"""A winding of more than so many times the rectifier's heater volts feeds its plates. Common practice, no source."""
MORE_THAN_HEATERS = 60.0
"""Volts that no heater winding has, so that they are a dry rectifier's. Common practice, no source."""


AT_WORK_VOLTS = 20.0
"""Direct volts that nothing has in a set whose rectifier is out. Common practice, no source."""

_OFF_LOAD = re.compile(
    r"\b(?:no|off|without|zero)[- ]load\b|\bunloaded\b|\bopen\b"
    r"|\b(?:tubes?|valves?|rectifier)\s+(?:all\s+)?(?:out|removed|pulled)\b",
    re.I,
)
_ON_LOAD = re.compile(r"\b(?:on|under|with|full)[- ]load\b|\bloaded\b", re.I)

FULL_WAVE = re.compile(r"\b(?:full|both)[- ]?waves?\b|\bbi-?phase\b|\bdouble[- ]diode\b|\bduo-?diode\b", re.I)


@dataclass(frozen=True, slots=True)
class RectifierAc:
    """``volts`` RMS at one plate or arm, at ``line_volts`` with the selector where it stands now (None: not known).

    ``how`` it is known: ``read`` at the rectifier in the list of readings ``run``, ``measured`` or ``rated`` at the
    winding. ``halves`` says that the winding is written with a tap in its middle. ``loaded`` says whether it gave its
    current then, None where nothing tells; ``rated_amps`` is the direct current that a rating holds for.
    """

    volts: float
    line_volts: float | None
    how: Literal["read", "measured", "rated"]
    halves: bool = False
    run: str = ""
    loaded: bool | None = None
    rated_amps: float | None = None

    @property
    def share(self) -> float:
        """Volts for each volt of the line; the volts themselves where no line is known."""
        return self.volts / (self.line_volts or 1.0)


def rectifier_ac(circuit: Circuit, beside: str = "") -> RectifierAc | None:
    """The AC reading at the rectifier, else the volts of the winding that is written to feed it.

    It is that of the list ``beside`` which it is used; where that has none, or none is named, the one that makes most
    of the line.
    """
    read = ac_readings(circuit)
    own = [one for one in read if one.run == beside]
    return max(own or read, default=None, key=lambda one: one.share) or _of_winding(circuit)


def ac_readings(circuit: Circuit) -> tuple[RectifierAc, ...]:
    """The AC readings at the rectifier, the highest of each list, in the record's order."""
    dry = circuit.dry_rectifier
    part = folded(dry.part) if dry else ""
    found: dict[str, RectifierAc] = {}
    for name, run in circuit.record.readings.items():
        for at, volts, mark in plain_readings(run, circuit.places):
            # Nothing read is a winding without volts, which feeds no rectifier.
            if mark == "ac" and volts and (at.kind == "AC" or (part and folded(at.name()) == part)):
                line, halves, of = _line_at(circuit, str(name), run), _has_halves(circuit), str(name)
                here = RectifierAc(abs(volts), line, "read", halves, of, _loaded_in(circuit, of, run))
                found[of] = max(found.get(of, here), here, key=lambda one: one.volts)
    return tuple(found.values())


def _said_loaded(said: str) -> bool | None:
    """Whether words say that a winding gave its current, or gave none."""
    return False if _OFF_LOAD.search(said) else True if _ON_LOAD.search(said) else None


def _loaded_in(circuit: Circuit, name: str, run: Run) -> bool | None:
    """Whether the set was at work when a list was read: by its words, or by direct volts that only a B+ has."""
    said = _said_loaded(" ; ".join(map(str, filter(None, (name, run.note, run.controls)))))
    at_work = any(volts > AT_WORK_VOLTS for volts in circuit.direct_volts.get(name, {}).values())
    return said if said is not None else True if at_work else None


def _line_at(circuit: Circuit, name: str, run: Run) -> float | None:
    """The line of a list, or the set's own, as the selector stands now."""
    at = line_of(circuit, name) or (circuit.mains.volts.nominal if circuit.mains.volts else None)
    return as_it_stands(circuit, name, at, published=is_published(name, run)) if at else None


def rectifier_paths(circuit: Circuit, dry: DryRectifier | None) -> int:
    """1 where every other half wave charges the reservoir, 2 where each does: a bridge, two plates, a tapped winding.

    A dry rectifier in a listed tube's place works as that tube did.
    """
    if dry is not None and dry.bridge:
        return 2
    rectifiers = rectifiers_of(circuit)
    tubes = [tube for p in rectifiers if (tube := circuit.tubes.get(p))]
    plates = max((len({row.electrode for row in t.pin_rows if row.electrode[:1] == "a"}) for t in tubes), default=0)
    if plates:
        return 2 if plates > 1 else 1
    # The table has no pins of it, or it is none of a tube: its winding or its job says how many ways there are.
    jobs = [str(tube.job or "") for p, tube in circuit.record.tubes.items() if str(p) in rectifiers]
    return 2 if _has_halves(circuit) or any(map(FULL_WAVE.search, jobs)) else 1


def plates_beside(circuit: Circuit, position: str, rail: Place) -> int:
    """How many plates of a rectifier tube on the line charge one rail, side by side.

    A plate whose cathode leads elsewhere by a part of its own, such as the speaker's field, charges something else; so
    does one of which nothing is written where the other cathode is named for the rail, by its number.
    """
    tube, network = circuit.tubes.get(position), circuit.network
    if tube is None or not circuit.mains.straight_from_line or circuit.doubling:
        return 1
    keys = {row.electrode for row in tube.pin_rows}
    plates, cathodes = (sorted(key for key in keys if key[:1] == kind) for kind in "ak")
    at = [place for key in cathodes for place in circuit.places.at_tube(position, key)]
    read = {place for volts in circuit.direct_volts.values() for place in volts}
    known = [one for one in at if network.at(one) or one in read or one in network.points]
    apart = [one for one in at if not network.same(one, rail) and (one not in known or network.at(one))]
    stands = any(network.same(one, rail) or one in read for one in known)
    return max(len(plates) - (len(apart) if len(cathodes) == len(plates) and stands else 0), 1)


def series_ohms(circuit: Circuit, when: When) -> float:
    """The resistors before a rectifier; one of two at two plates."""
    found = series_parts(circuit, when).values()
    return math.fsum(found) if circuit.mains.straight_from_line else min(found, default=0.0)


def series_parts(circuit: Circuit, when: When) -> dict[str, float]:
    """The resistors with the job ``surge`` or an end at a rectifier's plate that are in at a time, by name, in ohms."""
    at = {one.name: in_place(one, when) for one in circuit.components if _before_the_rectifier(circuit, one)}
    return {name: there.value for name, there in at.items() if there.value}


def _before_the_rectifier(circuit: Circuit, one: Listed) -> bool:
    newest = one.piece.newest
    if newest is None or newest.kind != "resistor":
        return False
    ends = ends_of(one.piece, circuit.places) or ()
    return "surge" in one.piece.job.casefold() or any(end.kind == "AC" for end in ends)


def plates_fed(circuit: Circuit, winding: Winding) -> tuple[str, ...]:
    """The rectifiers whose plates a winding feeds; none of one that feeds heaters.

    One that does not say what it feeds feeds the rectifiers where its volts, or its halves, are those of no heater.
    """
    dry, rectifiers = circuit.dry_rectifier, rectifiers_of(circuit)
    positions = [str(p) for p in circuit.record.tubes]
    fed = fed_by(str(winding.feeds), positions, rectifiers)[0] if winding.feeds else rectifiers
    volts = winding.volts.si
    if dry is not None and fed == [dry.part] and (winding.feeds or (volts or 0) > MORE_THAN_HEATERS):
        return (dry.part,)
    if not fed or volts is None or any("rectifier" not in _role(circuit, p) for p in fed):
        return ()
    heaters = [heater_volts(circuit, p) for p in fed]
    in_figures = winding.halves is not None and any(sign.isdigit() for sign in winding.halves)
    high = in_figures or all(h is not None and volts > _HEATER_AND_MORE * h for h in heaters)
    return tuple(fed) if high else ()


def rectifiers_of(circuit: Circuit) -> list[str]:
    """What rectifies: the tubes that the table knows as rectifiers, and a dry rectifier."""
    dry = circuit.dry_rectifier
    tubes = [str(p) for p in circuit.record.tubes if "rectifier" in _role(circuit, str(p))]
    return [*tubes, *([dry.part] if dry and dry.part not in tubes else [])]


def _role(circuit: Circuit, position: str) -> str:
    tube = circuit.tubes.get(position)
    return (tube.role or "") if tube else ""


def heater_volts(circuit: Circuit, position: str) -> float | None:
    """The rated volts of the heater at a position; None where they are not known."""
    tube = circuit.tubes.get(position)
    return tube.heater.volts if tube and tube.heater else None


def high_voltage_windings(circuit: Circuit) -> Iterator[Winding]:
    """The windings that feed a rectifier's plates, or a dry rectifier."""
    heaters = circuit.record.heaters
    yield from (one for one in heaters.windings.values() if plates_fed(circuit, one)) if heaters else ()


def _has_halves(circuit: Circuit) -> bool:
    return any(winding.halves is not None for winding in high_voltage_windings(circuit))


def _of_winding(circuit: Circuit) -> RectifierAc | None:
    heaters, mains = circuit.record.heaters, circuit.mains.volts
    winding = next(high_voltage_windings(circuit), None)
    if winding is None or heaters is None or mains is None:
        return None
    halves = winding.halves is not None
    if winding.measured and winding.measured.si:
        at = heaters.measured.line.si if heaters.measured and heaters.measured.line else None
        loaded = _said_loaded(str(winding.note or ""))
        return RectifierAc(abs(winding.measured.si), at or mains.nominal, "measured", halves, loaded=loaded)
    if winding.volts.si:
        primary = heaters.primary.si if heaters.primary else None
        meant_for = as_it_stands(circuit, "", primary or mains.nominal, published=True)
        amps = winding.amps.si if winding.amps else None
        loaded = _said_loaded(str(winding.note or ""))
        # A rating names the current that it holds for.
        loaded = True if loaded is None and amps else loaded
        return RectifierAc(abs(winding.volts.si), meant_for, "rated", halves, loaded=loaded, rated_amps=amps)
    return None
