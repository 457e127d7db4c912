"""Names of files that every system can hold, that lie where they say, and that no two files share."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from ...record.problems import quoted

LONGEST_NAME, LONGEST_PATH, MOST_STEPS = 120, 200, 6
"""Bytes of one name and of a whole path: Windows allows 260 characters with the folders it lies in."""
_FORBIDDEN = '<>:"|?*\\'
_DEVICES = re.compile(r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])", re.I)
"""Names that Windows keeps for devices, whatever stands behind a point (Microsoft, Naming Files, Paths, Namespaces)."""


def unfit_path(path: str) -> str:
    """Why a path with forward slashes cannot be that of a file below a folder on every system; empty where it can."""
    steps = path.split("/")
    if len(steps) > MOST_STEPS or _bytes(path) > LONGEST_PATH:
        return f"a path of more than {LONGEST_PATH} bytes or {MOST_STEPS} names"
    return next((told for step in steps if (told := _unfit_name(step))), "")


def _unfit_name(name: str) -> str:
    if not name or name in (".", ".."):
        return "a path that leads out of its folder, or nowhere"
    if _bytes(name) > LONGEST_NAME:
        return f"a name of more than {LONGEST_NAME} bytes"
    if any(unicodedata.category(sign)[0] == "C" for sign in name):
        return "a name with signs that cannot be seen"
    if any(sign in name for sign in _FORBIDDEN):
        return f"{quoted(name, 60)}, with one of the signs {_FORBIDDEN}"
    if name.startswith((".", " ")) or name.endswith((".", " ")):
        return f"{quoted(name, 60)}, with a point or a blank at an end"
    if _DEVICES.fullmatch(name.split(".")[0].rstrip()):
        return f"{quoted(name, 60)}, which is a device on Windows"
    return ""


def _bytes(name: str) -> int:
    return len(name.encode("utf-8", errors="surrogatepass"))


def twice(paths: Iterable[str]) -> str:
    """The first path that another one is on some system, or that lies in a file; empty where there is none."""
    files: set[str] = set()
    folders: set[str] = set()
    for path in paths:
        folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", path).casefold())
        steps = folded.split("/")
        above = {"/".join(steps[:n]) for n in range(1, len(steps))}
        if folded in files or folded in folders or above & files:
            return path
        files.add(folded)
        folders |= above
    return ""
