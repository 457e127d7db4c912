"""What an ohmmeter lay at before power: a place of the set or a thing of a receiver, else it is asked."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ...record.line_values import PART_NAME
from ...record.place_words import THINGS, folded
from ...record.problems import Nearest, a_type, quoted
from ...record.slips import near
from ...record.spelling import one_slip
from ..cold_subjects import subject_of
from .places import looks_like_tube
from .tubes import POSITION

if TYPE_CHECKING:
    from ...record.slips import Slips
    from ..circuit import Circuit
    from ..places import Place

_OTHER_THINGS = re.compile(
    r"\b(?:switch|motor|clock|cabinet|case|core|frame|knob|metal\w*|back|insulation|ift?|transformer|rectifier|bridge|stack|diode"
    r"|control|pot|potentiometer|resistor|capacitor|electrolytic|can|insulator|screen)s?\b"
)
_EXPECTED = "what a meter can lie at: two places (“B+1 to B-”), “plug”, “V3 heater”, a part, “T1 primary”, “voice coil”"
_USUAL = ("B+1 to B-", "line to chassis", "plug", "heater string", "voice coil", "field coil", "T1 primary")


def look_over(circuit: Circuit, slips: Slips) -> None:
    """Ask of each reading before power whose words mean nothing in this set, or a tube that it has not."""
    record = circuit.record
    for reading in record.before_power:
        word = next((w for w in re.findall(r"[A-Za-z]+\d+", reading.of) if _is_no_tube(w, circuit)), None)
        if word is not None:
            start = reading.of.find(word)
            at = reading.of.cut(start, start + len(word))
            slips.add(at, "before power", quoted(word), POSITION, near(word, record.tubes))
        elif (unknown := _unknown_electrode(str(reading.of), circuit)) is not None:
            expected = f"an electrode of {a_type(circuit.tubes[unknown.tube].type)}"
            question = circuit.places.question(unknown.tube, unknown.word)
            remedy = f"did you mean {quoted(question.nearest[0])}?" if question and question.nearest else ""
            slips.add(reading.of, "before power", quoted(unknown.word), expected, remedy)
        elif not _is_known(str(reading.of), circuit) and not slips.lost.mentions(reading.of):
            known = (*_USUAL, *map(str, record.parts), *(f"{name} heater" for name in record.tubes))
            slips.add(reading.of, "before power", quoted(reading.of), _EXPECTED, Nearest(str(reading.of), known, ""))


def _is_no_tube(word: str, circuit: Circuit) -> bool:
    """Whether a word has the letters of this record's positions and is none of its positions or parts."""
    if circuit.places.position(word) or circuit.component(word):
        return False
    return looks_like_tube(word, circuit.record)


def _unknown_electrode(of: str, circuit: Circuit) -> Place | None:
    """The place at a tube that its type has not."""
    subject = subject_of(circuit, of)
    places = subject.places if subject is not None else ()
    return next((at for at in places if at.tube in circuit.tubes and not at.known), None)


def _is_known(of: str, circuit: Circuit) -> bool:
    name = folded(of)
    if THINGS.search(name) or _OTHER_THINGS.search(name) or subject_of(circuit, of) is not None:
        return True
    if any(circuit.component(word) for word in of.split()):
        return True
    part = PART_NAME.match(of)
    return part is not None and not any(one_slip(folded(part[0]), folded(str(name))) for name in circuit.record.parts)
