"""What a writer is told of the jobs of the tubes: words that name none are kept, but no stage comes of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.problems import quoted
from ...record.remarks import Remark
from ...record.text import NOWHERE
from .read_jobs import jobs_of

if TYPE_CHECKING:
    from ...record.model import Record

_SAID = (
    "{words} names no job of a tube that is known here: it stands as words, and how the set works has no stage of it"
)


def job_remarks(record: Record, file: str) -> Iterator[Remark]:
    """Each job of which nothing was understood, where it stands."""
    for position, tube in record.tubes.items():
        if not tube.job:
            continue
        for words in jobs_of(str(tube.job), None).unread:
            line, column = getattr(tube.job, "place", None) or NOWHERE
            yield Remark(file, line, column, f"tubes.{position}.job", _SAID.format(words=quoted(words)))
