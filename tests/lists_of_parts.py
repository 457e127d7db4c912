"""Lists of parts that more than one test file examines."""

from __future__ import annotations

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.chapters.parts.findings import PartFindings, PartsFindings

TUBES = {"V1": "12BE6", "V2": "12BA6", "V3": "12AV6", "V4": "50C5", "V5": "35W4"}


HEAD = """\
maker: Larkfield
model: Minuet 5
line: 120 V 60 Hz
power: series string
chassis: through R and C
tubes:
""" + "".join(f"  {position}: {type}\n" for position, type in TUBES.items())


def found(parts: str, head: str = HEAD, more: str = "") -> PartsFindings:
    """What the parts come to; ``TUBES`` are looked up, and what the head names in the place of the last."""
    tubes = {**TUBES, **({"V5": "5Y3GT"} if "5Y3GT" in head else {})}
    return makers.found("parts", makers.bench(f"{head}parts:\n{parts}{more}", tubes=tubes))


def part(line: str, head: str = HEAD, more: str = "") -> PartFindings:
    """The findings of the first of some parts."""
    return next(iter(found(f"  {line}\n", head, more).values()))


def said(findings: PartsFindings, bench: Bench | None = None) -> list[tuple[int, str]]:
    return [(s.severity, makers.plain(s.text)) for s in makers.standouts("parts", bench or makers.bench(), findings)]
