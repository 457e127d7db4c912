"""The section of a tube that does a job."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...tubes import Tube

BY_DIODES = frozenset({"detector", "ratio detector", "discriminator", "fm detector", "avc", "noise limiter"})
_BY_TRIODE = frozenset({"first audio", "audio", "driver", "phase splitter", "regenerative detector"})


def section_for(tube: Tube | None, key: str) -> tuple[str, bool]:
    """The section of a tube that does a job, empty for a tube of one, and whether that much is known."""
    if tube is None or len(tube.sections) < 2:
        return "", True
    names = [section.name for section in tube.sections]
    diodes = [name for name in names if name.startswith("diode")]
    if key in BY_DIODES and diodes:
        return (diodes[0], True) if len(diodes) == 1 else ("", False)
    for start in ("oscillator", "rectifier", "indicator"):
        of_kind = [name for name in names if name.startswith(start)]
        wanted = {"oscillator": ("oscillator",), "rectifier": ("rectifier", "doubler"), "indicator": ("tuning eye",)}
        if key in wanted[start] and of_kind:
            return (of_kind[0], True) if len(of_kind) == 1 else ("", True)
    amplifying = [n for n in names if not n.startswith(("diode", "oscillator", "rectifier", "indicator"))]
    if len(amplifying) == 1:
        return amplifying[0], True
    triode = "triode" in amplifying
    of_kind = [name for name in amplifying if (name == "triode") is (key in _BY_TRIODE or key == "oscillator")]
    return (of_kind[0], True) if triode and len(of_kind) == 1 else ("", False)
