"""Which value begins at a word of a line, of what kind, and how many words it takes."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from .quantities import KINDS, AmbiguousQuantity, QuantityError, read_any, read_quantity
from .text import Text
from .written_days import looks_like_a_date, may_start_a_date

Spans = Sequence[tuple[int, int]]
"""Where the words of an item begin and end."""

_MOST_WORDS = 4
MOST_SURGE = 1.6
"""How many times its working volts a capacitor's surge rating is at most (25/40 V). Common practice, no source."""
_RATED = frozenset(map(str, (100, 150, 160, 200, 250, 300, 350, 400, 450, 500, 600, 630, 1000, 1250, 1600, 2000)))
"""Working volts that capacitors are usually sold for. Common practice, no source."""
_PICTURE = re.compile(r"\S.*\.(?:jpe?g|jfif|png|webp|gif|tiff?|hei[cf]|avif|bmp|svg)$", re.I)
_NO_QUANTITY = frozenset({"date", "picture", "part"})
PART_NAME = re.compile(r"(?![XYV]\d)[A-Z]{1,3}\d{1,3}[A-Z]?(?: [a-z])?(?!\w)", re.I)
"""What can be nothing but a part's name: letters and a number, for a can its section (``R1``, ``C12 b``). Classes of
capacitors (``Y1``) and tubes (``V1``) look alike and are none."""
BARE_NUMBER = re.compile(r"[\d.,+\-–−<>~≤≥±/]+\Z")
"""A word that is no end of a value: a number without a unit is none."""
_NUMBER = re.compile(r"(?:[<>~≤≥]?\d[\d.,]*|[.]\d+)\Z")
_RATED_BEHIND_A_UNIT = _RATED | frozenset(map(str, (10, 12, 15, 16, 25, 35, 40, 50, 63)))
"""Behind a value with its unit the low ones are volts too: ``22 mfd 50``."""
_TUBE_OR_CODE = re.compile(r"\d{1,2}[RKM]\d{1,2}", re.I)
"""A value in the code of IEC 60062, or a tube: where the set has a ``1R5`` it is that."""
_IS_OHMS = re.compile(r"[1-9]\d{2,4}|[1-9]\d?,\d{3}|[6-9]\d")
"""Of a coil: nobody wound so many henries (common practice, no source)."""
_BELOW_ONE = re.compile(r"0?[.]\d+\Z")
_COUNTED = frozenset(
    {"new", "separate", "single", "modern", "caps", "cap", "capacitors", "resistors", "pieces", "parts"}
)
"""What a number before it counts: ``3 new caps`` has no value."""
_RUN_TOGETHER = re.compile(r"\d{1,3} \d{3}(?!\d)|\d{2,} \d+/\d")
"""Of a part: its value without a unit and its volts, or its watts (``40 150 V``, ``150 1/2 W``), and no one number."""
TRANSFORMERS = frozenset({"T", "TR", "OT", "OPT", "PT", "MT", "IFT", "MF", "ZF"})
WOUND = TRANSFORMERS | {"L", "CH"}
"""Parts whose ohms are what was measured of their wire, beside their henries."""
OF_ITS_OHMS = r"\s?(?:k\d{0,2}\s?(?:ohms?|Ω)?|ohms?\b|Ω|R\d?\b)"
_EITHER_WAY = re.compile(r"(?:±|\+/?-)\d{1,2}\Z")
"""A tolerance of a part without its per cent."""
_UNIT_AND_COMMA = re.compile(r"\s*[^\W\d]+,\S")
"""A unit with a comma and no blank behind it: the number before it has its unit, and the comma is the slip."""
BOUND_WORDS = r"(?:less than|under|below|more than|over|above|at most|at least)"
"""Words for the signs ``<`` and ``>`` before a number."""
_STARTS_VALUE = re.compile(rf"[-+−–~<>≤≥±.\d½¼¾⅛⅓⅔∞]|OL\b|open\b|short\b|[RrpPnNuUµkK]\d|{BOUND_WORDS} [.\d]", re.I)
POINT_FIRST = re.compile(r"(?P<unit>[MkK])(?P<digits>\d{1,2})")
"""The code of IEC 60062 with its letter for the point before the first digit, as a resistor may have it: ``M5``."""
CENTIMETRES = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s?cm(?!\w)", re.I)
"""On a capacitor of old a capacitance, in the unit of Gauss's system: ``200 cm``."""
_KIND_OF_PART = {"C": "capacitance", "VC": "capacitance", "TC": "capacitance"} | dict.fromkeys(
    ("R", "VR", "RV", "P"), "resistance"
)
_PROPER = re.compile(r"(?:\d{1,2}\s)?(\d{1,2})/(2|3|4|5|8|10|16|32|64)(?!\d)")
_STROKE = re.compile(r"(?<=[\w.%Ωµ~])/(?=[.\d])")
_RUN = re.compile(r"[^\s()]+")
_RATED_BEHIND_A_DASH = re.compile(r"(0?\.\d{1,4})-(?:2[5-9]|[3-9]\d|[1-9]\d{2,3})(?:V|VDC|WV|WVDC)?", re.I)
"""A value below one and whole working volts, as catalogues wrote a paper capacitor: ``.05-400``."""


