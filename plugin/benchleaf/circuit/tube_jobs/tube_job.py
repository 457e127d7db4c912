"""The jobs that a tube can have in a set, and where each belongs: in the path of the signal, beside it, the supply."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FM, AM = "FM", "AM"


@dataclass(frozen=True, slots=True)
class KnownJob:
    """One job: ``lane`` is ``radio``, ``audio``, ``beside``, ``supply`` or ``heaters``, ``rank`` its order there.

    ``fm`` says that only a set for FM has it.
    """

    key: str
    lane: str
    rank: int
    fm: bool


@dataclass(frozen=True, slots=True)
class TubeJob:
    """One job of one tube: ``modulation`` what it is said to be for (``AM``, ``FM``), nothing where it is not said.

    ``number`` is 1 for a first stage of its kind, 2 for a second; 0 where it is not said.
    """

    key: str
    modulation: frozenset[str] = frozenset()
    number: int = 0


@dataclass(frozen=True, slots=True)
class JobsOfTube:
    """All that a tube does. ``unread`` are words that name no known job, as written.

    ``by_type`` says that no job is written and its type has only the one use; ``push_pull`` and ``reflex`` that the
    record says so of it.
    """

    jobs: tuple[TubeJob, ...] = ()
    unread: tuple[str, ...] = ()
    by_type: bool = False
    push_pull: bool = False
    reflex: bool = False


def table_beside(name: str) -> list[dict[str, str]]:
    """The rows of one of the files that lie beside this one."""
    with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def known_jobs() -> dict[str, KnownJob]:
    """Every job by its key."""
    rows = table_beside("jobs.csv")
    return {row["key"]: KnownJob(row["key"], row["lane"], int(row["rank"]), bool(row["fm"])) for row in rows}
