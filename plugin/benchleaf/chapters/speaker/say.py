"""What it comes to, in sentences and one table."""

from __future__ import annotations

from ...circuit.warm_field import WarmField
from ...electrics.copper import ZERO_CELSIUS
from ...report.amount import Amount, Origin
from ...report.plain_page import PlainPage
from ...report.sentence import Sentence
from ...report.table import of_values
from ...report.verdict import Verdict
from ..bench import Bench
from .examine import SpeakerFindings
from .field_coil import FieldCoil

NEAR = 1.25  # times the load meant, or as many times below it (common practice, no source)
_MEANT = {"published": "Load published for the stage", "reflected": "Load the transformer is said to match"}
_NOT_KNOWN = "What the speaker loads the output stage with is not known."
_WORKING = (
    ("The load is the speaker’s impedance times the turns ratio squared, the windings’ resistance left out.",),
    ("A turns ratio not written is the root of the two impedances that the transformer matches.",),
    ("A field coil’s current is the volts across it over its ohms when warm, its heat both multiplied.",),
    ("Copper gains 0.393 % of its resistance at 20 °C a kelvin (IEC 60028).",),
    ("An impedance not written is the coil’s DC resistance over 0.8, the least share of it in IEC 60268-5.",),
)


def standouts(findings: SpeakerFindings, bench: Bench) -> list[Sentence]:
    """An open voice coil, or a load far from the one that is meant."""
    return [sentence] if (sentence := _sentence(findings)).severity else []


def said(findings: SpeakerFindings, bench: Bench) -> PlainPage:
    """The chapter's page."""
    turns = Origin.COMPUTED if findings.ratio_from_match else Origin.STATED
    values = (
        ("Impedance", Amount(findings.impedance_ohms, "ohm", Origin.ASSUMED if findings.estimated else Origin.STATED)),
        ("Turns ratio", Amount(findings.turns_ratio, "n:1", turns, digits=3)),
        ("Load on the primary", Amount(findings.reflected_ohms, "ohm", Origin.COMPUTED, digits=2)),
        (_MEANT.get(findings.meant_how, ""), Amount(findings.meant_ohms, "ohm")),
        (_MEANT["published"], Amount(findings.published_ohms, "ohm", Origin.PUBLISHED)),
        *_field(findings.field),
    )
    return PlainPage(_sentence(findings), of_values("Speaker", "The speaker as load", values), findings.note, _WORKING)


def _field(coil: FieldCoil | None) -> tuple[tuple[str, Amount], ...]:
    """The rows of the field coil."""
    if coil is None:
        return ()
    named = f"Field coil{f' {coil.part}' if coil.part else ''}"
    return (
        (named, Amount(coil.ohms, "ohm")),
        *_warm(named, coil.warm),
        (f"{named}, volts across it", Amount(coil.volts, "V", Origin.COMPUTED)),
        (f"{named}, current", Amount(coil.amps, "A", Origin.COMPUTED)),
        (f"{named}, heat", Amount(coil.watts, "W", Origin.COMPUTED)),
    )


def _warm(named: str, warm: WarmField | None) -> tuple[tuple[str, Amount], ...]:
    """The row of its ohms at work; none where the record has neither them nor its temperature."""
    if warm is None:
        return ()
    if warm.measured or warm.warm_kelvins is None:
        return ((f"{named}, warm", Amount(warm.ohms, "ohm")),)
    cold, hot = (f"{kelvins - ZERO_CELSIUS:.0f} °C" for kelvins in (warm.cold_kelvins, warm.warm_kelvins))
    return ((f"{named}, at {hot}, of {cold} when measured", Amount(warm.ohms, "ohm", Origin.COMPUTED)),)


def _sentence(findings: SpeakerFindings) -> Sentence:
    reflected = Amount(findings.reflected_ohms, "ohm", bound="about" if findings.estimated else "", digits=2).text
    if findings.coil_open:
        return Sentence(Verdict.FAULT, "The speaker’s voice coil is open.", "speaker")
    if not (findings.reflected_ohms and findings.meant_ohms):
        known = f"The speaker loads the output stage with {reflected}." if findings.reflected_ohms else _NOT_KNOWN
        return Sentence(Verdict.PLAIN, known, "speaker")
    times, meant = findings.reflected_ohms / findings.meant_ohms, Amount(findings.meant_ohms, "ohm").text
    verdict, far = (Verdict.GOOD, "near") if 1 / NEAR <= times <= NEAR else (Verdict.NOTE, "far from")
    told = f"The speaker loads {findings.tube} with {reflected}, {far} the {meant} meant"
    if findings.published_ohms:
        of_sheet = findings.reflected_ohms / findings.published_ohms
        near = 1 / NEAR <= of_sheet <= NEAR
        verdict = verdict if near else Verdict.NOTE
        published = Amount(findings.published_ohms, "ohm").text
        told += f" and {'near' if near else 'far from'} the {published} published for it"
    return Sentence(verdict, f"{told}.", "speaker")
