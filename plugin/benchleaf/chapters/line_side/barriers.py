"""What lies between two places of the line side: components in parallel, some of them in series with each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ...electrics.impedance import leakage_resistance
from ...electrics.network import Capacitor, Element, Inductor, Resistor, Wire
from ...record.quantities import Quantity
from ...record.sections.line_side import BarrierPart

MOST_PIECES = 12
"""Components of one barrier that are computed; what is written beyond is said to be left out."""

ASSUMED_TOLERANCE = 0.2
"""Common practice, no source: the spread of a part whose tolerance nobody wrote."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One component as it is computed: ohm, farad or henry; a wire has the value 0.

    ``leak_ohms`` is the leakage of a capacitor as a resistance beside it. ``said`` is what was typed; ``rated_volts``
    (RMS if ``rated_is_rms``) and ``rated_watts`` are what it may carry, ``of_class`` its class of IEC 60384-14, each
    where written.
    """

    kind: Literal["resistor", "capacitor", "inductor", "wire"]
    value: float
    leak_ohms: float | None = None
    tolerance: float | None = None
    said: str = ""
    of_class: str | None = None
    rated_volts: float | None = None
    rated_watts: float | None = None
    rated_is_rms: bool = False
    lead: str | None = None
    unknown: bool = False


_KINDS: dict[str, Literal["resistor", "capacitor", "inductor"]] = {
    "resistor": "resistor",
    "capacitor": "capacitor",
    "inductor": "inductor",
}

_JOINED = ("wire", "wired", "direct", "strap", "shorted")

Chain = tuple[Piece, ...]
"""Components in series."""

Barrier = tuple[Chain, ...]
"""Chains in parallel; empty where nothing joins the two places."""

WIRED: Barrier = ((Piece("wire", 0.0),),)


def read_barrier(parts: Sequence[BarrierPart]) -> Barrier:
    """The barrier that a record's components make. A value that is not known counts as a wire, the worse case."""
    chains: list[Chain] = []
    for part in parts[:MOST_PIECES]:
        piece = _piece(part)
        if piece is None:
            continue
        if part.joint and chains:
            chains[-1] = (*chains[-1], piece)
        else:
            chains.append((piece,))
    return tuple(chains)


def _piece(part: BarrierPart) -> Piece | None:
    """One component; None where it is none at all (``none``, ``open``)."""
    if part.condition in ("none", "open"):
        return None
    shown = part.value or part.measured
    said = " ".join(str(text) for text in (shown.written if shown else "", part.type or "", part.class_ or "") if text)
    quantity = part.measured or part.value
    kind = _KINDS.get(part.kind)
    if part.condition in _JOINED or (quantity and quantity.qualifier == "short"):
        return Piece("wire", 0.0, said=said, lead=_lead(part))
    if quantity and quantity.qualifier == "open":
        return None
    value = _worse_end(quantity) if quantity else None
    if value is None or kind is None or value < 0:
        return Piece("wire", 0.0, said=said, lead=_lead(part), unknown=True)
    if value == 0:
        return None if kind == "capacitor" else Piece("wire", 0.0, said=said, lead=_lead(part))
    return Piece(
        kind=kind,
        value=value,
        leak_ohms=_leak(part),
        tolerance=None if part.measured or not part.tolerance else part.tolerance.si,
        said=said,
        of_class=str(part.class_) if part.class_ else None,
        rated_volts=part.volts.si if part.volts else None,
        rated_watts=part.watts.si if part.watts else None,
        rated_is_rms=bool(part.volts and part.volts.mark in ("ac", "rms")),
        lead=_lead(part),
    )


def _lead(part: BarrierPart) -> str | None:
    other_words = {"B- lead": "return lead", "each lead": "both leads"}
    return other_words.get(part.lead, str(part.lead)) if part.lead else None


def _worse_end(quantity: Quantity) -> float | None:
    """The value, or that end of a range or bound which lets more current through."""
    if quantity.si is not None:
        return quantity.si
    return quantity.high if quantity.unit == "F" else quantity.low


def _leak(part: BarrierPart) -> float | None:
    """Ohm of a written leakage, None where nothing was written or nothing leaks."""
    if part.leakage is None or part.kind != "capacitor":
        return None
    ohms, amps, volts = (_above_zero(q) for q in (part.leakage.ohms, part.leakage.current, part.leakage.at))
    if ohms is not None:
        return ohms
    return leakage_resistance(volts, amps) if amps is not None and volts is not None else None


def _above_zero(quantity: Quantity | None) -> float | None:
    return quantity.si if quantity and quantity.si is not None and quantity.si > 0 else None


def elements(barrier: Barrier, a: str, b: str) -> Iterator[Element]:
    """The network of a barrier between nodes ``a`` and ``b``."""
    for number, chain in enumerate(barrier):
        nodes = [a, *(f"{a}|{b}|{number}.{step}" for step in range(1, len(chain))), b]
        for piece, left, right in zip(chain, nodes, nodes[1:], strict=False):
            yield _element(piece, left, right)
            if piece.leak_ohms is not None and piece.kind == "capacitor":
                yield Resistor(left, right, piece.leak_ohms)


def _element(piece: Piece, a: str, b: str) -> Element:
    if piece.kind == "resistor":
        return Resistor(a, b, piece.value)
    if piece.kind == "capacitor":
        return Capacitor(a, b, piece.value)
    if piece.kind == "inductor":
        return Inductor(a, b, piece.value)
    return Wire(a, b)


def pieces(barrier: Barrier) -> Iterator[Piece]:
    """Every component of a barrier."""
    for chain in barrier:
        yield from chain


def is_wired(barrier: Barrier) -> bool:
    """Whether a barrier is no barrier at all."""
    return any(all(piece.kind == "wire" for piece in chain) for chain in barrier)


def with_one_capacitor_shorted(barrier: Barrier) -> tuple[Barrier, ...]:
    """The barrier with each of its capacitors shorted in turn; of two in series the other stays."""
    shorted = []
    for i, chain in enumerate(barrier):
        for j, piece in enumerate(chain):
            if piece.kind == "capacitor":
                other = (*chain[:j], Piece("wire", 0.0, said=piece.said), *chain[j + 1 :])
                shorted.append((*barrier[:i], other, *barrier[i + 1 :]))
    return tuple(shorted)


def spread(barrier: Barrier, more: bool) -> Barrier:
    """The barrier at the end of its tolerances that lets more current through, or less."""
    return tuple(tuple(_spread(piece, more) for piece in chain) for chain in barrier)


def _spread(piece: Piece, more: bool) -> Piece:
    share = ASSUMED_TOLERANCE if piece.tolerance is None else min(piece.tolerance, 0.9)
    up = more == (piece.kind == "capacitor")
    return replace(piece, value=piece.value * (1 + share if up else 1 - share))
