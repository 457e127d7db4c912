"""A winding's line in the words that its reader knows, whatever stands between what it feeds and what was measured."""

from __future__ import annotations

import re

from ..text import Text
from ..trade_words import MEASURED

_VOLTS = r"[.\d][\d.,]*\s?(?:V|volts?)(?:\s?(?:AC|RMS))?"
_READ = "|".join(
    map(re.escape, sorted({"measured", "meas", "meas.", "reads", "measures", *MEASURED}, key=len, reverse=True))
)
_FEEDS = r"(?:heaters of|feeds?|feeding|suppl(?:ies|ying)|heats|heating|powers|powering)"
_SEMICOLON = re.compile(rf";(?=\s+(?:{_FEEDS}|for|to|now|{_READ}|[.\d][\d.,]*\s?(?:V|A|volts?|amps?|m?A)\b))", re.I)
_NOW = re.compile(rf"\bnow\s+(?=(?:{_READ})\s)", re.I)
_IN_BRACKETS = re.compile(rf"\s*\((?P<said>(?:now\s+)?(?:{_READ})\s*:?\s+{_VOLTS}|{_VOLTS}\s+measured)\)", re.I)
_BEHIND = re.compile(rf"(?P<volts>{_VOLTS})\s+(?:measured|as measured)(?=\s*(?:,|;|\Z)|\s)(?!\s*:?\s+{_VOLTS})", re.I)
_HEAD = re.compile(rf"(?:(?<=\s)|(?<=\A)){_FEEDS}\s+(?:the\s+)?|(?:(?<=\s)|(?<=\A))(?:for|to)\s+", re.I)
_GOES_ON = re.compile(
    rf";|\(|[.\d][\d.,]*\s?(?:V|A|volts?|amp\w*|m?A|ohms?|Ω)\b|(?:{_READ}|{_FEEDS}|for|to|note)\b", re.I
)
"""How a line goes on behind the tubes; other words are said of them: ``V4 anodes``."""
_JOINT = re.compile(r"(?:\s*,?\s*(?:and|&|\+)\s+|\s*,\s*|\s*[-–]\s*|\s+to\s+|\s+)", re.I)
_WORD = re.compile(r"[^\s,;&+–-]+")


def winding_in_words(line: Text) -> Text:
    """``6.3 V; feeding V1, V2 and V3 2.5 A (now reads 6.6 V)`` with commas between, and the word of each value."""
    said = _SEMICOLON.sub(",", line)
    said = _IN_BRACKETS.sub(r", \g<said>", said)
    said = _BEHIND.sub(r"measured \g<volts>", _NOW.sub("", said))
    for head in reversed(list(_HEAD.finditer(said))):
        end, names = _tubes(said, head.end(), line)
        named = re.search(r"[^\s,;]+(?=\s*\Z)", said[: head.start()])
        if end is None or (named and head[0].strip() == "to" and line.manner.position(named[0])):
            continue
        before, behind = said[: head.start()].rstrip(" ,"), said[end:].lstrip(" ,")
        if behind and not _GOES_ON.match(behind):
            continue
        word = head[0].strip() if head[0].strip() in ("for", "feeds", "to") else "feeds"
        said = f"{before}{', ' if before else ''}{word} {names}{', ' if behind and behind[0] != ';' else ''}{behind}"
    return line.taken_as(said) if said != line else line


def _tubes(said: str, start: int, line: Text) -> tuple[int | None, str]:
    """Where a row of tubes ends that begins at a character, and the row; None where there begins none."""
    names, end, at = "", None, start
    joint = ""
    while (word := _WORD.match(said, at)) and line.manner.position(word[0]):
        names += f"{'-' if joint.strip() in ('-', '–', 'to') else ' ' if names else ''}{word[0]}"
        end = word.end()
        between = _JOINT.match(said, end)
        if between is None:
            break
        joint, at = between[0], between.end()
    return end, names
