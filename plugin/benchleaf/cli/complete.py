"""What a record does not tell yet, for its writer: what, why the next person wants it, and the line to write."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

_HEAD = (
    "a list, not a grade, held against the American Institute for Conservation’s Guidelines for Practice, "
    "Commentaries 24 to 28"
)


def untold_lines(data: bytes, folder: Path, file: str) -> Iterator[str]:
    """What one record does not tell, a line each with the line to write below it; nothing where it cannot be read."""
    from ..record import read_record
    from ..record.untold import untold
    from ..words import DIALECTS
    from .site_options import dialect_of_site, manner_of_site

    record, _ = read_record(data, file, manner_of_site(folder))
    if record is None:
        return
    found = untold(record, DIALECTS[dialect_of_site(folder)])
    state = f" ({record.state})" if record.state else ""
    if not found:
        yield f"{file}{state}: tells all that is on the list"
        return
    yield f"{file}{state} does not tell yet ({_HEAD}):"
    for one in found:
        yield f"- {one.what}: {one.why}. Write:"
        yield from (f"    {line}" for line in one.write.split("\n"))
