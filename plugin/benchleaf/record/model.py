"""The record of one set: one model composed of the chapters' models."""

import dataclasses
import re
from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Self

from pydantic import Field, PrivateAttr, model_validator
from pydantic_core import InitErrorDetails

from ..tubes.tube_table import PACKAGE_TABLE, TubeTable
from .alignment_remarks import OfTheSet, look_over_alignments
from .bare_line import line_without_units, said_of_units, without_either_current
from .editor_schema import TEXT_SCHEMA, may_be_of_days, may_be_one_line, or_one_line
from .how_powered import POWER, POWER_WORDS, published_chassis, read_chassis
from .intermediate import two_lines
from .lost import Lost, lost_of
from .manner import DATE_ORDER_WORDS, SLASH_DATES
from .other_names import OTHER_NAMES
from .own_word_used import OwnWordUsed
from .problems import quoted
from .progress import STATE_WORDS, STATES
from .said_bands import bands_as_said
from .section import Section, described, form, refused
from .sections.across_parts import with_ends_of_others
from .sections.alignment import Alignment
from .sections.before_power import ColdReading, published_before_power, read_before_power
from .sections.changes import Change
from .sections.faults import Fault, published_faults, read_faults
from .sections.gang import Gang
from .sections.heaters import HeaterSupply
from .sections.line_side import LineSide, LineSideState
from .sections.line_up import ChangedTube, FittedTube
from .sections.log import LogEntry
from .sections.mechanics import Mechanics
from .sections.parts import Part
from .sections.photos import Photo
from .sections.power_up import PowerUp, Reforming
from .sections.reading_lists import day_in_name, day_of
from .sections.readings import Run
from .sections.recordings import Address, published_names, read_recordings
from .sections.results import Result, read_results
from .sections.run_words import with_published_named
from .sections.session_lines import published_sessions, read_sessions
from .sections.speaker import Speaker
from .sections.vibrator import Vibrator
from .sections.wave_bands import BandField
from .sections.wires import WiredPlaces
from .sections.worked_hours import with_each_sitting
from .text import NOWHERE, Entries, Listing, Text
from .values import (
    Date,
    Frequency,
    Name,
    OfTubes,
    Reads,
    ReadsBefore,
    TubeName,
    Voltage,
    Wording,
    as_text,
    choice,
)

_ELSEWHERE: dict[str, str] = {
    name.casefold(): where
    for section, where in (
        (LineSideState, "put it below “line side:”, and there below “before:” or “after:”"),
        (Fault, "put it below “faults:”, as “- complaint: …” with what was found and done under it"),
        (HeaterSupply, "put it below “heaters:”, indented"),
    )
    for name in (*section.names(), *section.SYNONYMS)
}
"""Names that stand under another at the first level, by where."""
FORMAT = 1
"""The version of the record's format. A record may state it: ``format: 1``."""

_BATTERY = re.compile(r"(?<=[Vv])\s+(?:storage |wet |car )?(?:battery|accumulator)(?=\s*(?:,|\Z))", re.I)
"""What feeds a set with direct current, behind its volts."""
_AC_SIGN = re.compile(r"((?:V|volts?))(\s+)~(?=\s*\d)", re.I)


