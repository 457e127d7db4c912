"""A link in a story to a recording at a time: ``[[recording after the work 3:15]]``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from ...record.problems import one_of, quoted

_WRITTEN = re.compile(
    r"recording\b\s*(?P<name>.*?)\s*(?:(?:at\s+)?(?:(?P<h>\d{1,2}):)?(?P<m>\d{1,3}):(?P<s>[0-5]\d))?", re.I
)


@dataclass(frozen=True, slots=True)
class RecordingLink:
    """The address to open, at its time, and the words that lead there."""

    href: str
    words: str


def is_recording(name: str) -> bool:
    """Whether what stands between double brackets means a recording."""
    return re.match(r"recording\b", name, re.I) is not None


def recording_link(name: str, recordings: Mapping[str, str]) -> RecordingLink | str:
    """Where a recording's piece leads; what was expected where it leads nowhere.

    The time is a Media Fragment (W3C, 2012): ``#t=195`` is 3 min 15 s.
    """
    found = _WRITTEN.fullmatch(name)
    if found is None:
        return "a recording’s name and a time such as 3:15"
    if not recordings:
        return "a recording listed under “recordings”"
    known = {_folded(each): each for each in recordings}
    wanted = _folded(found["name"])
    which = known.get(wanted) or known.get(f"recording {wanted}".strip())
    if which is None and not wanted and len(recordings) == 1:
        which = next(iter(recordings))
    if which is None:
        return f"the name of a recording: {one_of(map(quoted, recordings))}"
    said = which if _folded(which).startswith("recording") else f"recording {which}"
    if found["m"] is None:
        return RecordingLink(recordings[which], said)
    seconds = 3600 * int(found["h"] or 0) + 60 * int(found["m"]) + int(found["s"])
    clock = f"{found['h']}:{found['m']:0>2}:{found['s']}" if found["h"] else f"{int(found['m'])}:{found['s']}"
    return RecordingLink(f"{recordings[which]}#t={seconds}", f"{said} at {clock}")


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
