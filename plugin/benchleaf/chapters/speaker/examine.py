"""What follows: the load that the speaker puts on the output tube through its transformer, beside the one meant."""

from __future__ import annotations

from dataclasses import dataclass

from ..bench import Bench
from .field_coil import FieldCoil, field_coil


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
    speaker, load = bench.record.speaker, bench.circuit.speaker_load
    if speaker is None or load is None:
        return None
    opened = speaker.voice_coil is not None and speaker.voice_coil.qualifier == "open"
    tube, meant, how, published = _meant(bench)
    return SpeakerFindings(
        impedance_ohms=load.impedance_ohms,
        estimated=load.estimated,
        coil_open=opened,
        turns_ratio=load.turns_ratio,
        reflected_ohms=load.ohms,
        tube=tube,
        meant_ohms=meant,
        meant_how=how,
        note=str(speaker.note or ""),
        ratio_from_match=load.from_match,
        field=field_coil(bench, speaker.field.si if speaker.field else None),
        published_ohms=published,
    )


def _meant(bench: Bench) -> tuple[str, float | None, str, float | None]:
    """The only output tube with the load it is meant to work into; nothing where there are more, or it is not known.

    The last is the load it is published with, where the one meant is what the transformer is said to match.
    """
    output = {position for position, tube in bench.tubes.items() if "output" in (tube.role or "")}
    plates = [plate for stage in bench.circuit.network.stages if stage.tube in output for plate in stage.plates]
    loads = [(plate.tube, load) for plate in plates if (load := bench.circuit.meant_load(plate)) and load.ohms]
    if not len(loads) == len(output) == 1:
        return "", None, "", None
    tube, load = loads[0]
    published = bench.circuit.published_load(plates[0]) if load.how == "reflected" and len(plates) == 1 else None
    return tube, load.ohms, load.how, published
