"""Why a written value is not read: it could be several values, or none."""

from __future__ import annotations

from .problems import one_of, quoted

_LONGEST_KEPT = 80


class QuantityError(ValueError):
    """A text that is not read as a quantity.

    ``written`` is what was found (cut where it is long), ``expected`` what may stand there in plain words, ``remedy``
    why it cannot be read and what to write.
    """

    def __init__(self, written: str, expected: str, remedy: str) -> None:
        super().__init__(written, expected, remedy)
        self.written = written[:_LONGEST_KEPT]
        self.expected = expected
        self.remedy = remedy

    def __str__(self) -> str:
        return f"found {quoted(self.written)}; expected {self.expected}; {self.remedy}"


class UnreadableQuantity(QuantityError):  # noqa: N818 - the published name
    """A text that is no quantity of the kind asked for."""


class AmbiguousQuantity(QuantityError):  # noqa: N818 - the published name
    """A text that could be several quantities; ``readings`` has each as it would be written plainly."""

    def __init__(self, written: str, expected: str, reason: str, readings: tuple[str, ...]) -> None:
        super().__init__(written, expected, f"{reason}: write {one_of(readings)}")
        self.args = (written, expected, reason, readings)
        self.readings = readings
