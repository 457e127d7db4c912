"""The heater supply as written: the order of the string, lamp, dropper, windings, and what was measured."""

import re
from collections.abc import Collection, Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator
from pydantic_core import InitErrorDetails

from ..editor_schema import TEXT_SCHEMA
from ..line_items import items
from ..problems import quoted
from ..quantities import Quantity
from ..said_readings import with_brackets_as_note
from ..section import Section, form
from ..text import Entries, Text
from ..trade_words import MEASURED
from ..tubes_fed import Feeds
from ..values import (
    Current,
    Frequency,
    Name,
    OfTubes,
    OhmsRead,
    Power,
    Reads,
    ReadsBefore,
    Resistance,
    StringOrder,
    TubeName,
    Voltage,
    VoltsRead,
    Wording,
    as_text,
    quantity,
    read_as,
)
from .dropper import DROPPER_KINDS, Dropper
from .order_said import without_ntc, words_apart
from .pilot_lamp import PilotLamp
from .resistance_cord import cord_as_dropper
from .run_words import with_line_alone
from .settings_said import TAP_EARTHED, published_taps, with_bare_taps_as_note, with_tap_earthed
from .shunts_said import shunts_by_what_they_cross
from .winding_words import winding_in_words
from .windings_said import (
    MeasuredVolts,
    WindingOhms,
    heaters_of_the_rest,
    ohms_apart,
    uneven_halves,
    volts_by_their_names,
    windings_home,
)


def _none(value: Any) -> Any:
    """None for what a set is said not to have: ``pilot lamp: none``, ``ntc: none``."""
    none = ("none", "no", "not fitted", "no lamp", "no ntc", "no dropper")
    return None if isinstance(value, Text) and value.casefold() in none else value


class Shunt(Section):
    """A resistor across heaters or the lamp: ``84 ohm 2 W``, ``1800 ohm, measured 1750 ohm``."""

    FORM = form(
        ["ohms", "watts", "measured", "note"],
        values={"resistance": "ohms", "power": "watts"},
        synonyms=dict.fromkeys(MEASURED, "measured"),
        remark="note",
    )

    ohms: Resistance
    watts: Power | None = None
    measured: Resistance | None = None
    note: Wording | None = None


def _read_current(value: Any) -> Quantity:
    """The current of a string; below 1 with a point it is amperes: ``.304``."""
    text = as_text(value)
    if re.fullmatch(r"0?[.,]\d{2,3}", text):
        text = text.taken_as(f"{text} A", f"{quoted(text)} read as amperes")
    return read_as(text, "current")


StringCurrent = Annotated[Quantity, Reads(_read_current, TEXT_SCHEMA)]


class Thermistor(Section):
    """An NTC resistor in the string: ``cold 5500 ohm, hot 40 ohm``."""

    FORM = form(["cold", "hot", "type", "note"], remark="note")

    cold: OhmsRead
    hot: OhmsRead
    type: Wording | None = None
    note: Wording | None = None