class Meaning(NamedTuple):
    """What words mean: their ``kind``, the ``key`` that takes them, how many they are; ``unit`` is a bare number's."""

    kind: str
    key: str
    words: int
    unit: str = ""


def kind_of_part(letters: str) -> str:
    """The kind of quantity that a part of these letters has as its value; empty where the letters do not say."""
    return _KIND_OF_PART.get(letters, "")


def words_of(text: str, *, strokes: bool) -> list[tuple[int, int]]:
    """Where the words of an item stand; with ``strokes`` a stroke parts two values: ``.05/400``, ``.05-400``."""
    if not strokes:
        return [match.span() for match in re.finditer(r"\S+", text)]
    found: list[tuple[int, int]] = []
    for run in _RUN.finditer(text):
        start = run.start()
        if rated := _RATED_BEHIND_A_DASH.fullmatch(run[0].rstrip(",;")):
            found.append((start, start + rated.end(1)))
            start += rated.end(1) + 1
        proper = _PROPER.match(run[0])
        if not (proper and int(proper[1]) < int(proper[2])):
            for stroke in _STROKE.finditer(text, run.start(), run.end()):
                found.append((start, stroke.start()))
                start = stroke.end()
        if text[start : run.end()].strip("/"):
            found.append((start, run.end()))
    return found


def value_at(item: Text, words: Spans, index: int, values: Mapping[str, str]) -> Meaning | None:
    """The value that begins at a word, where it is of a kind that ``values`` has a key for.

    The longest that is clear, else the shortest that its own field will ask about; of a part whose letters say what it
    is, a number without a unit too.
    """
    kinds = tuple(values)
    start = words[index][0]
    named = "part" in kinds and PART_NAME.match(item, start)
    dated = "date" in kinds and may_start_a_date(item, start)
    of_resistor = "resistance" in kinds and kind_of_part(item.manner.part) == "resistance"
    of_capacitor = "capacitance" in kinds and kind_of_part(item.manner.part) == "capacitance"
    if of_capacitor and (old := CENTIMETRES.match(item, start)):
        return Meaning("capacitance", values["capacitance"], 1 + sum(at < old.end() for at, _ in words[index + 1 :]))
    if of_resistor and POINT_FIRST.fullmatch(item, *words[index]):
        return Meaning("resistance", values["resistance"], 1)
    if not kinds or not ("picture" in kinds or named or dated or _STARTS_VALUE.match(item, start)):
        return None
    if _TUBE_OR_CODE.fullmatch(item, *words[index]) and item.manner.position(str(item)[slice(*words[index])]):
        return None
    doubtful: Meaning | None = None
    for count in range(min(_MOST_WORDS, len(words) - index), 0, -1):
        written = str(item)[start : words[index + count - 1][1]]
        if dated and looks_like_a_date(written):
            return Meaning("date", values["date"], count)
        if BARE_NUMBER.match(item, *words[index + count - 1]):
            continue
        if count > 1 and after_stroke(item, words, index + 1) and _NUMBER.fullmatch(item, *words[index]):
            continue
        kind, clear = _kind_of(written, kinds)
        if item.manner.part and _RUN_TOGETHER.match(written) and kind != kind_of_part(item.manner.part):
            continue
        if kind and clear:
            return Meaning(kind, values[kind], count)
        if kind and count <= 2 and (doubtful is None or count == 2):
            doubtful = doubtful or Meaning(kind, values[kind], count)
    return doubtful or _bare(item, words, index, values)


