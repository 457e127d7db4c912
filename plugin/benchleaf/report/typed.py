"""Values and components as they were typed, a value beside what it was read as where the two do not look alike."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..circuit.in_place import in_place
from ..record.quantities import Quantity
from ..record.sections.parts import Component
from ..words.decimal_sign import with_decimal_sign
from .amount import Amount, Origin, bound_words
from .sentence import READ, Phrase, Styled

if TYPE_CHECKING:
    from ..circuit.circuit import Circuit
    from ..circuit.line_side import Time
    from ..record.sections.line_side import BarrierPart

_EVERYDAY = re.compile(
    r"[<>≤≥~≈]?\s*[+\-−]?(?:\d+(?:\.\d+)?|0,\d+|\d+,(?:\d\d?|\d{4,}))\s*"
    r"(?:[pnuµμm]F|[mnuµμ]?H|[munµμ]?[VA]|k?V|[mkµμu]?W|[kM]?Hz|[kM]?(?:ohm|Ω)|dB|%|h|min|s|°C)(?: (?:AC|DC|RMS|peak))?"
)

_POINT = re.compile(r"(?<=\d)[.,](?=\d)")

_DECIMALS = re.compile(r"(?<=\d)[.,](?=\d{1,2}(?!\d))")
"""A comma before three digits parts thousands: it stays."""

_UNIT_AS_TYPED = re.compile(r"(?<=\d)\s*(?:u[FHAVW]|[mkM]?ohm)\b")


def as_printed(text: str) -> str:
    """An everyday value as the trade prints it: ``900 uV`` is ``900 µV``, ``150 ohm`` is ``150 Ω``."""
    spaced = re.sub(r"(?<=\d)\s*(?=[A-Za-zµμΩ%°])", "\u202f", text.replace("-", "\u2212"), count=1)
    number = _POINT.sub(lambda match: with_decimal_sign("."), spaced)
    return re.sub(r"[uμ](?=[FHAVW])", "µ", number).replace("ohm", "Ω")


def in_trade_units(text: str) -> str:
    """Words with values among them, each as the trade prints it: ``R10 330 kohm`` is ``R10 330 kΩ``."""
    return _UNIT_AS_TYPED.sub(lambda match: match[0].replace("u", "µ").replace("ohm", "Ω"), text)


def with_site_decimals(text: str) -> str:
    """Words with frequencies among them, each with the sign of the site: ``5,9-18 MHz`` is ``5.9-18 MHz``."""
    return _DECIMALS.sub(lambda match: with_decimal_sign("."), text)


@dataclass(frozen=True, slots=True)
class Typed:
    """``text`` as typed; ``si`` in ``unit``, None where no single value was meant.

    ``everyday`` is true where nobody today would read the text otherwise, so that it needs no reading beside it.
    ``bound`` is ``at least``, ``at most``, ``about`` or empty; ``mark`` what stood behind the value, such as ``AC``.
    """

    text: str
    si: float | None
    unit: str
    everyday: bool
    bound: str = ""
    mark: str = ""

    def as_read(self, origin: Origin) -> Phrase:
        """The value with the figures it was written with, in the trade's units; as typed where it is no one number."""
        if self.everyday or self.si is None:
            return (Styled((as_printed(self.text),), origin),)
        amount = Amount(self.si, self.unit, origin, self.text, self.bound)
        return (amount, f" {self.mark}") if self.mark else (amount,)

    @property
    def printed(self) -> str:
        """As the trade prints it; what could be read otherwise stands as it was typed."""
        return as_printed(self.text) if self.everyday else self.text

    def with_its_reading(self) -> Phrase:
        """The value as typed, in the trade's units, and what it was read as where it could be read otherwise."""
        if self.everyday:
            return (self.printed,)
        return (self.printed, " ", Styled(("read as ", Amount(self.si, self.unit, bound=self.bound)), READ))


def typed(quantity: Quantity | None) -> Typed | None:
    """The quantity with its spelling; None for one that was not written."""
    if quantity is None:
        return None
    text = " ".join(quantity.written.split())
    everyday = quantity.si is None or bool(_EVERYDAY.fullmatch(text))
    return Typed(text, quantity.si, quantity.unit, everyday, bound_words(quantity.qualifier), quantity.mark)


def say_component(component: Component) -> str:
    """``0.01 uF 400 V paper`` as typed, without what was measured."""
    values = (component.value, component.tolerance, component.volts, component.watts)
    said = [v.written for v in values if v] + [str(w) for w in (component.type, component.class_) if w]
    return " ".join(said) or str(component.condition or "")


def say_barrier(parts: Iterable[BarrierPart], circuit: Circuit, time: Time) -> str:
    """Components of the line side in the trade's units, joined by “and”; of one only named, what is in its place."""
    said = " and ".join(said for part in parts if (said := _say_barrier_part(part, circuit, time)))
    return in_trade_units(with_site_decimals(said))


def _say_barrier_part(part: BarrierPart, circuit: Circuit, time: Time) -> str:
    own = say_component(part)
    if part.part is None or own:
        return f"{part.part or ''} {own}".strip()
    listed = circuit.component(part.part)
    return f"{part.part} {in_place(listed, time).seen.typed if listed else ''}".strip()
