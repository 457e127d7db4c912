"""What an alignment was read in where that has a scale of its own and no unit: an output meter, a tuning eye."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..problems import quoted
from ..text import Listing, Text

_HAS_ITS_OWN = re.compile(
    r"\boutput (?:meter|indicator)\b|\b(?:magic |tuning )?eye\b|\bS[- ]meter\b|\bdivisions\b", re.I
)
_N = r"(?:\d+(?:[.,]\d+)?|[.]\d+)"
_BOTH_SIDES = re.compile(
    rf"(?:,\s*|\s+)(?P<said>(?:output\s+|reading\s+)?(?:before\s+{_N},?\s+(?:and\s+)?after\s+{_N}"
    rf"|{_N}\s+before,?\s+(?:and\s+)?{_N}\s+after|from\s+{_N}\s+to\s+{_N}))(?P<unit>\s+div(?:ision)?s?)?"
    r"(?=\s*(?:,|;|\Z))",
    re.I,
)
"""Numbers without a unit before and after."""


def on_its_own_scale(session: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """An alignment in whose steps bare numbers of such an indicator are the note; with a unit they are values."""
    meter, steps = (session.get(Text(key)) if session else None for key in ("meter", "steps"))
    if not (session and isinstance(meter, Text) and isinstance(steps, Listing) and _HAS_ITS_OWN.search(meter)):
        return session
    told = Listing(steps.place)
    told += [_noted(step, meter) if isinstance(step, Text) else step for step in steps]
    return {**session, Text("steps", steps.place): told}


def _noted(step: Text, meter: Text) -> Text:
    body, _, remark = step.partition(";")
    found = _BOTH_SIDES.search(body)
    if found is None:
        return step
    rest = f"{body[: found.start()]}{body[found.end() :]}".rstrip(" ,")
    kept = f"{quoted(found['said'])} kept as a note: without a unit it is of the own scale of {quoted(meter)}"
    first, second = re.findall(_N, found["said"])
    said = f"by the {meter} {first} before, {second} after{found['unit'] or ''}"
    return step.taken_as(f"{rest}; {', '.join(filter(None, (said, remark.strip())))}", kept)
