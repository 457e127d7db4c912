"""How a set is powered and how its chassis stands to the line: the words for both."""

from __future__ import annotations

import re
from typing import Any

from pydantic.json_schema import JsonSchemaValue

from .editor_schema import one_of_words
from .problems import quoted
from .section import refused
from .text import Text
from .values import as_text, read_choice

POWER = ("series string", "transformer", "autotransformer", "battery", "vibrator", "three-way")
CHASSIS = ("line-connected", "through R and C", "isolated", "earthed")
POWER_WORDS = {
    **dict.fromkeys(
        ("AC/DC", "AC-DC", "AC or DC", "ACDC", "transformerless", "universal", "allstrom", "series"), POWER[0]
    ),
    **dict.fromkeys(
        ("power transformer", "mains transformer", "AC", "AC only", "transfo", "trafo", "nettrafo", "nettransformator"),
        POWER[1],
    ),
    **dict.fromkeys(("batteries", "battery set"), POWER[3]),
    **dict.fromkeys(("three way", "3-way", "3 way", "AC/DC/battery"), POWER[5]),
}
_CHASSIS_WORDS = {
    **dict.fromkeys(("hot", "live", "connected to the line", "on the line"), CHASSIS[0]),
    **dict.fromkeys(("through R-C", "through RC", "through resistor and capacitor"), CHASSIS[1]),
    **dict.fromkeys(("grounded", "earth"), CHASSIS[3]),
}

_LIVE_AND_HOW = re.compile(
    r"(?:live|hot|line-connected)\b,?\s+(?!(?:if|when|unless|or|only|not|never|earthed|grounded)\b)"
    r"(?!.*\b(?:not|never|isolated|earthed|grounded|through r|resistor|capacitor)\b).{1,80}"
)
"""A chassis on the line, and how it is: the more dangerous word is taken at its word."""
_IN_BRACKETS = re.compile(r"(?P<said>line-connected|earthed|grounded|hot|live)\s*\((?P<why>[^()]*)\)")
_SAYS_OTHERWISE = re.compile(
    r"\b(?:not?|never|but|except|only|unless|until|when|if|isolated|floating|earthed|grounded|through|cut|was|before)\b"
)
_STANDS = "line-connected|hot|live|isolated|earthed|grounded"
_TWO_TIMES = re.compile(
    rf"(?:was )?(?P<then>{_STANDS})(?: before| at first| as found| originally)?(?:,| but| and|;)"
    rf" (?:now )?(?P<now>{_STANDS})\b"
    r"(?! (?:before|at first|as found)).{0,60}"
)
"""How the chassis stood before the work and since."""
_FLOATING = ("floating", "floating chassis", "floating ground")


def published_chassis() -> JsonSchemaValue:
    made = one_of_words(CHASSIS, (*_CHASSIS_WORDS, *_FLOATING))
    more = {"type": "string", "pattern": r"^\s*(?:line-connected|hot|live|earthed|grounded)\s*[,( ].+"}
    return {"anyOf": [*made["anyOf"], {"properties": {}, "if": {"type": "null"}, "else": more}]}


def read_chassis(value: Any) -> Text:
    """How the chassis stands to the line. “Floating” is that of a series string through a resistor and a capacitor."""
    text = as_text(value)
    words = " ".join(text.split()).casefold()
    if _LIVE_AND_HOW.fullmatch(words):
        return text.read_as(CHASSIS[0])
    bracket = _IN_BRACKETS.fullmatch(words)
    if bracket and not _SAYS_OTHERWISE.search(bracket["why"]):
        plain = read_choice(text.taken_as(bracket["said"]), CHASSIS, _CHASSIS_WORDS)
        return text.taken_as(str(plain), f"“{text}” read as {quoted(plain)}")
    if (both := _TWO_TIMES.fullmatch(words)) and both["then"] != both["now"]:
        now = read_choice(text.taken_as(both["now"]), CHASSIS, _CHASSIS_WORDS)
        found = f"{quoted(both['then'])} and {quoted(both['now'])}, of two times"
        remedy = f"write {quoted(now)} if it is so now; plug and ground wire of then stand in “line side”, “before”"
        raise refused(found, "how it stands now", remedy, at=text)
    if words not in _FLOATING:
        return read_choice(text, CHASSIS, _CHASSIS_WORDS)
    power = " ".join(text.manner.power.split()).casefold()
    if power == POWER[0] or power in {w.casefold() for w, m in POWER_WORDS.items() if m == POWER[0]}:
        return text.taken_as(CHASSIS[1], f"{quoted(text)} read as {quoted(CHASSIS[1])}")
    expected = f"{quoted(CHASSIS[1])} where parts join it to the line, {quoted(CHASSIS[2])} where nothing does"
    raise refused(quoted(text), expected, "write which it is", at=text)
