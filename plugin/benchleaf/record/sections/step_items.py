"""The items of a power-up's step, whatever sign parts them: ``80 V - 120 mA; held 10 min / HT1 = 70 V``.

Every sign and word is replaced by as many characters, so that all else keeps its column.
"""

from __future__ import annotations

import re

from ..numerals import NUMBER
from ..text import Text

_AMPERES = r"(?:m?A|amps?|amperes?|milliamps?|milliamperes?)\b"
_MINUTES = r"(?:mins?|minutes?|h|hrs?|hours?|s|secs?|seconds?)\b"
_HELD = r"(?:after|for|held(?: for)?|left(?: for)?|waited|kept)"
_DRAWS = r"(?:I\s*=|I(?=\s+[.\d])|draws|drawing|pulls|taking|takes|current(?: of)?|line current)"
_VALUE = rf"(?:(?:{_HELD}|{_DRAWS})\s+)?{NUMBER}\s?(?:{_AMPERES}|{_MINUTES}|W\b)"
_AT_FIRST = re.compile(rf"at(?=\s+[.\d][\d.,]*\s?(?:V|volts?)(?:\s?AC)?(?=\s*(?:[,;/-]|\Z|{_VALUE})))", re.I)
_READ = (
    r"(?:(?:HT|B)[+\d]*|[A-Z]{1,2}\d{1,2}\b[^,;/-]{0,20}?|plate|anode|screen|cathode|chassis|line|mains)"
    r"\s*=?\s*[-+−]?[.\d]"
)
_SIGN = re.compile(
    rf"(?P<sign>;)(?=\s+(?:{_VALUE}|{_DRAWS}\s|{_READ}))"
    rf"|(?<=[^\W\d])\s(?P<dash>[-–—/])(?=\s)|(?<=\d)\s(?P<other>[-–—/])(?=\s(?:{_VALUE}|{_DRAWS}\s|{_READ}|[^\W\d]{{2}}))",
    re.I,
)
_SEMICOLON = re.compile(r";(?=\s)")
_VALUE_BEHIND = re.compile(rf";\s+{_VALUE}\s*(?:[,;]|\Z)", re.I)
"""A value of the step behind a semicolon, which then begins no remark."""
_BLANK = re.compile(rf"(?<=\d)(?P<unit>\s?(?:V|volts?|V?AC|{_AMPERES}|{_MINUTES}))\s(?={_VALUE})", re.I)
"""Between two values with their units: ``60 V 120 mA``."""
_OF_THE_LINE = re.compile(
    rf"(?:(?<=^)|(?<=,)|(?<=, ))\s*(?P<draws>{_DRAWS})\s+(?={NUMBER}\s?{_AMPERES}\s*(?:[,;]|\Z))", re.I
)
"""Before the line's current."""
_AFTER = re.compile(rf"(?:(?<=,)|(?<=, ))\s*(?P<held>{_HELD})\s+(?={NUMBER}\s?{_MINUTES}\s*(?:[,;]|\Z))", re.I)
"""Before how long it was held."""
_LINE_SAID = re.compile(r"(?:line|mains)\s+\d", re.I)


def step_in_items(line: Text) -> Text:
    """A step's line with a comma between its items, and without the words that its values do not need."""
    said = _AT_FIRST.sub("  ", line, count=1) if not _LINE_SAID.search(line) else str(line)
    said = _SEMICOLON.sub(",", said) if _VALUE_BEHIND.search(said) else said
    said = _SIGN.sub(lambda sign: "," if sign["sign"] else ", ", said)
    said = _BLANK.sub(lambda blank: f"{blank['unit']}, ", said)
    said = _OF_THE_LINE.sub(lambda draws: " " * len(draws[0]), said)
    said = _AFTER.sub(lambda held: f"{held[0][: held.start('held') - held.start()]}after ".ljust(len(held[0])), said)
    return line.taken_as(said) if said != line else line
