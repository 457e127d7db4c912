"""The speaker and its output transformer as written."""

from ..section import Section, form
from ..values import Resistance, Wording, quantity


class Speaker(Section):
    """``3.2 ohm, voice coil 2.7 ohm, ratio 45:1; cone sealed at the edge``."""

    FORM = form(["impedance", "voice coil", "ratio", "note"], values={"resistance": "impedance"}, remark="note")

    impedance: Resistance | None = None
    voice_coil: Resistance | None = None
    ratio: quantity("turns ratio") | None = None  # type: ignore[valid-type]
    note: Wording | None = None
