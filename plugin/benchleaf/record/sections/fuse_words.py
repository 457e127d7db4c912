"""Words for fuses: where one sits, how quick it is, what is none."""

from __future__ import annotations

import re

_LIVE = tuple(f"{lead}{of}" for lead in ("hot", "live", "active") for of in ("", " lead", " side"))
"""“Active” is the live lead in Australia and New Zealand (AS/NZS 3000)."""
FUSE_PLACES = ("hot lead", "B- lead", "return lead", "both leads")
LEADS = {
    **dict.fromkeys(
        (
            *(f"{the}{lead}" for the in ("", "the ") for lead in _LIVE),
            *("line", "line side", "the line side", "mains side"),
            *("phase", "A lead", "the A lead", "battery lead", "the battery lead"),
        ),
        "hot lead",
    ),
    **dict.fromkeys(
        ("neutral", "return", "neutral lead", "the neutral", "the neutral lead", "the return"), "return lead"
    ),
    **dict.fromkeys(("B-", "the B- lead"), "B- lead"),
    "both": "both leads",
}
SLOW = (
    "slow", "slo", "time-lag", "slow-blow", "slow blow", "slo-blo", "slo blo", "anti-surge", "A/S", "time delay",
    "träge", "T",
)  # fmt: skip
QUICK = ("quick", "fast", "quick-blow", "fast-blow", "quick blow", "fast blow", "flink", "F")
SPEEDS = {word.casefold(): "slow" for word in SLOW} | {word.casefold(): "quick" for word in QUICK}

FUSE_NAMED = re.compile(r"(?P<name>(?:F|FS|FU)\d{1,2})(?!\s*m?A\b)(?:\s*,\s*|\s+|\Z)", re.I)
"""A fuse by its name in the parts list, which has its figures."""
NO_FUSE_LEFT = re.compile(
    r"(?:fuse(?:holder)? )?(?:bridged|bypassed|shorted|strapped|silver paper|(?:silver |tin ?)?foil"
    r"|(?:a )?(?:nail|(?:\w+ )?wire))\b",
    re.I,
)
_PUT_ACROSS = re.compile(
    r"(?<!was )(?<!were )(?<!been )(?<!not )(?<!longer )"
    r"\b(?:bridged|bypassed|shorted(?: out)?|strapped|wrapped|bound|packed)"
    r"\s+(?:up\s+)?(?:in|with|by|round with)\s+(?:a\s+|some\s+)?"
    r"(?:(?:silver|cigarette|kitchen|tin|alu\w*|copper)\s*)?(?:paper|foil|wire|nail|strap|clip)\b",
    re.I,
)
"""What was put around or across a fuse, so that it breaks nothing: ``2 A wrapped in tinfoil``."""
IN_A_HOLDER = re.compile(
    r"\s+in\s+(?:an?\s+|the\s+|its\s+)?(?:\w+\s+){0,2}?(?:fuse ?)?(?:holder|carrier|clips?)\b"
    r"(?=\s*(?:,|;|\Z|on|at|behind|inside))",
    re.I,
)
"""Where a fuse sits, before any lead that it breaks: ``in new holder``."""
LIVE_WIRE = re.compile(r"\b(live|hot|active) wire\b", re.I)
"""A lead of the cord by what it is made of."""


def no_fuse_left(said: str) -> bool:
    """Whether a fuse is there no more, or something lies across it: ``bridged``, ``2 A wrapped in tinfoil``."""
    return bool(NO_FUSE_LEFT.match(said) or _PUT_ACROSS.search(said))
