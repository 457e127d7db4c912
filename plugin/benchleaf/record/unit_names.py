"""The kinds of quantity, and the units each is measured in: name, factor, and a spelling in plain ASCII.

The factors are what the grammar multiplies by; pint is the authority, and a test holds every one equal to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

BASE = {
    "capacitance": "F",
    "inductance": "H",
    "resistance": "ohm",
    "voltage": "V",
    "current": "A",
    "power": "W",
    "frequency": "Hz",
    "ratio": "1",
    "transconductance": "S",
    "temperature": "K",
    "duration": "s",
    "length": "m",
    "charge": "C",
}
"""The kinds of quantity, and the SI unit a value of each is kept in."""

EXPECTED = {
    "capacitance": "a capacitance such as 0.01 uF, 10 nF or 470 pF",
    "inductance": "an inductance such as 30 H, 2.5 mH or 250 uH",
    "resistance": "a resistance such as 470 ohm, 22 k or 2.2 meg",
    "voltage": "a voltage such as 117 V, 250 V AC or 38 mV",
    "current": "a current such as 0.3 A, 150 mA or 38 uA",
    "power": "a power such as 0.5 W, 1/2 W or 50 mW",
    "frequency": "a frequency such as 455 kHz, 455 kc or 10.7 MHz",
    "ratio": "a percentage such as 20 %",
    "transconductance": "a transconductance such as 1.1 mA/V, 1100 umho or 1.1 mS",
    "temperature": "a temperature such as 20 °C or 68 °F",
    "duration": "a time such as 90 s, 10 min or 1.5 h",
    "length": "a length such as 187 m, 25 mm or 3/8 in",
    "charge": "a charge such as 400 mAh, 2 Ah or 10 uC",
}
"""What a writer may type for each kind, in plain words."""

BARE = {
    "capacitance": ("uF", "pF"),
    "inductance": ("H", "mH", "uH"),
    "resistance": ("ohm", "kohm", "megohm"),
    "voltage": ("V", "mV"),
    "current": ("A", "mA", "uA"),
    "power": ("W", "mW"),
    "frequency": ("Hz", "kHz", "MHz"),
    "ratio": ("%",),
    "transconductance": ("umho", "mS"),
    "temperature": ("degC", "degF"),
    "duration": ("s", "min", "h"),
    "length": ("m", "mm"),
    "charge": ("mAh", "Ah"),
}
"""The units a number without one may have been meant in."""

_UNITS = {
    "picofarad": ("1e-12", "pF"),
    "nanofarad": ("1e-9", "nF"),
    "microfarad": ("1e-6", "uF"),
    "farad": ("1", "F"),
    "nanohenry": ("1e-9", "nH"),
    "microhenry": ("1e-6", "uH"),
    "millihenry": ("1e-3", "mH"),
    "henry": ("1", "H"),
    "microohm": ("1e-6", "microhm"),
    "milliohm": ("1e-3", "milliohm"),
    "ohm": ("1", "ohm"),
    "kiloohm": ("1e3", "kohm"),
    "megaohm": ("1e6", "megohm"),
    "gigaohm": ("1e9", "gigohm"),
    "teraohm": ("1e12", "Tohm"),
    "nanovolt": ("1e-9", "nV"),
    "microvolt": ("1e-6", "uV"),
    "millivolt": ("1e-3", "mV"),
    "volt": ("1", "V"),
    "kilovolt": ("1e3", "kV"),
    "picoampere": ("1e-12", "pA"),
    "nanoampere": ("1e-9", "nA"),
    "microampere": ("1e-6", "uA"),
    "milliampere": ("1e-3", "mA"),
    "ampere": ("1", "A"),
    "microwatt": ("1e-6", "uW"),
    "milliwatt": ("1e-3", "mW"),
    "watt": ("1", "W"),
    "kilowatt": ("1e3", "kW"),
    "hertz": ("1", "Hz"),
    "kilohertz": ("1e3", "kHz"),
    "megahertz": ("1e6", "MHz"),
    "gigahertz": ("1e9", "GHz"),
    "percent": ("0.01", "%"),
    "micromho": ("1e-6", "umho"),
    "microsiemens": ("1e-6", "uS"),
    "millisiemens": ("1e-3", "mS"),
    "siemens": ("1", "S"),
    "kelvin": ("1", "kelvin"),
    "microsecond": ("1e-6", "us"),
    "millisecond": ("1e-3", "ms"),
    "second": ("1", "s"),
    "minute": ("60", "min"),
    "hour": ("3600", "h"),
    "day": ("86400", "d"),
    "week": ("604800", "weeks"),
    "micrometre": ("1e-6", "um"),
    "millimetre": ("1e-3", "mm"),
    "centimetre": ("0.01", "cm"),
    "metre": ("1", "m"),
    "kilometre": ("1e3", "km"),
    "inch": ("0.0254", "in"),
    "foot": ("0.3048", "ft"),
    "microcoulomb": ("1e-6", "uC"),
    "millicoulomb": ("1e-3", "mC"),
    "coulomb": ("1", "C"),
    "microampere_hour": ("3.6e-3", "uAh"),
    "milliampere_hour": ("3.6", "mAh"),
    "ampere_hour": ("3600", "Ah"),
}

FACTORS: Mapping[str, Decimal] = {name: Decimal(factor) for name, (factor, _) in _UNITS.items()}
"""Each unit, by the name pint knows it by, in the SI unit of its kind."""

SCALES: Mapping[str, tuple[Decimal, Decimal]] = {
    "degree_Celsius": (Decimal("273.15"), Decimal(1)),
    "degree_Fahrenheit": (Decimal("459.67"), Decimal(5) / 9),
}
"""Temperature scales: kelvin = (reading + first) x second; a difference takes the second alone."""

ASCII: Mapping[str, str] = {
    **{name: spelling for name, (_, spelling) in _UNITS.items()},
    "degree_Celsius": "degC",
    "degree_Fahrenheit": "degF",
}
"""One spelling of each unit that reads back as that unit."""
