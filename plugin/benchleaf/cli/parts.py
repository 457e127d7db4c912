"""Commands about parts: what to order, and what a marking means."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.set_files import MISSING, Refusal, read
from .status import CLEAN, FAILED, PROBLEMS, USAGE
from .streams import put, say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ..archive.orders import NotUnderstood
    from ..build.one_set import Examination
    from ..electrics.markings import MarkedValue


def add_commands(commands: Any) -> None:
    """Adds ``order`` and ``marking`` to the parser's commands."""
    order = commands.add_parser("order", help="what to order for all sets that are not finished")
    order.add_argument("paths", nargs="+", metavar="PATH", help="record.yml, a set's folder, or a folder of sets")
    order.add_argument("--stock", type=Path, metavar="stock.csv", help="what is in the drawer: part, count, price")
    order.add_argument(
        "--spare", type=float, default=0.0, metavar="PERCENT", help="how many to order over what is needed"
    )
    order.add_argument("--to", choices=("text", "csv", "json"), default="text")
    order.set_defaults(run=_order)
    marking = commands.add_parser("marking", help="what a marking means, or what a value is marked with")
    marking.add_argument(
        "words", nargs="+", metavar="WORD", help="red violet yellow gold; 473J; 4K7; 500 cm; 47 nF 5 %%"
    )
    marking.set_defaults(run=_marking)


def _order(given: argparse.Namespace) -> int:
    from ..archive.order_list import as_csv, as_json, as_text
    from ..archive.orders import WantedPart, order, wanted
    from ..archive.stock import InDrawer, read_stock
    from ..build.failure import sentence, told
    from ..build.one_set import examination_of
    from .records import records
    from .site_options import choices_of_site

    drawer: tuple[InDrawer, ...] = ()
    bad = failed = False
    if given.stock:
        stock = read(given.stock, given.stock.parent)
        if isinstance(stock, Refusal):
            say(stock.problem(str(given.stock)))
            return USAGE
        drawer, problems = read_stock(stock, str(given.stock))
        for problem in problems:
            say(problem)
            bad = True
    if not 0 <= given.spare <= 1000:
        say(f"--spare {given.spare:g}: a share from 0 to 1000 per cent was expected")
        return USAGE
    waiting: list[WantedPart] = []
    left_out: list[NotUnderstood] = []
    for file, data, folder in records(given.paths):
        if isinstance(data, Refusal):
            say(f"{file}: no record here" if data is MISSING else data.problem(file))
            return USAGE
        try:
            found = examination_of(data, folder, file, choices_of_site(folder))
            waiting += wanted(found.examined) if found.examined else ()
            left_out += _left_out(found, file)
        except Exception as error:
            say(sentence(file, told(error)))
            failed = True
            continue
        for problem in found.problems:
            say(problem.public())
            bad = True
    listed = order(waiting, drawer, spare=given.spare / 100, not_understood=left_out)
    put({"text": as_text, "csv": as_csv, "json": as_json}[given.to](listed))
    return FAILED if failed else PROBLEMS if bad else CLEAN


def _left_out(found: Examination, file: str) -> Iterator[NotUnderstood]:
    """What of a record that may wait for parts was not understood; the whole of one that could not be read."""
    from ..archive.orders import NotUnderstood

    if found.examined is None:
        yield NotUnderstood(file)
    elif found.unread and str(found.examined.record.state or "") != "finished":
        record = found.examined.record
        yield NotUnderstood(f"{record.maker} {record.model}", found.unread)


def _marking(given: argparse.Namespace) -> int:
    from ..electrics.markings import read_marking

    text = " ".join(given.words)
    worn = _worn(text)
    if worn:
        put("\n".join([*worn, ""]))
        return CLEAN
    try:
        readings = read_marking(text)
    except ValueError:
        say(f"{text}: neither a marking that is known here nor a value with its unit")
        return PROBLEMS
    for reading in readings:
        put(_reading(reading).replace("\u202f", " ") + "\n")
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
