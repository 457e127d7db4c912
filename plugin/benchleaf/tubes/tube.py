"""What is known of a tube or a dial lamp, each value beside the source it was read in."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Pin = int | str
"""A base pin's number, or the words `top cap`."""

TOP_CAP = "top cap"
AskedAs = Literal["type", "equivalent", "other printed name", "earlier name", "version", "described"]


@dataclass(frozen=True, slots=True)
class TableSource:
    """Where a value was read.

    `kind` is `data sheet` (a tube maker's own, opened), `quoted sheet` (one quoted by somebody else), `reference` (a
    book, journal, article or encyclopedia), `symbols` (a library of schematic symbols), `list` (a table whose own
    sources are not named for each value), `model` (fitted to published curves: it bears a value out and is none),
    `memory`, or `record` (the restorer's own record).
    """

    key: str
    title: str
    kind: str

    @property
    def from_memory(self) -> bool:
        """True when no publication stands behind the value."""
        return self.kind == "memory"


def titles(sources: Iterable[TableSource]) -> str:
    """The titles of sources in one line, each once."""
    return "; ".join(dict.fromkeys(source.title for source in sources))


def from_memory(sources: Collection[TableSource]) -> bool:
    """True where memory alone stands behind a value."""
    return bool(sources) and all(source.from_memory for source in sources)


@dataclass(frozen=True, slots=True)
class TubeHeater:
    """A heater or filament: volts, amperes, and where they come from.

    A heater in two halves is given with the halves in series (`volts`, `amps`); `parallel_volts` and
    `parallel_amps` are the same heater with the halves side by side. `tap_volts` is the pilot lamp's tap of a
    rectifier heater, with the rated current and no lamp. `rated_in` says which of the two figures is held by
    the maker: a series type is rated in current. `direct` is true for a filament that is its own cathode.
    """

    volts: float
    amps: float
    sources: tuple[TableSource, ...]
    rated_in: Literal["volts", "current"] = "volts"
    direct: bool = False
    parallel_volts: float | None = None
    parallel_amps: float | None = None
    tap_volts: float | None = None
    tap_sources: tuple[TableSource, ...] = ()

    @property
    def source(self) -> str:
        """The sources' titles in one line."""
        return titles(self.sources)

    @property
    def watts(self) -> float:
        """Rated heater power in watts."""
        return self.volts * self.amps


@dataclass(frozen=True, slots=True)
class Rated:
    """One rated value in SI (volts, amperes or watts), its rating system and condition if given, and its sources.

    The sources are all that give this value; the first is the most trusted.
    """

    value: float
    sources: tuple[TableSource, ...]
    system: str = ""
    condition: str = ""


@dataclass(frozen=True, slots=True)
class DirectCurrentLimit:
    """The most direct current in amperes a rectifier may give, and on which condition (empty: always)."""

    amps: float
    condition: str
    sources: tuple[TableSource, ...]


@dataclass(frozen=True, slots=True)
class Maxima:
    """Highest permitted values of one section (empty name: the tube, or its main section), in SI.

    A published value stands before one from memory; each value carries its own source. `dc` holds every
    condition a rectifier's output current is stated for.
    """

    section: str = ""
    plate_watts: Rated | None = None
    plate_volts: Rated | None = None
    screen_watts: Rated | None = None
    screen_volts: Rated | None = None
    cathode_amps: Rated | None = None
    dc: tuple[DirectCurrentLimit, ...] = ()

    @property
    def dc_amps(self) -> float | None:
        """The lowest of the stated output currents in amperes: it holds on every stated condition."""
        return min((limit.amps for limit in self.dc), default=None)


@dataclass(frozen=True, slots=True)
class Typical:
    """One published operating point, in SI; `use` says in which connection, empty for the plain table value.

    `mu` is the amplification factor of a triode, and of a tetrode or pentode that of its screen (from grid 1 to grid
    2). `gm_siemens` is the slope of the plate current (of a converter in use, the conversion conductance), `rp_ohms`
    the plate resistance. Every source prints the point; slope, factor and resistance the first of them.
    """

    sources: tuple[TableSource, ...]
    section: str = ""
    use: str = ""
    plate_volts: float | None = None
    screen_volts: float | None = None
    grid_volts: float | None = None
    plate_amps: float | None = None
    screen_amps: float | None = None
    cathode_ohms: float | None = None
    load_ohms: float | None = None
    mu: float | None = None
    gm_siemens: float | None = None
    rp_ohms: float | None = None

    @property
    def source(self) -> str:
        """The sources' titles in one line."""
        return titles(self.sources)


@dataclass(frozen=True, slots=True)
class TubeSection:
    """One system in the bulb (`triode`, `diodes` …) and the short keys of its electrodes."""

    name: str
    electrodes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PinRow:
    """What one pin leads to, the sources that say so, and a note where a source says otherwise."""

    pin: Pin
    electrode: str
    sources: tuple[TableSource, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class OtherName:
    """A designation of the same tube, how it is related, and the source that says so."""

    name: str
    relation: AskedAs
    source: TableSource


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube as the table, or the record itself, describes it.

    `type` is the table's name, `asked` what was written, `asked_as` how the two are related: a `version`
    shares heater and pins with the table's type, while its ratings may be higher.
    """

    type: str
    heater: TubeHeater
    asked: str = ""
    asked_as: AskedAs = "type"
    base: str | None = None
    top_cap: bool = False
    role: str | None = None
    identity_sources: tuple[TableSource, ...] = ()
    sections: tuple[TubeSection, ...] = ()
    pin_rows: tuple[PinRow, ...] = ()
    maxima: Maxima = Maxima()
    other_maxima: tuple[Maxima, ...] = ()
    typical: tuple[Typical, ...] = ()
    equivalents: tuple[OtherName, ...] = ()
    disagreement: str = ""
    notes: str = ""

    @property
    def pins(self) -> MappingProxyType[Pin, str]:
        """Pin number, or `top cap`, to the short key of what it leads to (`a`, `g2+g4`, `h` …)."""
        return MappingProxyType({row.pin: row.electrode for row in self.pin_rows})


@dataclass(frozen=True, slots=True)
class Lamp:
    """A dial lamp: volts, amperes, colour of the bead if known, lampholder, source."""

    number: str
    volts: float
    amps: float
    bead: str | None
    base: str | None
    source: TableSource
    bead_source: TableSource | None = None
    notes: str = ""

    @property
    def hot_ohms(self) -> float:
        """Resistance at rated voltage, in ohms."""
        return self.volts / self.amps
