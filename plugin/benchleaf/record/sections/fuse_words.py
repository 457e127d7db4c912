"""Words for fuses: where one sits, how quick it is, what is none."""

from __future__ import annotations

import re

FUSE_PLACES = ("hot lead", "B- lead", "return lead", "both leads")
LEADS = {
    **dict.fromkeys(
        (
            *(f"{the}{lead}" for the in ("", "the ") for lead in ("hot", "live", "hot side", "live side", "live lead")),
            "line",
            "the hot lead",
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
    "slow", "time-lag", "slow-blow", "slow blow", "slo-blo", "slo blo", "anti-surge", "A/S", "time delay", "träge", "T",
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
LIVE_WIRE = re.compile(r"\b(live|hot) wire\b", re.I)
"""A lead of the cord by what it is made of."""
