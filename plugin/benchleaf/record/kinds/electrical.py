"""The electrical kinds of quantity that are of a set at work, one row each: volts, amperes, watts.

The spellings are what the trade has written on diagrams and data sheets, MA for the milliampere among them. Where
neither the letters nor their case settle it, the writer is asked.
"""

from __future__ import annotations

from decimal import Decimal

from .kind import Kind, Open, Unit

VOLTAGE = Kind(
    "voltage",
    "V",
    in_key="volts",
    noun="a voltage",
    examples="117 V, 250 V AC or 38 mV",
    bare=("V", "mV"),
    suggested="V",
    at_zero="volt",
    marked=True,
    dashed=True,
    signed=True,
    overrange=True,
    units=(
        Unit("nanovolt", Decimal("1e-9"), "nV", loose="nv nanovolt nanovolts"),
        Unit("microvolt", Decimal("1e-6"), "uV", loose="uv microvolt microvolts", symbol="µV"),
        Unit(
            "millivolt", Decimal("1e-3"), "mV", loose="millivolt millivolts", initial="mv", symbol="mV", said_from=1e-3
        ),
        Unit("volt", Decimal(1), "V", loose="v volt volts wv vw wvdc vdcw volts_working", symbol="V", said_from=0.1),
        Unit("kilovolt", Decimal("1e3"), "kV", loose="kv kilovolt kilovolts", symbol="kV", said_from=1e3),
    ),
    opens=(
        Open("Mv", "1 mV | 1000 kV", initial=True),
        Open("m M", "1 mV", plain=False),
        Open("k K", "1 kV", plain=False),
    ),
)

CURRENT = Kind(
    "current",
    "A",
    in_key="amps",
    noun="a current",
    examples="0.3 A, 150 mA or 38 uA",
    bare=("A", "mA", "uA"),
    suggested="A",
    at_zero="ampere",
    marked=True,
    signed=True,
    overrange=True,
    units=(
        Unit("picoampere", Decimal("1e-12"), "pA", loose="pa picoamp picoamps picoampere picoamperes"),
        Unit("nanoampere", Decimal("1e-9"), "nA", loose="na nanoamp nanoamps nanoampere nanoamperes", symbol="nA"),
        Unit(
            "microampere",
            Decimal("1e-6"),
            "uA",
            loose="ua uamp uamps microamp microamps microampere microamperes micro_amps",
            symbol="µA",
            said_from=1e-7,
        ),
        Unit(
            "milliampere",
            Decimal("1e-3"),
            "mA",
            loose="milliamp milliamps milliampere milliamperes milli_amps",
            initial="ma",
            symbol="mA",
            said_from=1e-3,
        ),
        Unit("ampere", Decimal(1), "A", loose="a amp amps ampere amperes", symbol="A", said_from=1),
    ),
    opens=(
        Open("mil mils", "1 mA"),
        Open("Ma", "1 mA", initial=True),
        Open("m M", "1 mA", plain=False),
        Open("u U", "1 uA", plain=False),
    ),
)

POWER = Kind(
    "power",
    "W",
    in_key="watts",
    noun="a power",
    examples="0.5 W, 1/2 W or 50 mW",
    bare=("W", "mW"),
    suggested="W",
    at_zero="watt",
    units=(
        Unit("microwatt", Decimal("1e-6"), "uW", loose="uw microwatt microwatts", symbol="µW"),
        Unit(
            "milliwatt", Decimal("1e-3"), "mW", loose="milliwatt milliwatts", initial="mw", symbol="mW", said_from=1e-3
        ),
        Unit("watt", Decimal(1), "W", loose="w watt watts", symbol="W", said_from=0.1),
        Unit("kilowatt", Decimal("1e3"), "kW", loose="kw kilowatt kilowatts", symbol="kW", said_from=1e3),
    ),
    opens=(
        Open("Mw", "1 mW | 1000 kW", initial=True),
        Open("m M", "1 mW", plain=False),
    ),
)

TRANSCONDUCTANCE = Kind(
    "transconductance",
    "S",
    in_key="siemens",
    noun="a transconductance",
    examples="1.1 mA/V, 1100 umho or 1.1 mS",
    bare=("umho", "mS"),
    at_zero="millisiemens",
    units=(
        Unit(
            "micromho",
            Decimal("1e-6"),
            "umho",
            loose="umho umhos micromho micromhos micro_mho micro_mhos ua/v ua_per_volt",
        ),
        Unit("microsiemens", Decimal("1e-6"), "uS", loose="microsiemens", exact="uS", symbol="µS"),
        Unit(
            "millisiemens",
            Decimal("1e-3"),
            "mS",
            loose="millimho millimhos millisiemens ma_per_volt milliamp_per_volt milliamps_per_volt",
            initial="ma/v ma/volt",
            exact="mS",
            symbol="mS",
            said_from=1e-3,
        ),
        Unit("siemens", Decimal(1), "S", loose="mho mhos siemens a/v", exact="S", symbol="S", said_from=1),
    ),
    opens=(
        Open("mmho mmhos Mmho Mmhos MMHO MMHOS", "1 mS | 1 uS"),
        Open("Ma/v Ma/volt", "1 mS", initial=True),
        Open("ms Ms MS", "1 mS", plain=False),
        Open("us Us US", "1 uS", plain=False),
    ),
)

CHARGE = Kind(
    "charge",
    "C",
    in_key="coulombs",
    noun="a charge",
    examples="400 mAh, 2 Ah or 10 uC",
    bare=("mAh", "Ah"),
    at_zero="coulomb",
    signed=True,
    units=(
        Unit("microcoulomb", Decimal("1e-6"), "uC", loose="microcoulomb microcoulombs", exact="uC", symbol="µC"),
        Unit(
            "millicoulomb",
            Decimal("1e-3"),
            "mC",
            loose="millicoulomb millicoulombs",
            exact="mC",
            symbol="mC",
            said_from=1e-3,
        ),
        Unit("microampere_hour", Decimal("3.6e-3"), "uAh", loose="uah microamp_hours microampere_hours"),
        Unit("coulomb", Decimal(1), "C", loose="coulomb coulombs", exact="C", symbol="C", said_from=1),
        Unit(
            "milliampere_hour",
            Decimal("3.6"),
            "mAh",
            loose="milliamp_hour milliamp_hours milliampere_hour milliampere_hours",
            initial="mah",
        ),
        Unit("ampere_hour", Decimal("3600"), "Ah", loose="ah a_h amp_hour amp_hours ampere_hour ampere_hours"),
    ),
    opens=(Open("Mah", "1 mAh", initial=True),),
)
