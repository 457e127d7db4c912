"""The sentences about the supply that deserve the top of the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.problems import quoted
from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import SupplyFindings


def standouts(findings: SupplyFindings, bench: Bench) -> list[Sentence]:
    """A B+ that is not the one computed, a rectifier beyond its peak current, a reservoir too large for it."""
    found = []
    if findings.agrees is False:
        found.append(Sentence(Verdict.WATCH, _off(findings, bench.words), "rectifier"))
    found += [Sentence(Verdict.WATCH, said, "rectifier") for said in findings.lists_apart]
    worst = max(findings.working, key=lambda w: w.peak_amps, default=None)
    if worst is not None and worst.over_peak and findings.peak_limit_amps is not None:
        found.append(
            Sentence(
                findings.peak_verdict(worst),
                f"{findings.rectifier} carries peaks of {say(worst.peak_amps, 'A')} at {say(worst.line_volts, 'V')}"
                f" {bench.words.line}; its limit is {say(findings.peak_limit_amps, 'A')}.",
                "rectifier",
            )
        )
    direct = findings.direct
    if direct is not None and findings.direct_verdict.is_off:
        condition = f", {direct.condition}" if direct.condition else ""
        found.append(
            Sentence(
                findings.direct_verdict,
                f"{findings.rectifier} gives {say(direct.amps, 'A')} of direct current on and on; a "
                f"{findings.rectifier_type} may give {say(direct.limit_amps, 'A')} at most{condition}.",
                "rectifier",
            )
        )
    winding = findings.winding
    if winding is not None and winding.over and findings.agrees is not False:
        found.append(
            Sentence(
                Verdict.WATCH,
                f"{say(winding.amps, 'A')} of direct current are worked out through the winding "
                f"{quoted(winding.name)}, which is written for {say(winding.rated_amps, 'A')}: "
                "more is drawn than it is made for, or a reading or a "
                "part that the current was worked out from is not as written.",
                "rectifier",
            )
        )
    if findings.reservoir_too_large and worst is not None:
        rail = worst.rails[0]
        found.append(
            Sentence(
                Verdict.NOTE,
                f"{rail.part} of {say(rail.farads, 'F')} is a larger {bench.words.reservoir} than "
                f"{findings.rectifier} is given for"
                f" ({say(findings.reservoir_limit_farads, 'F')}), by more than the"
                f" {say(findings.reservoir_allowed_share, '1')} allowed here.",
                "rectifier",
            )
        )
    return found


def _off(findings: SupplyFindings, words: Words) -> str:
    """What a computed B+ beside another that was read points to."""
    off, read = findings.computed_against_read or 0.0, findings.read_volts[0]
    rail = findings.working[0].rails[0].rail
    percent = f"{abs(round(off * 100))}\u202f%"
    if off > 0:
        looked_at = (
            f"a load that the record lacks, a weak rectifier, a dried-out {words.reservoir} or a low {words.line}"
        )
        return f"{rail} was read {say(read, 'V')}, and {percent} more is computed ({findings.read_in}): {looked_at}."
    looked_at = (
        f"a load that is not drawn, a rectifier that drops less than its published figures, or a high {words.line}"
    )
    return f"{rail} was read {say(read, 'V')}, and {percent} less is computed ({findings.read_in}): {looked_at}."
