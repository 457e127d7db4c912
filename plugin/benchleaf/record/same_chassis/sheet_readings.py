"""The published voltages and resistances of a chassis, with the meter and the line they were read at."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from ..mapping import as_mapping
from ..sections.list_names import PUBLISHED_NAME
from ..sections.meter import Meter, MeterField
from ..sections.readings import Run
from .given import Given
from .said import AsTyped, as_written

_NOT_READ = "x"


def published_readings(given: Given) -> AsTyped:
    """Each list that is the sheet's own by its name; none that was read at a bench or taken from another set."""
    lists = [(name, run) for name, run in given.named() if PUBLISHED_NAME.search(name) and not run.text("from")]
    return {name: found for name, run in lists if (found := _run(run))}


def _run(run: Given) -> dict[str, AsTyped]:
    found: dict[str, AsTyped] = {"line": run.quantity("line", "V"), "meter": _meter(run.inner("meter"))}
    found |= {key: run.text(key) for key in ("to", "controls")}
    found["tolerance"] = run.quantity("tolerance")
    points = {name: _points(run.listed(name), "V") for name in run.table if name not in _conditions()}
    chart = run.inner("resistance")
    ohms = {name: _points(chart.listed(name), "ohm") for name in chart.table}
    found["resistance"] = {name: said for name, said in ohms.items() if said}
    found |= {name: said for name, said in points.items() if said}
    return {key: value for key, value in found.items() if value} if any(points.values()) or any(ohms.values()) else {}


def _conditions() -> set[str]:
    return {name.replace(" ", "_") for name in Run.names()}


def _points(rows: Sequence[Given], bare: str) -> str:
    """``plate 90, screen 90``; bare numbers in pin order; one value for a rail."""
    at = [row.text("at") for row in rows]
    values = [row.quantity("value", bare) or _NOT_READ for row in rows]
    if rows and at == [str(number) for number in range(1, len(rows) + 1)]:
        return " ".join(values)
    pins = [f"pin {pin} " if (pin := row.text("pin")) else "" for row in rows]
    said = [f"{pin}{name} {value}".strip() for pin, name, value in zip(pins, at, values, strict=True)]
    return ", ".join(said)


def _meter(given: Given) -> AsTyped:
    """How the meter loads the circuit and how far it may be off, as it is written on one line where that reads so."""
    keys = ("ohms_per_volt", "range", "ohms", "error", "error_of_range")
    named: dict[str, AsTyped] = {key.replace("_", " "): said for key in keys if (said := given.quantity(key))}
    if not named:
        return ""
    each = f"{named['ohms per volt']}/V" if "ohms per volt" in named else str(named.get("ohms", ""))
    line = f"{each} on {named['range']}" if "range" in named and "ohms per volt" in named else each
    line += f", {named['error']}" if "error" in named else ""
    line += f", {named['error of range']} of range" if "error of range" in named else ""
    return line if _reads(line) == _reads(named) is not None else named


def _reads(said: AsTyped) -> dict[str, object] | None:
    from pydantic import TypeAdapter

    try:
        read: Meter = TypeAdapter(MeterField).validate_python(as_written(said))
        return as_mapping(read)
    except (ValidationError, PydanticCustomError):
        return None
