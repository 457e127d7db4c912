"""A result's line with its two sides and what it was for in the words that its reader knows."""

from __future__ import annotations

import re

_VALUE = r"[<>~]?\s?[.\d][\d.,]*\s?[^\s\d,;()]{0,20}(?:\s(?:per\s)?(?:met(?:er|re)|AC|DC|RMS))?"
_PER_METRE = re.compile(
    r"(?<=\d)\s?(?P<size>micro|milli|[uµμ]|m)?v(?:olts?)?\s*(?:per|/)\s*(?:met(?:er|re)s?|m)\b", re.I
)
"""A field strength in whole words: ``900 microvolts per meter``."""
_OF_THE_WORK = re.compile(
    r"\b(?P<side>before|after)\s+(?:the\s+|any\s+)?(?:work|repairs?|restoration)\s*:?\s+(?=[<>~]?\s?[.\d])", re.I
)
_FOUND = re.compile(r"\A(?:as\s+)?found(?:\s+at)?\s*:?\s+(?=[<>~]?\s?[.\d])", re.I)
_IN_BRACKETS = re.compile(r"\s*\(\s*(?P<side>was|before|now|after)\s*:?\s+(?P<value>[<>~]?\s?[.\d][^()]*)\)", re.I)
_ENDS = r"(?=\s*(?:,|;|\Z|\s(?:for|into|at)\s))"
_ARROW = re.compile(rf"\A(?P<before>{_VALUE})\s*(?:->|=>|→)\s*(?P<after>{_VALUE}){_ENDS}", re.I)
_FROM_TO = re.compile(
    rf"\A(?:(?:down|up)\s+)?from\s+(?P<before>[.\d][\d.,]*\s?[^\W\d]+(?:/m|\s(?:AC|DC|RMS)))\s+to\s+(?P<after>{_VALUE}){_ENDS}",
    re.I,
)
"""Two values of a unit with a stroke or a mark, which no stretch has."""
_SIDE_FIRST = re.compile(r"(?:before|after|was|now|from)\b", re.I)
_NO_COMMA = re.compile(r"(?<=[^\s,])\s+(?=for\s+(?:(?:the\s+|an?\s+)?standard\b|[.\d]))", re.I)


_LOAD = re.compile(r"(?<=[^\s,])\s+(?:across|over)\s+(?=(?:an?\s+)?[.\d][\d.,]*\s?k?(?:ohms?|Ω))", re.I)


def in_its_words(line: str) -> str:
    """``90 uV (was 400 uV) for 50 mW`` as ``90 uV, was 400 uV, for 50 mW``."""
    said = _LOAD.sub(", into ", _PER_METRE.sub(_per_metre, line))
    said = _FOUND.sub("before ", _OF_THE_WORK.sub(r"\g<side> ", said))
    said = _IN_BRACKETS.sub(r", \g<side> \g<value>", said)
    if arrow := (_ARROW.match(said) or _FROM_TO.match(said)):
        said = f"before {arrow['before']}, after {arrow['after']}{said[arrow.end() :]}"
    return _NO_COMMA.sub(", ", said) if _SIDE_FIRST.match(said) else said


def _per_metre(said: re.Match[str]) -> str:
    size = (said["size"] or "").casefold()
    return f" {'' if not size else 'm' if size in ('milli', 'm') else 'u'}V/m"
