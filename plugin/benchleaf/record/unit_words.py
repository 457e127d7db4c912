"""The spellings of each unit: what the trade has written on parts, diagrams and data sheets.

Old American print has MF, mF and mfd for the microfarad, mmf for the picofarad, MA for the milliampere, K for the
thousand and M for either the thousand or the million. Where neither the letters nor their case settle it, the writer
is asked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Sense:
    """What a spelling means.

    ``unit`` is the unit's name; empty where the spelling leaves it open, and then ``readings`` holds the units it may
    be, each with the factor that the number takes. ``plain`` is False where a spelling says its kind only to somebody
    who knows the kind already (K for kelvin, h for henry). ``remark`` is what the writer is told although the value is
    accepted.
    """

    unit: str = ""
    readings: tuple[tuple[Decimal, str], ...] = ()
    plain: bool = True
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Spellings:
    """The spellings of one kind's units.

    Upper and lower case count in ``exact``, only that of the first letter in ``initial``, none in ``loose``.
    """

    exact: dict[str, Sense] = field(default_factory=dict)
    initial: dict[str, Sense] = field(default_factory=dict)
    loose: dict[str, Sense] = field(default_factory=dict)

    def find(self, word: str) -> Sense | None:
        """What a spelling means, or None where it is no unit of this kind."""
        return self.exact.get(word) or self.initial.get(word[:1] + word[1:].lower()) or self.loose.get(word.lower())


# In all tables below words are parted by blanks, and "_" stands for a blank within a word. A hyphen counts as a blank.
_LOOSE = {
    "capacitance": {
        "microfarad": "uf ufd ufds mfd mfds microfarad microfarads micro_farad micro_farads",
        "nanofarad": "nf nfd kpf nanofarad nanofarads nano_farad nano_farads",
        "picofarad": "pf pfd puff puffs uuf uufd uufds mmf mmfd mmfds picofarad picofarads pico_farad pico_farads "
        "micromicrofarad micromicrofarads micro_microfarad micro_microfarads micro_micro_farad micro_micro_farads",
        "farad": "farad farads",
    },
    "inductance": {
        "henry": "hy hys henry henrys henries",
        "millihenry": "millihenry millihenrys millihenries milli_henry milli_henries",
        "microhenry": "uh uhy microhenry microhenrys microhenries micro_henry micro_henries",
        "nanohenry": "nh nanohenry nanohenries",
    },
    "resistance": {
        "ohm": "ohm ohms",
        "kiloohm": "k kohm kohms k_ohm k_ohms kilohm kilohms kiloohm kiloohms kilo_ohm kilo_ohms",
        "megaohm": "meg megs megohm megohms meg_ohm meg_ohms megaohm megaohms",
        "gigaohm": "gohm gohms gigohm gigohms gigaohm gigaohms",
        "teraohm": "tohm tohms teraohm teraohms",
        "milliohm": "milliohm milliohms milli_ohm milli_ohms",
        "microohm": "uohm uohms microhm microhms microohm microohms",
    },
    "voltage": {
        "volt": "v volt volts",
        "millivolt": "millivolt millivolts",
        "microvolt": "uv microvolt microvolts",
        "nanovolt": "nv nanovolt nanovolts",
        "kilovolt": "kv kilovolt kilovolts",
    },
    "current": {
        "ampere": "a amp amps ampere amperes",
        "milliampere": "milliamp milliamps milliampere milliamperes milli_amps",
        "microampere": "ua uamp uamps microamp microamps microampere microamperes micro_amps",
        "nanoampere": "na nanoamp nanoamps nanoampere nanoamperes",
        "picoampere": "pa picoamp picoamps picoampere picoamperes",
    },
    "power": {
        "watt": "w watt watts",
        "milliwatt": "milliwatt milliwatts",
        "microwatt": "uw microwatt microwatts",
        "kilowatt": "kw kilowatt kilowatts",
    },
    "frequency": {
        "hertz": "hz hertz cps c/s c/sec cy cyc cycle cycles cycle/s cycles/s cycles/sec cycles_per_second",
        "kilohertz": "kc kcs kc/s kc/sec kcps khz kilohertz kilocycle kilocycles kilocycles/sec kilocycles_per_second",
        "megahertz": "megahertz megacycle megacycles megacycles/sec megacycles_per_second",
        "gigahertz": "ghz gigahertz",
    },
    "ratio": {"percent": "% percent per_cent pct"},
    "transconductance": {
        "siemens": "mho mhos siemens a/v",
        "millisiemens": "millimho millimhos millisiemens ma_per_volt milliamp_per_volt milliamps_per_volt",
        "micromho": "umho umhos micromho micromhos micro_mho micro_mhos ua/v ua_per_volt",
        "microsiemens": "microsiemens",
    },
    "temperature": {
        "degree_Celsius": "°c degc deg_c degree_c degrees_c celsius centigrade degrees_celsius degrees_centigrade",
        "degree_Fahrenheit": "°f degf deg_f degree_f degrees_f fahrenheit degrees_fahrenheit",
        "kelvin": "°k kelvin kelvins",
    },
    "duration": {
        "microsecond": "usec microsecond microseconds",
        "millisecond": "msec millisecond milliseconds",
        "second": "sec secs second seconds",
        "minute": "min mins minute minutes",
        "hour": "hr hrs hour hours",
        "day": "day days",
        "week": "week weeks",
    },
    "length": {
        "micrometre": "micrometre micrometres micrometer micrometers",
        "millimetre": "millimetre millimetres millimeter millimeters",
        "centimetre": "centimetre centimetres centimeter centimeters",
        "metre": "metre metres meter meters",
        "kilometre": "kilometre kilometres kilometer kilometers",
        "inch": 'in inch inches "',
        "foot": "ft foot feet '",
    },
    "charge": {
        "coulomb": "coulomb coulombs",
        "millicoulomb": "millicoulomb millicoulombs",
        "microcoulomb": "microcoulomb microcoulombs",
        "microampere_hour": "uah microamp_hours microampere_hours",
        "milliampere_hour": "milliamp_hour milliamp_hours milliampere_hour milliampere_hours",
        "ampere_hour": "ah a_h amp_hour amp_hours ampere_hour ampere_hours",
    },
}

_INITIAL = {
    "inductance": {"millihenry": "mh mhy"},
    "voltage": {"millivolt": "mv"},
    "current": {"milliampere": "ma"},
    "power": {"milliwatt": "mw"},
    "frequency": {"megahertz": "Mc Mcs Mc/s Mc/sec Mcps Mhz"},
    "transconductance": {"millisiemens": "ma/v ma/volt"},
    "charge": {"milliampere_hour": "mah"},
}

_EXACT = {
    "capacitance": {"farad": "F", "nanofarad": "n", "picofarad": "p", "microfarad": "u"},
    "inductance": {"henry": "H"},
    "resistance": {"ohm": "R r E"},
    "transconductance": {"siemens": "S", "millisiemens": "mS", "microsiemens": "uS"},
    "duration": {"microsecond": "us", "millisecond": "ms", "second": "s", "hour": "h", "day": "d"},
    "length": {"micrometre": "um", "millimetre": "mm", "centimetre": "cm", "metre": "m", "kilometre": "km"},
    "charge": {"coulomb": "C", "millicoulomb": "mC", "microcoulomb": "uC"},
}

_EXACT_WHERE_THE_KIND_IS_KNOWN = {
    "inductance": {"henry": "h"},
    "temperature": {"degree_Celsius": "C", "degree_Fahrenheit": "F", "kelvin": "K"},
}

# What a spelling may mean: each reading is a number to multiply by and a unit.
_OPEN = {
    "capacitance": {"muF muf": "1 nF | 1 uF", "jar jars": "1.11 nF"},
    "resistance": {
        "M m": "1 megohm | 1000 ohm",
        "KM kM Km": "1 kohm | 1 megohm",
        "MOHM MOHMS M_ohm M_ohms": "1 megohm | 1000 ohm",
    },
    "current": {"mil mils": "1 mA"},
    "transconductance": {"mmho mmhos Mmho Mmhos MMHO MMHOS": "1 mS | 1 uS"},
    "temperature": {"° deg degrees": "1 degC | 1 degF"},
}

_OPEN_BY_INITIAL = {
    "inductance": {"Mh Mhy": "1 mH"},
    "voltage": {"Mv": "1 mV | 1000 kV"},
    "current": {"Ma": "1 mA"},
    "power": {"Mw": "1 mW | 1000 kW"},
    "frequency": {"mc mcs mc/s mc/sec mcps mhz": "1 MHz | 0.001 Hz"},
    "transconductance": {"Ma/v Ma/volt": "1 mS"},
    "charge": {"Mah": "1 mAh"},
}

_OPEN_WHERE_THE_KIND_IS_KNOWN = {
    "capacitance": {"cm": "1.11265 pF", "M m": "1 uF", "MU mu Mu": "1 uF", "N": "1 nF", "P": "1 pF", "U": "1 uF"},
    "inductance": {"u U": "1 uH", "m": "1 mH", "M": "1 mH"},
    "voltage": {"m M": "1 mV", "k K": "1 kV"},
    "current": {"m M": "1 mA", "u U": "1 uA"},
    "power": {"m M": "1 mW"},
    "frequency": {"k K": "1 kHz", "M": "1 MHz | 1 kHz", "c ~": "1 Hz"},
    "transconductance": {"ms Ms MS": "1 mS", "us Us US": "1 uS"},
    "temperature": {"c": "1 degC", "f": "1 degF"},
    "duration": {"m M": "1 min", "S": "1 s", "H": "1 h"},
    "length": {"M": "1 m", "MM Mm": "1 mm", "CM Cm": "1 cm"},
}

_OLD_PRINT = Sense("microfarad", remark="read as microfarads, the sense of old print")
_MILLION = Sense("megaohm", remark="read as a million ohms; on old American sheets M may mean thousand")
_THOUSANDTH = Sense("milliohm", remark="read as thousandths of an ohm")

_REMARKED = {
    "capacitance": {"loose": {"mf": _OLD_PRINT}},
    "resistance": {
        "initial": {"Mohm": _MILLION, "Mohms": _MILLION, "mohm": _THOUSANDTH, "mohms": _THOUSANDTH},
    },
}


def _words(text: str) -> list[str]:
    return [word.replace("_", " ") for word in text.split()]


def _senses(table: Mapping[str, str] | None, *, plain: bool = True) -> dict[str, Sense]:
    """The spellings that settle the unit."""
    return {word: Sense(unit, plain=plain) for unit, spellings in (table or {}).items() for word in _words(spellings)}


def _open(table: Mapping[str, str] | None, *, plain: bool = True) -> dict[str, Sense]:
    """The spellings that leave the unit open."""
    found: dict[str, Sense] = {}
    for spellings, readings in (table or {}).items():
        parted = (reading.split() for reading in readings.split(" | "))
        sense = Sense(readings=tuple((Decimal(factor), unit) for factor, unit in parted), plain=plain)
        found |= dict.fromkeys(_words(spellings), sense)
    return found


def _spellings(kind: str) -> Spellings:
    remarked: Mapping[str, dict[str, Sense]] = _REMARKED.get(kind, {})
    return Spellings(
        exact=_senses(_EXACT.get(kind))
        | _senses(_EXACT_WHERE_THE_KIND_IS_KNOWN.get(kind), plain=False)
        | _open(_OPEN.get(kind))
        | _open(_OPEN_WHERE_THE_KIND_IS_KNOWN.get(kind), plain=False),
        initial=_senses(_INITIAL.get(kind)) | _open(_OPEN_BY_INITIAL.get(kind)) | remarked.get("initial", {}),
        loose=_senses(_LOOSE[kind]) | remarked.get("loose", {}),
    )


SPELLINGS: Mapping[str, Spellings] = {kind: _spellings(kind) for kind in _LOOSE}
"""The spellings of every kind of quantity."""

CODE_LETTERS: Mapping[str, Mapping[str, str]] = {
    "resistance": {"R": "ohm", "r": "ohm", "Ω": "ohm", "k": "kiloohm", "K": "kiloohm", "M": "megaohm", "G": "gigaohm"},
    "capacitance": {"p": "picofarad", "n": "nanofarad", "u": "microfarad"},
}
"""The letters that stand for the decimal point in a value code such as 4k7 or 3n3 (IEC 60062), and their units."""
