"""What follows: the load that the speaker puts on the output tube through its transformer, beside the one meant."""

from __future__ import annotations

from dataclasses import dataclass

from ..bench import Bench
from .field_coil import FieldCoil, field_coil

COIL_OF_IMPEDANCE = 0.8
"""The lowest impedance, little above the coil's resistance, over the rated one: not below this by IEC 60268-5."""


@dataclass(frozen=True, slots=True)
class SpeakerFindings:
    """An impedance not written is ``estimated``; ``meant_ohms`` is for ``tube``, ``meant_how`` as in ``StageLoad``.

    ``ratio_from_match`` says that the ratio of turns follows from the two impedances the transformer is said to match;
    ``published_ohms`` is what the tube is published with beside that.
    """

    impedance_ohms: float | None
    estimated: bool
    coil_open: bool
    turns_ratio: float | None
    reflected_ohms: float | None
    tube: str
    meant_ohms: float | None
    meant_how: str
    note: str
    ratio_from_match: bool = False
    field: FieldCoil | None = None
    published_ohms: float | None = None


def examine(bench: Bench) -> SpeakerFindings | None:
    """The findings; None where no speaker was written. Its impedance times the turns ratio squared is reflected."""
    if (speaker := bench.record.speaker) is None:
        return None
    written, coil, ratio = (q.si if q else None for q in (speaker.impedance, speaker.voice_coil, speaker.ratio))
    matched = None if ratio else _matched_ratio(bench)
    ratio = ratio or matched
    ohms = written or (coil / COIL_OF_IMPEDANCE if coil else None)
    reflected = ohms * ratio**2 if ohms and ratio else None
    opened = speaker.voice_coil is not None and speaker.voice_coil.qualifier == "open"
    estimated, note = bool(ohms) and not written, str(speaker.note or "")
    field = field_coil(bench, speaker.field.si if speaker.field else None)
    tube, meant, how, published = _meant(bench)
    load = (tube, meant, how)
    return SpeakerFindings(
        ohms, estimated, opened, ratio, reflected, *load, note, matched is not None, field, published
    )  # fmt: skip


def _matched_ratio(bench: Bench) -> float | None:
    """Turns of the one transformer that is said to match two impedances: the root of their ratio."""
    both = [(e.primary_ohms, e.secondary_ohms) for e in bench.circuit.network.elements if e.secondary_ohms]
    ratios = {(primary / secondary) ** 0.5 for primary, secondary in both if primary and secondary}
    return ratios.pop() if len(ratios) == 1 else None


def _meant(bench: Bench) -> tuple[str, float | None, str, float | None]:
    """The only output tube with the load it is meant to work into; nothing where there are more, or it is not known.

    The last is the load it is published with, where the one meant is what the transformer is said to match.
    """
    output = {position for position, tube in bench.tubes.items() if "output" in (tube.role or "")}
    plates = [plate for stage in bench.circuit.network.stages if stage.tube in output for plate in stage.plates]
    loads = [(plate.tube, load) for plate in plates if (load := bench.circuit.load(plate)) and load.ohms]
    if not len(loads) == len(output) == 1:
        return "", None, "", None
    tube, load = loads[0]
    published = bench.circuit.published_load(plates[0]) if load.how == "reflected" and len(plates) == 1 else None
    return tube, load.ohms, load.how, published
