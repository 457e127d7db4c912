"""A part's line with what the trade leaves out: commas between windings, codes of fuses, what a rating is of."""

from __future__ import annotations

import re

from .line_values import OF_ITS_OHMS, TRANSFORMERS, WOUND, kind_of_part
from .numerals import NUMBER
from .place_words import read_rail
from .text import Text
from .trade_words import LETTERS_FOR_WORDS, REPLACED

_PLATE_TO_PLATE = re.compile(
    rf"(?P<ohms>{NUMBER}(?:{OF_ITS_OHMS})?)\s*,?\s*"
    r"(?:(?P<what>plate|anode|p|a)[- ]?(?:to[- ])?(?P=what)|raa)(?:\s+(?=(?:to\b|/|:))|(?=\s*(?:,|;|\Z)))",
    re.I,
)
"""Between which ends a push-pull transformer matches, behind the ohms: ``8k plate to plate to 4 ohm``, ``10k a-a``."""
_TAP = re.compile(
    r"(?:,\s*|\s+)(?:with (?:a )?)?(?P<said>(?:c\.?\s?t\.?|(?:cent(?:re|er)|middle|mid)(?:[- ]?tap)?|tapp?(?:ed|ing)?)"
    r"\s+(?:(?:is|goes|to|at|on)\s+)*(?P<at>[^\s,;]+(?:\s+[^\s,;\d][^\s,;]*)?))(?=\s*(?:,|;|\Z))",
    re.I,
)
"""Where the tap of an output transformer's primary lies: ``tap B+1``, ``centre tap to HT1``, ``ct at B+2``."""
_FUSES = frozenset({"F", "FS", "FU"})
_CODE_OF_A_FUSE = re.compile(
    r"(?<![\w.,])(?:(?P<first>[TF])\s?)?(?P<amps>[.\d][\d.,]*\s?m?A)(?:\s?(?P<code>[TF])(?!\w))?", re.ASCII
)
"""The code letter of IEC 60127 at a fuse's amperes: ``0,5 AT``, ``T 315 mA``."""
_FUSE_ITSELF = re.compile(r"(?<!\w)fuse\s+(?=[.\d])", re.I)
_TAPER = re.compile(
    r"(?<=[\dkKMmgΩsl])\s+(?P<law>(?:anti-?|reverse )?(?:log|linear|lin))(?: taper)?(?=[\s,;]|\Z)", re.I
)
"""How a control's resistance goes with its shaft: ``500k log``."""
_IN_A_ROW = re.compile(
    rf"(?<!\w)(?P<word>measured|meas\.?|reads?)\s+(?P<row>(?P<one>{NUMBER})(?:\s?(?:ohms?|Ω))?\s*\+\s*(?P<other>{NUMBER})\s?(?:ohms?|Ω))"
    r"(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What the two sections of a resistor measured, in series: ``measured 88 + 750 ohm``."""
_ARROW = re.compile(r"(?:->|=>|→)(?=[^\s>])")
_LEAK = re.compile(r"(?<![\w-])(?<!grid )leak\s+(?=[<>~]?[.\d])", re.I)
_PEAK_VOLTS = re.compile(r"(?<![\w./])(?P<volts>\d{2,4})\s?(?:PV|P\.V\.|V\.?P\.?)(?!\w)")
"""What an electrolytic of Australian make is rated for, its peak volts (common practice, no source): ``525 PV``."""
_SURGE = re.compile(
    r"[,(]?\s*(?:\bsurge\s*(?:rating|voltage)?\s*:?\s*(?P<volts>\d{2,4})(?!\w)(?:\s?V(?:olts?)?(?:DC)?\b)?"
    r"|(?<!\w)(?P<before>\d{2,4})(?:\s?V(?:olts?)?)?\s+(?:surge|peak)(?!\w)(?!\s*(?:rating|limit|:?\s*\d))"
    r"|(?<!\w)(?P<sv>\d{2,4})\s?(?:SV|S\.V\.))(?:\s*\))?",
    re.I,
)
"""What a capacitor stands for the seconds after switching on: ``450 V surge 525``, ``(525 surge)``."""
_WARMTH = re.compile(r"(?<=[\dΩsm])\s+(?=(?:cold|hot|warm)\s*(?:,|;|\Z))", re.I)
"""Before how warm a winding was when its ohms were read."""
_HOT = re.compile(
    rf"(?:\s*(?:,|/|;|and|&))?\s+(?:(?P<ohms>{NUMBER}(?:{OF_ITS_OHMS})?)\s+(?:when\s+|at\s+)?(?P<how>hot|warm)"
    rf"|(?P<first>hot|warm)\s+(?P<behind>{NUMBER}(?:{OF_ITS_OHMS})?))(?=\s*(?:,|;|/|\Z|\sand\b|\s&))",
    re.I,
)
_COLD = re.compile(r"(?:,?\s+(?:when\s+)?\bcold\b|\bcold\s+(?=[.\d]))", re.I)
"""What a coil's wire has hot, beside what it has cold, which is what an ohmmeter shows of it."""
_KEPT_FROM = re.compile(r"(?<=,)\s+(?=(?:insulated|isolated|kept clear|clear) from\s)", re.I)
"""Before what a part has no joint to: ``insulated from chassis`` is no end of it."""
_ACROSS_IT = re.compile(r"(?:\A|(?<=,)\s+)(?=(?:found |was )?(?:bridged|shunted|paralleled) (?:with|by)\s)", re.I)
"""Before what was put across a part, which is no second section of it: ``bridged with 150 ohm``."""
_SAID_TWICE = re.compile(rf"(?<![\w-])(?:{'|'.join(sorted(REPLACED))})\s*,?\s+(?=(?:now|->)(?!\w))", re.I)
"""That a part was replaced, before the word behind which the new one stands: ``replaced, now 10 uF``."""
_JOINED_ELECTRODE = re.compile(r"(?<!\w)(?P<at>[akg]|g\d)(?P<tube>[A-Z]{1,2}\d{1,2})(?!\w)")
_OF_VOLTS = re.compile(r"(?<!\w)[UV](?P<at>[ak]|g\d?)\s+(?P<tube>[A-Z]{1,2}\d{1,2})(?!\w)")
_SYSTEM_FIRST = re.compile(r"(?<!\w)(?P<at>aT|aH|aP|gT)\s+(?P<tube>[A-Z]{1,2}\d{1,2})(?!\w)")
_NEXT_WINDING = re.compile(
    rf"(?<=[\dkΩRs])(?<!\bto)\s(?=(?:secondary|sec|tertiary)\b\s*:?\s*{NUMBER}(?:{OF_ITS_OHMS})?\s*(?:,|;|\Z))", re.I
)
_TWO_OF_ONE_UNIT = re.compile(
    rf"(?<![\w.,/])(?P<first>{NUMBER})\s*(?P<joint>\+|and|&)\s*(?={NUMBER}(?P<unit>\s?ohms?|\s?Ω)(?!\w))", re.I
)
_NAMED = re.compile(r"\b(?:h\.?[tv]\.?|plates?|anodes?|winding|secondary|sec|primary|pri)\.?\s*:?\s*\Z", re.I)


def said_in_full(line: Text) -> Text:
    """A part's line with what the trade leaves out: the comma between two windings, ``anti-surge`` for a fuse's A/S.

    So are the blanks behind an arrow and between an electrode's letter and its tube: ``aB4``.
    """
    full = _SAID_TWICE.sub(lambda said: " " * len(said[0]), _ARROW.sub("-> ", _electrodes_parted(line)))
    full = _ACROSS_IT.sub(" note ", _KEPT_FROM.sub(" note ", full))
    if kind_of_part(line.manner.part) == "capacitance":
        full = _LEAK.sub("leaks ", full)
        full = _PEAK_VOLTS.sub(r"surge rating \g<volts> V", full)
        full = _SURGE.sub(lambda surge: f", surge rating {surge['volts'] or surge['before'] or surge['sv']} V", full)
    if line.manner.part in WOUND:
        full = _hot_as_note(full)
        full = _WARMTH.sub(", note ", _TWO_OF_ONE_UNIT.sub(_with_unit, _NEXT_WINDING.sub(", ", full)))
        if line.manner.part in TRANSFORMERS:
            full = _PLATE_TO_PLATE.sub(_before_ohms, full)
            full = _TAP.sub(lambda tap: f", note {tap['said']}" if _is_place(tap["at"], line) else tap[0], full)
    elif line.manner.part in _FUSES:
        full = _FUSE_ITSELF.sub("", _CODE_OF_A_FUSE.sub(_speed_behind, LETTERS_FOR_WORDS.sub("anti-surge", full)))
    elif kind_of_part(line.manner.part) == "resistance":
        full = _TAPER.sub(r" \g<law> taper", _IN_A_ROW.sub(_summed, full))
    return line.taken_as(full) if full != line else line


def _hot_as_note(full: str) -> str:
    """A coil's line with its ohms hot behind all else, as a note, where those cold stand beside them."""
    if not (_COLD.search(full) and (hot := _HOT.search(full))):
        return full
    rest = f"{full[: hot.start()]}{full[hot.end() :]}"
    cold = _COLD.search(rest)
    rest = f"{rest[: cold.start()]}{' ' if cold[0][-1] == ' ' else ''}{rest[cold.end() :]}" if cold else rest
    body, mark, remark = rest.partition(";")
    said = f"{hot['how'] or hot['first']} {hot['ohms'] or hot['behind']}".strip()
    return f"{body.rstrip(' ,')}, note cold, {said}{mark}{remark}"


def _speed_behind(said: re.Match[str]) -> str:
    code = said["first"] or said["code"]
    return f"{said['amps']}, {'time-lag' if code == 'T' else 'quick-blow'}" if code else said[0]


def _summed(said: re.Match[str]) -> str:
    ohms = sum(float(said[name].replace(",", ".")) for name in ("one", "other"))
    return f"{said['word']} {ohms:g} ohm, note sections measured {said['row']}"


def _before_ohms(said: re.Match[str]) -> str:
    return f"plate-to-plate {said['ohms'].strip()}{' ' if said[0][-1] == ' ' else ''}"


def _is_place(name: str, line: Text) -> bool:
    return read_rail(name).known or line.manner.position(name.split()[0]) is not None


def _with_unit(two: re.Match[str]) -> str:
    """The first of two ohms with the unit of both; the halves of a named winding are a note, and stay as typed."""
    return two[0] if _NAMED.search(two.string, 0, two.start()) else f"{two['first']}{two['unit']} {two['joint']} "


def _electrodes_parted(line: Text) -> str:
    def parted(found: re.Match[str]) -> str:
        return f"{found['at']} {found['tube']}" if line.manner.position(found["tube"]) else found[0]

    def turned(found: re.Match[str]) -> str:
        return f"{found['tube']} {found['at']}" if line.manner.position(found["tube"]) else found[0]

    return _SYSTEM_FIRST.sub(turned, _OF_VOLTS.sub(parted, _JOINED_ELECTRODE.sub(parted, line)))
