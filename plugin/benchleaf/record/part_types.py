"""The kinds of components, by the word that a record has for each."""

from __future__ import annotations

from .trade_words import TYPES

CAPACITOR_TYPES = (
    "paper", "wax paper", "paper in oil", "metallised paper", "moulded paper", "film", "polyester", "polypropylene",
    "mica", "silver mica", "ceramic", "electrolytic", "tantalum", "air", "trimmer",
)  # fmt: skip
RESISTOR_TYPES = (
    "carbon composition", "carbon film", "metal film", "metal oxide", "wirewound", "carbon", "fusible", "flameproof",
    "potentiometer",
)  # fmt: skip
OTHER_TYPES = ("selenium", "silicon", "choke", "coil", "transformer", "couplate")
POLARISED_TYPES = ("electrolytic", "tantalum")
PAPER_TYPES = ("paper", "wax paper", "paper in oil", "metallised paper", "moulded paper")
FILM_TYPES = ("film", "polyester", "polypropylene")
FOIL_TYPES = (*PAPER_TYPES, *FILM_TYPES)
ALL_TYPES = (*CAPACITOR_TYPES, *RESISTOR_TYPES, *OTHER_TYPES)
UNPOLARISED_TYPES = (*FOIL_TYPES, "mica", "silver mica", "ceramic", "air", "trimmer")

_WOUND_OR_FUSED = frozenset({"L", "T", "CH", "F", "FS", "FU", "SI"})
"""Letters of parts that are no capacitor: ``tar dripped`` on a transformer says nothing of paper."""

_OF_COILS, _NO_COILS = frozenset({"transformer", "coil", "choke"}), frozenset({"C", "R", "VR"})
"""No capacitor or resistor is wound: ``mains to core of transformer`` says where it lies."""


_DRY, _NO_RECTIFIER = frozenset({"selenium", "silicon"}), _NO_COILS | {"RV", "P", "L", "CH", "T", "F"}
"""What lies before or behind a rectifier is none: ``22 ohm in series with the silicon rectifier``."""


def fits(word: str, letters: str) -> bool:
    """Whether a word for a kind of component says what a part of these letters is."""
    if TYPES.get(word, word) in _OF_COILS and letters in _NO_COILS:
        return False
    if TYPES.get(word, word) in _DRY and letters in _NO_RECTIFIER:
        return False
    return letters not in _WOUND_OR_FUSED or TYPES.get(word, word) not in CAPACITOR_TYPES


FUSE_SPEEDS = (
    "slo-blo", "slo blo", "slow-blow", "slow blow", "anti-surge", "antisurge", "time-lag", "time lag", "time delay",
    "quick-blow", "quick blow", "fast-blow", "fast blow",
)  # fmt: skip
"""How quick a fuse is, in words that say nothing else."""
TAPERS = tuple(f"{lead}{law} taper" for lead in ("", "anti-", "anti", "reverse ") for law in ("log", "lin", "linear"))
"""How a control's resistance goes with its shaft."""
