"""The colours of the trade's codes: a digit each, and what they mean as multiplier, tolerance, voltage or letter.

Digits and resistor tolerances: IEC 60062:2016, second hand. The standard was not opened; two public calculators that
name its table agree on ±0.05 % for orange, ±0.02 % for yellow and ±0.01 % for grey; one page gives grey ±0.1 %.
Dots of mica capacitors: RMA and JAN charts (see ``markings``).
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BY_DIGIT", "COLOURS", "GREY_BEFORE_2016", "NONE", "Colour", "colour"]

NONE = "none"
"""A band or dot that is not there."""


GREY_BEFORE_2016 = 0.0005
"""Tolerance of a grey band before the edition of 2016 gave these 0.05 % to orange: colour code table of IEC 60062 in
T. Kuphaldt, Lessons in Electric Circuits, reference volume."""


@dataclass(frozen=True, slots=True)
class Colour:
    """One colour. ``exponent`` is the power of ten it means as a multiplier; ``paint`` is how it is drawn.

    ``tolerance`` is a resistor's, as a ratio; ``mica_tolerance`` that of a mica capacitor; ``mica_volts`` an RMA
    capacitor's working voltage; ``letter`` the JAN characteristic; ``ppm`` a resistor's temperature coefficient.
    """

    name: str
    paint: str
    digit: int | None = None
    exponent: int | None = None
    tolerance: float | None = None
    mica_tolerance: float | None = None
    mica_volts: float | None = None
    letter: str = ""
    ppm: int | None = None


UNMARKED_TOLERANCE = 0.20
"""Of a part that wears none: no fourth band means ±20 % (IEC 60062)."""

COLOURS = {
    c.name: c
    for c in (
        Colour("black", "#141414", 0, 0, None, 0.20, None, "A", 250),
        Colour("brown", "#7a3e12", 1, 1, 0.01, 0.01, 100.0, "B", 100),
        Colour("red", "#c8141e", 2, 2, 0.02, 0.02, 200.0, "C", 50),
        Colour("orange", "#f07800", 3, 3, 0.0005, 0.03, 300.0, "D", 15),
        Colour("yellow", "#f5d400", 4, 4, 0.0002, 0.04, 400.0, "E", 25),
        Colour("green", "#15803d", 5, 5, 0.005, 0.05, 500.0, "F", 20),
        Colour("blue", "#1d4ed8", 6, 6, 0.0025, 0.06, 600.0, "G", 10),
        Colour("violet", "#7e22ce", 7, 7, 0.001, 0.07, 700.0, "", 5),
        Colour("grey", "#8a8a8a", 8, 8, 0.0001, 0.08, 800.0, "I", 1),
        Colour("white", "#ffffff", 9, 9, None, 0.09, 900.0, "J"),
        Colour("gold", "#c9a227", None, -1, 0.05, 0.05, 1000.0),
        Colour("silver", "#c8ccd0", None, -2, 0.10, 0.10, 2000.0),
        Colour(NONE, "none", None, None, UNMARKED_TOLERANCE, UNMARKED_TOLERANCE, 500.0),
    )
}
"""By name. Volts of a missing dot (500), of gold (1000) and silver (2000): the chart at vcomp.co.uk."""

BY_DIGIT = tuple(c for c in COLOURS.values() if c.digit is not None)
_OTHER_WORDS = {
    "gray": "grey", "slate": "grey", "purple": "violet", "lilac": "violet", "tan": "brown", "cream": "white",
    "no band": NONE, "no dot": NONE, "nothing": NONE, "-": NONE,
}  # fmt: skip


def colour(word: str) -> Colour:
    """The colour a word means. Raises ValueError for a word that is none."""
    name = " ".join(word.casefold().split())
    found = COLOURS.get(_OTHER_WORDS.get(name, name))
    if found is None:
        raise ValueError(f"no colour of a code: {word}")
    return found
