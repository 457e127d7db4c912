"""What a step of an alignment was found at and read before and after, in the words that its reader knows."""

from __future__ import annotations

import re

from .text import Text

_N = r"(?:\d+(?:[.,]\d+)?|[.]\d+)"
_IN = r"\s?(?:[mµu]?V(?:AC|DC)?|dB|[mµu]?A|mW|W|(?:milli|micro)?volts?)(?!\w)"
_WAS_AND_NOW = re.compile(rf"\bwas\s+(?P<before>{_N}(?:{_IN})?),?\s+(?:and\s+)?now\s+(?P<after>{_N}{_IN})", re.I)
_OUTPUT = re.compile(rf"\boutput\s+(?:(?:went|rose|came|is)\s+)?(?:up\s+|down\s+)?(?=from\s+{_N}{_IN})", re.I)
_WAS_AT = re.compile(rf"\b(?:it\s+)?was\s+(?:off|peaking|peaked|tuned|set)\s*,?\s+(?:at|on|to)\s+(?={_N})", re.I)
_PEAKED = re.compile(rf"\b(?:it\s+)?peaked\s+(?:at|on)\s+(?P<at>{_N}(?:\s?[kM](?:Hz|c/?s?))?)\s+before\b", re.I)
_COLON = re.compile(r"\b(?P<side>before|after)\s*:\s+(?=[.\d])", re.I)
_IN_MEGAHERTZ = re.compile(rf"\A(?:[^\W\d]\w{{0,8}}\s+)?(?P<own>{_N})\s?(?:MHz|Mc/?s?|megacycles?)(?!\w)", re.I)
_BARE_AT = re.compile(r"\b(?P<word>(?:was|found|peaking)\s+(?:at|on))\s+(?P<bare>\d{3,5})(?=\s*(?:,|;|\Z))", re.I)
_NEAR = 1.3
"""Times a step's frequency within which it was found. Common practice, no source."""


def in_its_words(step: Text) -> Text:
    """``was peaking at 458``, ``was 0.31 V, now 0.78 V``; below a step in megahertz three digits are kilohertz."""
    said = _COLON.sub(r"\g<side> ", step)
    said = _WAS_AND_NOW.sub(r"before \g<before>, after \g<after>", said)
    said = _WAS_AT.sub("was at ", _PEAKED.sub(r"was at \g<at>", _OUTPUT.sub("", said)))
    if (own := _IN_MEGAHERTZ.match(said)) and (bare := _BARE_AT.search(said)):
        kilohertz = 1000 * float(own["own"].replace(",", "."))
        if kilohertz / _NEAR <= float(bare["bare"]) <= kilohertz * _NEAR:
            said = f"{said[: bare.end()]} kHz{said[bare.end() :]}"
    return step.taken_as(said) if said != step else step