def _bare(item: Text, words: Spans, index: int, values: Mapping[str, str]) -> Meaning | None:
    """A number without a unit: behind a stroke working volts, else the value that the part's letters say it has."""
    start, end = words[index]
    if "ratio" in values and item.manner.part and _EITHER_WAY.match(item, start, end):
        return Meaning("ratio", values["ratio"], 1, "%")
    if not _NUMBER.match(item, start, end) or _UNIT_AND_COMMA.match(item, end):
        return None
    following = str(item)[slice(*words[index + 1])] if index + 1 < len(words) else ""
    counts = following.casefold() in _COUNTED
    if counts or (following[:1].isalpha() and _kind_of(f"{str(item)[start:end]} {following}", KINDS)[0]):
        return None
    stands = after_stroke(item, words, index) or _before_volts(item, words, index) or _usual_volts(item, words, index)
    if "voltage" in values and stands:
        return Meaning("voltage", values["voltage"], 1, "V")
    kind = kind_of_part(item.manner.part)
    if item.manner.part in WOUND - TRANSFORMERS and _IS_OHMS.fullmatch(item, start, end):
        kind = "resistance"
    return Meaning(kind, values[kind], 1) if kind in values else None


def after_stroke(item: Text, words: Spans, index: int) -> bool:
    """Whether a stroke parts a word from the one before it."""
    between = str(item)[words[index - 1][1] : words[index][0]] if index else ""
    return "/" in between or between == "-"


def _usual_volts(item: Text, words: Spans, index: int) -> bool:
    """Whether a capacitor's value stands right before, and the number is one that they are rated for: ``.047 630``."""
    written = item[slice(*words[index])]
    if index == 0 or kind_of_part(item.manner.part) != "capacitance" or written not in _RATED_BEHIND_A_UNIT:
        return False
    if _BELOW_ONE.match(item, *words[index - 1]):
        return written in _RATED
    begins = (words[n][0] for n in (index - 1, index - 2) if n >= 0)
    return any(_kind_of(str(item)[start : words[index - 1][1]], ("capacitance",))[0] for start in begins)


def _before_volts(item: Text, words: Spans, index: int) -> bool:
    """Whether a stroke and a little more volts follow: ``47 uF 350/385 V``. Without its value, ``16/450 V`` is one."""
    if index + 1 >= len(words) or not after_stroke(item, words, index + 1):
        return False
    following = value_at(item, words, index + 1, {"voltage": ""})
    kind = kind_of_part(item.manner.part)
    if following is None or following.unit:
        return False
    if not kind:
        return True
    working = _as_volts(str(item)[slice(*words[index])])
    surge = _as_volts(str(item)[words[index + 1][0] : words[index + following.words][1]])
    if not (working and surge and working < surge <= MOST_SURGE * working):
        return False
    others = [n for n in range(len(words)) if n not in (index, index + 1)]
    spans = [(words[n][0], words[m][1]) for n in others for m in (n, n + 1) if m < len(words)]
    return any(_kind_of(str(item)[start:end], (kind,))[0] for start, end in spans if item[end - 1].isalpha())


def _as_volts(written: str) -> float | None:
    try:
        return read_quantity(written if written[-1:].isalpha() else f"{written} V", "voltage").si
    except (AmbiguousQuantity, QuantityError):
        return None


@lru_cache(maxsize=4096)
def _kind_of(written: str, kinds: tuple[str, ...]) -> tuple[str, bool]:
    """Which of ``kinds`` a text reads as and whether it is clear; ("", False) where none fits."""
    if "picture" in kinds and _PICTURE.match(written):
        return "picture", True
    measured = tuple(kind for kind in kinds if kind not in _NO_QUANTITY)
    try:
        found = read_any(written, measured)
    except AmbiguousQuantity:
        return next((k for k in measured if _asks(written, k)), ""), False
    if found is None and "part" in kinds and PART_NAME.fullmatch(written):
        return "part", True
    return (found.kind, True) if found else ("", False)


def _asks(written: str, kind: str) -> bool:
    """True where a text is a value of this kind that its own field will ask about."""
    try:
        read_quantity(written, kind)
    except AmbiguousQuantity:
        return True
    except QuantityError:
        return False
    return True


def ohms_of_wire(value: Text) -> bool:
    """Whether a number without a unit is the ohms of a transformer's winding, or of a coil's wire."""
    part = value.manner.part
    of_winding = part in TRANSFORMERS and BARE_NUMBER.match(value) is not None
    return of_winding or (part in WOUND and _IS_OHMS.fullmatch(value.strip()) is not None)