class Battery(Section):
    """A battery of the set: ``7.5 V 2 Ah``, the current it was measured to give; ``2 x 45 V``, ``tapped at 3 V``."""

    FORM = form(
        ["volts", "capacity", "drain", "sections", "taps", "note"],
        values={"voltage": "volts", "charge": "capacity", "current": "drain"},
        synonyms=dict.fromkeys(("tapped at", "tapped", "taps at"), "taps"),
        remark="note",
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``2 x 45 V`` are two batteries in series, together 90 V."""
        if isinstance(data, Text):
            data = data.taken_as(_CELLS.sub(r"sections \g<cells>", data))
        row = _IN_SERIES.search(data) if isinstance(data, Text) else None
        if row is None:
            return super()._table(data, errors)
        volts = float(row["volts"].replace(",", ".")) * int(row["count"])
        whole = f"{f'{volts:g} V':<{len(row[0])}}"
        table = super()._table(data.taken_as(f"{data[: row.start()]}{whole}{data[row.end() :]}"), errors)
        return table and {**table, Text("sections", data.place): data.cut(*row.span())}

    volts: Voltage
    capacity: quantity("charge") | None = None  # type: ignore[valid-type]
    drain: Current | None = None
    sections: Wording | None = None
    taps: Wording | None = None
    note: Wording | None = None


_CELLS = re.compile(
    r"(?<=, )(?P<cells>(?:two|three|four|five|six|seven|eight|nine|ten|\d{1,2})\s+(?:x\s+)?(?:\S+\s+){1,4}?"
    r"in (?:series|parallel))(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What a battery was made of: ``ten 9 V in series``."""
_IN_SERIES = re.compile(r"(?<![\w.])(?P<count>[2-9])\s?[x×*]\s?(?P<volts>\d{1,3}(?:[.,]\d{1,2})?)\s?V\b", re.I)
_HALVES = re.compile(
    r"2\s?[x×*]\s?(?P<volts>\d[\d.]*)\s?(?P<unit>V\w*)"
    r"|(?P<half>\d[\d.]*)\s?-\s?0\s?-\s?(?P=half)(?:\s?(?P<unit2>V\w*)|(?![\w.]))",
    re.I,
)


UNLOADED = (
    *("no load", "unloaded", "off load", "without load", "open", "open circuit", "on load", "loaded", "under load"),
    *(f"{which}{bulbs} out" for which in ("", "all ", "with ", "with all ") for bulbs in ("tubes", "valves")),
)
"""What hung on a winding while it was measured."""


class Winding(Section):
    """``6.3 V 2.5 A, feeds V1 V2 V3 V4``; ``2x250 V 75 mA`` has a tap in the middle and 250 V on either side."""

    FORM = form(
        ["volts", "amps", "feeds", "halves", "measured", "ohms", "note"],
        values={"voltage": "volts", "current": "amps", "resistance": "ohms"},
        synonyms=dict.fromkeys(("for", "for the", "to", "supplies", "heats"), "feeds")
        | dict.fromkeys(MEASURED, "measured"),
        words=dict.fromkeys(("centre-tapped", "center-tapped", "centre tapped", "ct", "c.t.", "c/t"), "halves")
        | dict.fromkeys((*UNLOADED, "true rms", "true-rms", "rms"), "note"),
        rest="feeds",
        rest_names=True,
        remark="note",
        valued={"measured": ("voltage",)},
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``2x250 V`` and ``250-0-250 V`` are a winding with a tap in the middle, and the volts of each half."""
        data = winding_in_words(data) if isinstance(data, Text) else data
        if isinstance(data, Text) and (tap := TAP_EARTHED.search(data)):
            blank = f"{data[: tap.start()]}{' ' * len(tap[0])}{data[tap.end() :]}"
            return with_tap_earthed(cls._table(data.taken_as(blank), errors), data.cut(*tap.span("said")))
        if isinstance(data, Text) and (said := ohms_apart(data)):
            line, ohms = said
            table = cls._table(line, errors)
            return table and {**table, Text("ohms", ohms.place): ohms}
        if isinstance(data, Text) and (halves := uneven_halves(data)):
            volts, measured, rest = halves
            table = cls._table(data.taken_as(f"{volts} V{rest}"), errors)
            return table and {**table, Text("halves", data.place): measured, Text("measured", data.place): measured}
        both = _HALVES.match(data) if isinstance(data, Text) else None
        if both is None:
            return super()._table(data, errors)
        half = f"{both['volts'] or both['half']} {both['unit'] or both['unit2'] or 'V'}"
        table = super()._table(data.taken_as(f"{half}{data[both.end() :]}"), errors)
        return table and {**table, Text("halves", data.place): data.cut(0, both.end())}

    volts: Voltage
    amps: Current | None = None
    feeds: Feeds | None = None
    halves: Wording | None = None
    measured: MeasuredVolts | None = None
    ohms: WindingOhms | None = None
    note: Wording | None = None


_IN_A_STRING = re.compile(r"(?:in series|series string|string|in order)\s*:?\s*", re.I)


def _named(item: Text, names: Mapping[str, str], before: Text) -> tuple[Text, Text]:
    """An item of the one line with its name: what begins with none goes on with the name ``before`` it, but a tube."""
    if said := _IN_A_STRING.match(item):
        item = item.cut(said.end())
    words = item.casefold().split()
    for count in (3, 2, 1):
        name = names.get(" ".join(words[:count]).rstrip(":"))
        if name and len(words) > count:
            start = re.match(rf"(?:\S+\s+){{{count}}}", item)
            return Text(name, item.place), item.cut(start.end() if start else 0)
    if any(item.casefold().startswith(f"{kind} ") for kind in DROPPER_KINDS):
        return Text("dropper", item.place), item
    return Text("order", item.place) if words and item.manner.position(words[0]) else before, item


_READ_AT = re.compile(r"(?P<name>\w[\w ]*?)\s*[:=]?\s+(?P<value>[.\d][\d.,]*\s?(?:V\w*|volts?|m?A)?(?:\s?AC)?)", re.I)


class HeaterReadings(Section):
    """Measured heater volts by tube, and the conditions: ``line: 117 V``, ``V5: 32.1 V``."""

    OTHERS = "volts"
    LINED = True
    SYNONYMS = {"mains": "line"}

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """One line of names and volts, ``35Z5 33.1, 50L6 48``; brackets behind the volts of one are the note."""
        found = [_READ_AT.fullmatch(item) for item in items(data)] if isinstance(data, Text) else []
        if not found or not all(found):
            of_line = super()._table(data, errors)
            own = frozenset(name.casefold() for name in cls.names())
            return of_line and with_brackets_as_note(with_line_alone(of_line), own)
        table = Entries(data.place, data)
        for item, read in zip(items(data), found, strict=True):
            if read:
                table[item.cut(*read.span("name"))] = item.cut(read.start("value"))
        return table

    line: VoltsRead | None = None
    current: StringCurrent | None = None
    frequency: Frequency | None = None
    dropper: VoltsRead | None = None
    ntc: VoltsRead | None = None
    note: Wording | None = None
    volts: Annotated[dict[TubeName, MeasuredVolts], OfTubes] = {}


_OHMS = r"\d[\d.,]*\s?(?:k?ohms?|k|Ω|R)(?:\s[\d./]+\s?W)?"
_LAMP_SHUNT = re.compile(
    rf"(?:^|[,\s]\s*)(?:with (?:a )?)?(?:shunt(?:ed)?(?: by| with| of)?\s+(?P<behind>{_OHMS})"
    rf"|(?P<before>{_OHMS})\s+shunt)(?=\s*(?:[,;]|$))",
    re.I,
)
"""A resistor across the lamp, said in the lamp's line: ``shunt 82 ohm``, ``shunted by 82 ohm 1 W``."""


def _with_the_lamps_shunt(table: Mapping[Any, Any] | None, lamps: Collection[str]) -> Mapping[Any, Any] | None:
    """A supply in whose shunts stands what the lamp's line says lies across the lamp, unless they have one."""
    name = next((key for key in table or () if " ".join(str(key).split()).casefold() in lamps), None)
    line = table.get(name) if table else None
    said = _LAMP_SHUNT.search(line) if isinstance(line, Text) else None
    if table is None or said is None or not isinstance(line, Text):
        return table
    key = next((key for key in table if str(key).casefold() == "shunts"), Text("shunts", line.place))
    written = table.get(key)
    if written is not None and (not isinstance(written, Entries) or Text("lamp") in written):
        return table
    group = "behind" if said["behind"] else "before"
    shunts = Entries(line.place)
    shunts.update(written or {})
    shunts[Text("lamp", line.place)] = line.cut(*said.span(group))
    rest = line.taken_as(f"{line[: said.start()]}{line[said.end() :]}".strip(" ,"))
    return {**table, name: rest, key: shunts}


class HeaterSupply(Section):
    """Section ``heaters`` of a record."""

    SYNONYMS = {
        **dict.fromkeys(("dial lamp", "scale lamp", "lamp", "pilot", "pilot light", "dial light"), "pilot lamp"),
        **dict.fromkeys(("pilot lamps", "dial lamps", "scale lamps", "lamps", "dial lights"), "pilot lamp"),
        **dict.fromkeys(("voltage selector", "selector"), "mains selector"),
    }

    LINED = True
    NAMED_LIKE = r"^\s*(?:[\w.,]+(?:\s?[Vv])?\s+)?[Ww][Ii][Nn][Dd][Ii][Nn][Gg](?:\s+\w{1,2}|[0-9])?\s*$"

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """One line is the order of the string, and what else there is behind it: ``35Z5 50L6, dropper 170 ohm``."""
        if not isinstance(data, Text):
            data = windings_home(data) if isinstance(data, dict) else data
            table = with_bare_taps_as_note(super()._table(cord_as_dropper(data), errors))
            volts_by_their_names(table)
            heaters_of_the_rest(table)
            shunts_by_what_they_cross(table)
            table = without_ntc(table)
            return words_apart(_with_the_lamps_shunt(table, {"pilot lamp", *cls._lamp_words()}))
        names = {name.casefold(): name for name in (*cls.names(), *cls.SYNONYMS)}
        table = Entries(data.place, data)
        key = Text("order", data.place)
        for item in items(data):
            key, value = _named(item, names, key)
            before = table.get(key)
            table[key] = before.and_then(value) if isinstance(before, Text) else value
        return words_apart(table)

    @classmethod
    def _lamp_words(cls) -> list[str]:
        return [word for word, key in cls.SYNONYMS.items() if key == "pilot lamp"]

    order: StringOrder | None = None
    pilot_lamp: Annotated[PilotLamp | None, BeforeValidator(_none)] = None
    dropper: Annotated[Dropper | None, BeforeValidator(_none)] = None
    ntc: Annotated[Thermistor | None, BeforeValidator(_none)] = None
    shunts: dict[Name, Shunt] = {}
    mains_taps: Annotated[dict[Name, Resistance], ReadsBefore(lambda taps: taps, published_taps)] = {}
    mains_selector: Wording | None = None
    second_string: StringOrder | None = None
    second_dropper: Dropper | None = None
    diode_in_place_of: Wording | None = None
    filament_supply: Voltage | None = None
    primary: Voltage | None = None
    cathode_currents: Annotated[dict[TubeName, Current], OfTubes] = {}
    batteries: dict[Name, Battery] = {}
    windings: dict[Name, Winding] = {}
    measured: HeaterReadings | None = None
    note: Wording | None = None
