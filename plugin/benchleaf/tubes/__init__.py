"""The tube table: lookup by designation, electrodes by the words people write, dial lamps, designation rules.

Pure lookup of CSV tables that ship with the package; each value has its source beside it.
"""

from benchleaf.tubes.bases import PIN_COUNT, base_name
from benchleaf.tubes.build_tube import BEYOND_HEATER_AMPS, BEYOND_HEATER_VOLTS, described
from benchleaf.tubes.designation import KNOWN_EXCEPTIONS, HeaterRule, disagreement, heater_rule
from benchleaf.tubes.electrodes import (
    Electrode,
    ElectrodeQuestion,
    by_pin,
    electrode,
    electrodes,
    key_of,
    say_electrode,
    tied_to_cathode,
)
from benchleaf.tubes.lamps import lamp, lamps
from benchleaf.tubes.lookup import all_types, find, nearest
from benchleaf.tubes.tube import (
    TOP_CAP,
    DirectCurrentLimit,
    Lamp,
    Maxima,
    OtherName,
    Pin,
    PinRow,
    Rated,
    TableSource,
    Tube,
    TubeHeater,
    TubeSection,
    Typical,
    from_memory,
    titles,
)

__all__ = [
    "BEYOND_HEATER_AMPS",
    "BEYOND_HEATER_VOLTS",
    "KNOWN_EXCEPTIONS",
    "PIN_COUNT",
    "TOP_CAP",
    "DirectCurrentLimit",
    "Electrode",
    "ElectrodeQuestion",
    "HeaterRule",
    "Lamp",
    "Maxima",
    "OtherName",
    "Pin",
    "PinRow",
    "Rated",
    "TableSource",
    "Tube",
    "TubeHeater",
    "TubeSection",
    "Typical",
    "all_types",
    "base_name",
    "by_pin",
    "described",
    "disagreement",
    "electrode",
    "electrodes",
    "find",
    "from_memory",
    "heater_rule",
    "key_of",
    "lamp",
    "lamps",
    "nearest",
    "say_electrode",
    "tied_to_cathode",
    "titles",
]
