"""The electrical kinds of quantity, one row each.

The spellings are what the trade has written on parts, diagrams and data sheets. Old American print has MF, mF and mfd
for the microfarad, mmf for the picofarad, MA for the milliampere, K for the thousand and M for either the thousand or
the million. Where neither the letters nor their case settle it, the writer is asked.
"""

from __future__ import annotations

from decimal import Decimal

from .kind import Kind, Open, Remarked, Unit

OF_OLD_SHEETS = "read as a million ohms; on old American sheets M may mean thousand"
"""What is told of megohms written so, on a site whose sheets may be old American ones."""

CAPACITANCE = Kind(
    "capacitance",
    "F",
    in_key="farads",
    noun="a capacitance",
    examples="0.01 uF, 10 nF or 470 pF",
    bare=("uF", "pF"),
    suggested="uF",
    overrange=True,
    marking=True,
    code_letters={"p": "picofarad", "n": "nanofarad", "u": "microfarad"},
    units=(
        Unit(
            "picofarad",
            Decimal("1e-12"),
            "pF",
            loose="pf pfd puff puffs uuf uufd uufds mmf mmfd mmfds picofarad picofarads pico_farad "
            "pico_farads micromicrofarad micromicrofarads micro_microfarad micro_microfarads "
            "micro_micro_farad micro_micro_farads",
            exact="p",
            symbol="pF",
            point_may_group=True,
        ),
        Unit(
            "nanofarad",
            Decimal("1e-9"),
            "nF",
            loose="nf nfd kpf nanofarad nanofarads nano_farad nano_farads",
            exact="n",
            symbol="nF",
            said_from=1e-9,
        ),
        Unit(
            "microfarad",
            Decimal("1e-6"),
            "uF",
            loose="uf ufd ufds mfd mfds microfarad microfarads micro_farad micro_farads",
            exact="u",
            symbol="µF",
            said_from=1e-7,
        ),
        Unit("farad", Decimal(1), "F", loose="farad farads", exact="F", largest=Decimal(10)),
    ),
    opens=(
        Open("muF muf", "1 nF | 1 uF"),
        Open("jar jars", "1.11 nF"),
        Open("cm", "1.11265 pF", plain=False),
        Open("M m", "1 uF", plain=False),
        Open("MU mu Mu", "1 uF", plain=False),
        Open("N", "1 nF", plain=False),
        Open("P", "1 pF", plain=False),
        Open("U", "1 uF", plain=False),
    ),
    remarked=(Remarked("mf", "microfarad", "read as microfarads, the sense of old print"),),
)

INDUCTANCE = Kind(
    "inductance",
    "H",
    in_key="henries",
    noun="an inductance",
    examples="30 H, 2.5 mH or 250 uH",
    bare=("H", "mH", "uH"),
    suggested="mH",
    at_zero="henry",
    overrange=True,
    units=(
        Unit("nanohenry", Decimal("1e-9"), "nH", loose="nh nanohenry nanohenries", symbol="nH"),
        Unit(
            "microhenry",
            Decimal("1e-6"),
            "uH",
            loose="uh uhy microhenry microhenrys microhenries micro_henry micro_henries",
            symbol="µH",
            said_from=1e-6,
        ),
        Unit(
            "millihenry",
            Decimal("1e-3"),
            "mH",
            loose="millihenry millihenrys millihenries milli_henry milli_henries",
            initial="mh mhy",
            symbol="mH",
            said_from=1e-3,
        ),
        Unit(
            "henry",
            Decimal(1),
            "H",
            loose="hy hys henry henrys henries",
            exact="H",
            known="h",
            symbol="H",
            said_from=1,
        ),
    ),
    opens=(
        Open("Mh Mhy", "1 mH", initial=True),
        Open("u U", "1 uH", plain=False),
        Open("m", "1 mH", plain=False),
        Open("M", "1 mH", plain=False),
    ),
)

RESISTANCE = Kind(
    "resistance",
    "ohm",
    in_key="ohms",
    noun="a resistance",
    examples="470 ohm, 22 k or 2.2 meg",
    bare=("ohm", "kohm", "megohm"),
    suggested="ohm",
    at_zero="ohm",
    overrange=True,
    circuit_words=True,
    code_letters={"R": "ohm", "r": "ohm", "Ω": "ohm", "k": "kiloohm", "K": "kiloohm", "M": "megaohm", "G": "gigaohm"},
    units=(
        Unit("microohm", Decimal("1e-6"), "microhm", loose="uohm uohms microhm microhms microohm microohms"),
        Unit("milliohm", Decimal("1e-3"), "milliohm", loose="milliohm milliohms milli_ohm milli_ohms", symbol="mΩ"),
        Unit(
            "ohm",
            Decimal(1),
            "ohm",
            loose="ohm ohms ohmio ohmios",
            exact="R r E",
            symbol="Ω",
            said_from=0.1,
            point_may_group=True,
        ),
        Unit(
            "kiloohm",
            Decimal("1e3"),
            "kohm",
            loose="k kohm kohms k_ohm k_ohms kilohm kilohms kiloohm kiloohms kilo_ohm kilo_ohms",
            symbol="kΩ",
            said_from=1e3,
        ),
        Unit(
            "megaohm",
            Decimal("1e6"),
            "megohm",
            loose="meg megs megohm megohms meg_ohm meg_ohms megaohm megaohms",
            symbol="MΩ",
            said_from=1e6,
        ),
        Unit(
            "gigaohm",
            Decimal("1e9"),
            "gigohm",
            loose="gohm gohms gigohm gigohms gigaohm gigaohms",
            symbol="GΩ",
            said_from=1e9,
        ),
        Unit("teraohm", Decimal("1e12"), "Tohm", loose="tohm tohms teraohm teraohms"),
    ),
    opens=(
        Open("M m", "1 megohm | 1000 ohm"),
        Open("KM kM Km", "1 kohm | 1 megohm"),
        Open("MOHM MOHMS M_ohm M_ohms", "1 megohm | 1000 ohm"),
    ),
    remarked=(
        Remarked("Mohm Mohms", "megaohm", OF_OLD_SHEETS, initial=True),
        Remarked("mohm mohms", "milliohm", "read as thousandths of an ohm", initial=True),
    ),
)

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
