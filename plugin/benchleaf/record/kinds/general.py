"""The kinds of quantity without an electrical unit, one row each: frequency, ratios, levels, heat, time, length."""

from __future__ import annotations

from decimal import Decimal

from .kind import Kind, Open, Unit

FREQUENCY = Kind(
    "frequency",
    "Hz",
    in_key="hertz",
    noun="a frequency",
    examples="455 kHz, 455 kc or 10.7 MHz",
    bare=("Hz", "kHz", "MHz"),
    suggested="Hz",
    figures=4,  # a frequency is a setting: 262.5 kHz keeps its fourth figure
    dashed=True,
    overrange=True,
    units=(
        Unit(
            "hertz",
            Decimal(1),
            "Hz",
            loose="hz hertz cps c/s c/sec cy cyc cycle cycles cycle/s cycles/s cycles/sec cycles_per_second",
            symbol="Hz",
        ),
        Unit(
            "kilohertz",
            Decimal("1e3"),
            "kHz",
            loose="kc kcs kc/s kc/sec kcps khz kilohertz kilocycle kilocycles kilocycles/sec kilocycles_per_second",
            symbol="kHz",
            said_from=1e3,
        ),
        Unit(
            "megahertz",
            Decimal("1e6"),
            "MHz",
            loose="megahertz megacycle megacycles megacycles/sec megacycles_per_second",
            initial="Mc Mcs Mc/s Mc/sec Mcps Mhz",
            exact="mc mcs mc/s mc/sec mcps",  # old American print; nobody tunes to thousandths of a cycle
            symbol="MHz",
            said_from=3e6,
        ),
        Unit("gigahertz", Decimal("1e9"), "GHz", loose="ghz gigahertz"),
    ),
    opens=(
        Open("mc mcs mc/s mc/sec mcps mhz", "1 MHz | 0.001 Hz", initial=True),
        Open("k K", "1 kHz", plain=False),
        Open("M", "1 MHz | 1 kHz", plain=False),
        Open("c ~", "1 Hz", plain=False),
    ),
)

RATIO = Kind(
    "ratio",
    "1",
    in_key="",
    noun="a percentage",
    examples="20 %",
    bare=("%",),
    suggested="%",
    signed=True,
    either_way=True,
    off_in_percent=False,
    units=(Unit("percent", Decimal("0.01"), "%", loose="% percent per_cent pct", symbol="%"),),
)

TURNS_RATIO = Kind(
    "turns ratio",
    "n:1",
    in_key="to_one",
    noun="a turns ratio",
    examples="45:1, 3.5:1 or 1:3",
    bare=(":1",),
    suggested=":1",
    of_two_numbers=True,
    units=(Unit("to_one", Decimal(1), ":1", loose=":1", symbol=":1"),),
)

LEVEL = Kind(
    "level",
    "dB",
    in_key="decibels",
    noun="a level in decibels",
    examples="-6 dB or 38 dB",
    bare=("dB",),
    suggested="dB",
    signed=True,
    off_in_percent=False,
    units=(Unit("decibel", Decimal(1), "dB", loose="db dbs decibel decibels", symbol="dB"),),
)

FIELD_STRENGTH = Kind(
    "field strength",
    "V/m",
    in_key="volts_per_metre",
    noun="a field strength",
    examples="350 uV/m or 2 mV/m",
    bare=("uV/m",),
    units=(
        Unit("microvolt/metre", Decimal("1e-6"), "uV/m", loose="uv/m microvolt/metre microvolts/metre", symbol="µV/m"),
        Unit("millivolt/metre", Decimal("1e-3"), "mV/m", exact="mV/m mv/m", symbol="mV/m", said_from=1e-2),
        Unit("volt/metre", Decimal(1), "V/m", exact="V/m v/m", symbol="V/m", said_from=1),
    ),
)

TEMPERATURE = Kind(
    "temperature",
    "K",
    in_key="kelvins",
    noun="a temperature",
    examples="20 °C or 68 °F",
    bare=("degC", "degF"),
    suggested="°C",
    dashed=True,
    signed=True,
    off_in_percent=False,
    units=(
        Unit(
            "degree_Celsius",
            Decimal(1),
            "degC",
            shift=Decimal("273.15"),
            loose="°c degc deg_c degree_c degrees_c celsius centigrade degrees_celsius degrees_centigrade",
            known="C",
            symbol="°C",
        ),
        Unit(
            "degree_Fahrenheit",
            Decimal(5) / 9,
            "degF",
            shift=Decimal("459.67"),
            loose="°f degf deg_f degree_f degrees_f fahrenheit degrees_fahrenheit",
            known="F",
        ),
        Unit("kelvin", Decimal(1), "kelvin", shift=Decimal(0), loose="°k kelvin kelvins", known="K"),
    ),
    opens=(
        Open("° deg degrees", "1 degC | 1 degF"),
        Open("c", "1 degC", plain=False),
        Open("f", "1 degF", plain=False),
    ),
)

DURATION = Kind(
    "duration",
    "s",
    in_key="seconds",
    noun="a time",
    examples="90 s, 10 min or 1.5 h",
    bare=("s", "min", "h"),
    suggested="min",
    at_zero="second",
    dashed=True,
    compound=True,
    units=(
        Unit("microsecond", Decimal("1e-6"), "us", loose="usec microsecond microseconds", exact="us", symbol="µs"),
        Unit(
            "millisecond",
            Decimal("1e-3"),
            "ms",
            loose="msec millisecond milliseconds",
            exact="ms",
            symbol="ms",
            said_from=1e-3,
        ),
        Unit("second", Decimal(1), "s", loose="sec secs second seconds", exact="s", symbol="s", said_from=1),
        Unit("minute", Decimal("60"), "min", loose="min mins minute minutes", symbol="min", said_from=120),
        Unit("hour", Decimal("3600"), "h", loose="hr hrs hour hours", exact="h", symbol="h", said_from=3600),
        Unit("day", Decimal("86400"), "d", loose="day days", exact="d"),
        Unit("week", Decimal("604800"), "weeks", loose="week weeks"),
    ),
    opens=(
        Open("m M", "1 min", plain=False),
        Open("S", "1 s", plain=False),
        Open("H", "1 h", plain=False),
    ),
)

LENGTH = Kind(
    "length",
    "m",
    in_key="metres",
    noun="a length",
    examples="187 m, 25 mm or 3/8 in",
    bare=("m", "mm"),
    suggested="m",
    dashed=True,
    compound=True,
    units=(
        Unit("micrometre", Decimal("1e-6"), "um", loose="micrometre micrometres micrometer micrometers", exact="um"),
        Unit(
            "millimetre",
            Decimal("1e-3"),
            "mm",
            loose="millimetre millimetres millimeter millimeters",
            exact="mm",
            symbol="mm",
        ),
        Unit("centimetre", Decimal("0.01"), "cm", loose="centimetre centimetres centimeter centimeters", exact="cm"),
        Unit("inch", Decimal("0.0254"), "in", loose='in inch inches "'),
        Unit("foot", Decimal("0.3048"), "ft", loose="ft foot feet '"),
        Unit("metre", Decimal(1), "m", loose="metre metres meter meters", exact="m", symbol="m", said_from=1),
        Unit("kilometre", Decimal("1e3"), "km", loose="kilometre kilometres kilometer kilometers", exact="km"),
    ),
    opens=(
        Open("M", "1 m", plain=False),
        Open("MM Mm", "1 mm", plain=False),
        Open("CM Cm", "1 cm", plain=False),
    ),
)
