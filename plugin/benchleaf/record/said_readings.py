"""The readings of a tube or rail as they are said: ``p=95 s=95``, ``about 45``, ``121 (at the rectifier)``."""

from __future__ import annotations

import re

from .text import Text

_BRACKETS = re.compile(r"\s*\((?P<said>[^()]*)\)")
_OF_THE_VALUE = re.compile(r"\s*(?:pins?\s+\d+|\d+|AC|DC|rms|peak|[a-z]?g\d(?:\+\w+)*|[a-z]{1,2})\s*\Z", re.I)
"""What in brackets says which electrode or which volts, and is no remark."""
_SIGN = re.compile(r"(?<=\w)\s*[=:]\s*(?=[-+<>~−–]?\s?\.?\d)")
_PAIRS = re.compile(r"\w+(?:\s\w+)?\s*=\s*[-+<>~−–]?\s?(?:\d(?:[.,\d]*\d)?|\.\d+)(?:\s?V)?(?=\s|\Z)")
_ABOUT = re.compile(r"(?<!\S)(?:about|approx\.?|approximately|circa|ca\.?|around|roughly)\s+(?=[-+−–]?\s?\.?\d)", re.I)
_ENDS_IN_A_NUMBER = re.compile(r"\d\s*[^\W\d]{0,5}\s*\Z")


def plainly_said(text: Text) -> tuple[Text, list[Text]]:
    """The readings without the signs that join each to its electrode, and the remarks that stand in brackets.

    What is left keeps its place in the line, but where signs alone part one reading from the next.
    """
    plain, remarks = str(text), []
    for found in _BRACKETS.finditer(text):
        start, end = found.span()
        if _OF_THE_VALUE.match(found["said"]):
            plain = plain[:start] + found[0].replace("(", " ").replace(")", " ") + plain[end:]
        elif found["said"].strip() and _ENDS_IN_A_NUMBER.search(text[:start]):
            remarks.append(text.cut(*found.span("said")))
            plain = plain[:start] + " " * (end - start) + plain[end:]
    in_a_row = [pair[0] for pair in _PAIRS.finditer(plain)]
    whole = len(in_a_row) > 1 and " ".join(" ".join(in_a_row).split()) == " ".join(plain.split())
    plain = ", ".join(in_a_row) if whole else plain
    plain = _ABOUT.sub(lambda found: "~".rjust(len(found[0])), _SIGN.sub(lambda found: " " * len(found[0]), plain))
    return (text if plain == text else _again(text, plain, single=text.single and not whole)), remarks


def _again(text: Text, plain: str, *, single: bool) -> Text:
    again = Text(plain.rstrip(), text.place, single=single).like(text)
    again.remarks = text.remarks
    return again
