"""Whether the chassis of a set is on the line."""

from __future__ import annotations

from ..record.model import Record

MAINS = ("series string", "transformer", "autotransformer", "three-way", None)
DOUBLE_WOUND = ("transformer",)


def hangs_on_line(record: Record) -> bool:
    """Whether the chassis counts as connected to the line; it does where nothing was written of it."""
    if record.power not in MAINS or record.chassis == "isolated":
        return False
    return not (record.power in DOUBLE_WOUND and record.chassis in (None, "earthed"))
