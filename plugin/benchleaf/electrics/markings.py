"""From a part's marking to its value: colour bands, body-end-dot, mica dots, digits, letters, centimetres.

Values are in ohm or farad, tolerances are ratios (0.05 is 5 %). A marking that was read in more than one way in its
time gives every reading: the part's age decides, and a meter.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from .colours import COLOURS, GREY_BEFORE_2016, NONE, UNMARKED_TOLERANCE, Colour, colour

__all__ = [
    "CENTIMETRE",
    "TOLERANCE_LETTERS",
    "MarkedValue",
    "read_bands",
    "read_body_end_dot",
    "read_dots",
    "read_marking",
    "read_printed",
]

CENTIMETRE = 1e-9 / 898.755178736818
"""Farads in one centimetre of capacitance, the electrostatic unit: 1.1127 pF."""

TOLERANCE_LETTERS: dict[str, tuple[float, float]] = {
    "F": (-0.01, 0.01), "G": (-0.02, 0.02), "H": (-0.03, 0.03), "J": (-0.05, 0.05), "K": (-0.1, 0.1),
    "M": (-0.2, 0.2), "N": (-0.3, 0.3), "Q": (-0.1, 0.3), "T": (-0.1, 0.5), "S": (-0.2, 0.5), "Z": (-0.2, 0.8),
    "P": (0.0, 1.0),
}  # fmt: skip
"""IEC 60062 and EIA; P (nothing less than marked) is EIA. N, Q, T and S from memory."""

_PICOFARAD_LETTERS = {"B": 0.1e-12, "C": 0.25e-12, "D": 0.5e-12, "F": 1e-12}
_RESISTOR_LETTERS = {"B": 0.001, "C": 0.0025, "D": 0.005, "F": 0.01, "G": 0.02, "J": 0.05, "K": 0.1, "M": 0.2}
_FARAD_SIGNS = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "m": 1e-3, "P": 1e-12, "N": 1e-9, "U": 1e-6}
_OHM_SIGNS = {"R": 1.0, "E": 1.0, "K": 1e3, "k": 1e3, "M": 1e6, "G": 1e9}


@dataclass(frozen=True, slots=True)
class MarkedValue:
    """One way to read a marking.

    ``value`` is in ``unit``, ``F`` or ``ohm``. ``low`` and ``high`` are the tolerance as ratios, None where the marking
    has none. ``how`` names the code; ``caution`` says what else it could be.
    """

    value: float
    unit: str
    how: str
    low: float | None = None
    high: float | None = None
    volts: float | None = None
    ppm: int | None = None
    letter: str = ""
    caution: str = ""


def read_marking(text: str) -> tuple[MarkedValue, ...]:
    """Every reading of a marking in words or print: ``red violet yellow gold``, ``473J``, ``500 cm``, ``4K7``.

    Three to six colours are read as resistor bands, three, five and six also as mica dots; ``body green, end grey, dot
    red`` as body-end-dot. Raises ValueError for what is no marking.
    """
    plain = " ".join(text.replace("/", " ").split())
    named = re.findall(
        r"\b(body|end|tip|dot|other end)\s+([a-z ]+?)(?=\s*(?:,|;|$|\b(?:body|end|tip|dot|other end)\b))", plain, re.I
    )
    if named and named[0][0].casefold() == "body":
        given = {k.casefold().replace("tip", "end"): v for k, v in named}
        return (read_body_end_dot(given["body"], given.get("end"), given.get("dot"), given.get("other end")),)
    words = [w for w in re.split(r"[\s,;-]+", plain) if w]
    if len(words) >= 3 and all(_is_colour(w) for w in words):
        found: list[MarkedValue] = []
        for reads in (_bands_or_none, read_dots):
            found += reads(words)
        if found:
            return tuple(found)
    return read_printed(plain)


def _is_colour(word: str) -> bool:
    try:
        colour(word)
    except ValueError:
        return False
    return True


def _bands_or_none(words: Sequence[str]) -> tuple[MarkedValue, ...]:
    try:
        found = [read_bands(words)]
        if _grey_tolerance(words):
            found.append(read_bands(words, before_2016=True))
        if len(words) == 5 and colour(words[3]).name in ("gold", "silver"):
            found.append(read_bands(words, reliability=True))
    except ValueError:
        return ()
    return tuple(found)


def _grey_tolerance(words: Sequence[str]) -> bool:
    """Whether the band of the tolerance is grey, which has meant two things."""
    return len(words) >= 4 and colour(words[3 if len(words) == 4 else 4]).name == "grey"


def read_bands(words: Sequence[str], *, reliability: bool = False, before_2016: bool = False) -> MarkedValue:
    """Three to six bands of a resistor (IEC 60062), from the end they crowd. Raises ValueError for what is no value.

    Three or four bands: two digits, multiplier, tolerance. Five or six: three digits, multiplier, tolerance,
    temperature coefficient. With ``reliability`` five bands are two digits, multiplier, tolerance and a band for the
    failure rate, as on some old military parts. Grey for the tolerance is ±0.01 % by IEC 60062:2016 and ±0.05 %
    ``before_2016``.
    """
    bands = [colour(w) for w in words]
    if not 3 <= len(bands) <= 6:
        raise ValueError(f"three to six bands, not {len(bands)}")
    if bands[0].digit == 0:
        raise ValueError("no resistor begins with black")
    old_five = reliability and len(bands) == 5
    figures = 3 if len(bands) >= 5 and not old_five else 2
    value = _number(bands[:figures]) * _multiplier(bands[figures])
    after = bands[figures + 1 :]
    tolerance = after[0].tolerance if after else UNMARKED_TOLERANCE
    if after and tolerance is None:
        raise ValueError(f"{after[0].name} is no tolerance")
    ppm = after[1].ppm if len(after) > 1 and not old_five else None
    caution = "the fifth band is for reliability" if old_five else "" if after else "no fourth band is ±20 %"
    how = f"{len(bands)} bands"
    if after and after[0].name == "grey":
        tolerance = GREY_BEFORE_2016 if before_2016 else tolerance
        how += ", IEC 60062 before 2016" if before_2016 else ", IEC 60062:2016"
        caution = "grey was ±0.05 % before 2016 and is ±0.01 % since: its age decides"
    return MarkedValue(value, "ohm", how, -(tolerance or 0), tolerance or 0, ppm=ppm, caution=caution)


def read_body_end_dot(
    body: str, end: str | None = None, dot: str | None = None, other_end: str | None = None
) -> MarkedValue:
    """A resistor painted all over (RMA): body is the first digit, end or tip the second, dot the multiplier.

    A missing end or dot has the body's colour. The other end gives the tolerance: gold, silver, or neither for ±20 %.
    """
    first = colour(body)
    second, third = (first if w is None or colour(w).name == NONE else colour(w) for w in (end, dot))
    last = colour(other_end) if other_end else COLOURS[NONE]
    tolerance = last.tolerance if last.name in ("gold", "silver") else 0.20
    value = _number([first, second]) * _multiplier(third)
    return MarkedValue(value, "ohm", "body, end, dot", -(tolerance or 0.2), tolerance)


def read_dots(words: Sequence[str]) -> tuple[MarkedValue, ...]:
    """Dots of a moulded capacitor, upper row then lower row, both from left to right as the arrow points.

    Three: two digits, multiplier. Five (RMA): two digits, multiplier, volts, tolerance. Six begin with black, white or
    silver in the JAN and AWS codes: kind, two digits; characteristic, tolerance, multiplier. Otherwise RMA: three
    digits; volts, tolerance, multiplier. A first dot that could belong to either gives both readings. Sources: RMA code
    at vcomp.co.uk; AWS code in the army's OD1647 and AN 16-40BC224-2.
    """
    dots = [colour(w) for w in words]
    found: list[MarkedValue] = []
    if len(dots) == 3 and _digits(dots[:2]):
        found.append(_capacitor(dots[:2], dots[2], COLOURS[NONE], "three dots (RMA)", volts=500.0))
    if len(dots) == 5 and _digits(dots[:2]):
        found.append(_capacitor(dots[:2], dots[2], dots[4], "five dots (RMA)", volts=dots[3].mica_volts))
    if len(dots) == 6:
        first = dots[0].name
        kinds = {"black": "mica (JAN, AWS)", "white": "mica (EIA)", "silver": "paper (AWS)"}
        if first in kinds and _digits(dots[1:3]):
            how = f"six dots, {kinds[first]}"
            found.append(_capacitor(dots[1:3], dots[5], dots[4], how, letter=dots[3].letter))
        if first not in ("black", "silver") and _digits(dots[:3]):
            how = "six dots (RMA), three digits"
            found.append(_capacitor(dots[:3], dots[5], dots[4], how, volts=dots[3].mica_volts))
    if len(found) > 1:
        both = "both codes were in use: measure it"
        found = [replace(r, caution=both) for r in found]
    return tuple(found)


def _digits(colours: Sequence[Colour]) -> bool:
    return all(c.digit is not None for c in colours)


def _capacitor(
    figures: Sequence[Colour],
    times: Colour,
    tolerance: Colour,
    how: str,
    *,
    volts: float | None = None,
    letter: str = "",
) -> MarkedValue:
    if times.exponent is None:
        raise ValueError(f"{times.name} is no multiplier")
    value = float(f"{_number(figures) * 10.0**times.exponent * 1e-12:.12g}")
    off = tolerance.mica_tolerance
    doubtful = tolerance.name in ("blue", "violet", "grey", "white", "yellow")
    caution = "charts disagree on this tolerance" if doubtful else ""
    return MarkedValue(value, "F", how, -(off or 0), off, volts=volts, letter=letter, caution=caution)


def _number(colours: Sequence[Colour]) -> float:
    if not _digits(colours):
        raise ValueError(f"{next(c.name for c in colours if c.digit is None)} is no digit")
    return float("".join(str(c.digit) for c in colours))


def _multiplier(found: Colour) -> float:
    if found.exponent is None:
        raise ValueError(f"{found.name} is no multiplier")
    return 10.0**found.exponent


_CODE = re.compile(r"(\d{2,3})([0-9])([A-Z])?[A-Z]?(?:[\s/].*)?")
_POINT = re.compile(r"(\d*\.\d+|\d+\.)\s*([A-Z])?(?:\s.*)?")
_SIGNED = re.compile(r"(\d*)([pnuµμmPNUREKkMG])(\d*)\s*([A-Z])?(?:\s.*)?")
_SIGN = "sign for the decimal point"
_CM = re.compile(r"(\d+(?:[.,]\d+)?)\s*cm\b.*", re.I)


def read_printed(text: str) -> tuple[MarkedValue, ...]:
    """Digits and letters (IEC 60062): ``473J``, ``479C``, ``4n7``, ``4K7``, ``R47``, ``.047Z``, ``500 cm``.

    A letter behind three digits that is a tolerance and a multiplier of ohms, as in ``104K``, is read as both, the
    tolerance first. Raises ValueError where nothing fits.
    """
    plain = text.strip()
    if match := _CM.fullmatch(plain):
        return _centimetres(match)
    found: list[MarkedValue] = []
    for pattern, reads in ((_SIGNED, _with_sign), (_POINT, _microfarads), (_CODE, _code)):
        match = pattern.fullmatch(plain)
        found += reads(match) if match else ()
    if found:
        return _tolerance_or_multiplier(found)
    raise ValueError(f"no marking that is read here: {text}")


def _tolerance_or_multiplier(found: list[MarkedValue]) -> tuple[MarkedValue, ...]:
    """``104K`` is 100 kohm ±10 % and 104 kohm: of two readings in ohms neither is chosen, and both say so."""
    ohms = [r for r in found if r.unit == "ohm"]
    if len(ohms) < 2:
        return tuple(found)
    both = "the letter may be the tolerance or stand for thousands or millions: measure it"
    told = [replace(r, caution=both) if r.unit == "ohm" else r for r in found]
    return tuple(sorted(told, key=lambda r: r.how == _SIGN))


def _centimetres(match: re.Match[str]) -> tuple[MarkedValue, ...]:
    value = float(match[1].replace(",", ".")) * CENTIMETRE
    return (MarkedValue(value, "F", "centimetres of capacitance", caution="1 cm is 1.11 pF"),)


def _with_sign(match: re.Match[str]) -> tuple[MarkedValue, ...]:
    whole, sign, part, letter = match.groups()
    if not whole and not part:
        return ()
    number = float(f"{whole or 0}.{part or 0}")
    found = []
    if sign in _OHM_SIGNS:
        off = _RESISTOR_LETTERS.get(letter) if letter else None
        value = float(f"{number * _OHM_SIGNS[sign]:.12g}")
        caution = "on a resistor of the old days M could mean a thousand" if sign == "M" else ""
        found.append(MarkedValue(value, "ohm", _SIGN, _minus(off), off, caution=caution))
    if sign in _FARAD_SIGNS or sign == "R":
        farads = float(f"{number * _FARAD_SIGNS.get(sign, 1e-12):.12g}")
        low, high = _tolerance(letter, farads)
        how = f"{_SIGN}, in picofarads" if sign == "R" else _SIGN
        found.append(MarkedValue(farads, "F", how, low, high))
    return tuple(found)


def _microfarads(match: re.Match[str]) -> tuple[MarkedValue, ...]:
    farads = float(f"{float(match[1]) * 1e-6:.12g}")
    low, high = _tolerance(match[2], farads)
    return (MarkedValue(farads, "F", "a decimal number, in microfarads", low, high),)


def _code(match: re.Match[str]) -> tuple[MarkedValue, ...]:
    figures, times, letter = match.groups()
    exponent = {"8": -2, "9": -1}.get(times, int(times))
    found = []
    if len(figures) == 2:
        farads = float(f"{int(figures) * 10.0**exponent * 1e-12:.12g}")
        low, high = _tolerance(letter, farads)
        straight = float(f"{int(figures + times)}e-12")
        era = times == "0"
        trap = f"on an old part {figures}{times} may stand for {figures}{times} pF as it is" if era else ""
        found.append(
            MarkedValue(farads, "F", "two digits and the number of noughts, in picofarads", low, high, caution=trap)
        )
        if era:
            low, high = _tolerance(letter, straight)
            how = "the number itself, in picofarads (old parts)"
            found.append(MarkedValue(straight, "F", how, low, high, caution="older than the three-digit code"))
    if int(times) <= 6:
        off = _RESISTOR_LETTERS.get(letter) if letter else None
        ohms = float(int(figures)) * 10.0 ** int(times)
        found.append(MarkedValue(ohms, "ohm", "digits and the number of noughts, in ohms", _minus(off), off))
    return tuple(found)


def _tolerance(letter: str | None, farads: float) -> tuple[float | None, float | None]:
    """Of a capacitor: up to 10 pF the letters B, C, D, F count in picofarads."""
    if not letter:
        return None, None
    if letter in _PICOFARAD_LETTERS and (farads < 10e-12 or letter != "F"):
        off = round(_PICOFARAD_LETTERS[letter] / farads, 9) if farads else 0.0
        return -off, off
    low, high = TOLERANCE_LETTERS.get(letter, (None, None))
    return low, high


def _minus(value: float | None) -> float | None:
    return None if value is None else -value
