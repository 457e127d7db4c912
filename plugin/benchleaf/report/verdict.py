"""How a thing is judged: one enumeration for tables, the top of the page, the archive's cards and ``record.json``."""

from __future__ import annotations

from enum import Enum


class Verdict(Enum):
    """A judgement: its rank (the higher, the worse), its word, a sign that prints without colour, its CSS class.

    The word is the general one; a table says it in the words of its own subject (``out of ±20 %``).
    """

    DANGER = (8, "danger", "⬢", "bad")
    """Somebody can be hurt."""
    FAULT = (7, "fault", "⬢", "bad")
    """The set, or a part of it, is out of order."""
    WATCH = (6, "watch", "▲", "watch")
    """Off, and to be looked after, but no fault yet."""
    OPEN = (5, "open", "◧", "bench")
    """Work that is not done yet."""
    PUT_RIGHT = (4, "put right", "△", "right")
    """Was off, and is not any more."""
    NOTE = (3, "note", "•", "none")
    """Worth knowing."""
    UNKNOWN = (2, "not known", "◌", "unknown")
    """Cannot be told from what is written."""
    PLAIN = (1, "", "", "none")
    """Said without a judgement."""
    GOOD = (0, "in order", "✓", "good")

    def __init__(self, rank: int, word: str, sign: str, css: str) -> None:
        self.rank = rank
        self.word = word
        self.sign = sign
        self.css = css

    @property
    def severity(self) -> int:
        """How much it matters as a sentence of its own: 3 danger, 2 fault, 1 worth knowing, 0 no such sentence."""
        return _SEVERITIES.get(self, 1 if self.rank >= Verdict.UNKNOWN.rank else 0)

    @property
    def heading(self) -> str:
        """The word before such a sentence."""
        return _HEADINGS[self.severity]

    @property
    def is_open(self) -> bool:
        """Whether what it judges still asks for something."""
        return self.rank >= Verdict.OPEN.rank

    @property
    def is_off(self) -> bool:
        """Whether what it judges is, or was, not as it should be."""
        return self in (Verdict.DANGER, Verdict.FAULT, Verdict.WATCH, Verdict.PUT_RIGHT)


_SEVERITIES = {Verdict.DANGER: 3, Verdict.FAULT: 2}
_HEADINGS = {3: "Danger", 2: "Fault", 1: "Note", 0: ""}
