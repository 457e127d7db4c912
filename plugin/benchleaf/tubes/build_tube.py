"""From table rows, or from a record's own words, to a Tube."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from benchleaf.tubes.bases import PIN_COUNT, base_name
from benchleaf.tubes.designation import rated_in_current
from benchleaf.tubes.tables import CsvRow, role_rows, rows_of, sources_of, type_rows
from benchleaf.tubes.tube import (
    TOP_CAP,
    AskedAs,
    DirectCurrentLimit,
    Maxima,
    OtherName,
    Pin,
    PinRow,
    Rated,
    TableSource,
    Tube,
    TubeHeater,
    TubeSection,
    Typical,
)

RECORD = TableSource("record", "the record itself", "record")
_IN_SI = {"_w": 1.0, "_v": 1.0, "_ma": 1e-3, "_ohms": 1.0, "_siemens": 1.0, "mu": 1.0}


@dataclass(frozen=True, slots=True)
class Rows:
    """Where a tube's rows come from: ``of`` gives those of a file by its name, ``sources`` what a cell names."""

    of: Callable[[str], list[CsvRow]]
    sources: Callable[[str], tuple[TableSource, ...]]


def _number(row: CsvRow, column: str) -> float | None:
    """A cell in SI; the column's ending says the unit it is written in."""
    if not row[column]:
        return None
    factor = next(factor for ending, factor in _IN_SI.items() if column.endswith(ending))
    return float(row[column]) * factor


def _rated(rows: list[CsvRow], column: str, sources: Callable[[str], tuple[TableSource, ...]]) -> Rated | None:
    """The first row's value, as the tables put the most trusted first, with the sources of all rows that give it."""
    given = [(value, row) for row in rows if (value := _number(row, column)) is not None]
    if not given:
        return None
    value, first = given[0]
    agree = (row["source"] for other, row in given if other == value and row["condition"] == first["condition"])
    return Rated(value, _each(agree, sources), first["rating_system"], first["condition"])


def _direct_current_limits(
    rows: list[CsvRow], sources: Callable[[str], tuple[TableSource, ...]]
) -> tuple[DirectCurrentLimit, ...]:
    conditions = dict.fromkeys(row["condition"] for row in rows if row["dc_ma"])
    limits = (
        _rated([row for row in rows if row["condition"] == condition], "dc_ma", sources) for condition in conditions
    )
    return tuple(DirectCurrentLimit(limit.value, limit.condition, limit.sources) for limit in limits if limit)


def _each(cells: Iterable[str], sources: Callable[[str], tuple[TableSource, ...]]) -> tuple[TableSource, ...]:
    return tuple(dict.fromkeys(source for cell in cells for source in sources(cell)))


def _maxima(ratings: list[CsvRow], section: str, sources: Callable[[str], tuple[TableSource, ...]]) -> Maxima:
    rows = [row for row in ratings if row["section"] == section]
    return Maxima(
        section=section,
        plate_watts=_rated(rows, "plate_w", sources),
        plate_volts=_rated(rows, "plate_v", sources),
        screen_watts=_rated(rows, "screen_w", sources),
        screen_volts=_rated(rows, "screen_v", sources),
        cathode_amps=_rated(rows, "cathode_ma", sources),
        dc=_direct_current_limits(rows, sources),
    )


def _typical(row: CsvRow, sources: Callable[[str], tuple[TableSource, ...]]) -> Typical:
    return Typical(
        sources=sources(row["source"]),
        section=row["section"],
        use=row["use"],
        plate_volts=_number(row, "plate_v"),
        screen_volts=_number(row, "screen_v"),
        grid_volts=_number(row, "grid_v"),
        plate_amps=_number(row, "plate_ma"),
        screen_amps=_number(row, "screen_ma"),
        cathode_ohms=_number(row, "cathode_ohms"),
        load_ohms=_number(row, "load_ohms"),
        mu=_number(row, "mu"),
        gm_siemens=_number(row, "gm_siemens"),
        rp_ohms=_number(row, "rp_ohms"),
    )


def parts_of(electrode: str) -> tuple[str, ...]:
    """The short keys joined on one pin: `k+g5` is `k` and `g5`, `shell/nc` is `shell` and `nc`."""
    if electrode in ("f+", "f-"):
        return (electrode,)
    if electrode.startswith(("f-+", "f++")):
        return (electrode[:2], *electrode[3:].split("+"))
    return tuple(electrode.replace("/", "+").split("+"))


def _sections(role: str | None, pin_rows: tuple[PinRow, ...]) -> tuple[TubeSection, ...]:
    """The role's sections, with the electrodes that the pins really bring out (all of them if no pins are known)."""
    row = role_rows().get(role or "")
    if row is None:
        return ()
    present = {part for pin in pin_rows for part in parts_of(pin.electrode)}
    found = []
    for written in row["sections"].split(";"):
        name, _, text = written.partition(":")
        keys = text.split()
        if not present and len(keys) > 1 and keys[-1] == "k" and keys[-2].startswith("k"):
            # Twin tubes have either a cathode each or one in common; without pins a cathode each is assumed.
            keys = keys[:-1]
        electrodes = tuple(key for key in keys if not present or key in present)
        found.append(TubeSection(name.strip(), electrodes))
    return tuple(found)


