"""``benchleaf marking``: what a marking means, and what a value is marked with."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING, Any

from .status import CLEAN, PROBLEMS
from .streams import put, say

if TYPE_CHECKING:
    from ..electrics.markings import MarkedValue


_CODE = re.compile(r"\d{3}[A-Z]", re.ASCII)
"""Digits, noughts and a tolerance, or a value in thousands: ``104K`` is told as both."""


def add_to(commands: Any) -> None:
    """Adds ``marking`` to the parser's commands."""
    marking = commands.add_parser("marking", help="what a marking means, or what a value is marked with")
    marking.add_argument(
        "words", nargs="+", metavar="WORD", help="red violet yellow gold; 473J; 4K7; 500 cm; 47 nF 5 %%"
    )
    marking.set_defaults(run=_marking)


def _marking(given: argparse.Namespace) -> int:
    from ..electrics.markings import read_marking

    text = " ".join(given.words)
    worn = _worn(text)
    try:
        readings = read_marking(text) if not worn or _CODE.fullmatch(text) else ()
    except ValueError:
        readings = ()
    if not (worn or readings):
        say(f"{text}: neither a marking that is known here nor a value with its unit")
        return PROBLEMS
    for reading in readings:
        put(_reading(reading).replace("\u202f", " ") + "\n")
    put("".join(f"{line}\n" for line in worn))
    return CLEAN


def _reading(reading: MarkedValue) -> str:
    from ..record.units import say

    said = [say(reading.value, reading.unit)]
    if reading.low is not None and reading.high is not None:
        same = reading.low == -reading.high
        said.append(f"±{say(reading.high, '1')}" if same else f"{say(reading.low, '1')} to +{say(reading.high, '1')}")
    if reading.volts:
        said.append(say(reading.volts, "V"))
    said = [" ".join(said), reading.how]
    return "; ".join([*said, reading.caution] if reading.caution else said)


def _worn(text: str) -> list[str]:
    """What a value with its unit is marked with; empty for anything else."""
    from pydantic import ValidationError
    from pydantic_core import PydanticCustomError

    from ..circuit.pieces import seen
    from ..electrics.markings_of import bands_of, body_end_dot_of, digits_of, mica_dots_of, rkm_of
    from ..record.sections.parts import read_components

    try:
        components = read_components(text)
    except (ValidationError, PydanticCustomError):
        return []
    part = seen(components[0]) if len(components) == 1 else None
    if part is None or not part.value or part.value < 0 or part.unit not in ("F", "ohm") or text.endswith("cm"):
        return []
    off = part.tolerance.high if part.tolerance else None
    lines = [("printed", rkm_of(part.value, part.unit))]
    if part.unit == "F":
        dots = mica_dots_of(part.value, off)
        lines += [("three digits", digits_of(part.value, off))]
        lines += [("mica, JAN", ", ".join(dots[0])), ("mica, RMA", ", ".join(dots[1]))] if dots else []
    else:
        bands, old = bands_of(part.value, off), body_end_dot_of(part.value, off)
        lines += [("bands", ", ".join(bands) if bands else None)]
        lines += [("body, end, dot, other end", ", ".join(old) if old else None)]
    return [f"{name}: {marks}" for name, marks in lines if marks]
