"""The load that a loudspeaker puts on the output tube through its transformer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .network import StageLoad

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ..record.model import Record
    from .elements import Element
    from .network import Network
    from .places import Place

COIL_OF_IMPEDANCE = 0.8
"""The lowest impedance, little above the coil's resistance, over the rated one: not below this by IEC 60268-5."""


@dataclass(frozen=True, slots=True)
class SpeakerLoad:
    """Impedance of a speaker and the turns ratio of its transformer, with the load on the primary; None if not known.

    The impedance is ``estimated`` where only the coil's resistance is written; the ratio comes ``from_match`` where it
    follows from the two impedances that the transformer is said to match.
    """

    impedance_ohms: float | None
    estimated: bool
    turns_ratio: float | None
    from_match: bool

    @property
    def ohms(self) -> float | None:
        """The impedance times the turns ratio squared (textbook)."""
        if not self.impedance_ohms or not self.turns_ratio:
            return None
        return self.impedance_ohms * self.turns_ratio**2


def speaker_load(record: Record, elements: Iterable[Element]) -> SpeakerLoad | None:
    """The load of the written speaker; None where none is written."""
    if (speaker := record.speaker) is None:
        return None
    rated, coil, ratio = (q.si if q else None for q in (speaker.impedance, speaker.voice_coil, speaker.ratio))
    matched = None if ratio else _matched_ratio(elements)
    impedance = rated or (coil / COIL_OF_IMPEDANCE if coil else None)
    return SpeakerLoad(impedance, bool(impedance) and not rated, ratio or matched, matched is not None)


def _matched_ratio(elements: Iterable[Element]) -> float | None:
    """Turns of the one transformer that is said to match two impedances: the root of their ratio."""
    both = [(e.primary_ohms, e.secondary_ohms) for e in elements if e.secondary_ohms]
    ratios = {(primary / secondary) ** 0.5 for primary, secondary in both if primary and secondary}
    return ratios.pop() if len(ratios) == 1 else None


def with_speaker(
    load: StageLoad | None, plate: Place, speaker: SpeakerLoad | None, network: Network
) -> StageLoad | None:
    """An output tube's load as the speaker makes it through the ratio that is written, in place of the one meant.

    Only of a rated impedance, and where the record has one output tube, or two in push-pull that share it.
    """
    output = [stage for stage in network.stages if "output" in _role(stage.tube, network)]
    stage = network.stage_of(plate)
    known = speaker.ohms if speaker and not speaker.estimated and not speaker.from_match else None
    if load is None or load.how not in ("published", "reflected") or stage not in output or known is None:
        return load
    halves = any(one.of_two for one in network.feeds(plate))
    if len(output) != (2 if halves else 1):
        return load
    return replace(load, how="speaker", ohms=known / (2 if halves else 1))


def _role(position: str, network: Network) -> str:
    tube = network.places.tubes.get(position)
    return (tube.role or "") if tube else ""
