"""What sets of one chassis share, section by section; what was measured, found, fitted or dated stays behind."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ..line_values import PART_NAME
from ..mapping import as_mapping
from ..model import Line, Record
from ..sections.alignment import AlignmentStep
from ..sections.dropper import Dropper
from ..sections.gang import Gang
from ..sections.heaters import Battery, Shunt, Thermistor, Winding
from ..sections.line_up import FittedTube, Heater
from ..sections.pilot_lamp import PilotLamp
from ..sections.speaker import Speaker
from ..sections.wave_bands import read_band
from ..text import Text
from .given import Given
from .meant_parts import parts
from .said import AsTyped, as_lines, one_line
from .sheet_readings import published_readings


def from_record(record: Record) -> Given:
    """A record that was read, as ``record.json`` has it."""
    return Given.of(as_mapping(record))


def same_chassis(given: Given) -> str:
    """The lines of a record of another set of the same chassis, all but its maker and model; empty where none is."""
    taken: dict[str, AsTyped] = {key.replace("_", " "): given.text(key) for key in ("chassis_number", "nameplate")}
    taken["line"] = _line(given.inner("line"))
    taken |= {key: given.text(key) for key in ("power", "chassis")}
    taken |= {key.replace("_", " "): given.quantity(key) for key in ("IF", "second_IF")}
    taken["bands"] = {name: _band(band) for name, band in given.inner("bands").named()}
    taken["gang"] = _fields(given.inner("gang"), Gang, values="low high", texts="oscillator_section tuning")
    taken["papers"] = {
        name: paper for name in given.inner("papers").table if (paper := given.inner("papers").text(name))
    }
    taken["tubes"] = _tubes(given)
    taken["heaters"] = _heaters(given.inner("heaters"))
    taken["readings"] = published_readings(given.inner("readings"))
    taken["parts"] = parts(given.inner("parts"))
    taken["wires"] = [", ".join(row) for row in given.lists("wires")]
    coil = "impedance voice_coil field size ratio"
    taken["speaker"] = _fields(given.inner("speaker"), Speaker, values=coil, head=("impedance",))
    taken["alignment"] = [found for one in given.listed("alignment") if (found := _alignment(one))]
    return "".join(f"{line}\n" for line in as_lines(taken))


def _line(given: Given) -> AsTyped:
    """The nominal line; whether it is DC stands in its volts already where it was written there."""
    known = given.quantity("volts").upper().endswith(("AC", "DC"))
    head = ("volts", "frequency", "current")
    texts = "" if known else "current"
    return _fields(given, Line, values="volts frequency low high", texts=texts, head=head)


def _fields(
    given: Given,
    section: type,
    *,
    values: str = "",
    texts: str = "",
    head: Sequence[str] = (),
    plain: Sequence[str] = (),
) -> AsTyped:
    """Some of a table's keys, quantities and texts, as the line of their section."""
    found: dict[str, AsTyped] = {key: given.text(key) for key in texts.split()}
    found |= {key: given.quantity(key) for key in values.split()}
    return one_line(section, {key.replace("_", " "): value for key, value in found.items()}, head, plain)


def _band(band: Given) -> AsTyped:
    written = band.text("written")
    low, high = (Given({"end_hertz": band.table.get(f"{end}_hertz")}).quantity("end") for end in ("low", "high"))
    try:
        read = as_mapping(read_band(Text(written)))
    except ValueError:
        read = {}
    same = all(read.get(key) == band.table.get(key) for key in ("low_hertz", "high_hertz"))
    return written if read and same else {"low": low, "high": high}


def _tubes(given: Given) -> AsTyped:
    """Each position with its type and job: the type from before, where another was put in its place."""
    changed = given.inner("changed_tubes")
    found: dict[str, AsTyped] = {}
    for name, tube in given.inner("tubes").named():
        change = changed.inner(name)
        put_in = change.inner("now").text("type") == tube.text("type")
        type_ = (put_in and change.inner("was").text("type")) or tube.text("type")
        fields: dict[str, AsTyped] = {
            "type": type_,
            "job": tube.text("job"),
            "heater": _fields(tube.inner("heater"), Heater, values="volts amps", head=("volts", "amps")),
            "base": tube.text("base"),
            "pins": " ".join(tube.texts("pins")),
        }
        found[name] = one_line(FittedTube, fields, ("type",), ("job",))
    return found


def _heaters(given: Given) -> AsTyped:
    found: dict[str, AsTyped] = {"order": ", ".join(given.texts("order"))}
    lamp = {
        "texts": "type across place",
        "values": "volts amps",
        "head": ("type",),
        "plain": ("volts", "amps", "place"),
    }
    found["pilot lamp"] = _fields(given.inner("pilot_lamp"), PilotLamp, **lamp)  # type: ignore[arg-type]
    found["dropper"] = _dropper(given.inner("dropper"))
    found["ntc"] = _fields(given.inner("ntc"), Thermistor, values="cold hot", texts="type")
    found["shunts"] = _each(given.inner("shunts"), _shunt)
    found["mains taps"] = dict(given.inner("mains_taps").quantities())
    found["second string"] = ", ".join(given.texts("second_string"))
    found["second dropper"] = _dropper(given.inner("second_dropper"))
    found["diode in place of"] = given.text("diode_in_place_of")
    found |= {key.replace("_", " "): given.quantity(key) for key in ("filament_supply", "primary")}
    found["cathode currents"] = dict(given.inner("cathode_currents").quantities())
    found["batteries"] = _each(given.inner("batteries"), _battery)
    found["windings"] = _each(given.inner("windings"), _winding)
    return {key: value for key, value in found.items() if value}


def _each(given: Given, say: Callable[[Given], AsTyped]) -> AsTyped:
    return {name: said for name, table in given.named() if (said := say(table))}


def _dropper(given: Given) -> AsTyped:
    head = ("kind", "ohms", "watts", "farads", "volts", "amps", "length")
    values = f"{' '.join(head[1:])} shared drain"
    return _fields(given, Dropper, texts="kind type rectifier_at", values=values, head=head)


def _shunt(given: Given) -> AsTyped:
    return _fields(given, Shunt, values="ohms watts", head=("ohms", "watts"))


def _battery(given: Given) -> AsTyped:
    return _fields(given, Battery, values="volts capacity", head=("volts", "capacity"))


def _winding(given: Given) -> AsTyped:
    """A winding; that it feeds a dry rectifier is known by its volts, and the part may not be in the new record."""
    feeds = () if PART_NAME.fullmatch(given.text("feeds")) else ("feeds",)
    return _fields(given, Winding, values="volts amps", texts=" ".join((*feeds, "halves")), head=("volts", "amps"))


def _alignment(given: Given) -> dict[str, AsTyped]:
    steps = [
        _fields(
            step,
            AlignmentStep,
            values="frequency wavelength",
            texts="adjust generator into through meter",
            head=("frequency", "wavelength"),
            plain=("adjust",),
        )
        for step in given.listed("steps")
    ]
    found: dict[str, AsTyped] = {"generator": given.text("generator"), "meter": given.text("meter")}
    return {**found, "steps": [step for step in steps if step]} if any(steps) else {}