def _heater(row: CsvRow, sources: Callable[[str], tuple[TableSource, ...]]) -> TubeHeater:
    def optional(column: str) -> float | None:
        return float(row[column]) if row[column] else None

    rated_in: Literal["volts", "current"] = "current" if rated_in_current(row["type"]) else "volts"
    return TubeHeater(
        volts=float(row["heater_volts"]),
        amps=float(row["heater_amps"]),
        sources=sources(row["heater_source"]),
        rated_in=rated_in,
        direct=row["cathode"] == "filament",
        parallel_volts=optional("parallel_volts"),
        parallel_amps=optional("parallel_amps"),
        tap_volts=optional("tap_volts"),
        tap_sources=sources(row["tap_source"]),
    )


def _pin(written: str) -> Pin:
    return int(written) if written.isdigit() else TOP_CAP


@cache
def tube_of(type_: str) -> Tube:
    """The Tube of a type that stands in `types.csv`."""
    return built(type_rows()[type_], Rows(lambda name: rows_of(name).get(type_, []), sources_of))


def built(row: CsvRow, rows: Rows) -> Tube:
    """The Tube of one row of types and the rows of the other files that are about it."""
    sources = rows.sources
    pin_rows = tuple(
        PinRow(_pin(pin["pin"]), pin["electrode"], sources(pin["source"]), pin["notes"]) for pin in rows.of("pins.csv")
    )
    ratings = rows.of("ratings.csv")
    other_sections = dict.fromkeys(rating["section"] for rating in ratings if rating["section"])
    return Tube(
        type=row["type"],
        asked=row["type"],
        heater=_heater(row, sources),
        base=row["base"],
        top_cap=row["top_cap"] == "yes",
        role=row["role"],
        identity_sources=sources(row["identity_source"]),
        sections=_sections(row["role"], pin_rows),
        pin_rows=pin_rows,
        maxima=_maxima(ratings, "", sources),
        other_maxima=tuple(_maxima(ratings, section, sources) for section in other_sections),
        typical=tuple(_typical(point, sources) for point in rows.of("typical.csv")),
        equivalents=tuple(
            OtherName(name["name"], cast(AskedAs, name["relation"]), sources(name["source"])[0])
            for name in rows.of("names.csv")
        ),
        disagreement=row["disagreement"],
        notes=row["notes"],
    )


BEYOND_HEATER_VOLTS, BEYOND_HEATER_AMPS = 1_000.0, 100.0
"""No heater of a receiving tube is rated so high. Common practice, no source."""


def described(
    type: str,
    heater_volts: float,
    heater_amps: float,
    base: str | None = None,
    role: str | None = None,
    pins: Mapping[Pin, str] | None = None,
) -> Tube:
    """A tube the table does not know, as the record describes it.

    `heater_volts` in volts and `heater_amps` in amperes, both above zero and below `BEYOND_HEATER_VOLTS` and
    `BEYOND_HEATER_AMPS`; `base` and `role` in the
    vocabularies of `PIN_COUNT` and `roles.csv`; `pins` maps a pin number or `top cap` to a short key.
    Raises ValueError, saying what was expected, if one of them cannot be so.
    """
    if not (0 < heater_volts < BEYOND_HEATER_VOLTS and 0 < heater_amps < BEYOND_HEATER_AMPS):
        said = f"above zero and below {BEYOND_HEATER_VOLTS:g} V and {BEYOND_HEATER_AMPS:g} A"
        raise ValueError(f"a heater needs volts and amperes {said}, not {heater_volts:g} V {heater_amps:g} A")
    name = None if base is None else base_name(base)
    if base is not None and name is None:
        raise ValueError(f"{base!r} is no base known here; expected one of: {', '.join(PIN_COUNT)}")
    if role is not None and role not in role_rows():
        raise ValueError(f"{role!r} is no role known here; expected one of: {', '.join(role_rows())}")
    highest = PIN_COUNT[name] if name else max(PIN_COUNT.values())
    for pin in pins or {}:
        if pin != TOP_CAP and not (isinstance(pin, int) and 1 <= pin <= highest):
            raise ValueError(f"pin {pin!r} is neither 1 to {highest} nor 'top cap'")
    rows = tuple(PinRow(pin, electrode, (RECORD,)) for pin, electrode in (pins or {}).items())
    keys = {part for row in rows for part in parts_of(row.electrode)}
    rated_in: Literal["volts", "current"] = "current" if rated_in_current(type) else "volts"
    heater = TubeHeater(heater_volts, heater_amps, (RECORD,), rated_in=rated_in, direct=bool(keys & {"f", "f-", "f+"}))
    return Tube(
        type=type,
        asked=type,
        asked_as="described",
        heater=heater,
        base=name,
        top_cap=TOP_CAP in (pins or {}),
        role=role,
        identity_sources=(RECORD,),
        sections=_sections(role, rows),
        pin_rows=rows,
    )
