"""The kinds of quantity that a part has as its value, one row each: capacitance, inductance, resistance.

The spellings are what the trade has written on parts and diagrams. Old American print has MF, mF and mfd for the
microfarad, mmf for the picofarad, K for the thousand and M for either the thousand or the million. Where neither the
letters nor their case settle it, the writer is asked.
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