class Line(Section):
    """The nominal line: ``120 V 60 Hz``; ``230 V 50 Hz, low 207 V, high 253 V``; ``110 V DC``."""

    FORM = form(
        ["volts", "frequency", "low", "high", "current"],
        values={"voltage": "volts", "frequency": "frequency"},
        words={"DC": "current", "AC": "current"},
    )

    volts: Voltage
    frequency: Frequency | None = None
    current: choice("AC", "DC") | None = None  # type: ignore[valid-type]
    low: Voltage | None = None
    high: Voltage | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``117/60`` says what ``117 V 60 Hz`` does; ``~`` between volts and hertz is AC, and no “about”."""
        if isinstance(data, Text):
            data = data.taken_as(_BATTERY.sub(" DC", _AC_SIGN.sub(r"\1~\2", data)))
            data, either = without_either_current(data)
        bare = line_without_units(data) if isinstance(data, Text) else None
        table = super()._table(data, errors) if bare is None else bare
        volts = table.get(Text("volts")) if table else None
        if isinstance(data, Text) and either and isinstance(volts, Text):
            volts.manner = dataclasses.replace(volts.manner, unit_remark=either)
        return table

    @model_validator(mode="after")
    def _said_how_bare_numbers_were_taken(self) -> Self:
        for name, unit in (("volts", "volts"), ("frequency", "hertz")):
            value = getattr(self, name)
            if value is not None and (remark := said_of_units(value.written, unit)):
                object.__setattr__(self, name, dataclasses.replace(value, remark=remark))
        return self

    @model_validator(mode="after")
    def _current_said_once(self) -> Self:
        """``110 V DC`` says the same as ``110 V`` with ``current: DC``."""
        mark = self.volts.mark.upper()
        if mark not in ("AC", "DC"):
            return self
        if self.current and self.current != mark:
            raise refused(quoted(self.current), f"{mark}, as in {quoted(self.volts.written)}", at=self.current)
        object.__setattr__(self, "current", Text(mark, self.volts.place or NOWHERE))
        object.__setattr__(self, "volts", dataclasses.replace(self.volts, mark=""))
        return self


def _read_papers(value: Any) -> Any:
    """Papers under names of their own; one line, or a list, has the name of the section."""
    lines = [value] if isinstance(value, Text) else value if isinstance(value, Listing) else None
    if lines is None:
        return value
    named = Entries(getattr(value, "place", NOWHERE))
    for number, line in enumerate(lines, 1):
        named[Text("papers" if len(lines) == 1 else f"paper {number}", named.place)] = line
    return named


_SAID_PRIVATE = re.compile(
    r"^\W*(?:private(?:ly)?|confidential|not for (?:the )?(?:web|page|publication|public))\b", re.I | re.M
)


def _read_published(value: Any) -> Text:
    """Text for the page. What says of itself that it is private is refused, and its words are not repeated."""
    text = as_text(value)
    if _SAID_PRIVATE.search(text):
        found, expected = "words that say they are private", "words for everybody: this is published"
        remedy = (
            "only “owner”, “serial” and what stands behind # are private: put # before them, on a line of their own"
        )
        raise refused(found, expected, remedy, at=text)
    return text


def _read_format(value: Any) -> int:
    if str(value).strip() != str(FORMAT):
        remedy = "a newer Benchleaf may be needed to read this record"
        raise refused(described(value), f"format {FORMAT}", remedy, at=value)
    return FORMAT


class Record(Section):
    """What a restorer writes about one set."""

    SYNONYMS = {
        "valves": "tubes",
        "changed valves": "changed tubes",
        "antenna": "aerial",
        "manufacturer": "maker",
        "power up": "power-up",
        "intermediate frequency": "IF",
        "mains": "line",
        "recording": "recordings",
        "license": "licence",
        **dict.fromkeys(("chassis no", "chassis no."), "chassis number"),
        **dict.fromkeys(("serial number", "serial no", "serial no."), "serial"),
        **OTHER_NAMES,
    }
    PRIVATE = ("serial", "owner")

    format: Annotated[int, Reads(_read_format, {"const": FORMAT})] = FORMAT
    maker: Wording
    model: Wording
    year: Wording | None = None
    chassis_number: Wording | None = None
    serial: Wording | None = None
    owner: Wording | None = None
    member: Wording | None = None
    called: Wording | None = None
    by: Wording | None = None
    nameplate: Wording | None = None
    line: Line | None = None
    power: choice(*POWER, synonyms=POWER_WORDS) | None = None  # type: ignore[valid-type]
    chassis: Annotated[Text, Reads(read_chassis, published_chassis)] | None = None
    IF: Frequency | None = None
    second_if: Frequency | None = Field(default=None, alias="second IF")
    bands: Annotated[dict[Name, BandField], ReadsBefore(bands_as_said, or_one_line)] = {}
    gang: Gang | None = None
    aerial: Wording | None = None
    cabinet: Wording | None = None
    state: choice(*STATES, synonyms=STATE_WORDS) | None = None  # type: ignore[valid-type]
    dates: choice(*SLASH_DATES, synonyms=DATE_ORDER_WORDS) | None = None  # type: ignore[valid-type]
    came_in: Date | None = None
    finished: Date | None = None
    papers: Annotated[dict[Name, Wording], ReadsBefore(_read_papers, published_names)] = {}
    summary: Wording | None = None
    licence: Wording | None = None

    tubes: Annotated[dict[Name, FittedTube], ReadsBefore(lambda tubes: tubes, or_one_line)] = {}
    changed_tubes: Annotated[dict[TubeName, ChangedTube], OfTubes] = {}
    heaters: HeaterSupply | None = None
    readings: Annotated[dict[Name, Run], ReadsBefore(with_published_named, lambda published: published)] = {}
    line_side: LineSide | None = None
    parts: dict[Name, Part] = {}
    wires: tuple[WiredPlaces, ...] = Field(default=(), json_schema_extra=may_be_one_line)
    speaker: Speaker | None = None
    vibrator: Vibrator | None = None
    mechanics: Mechanics | None = None
    changes: dict[Name, Change] = {}
    faults: Annotated[tuple[Fault, ...], ReadsBefore(read_faults, published_faults)] = ()
    before_power: Annotated[tuple[ColdReading, ...], ReadsBefore(read_before_power, published_before_power)] = ()
    power_up: Annotated[tuple[PowerUp, ...], ReadsBefore(read_sessions, published_sessions)] = Field(
        default=(), alias="power-up"
    )
    reforming: dict[Name, Reforming] = {}
    alignment: tuple[Alignment, ...] = Field(default=(), json_schema_extra=may_be_of_days)
    results: Annotated[dict[Name, Result], ReadsBefore(read_results, or_one_line)] = {}
    log: tuple[LogEntry, ...] = ()
    photos: dict[Name, Photo] = {}
    recordings: Annotated[dict[Name, Address], ReadsBefore(read_recordings, published_names)] = {}
    advice: Annotated[Text, Reads(_read_published, TEXT_SCHEMA)] | None = None
    note: Annotated[Text, Reads(_read_published, TEXT_SCHEMA)] | None = None

    @classmethod
    def _elsewhere(cls, written: str) -> str:
        """A name of the heaters', a fault's or the line side's own stands under them: ``dial lamps`` at first level."""
        return _ELSEWHERE.get(" ".join(written.split()).casefold(), "")

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A set for AM and FM has two intermediate frequencies in one line; of the log each time is a line."""
        table = with_each_sitting(super()._table(data, errors))
        return table if table is None else two_lines(table)

    @model_validator(mode="after")
    def _lists_dated_by_their_names(self) -> Self:
        """``20/9/24 as found`` says the day of that list as ``date:`` does."""
        for name, run in self.readings.items():
            if day_of(str(name), run) is None and (day := day_in_name(name)):
                object.__setattr__(run, "date", day)
        return self

    @model_validator(mode="after")
    def _parts_across_others(self) -> Self:
        with_ends_of_others(self.parts)
        return self

    @model_validator(mode="after")
    def _said_what_does_not_go_together(self) -> Self:
        if self.alignment:
            bands = {str(n): (b.low_hertz, b.high_hertz, str(b.written)) for n, b in self.bands.items()}
            between = tuple(one.si for one in (self.IF, self.second_if) if one and one.si)
            parts = frozenset(str(name).casefold() for name in self.parts)
            look_over_alignments(self.alignment, OfTheSet(bands, between, parts, self.came_in, self.finished))
        return self

    _lost: Lost = PrivateAttr(default=Lost())
    _tube_table: TubeTable = PrivateAttr(default=PACKAGE_TABLE)
    _own_words: tuple[OwnWordUsed, ...] = PrivateAttr(default=())
    _set_aside: LineSide | None = PrivateAttr(default=None)

    @property
    def tube_table(self) -> TubeTable:
        """The table its tubes are looked up in."""
        return self._tube_table

    def read_with(self, table: TubeTable) -> Self:
        """The record, its tubes to be looked up in ``table``."""
        self._tube_table = table
        return self

    @property
    def own_words(self) -> tuple[OwnWordUsed, ...]:
        """The words of the club's own that stand in it, and what they were read as."""
        return self._own_words

    def said_in(self, own_words: tuple[OwnWordUsed, ...]) -> Self:
        """The record, knowing which of its words are the club's own."""
        self._own_words = own_words
        return self

    @property
    def lost(self) -> Lost:
        """What stands in the file and could not be read; nothing for a record that was read whole."""
        return self._lost

    @property
    def line_side_set_aside(self) -> LineSide | None:
        """What was read of a line side of which nothing may be worked out, as a line of it was lost."""
        return self._set_aside

    def with_line_side_aside(self) -> Self:
        """The record for all that is worked out of it: its line side is kept, and nothing asks it."""
        apart = self.model_copy(update={"line_side": None})
        apart._set_aside = self.line_side
        return apart

    def having_lost(self, text: str, entries: Iterable[int], sections: Iterable[int], *, marred: bool) -> Self:
        """The record, knowing what ``lost_of`` makes of the lines that could not be read."""
        known = {name.casefold(): name.casefold() for name in (*self.names(), *self.SYNONYMS)} | OTHER_NAMES
        self._lost = lost_of(text, entries, sections, known, marred=marred)
        return self
