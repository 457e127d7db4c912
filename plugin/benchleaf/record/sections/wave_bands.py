"""A band's limits as written: frequencies or wavelengths."""

import re
from typing import Annotated, Any

from ..problems import quoted
from ..quantities import Quantity
from ..section import Section, refused
from ..text import Text
from ..thousands import last_in_thousands
from ..values import Reads, Wording, as_text, quantity, read_as, schema_of
from ..wavelengths import SPEED_OF_LIGHT


class Band(Section):
    """A band's limits, in hertz; a wavelength is turned into its frequency."""

    low_hertz: float
    high_hertz: float
    written: Wording


class BandEnds(Section):
    """The mapping form of a band: ``low: 540 kHz``, ``high: 1620 kHz``, or wavelengths."""

    LINED = True

    low: quantity("frequency", "length")  # type: ignore[valid-type]
    high: quantity("frequency", "length")  # type: ignore[valid-type]


_RANGE = re.compile(r"\s*(?:-|–|…|\.\.\.)\s*|\s+(?:to|a|bis|tot|until)\s+")


def read_band(value: Any) -> Band:
    """``540-1620 kHz`` or ``187-555 m``."""
    if isinstance(value, Band):
        return value
    if isinstance(value, dict):
        ends = BandEnds.model_validate(value)
        return _band(ends.low, ends.high, Text(f"{ends.low.written} to {ends.high.written}"))
    text = as_text(value)
    parts = _RANGE.split(str(text), maxsplit=1)
    if len(parts) != 2:
        raise refused(quoted(text), "two ends and a unit, such as “540-1620 kHz” or “187-555 m”", at=text)
    parts[1] = last_in_thousands(parts[0], parts[1])
    unit = re.sub(r"^[\d.,\s]+", "", parts[1])
    first = parts[0] if re.search(r"[A-Za-z]", parts[0]) else f"{parts[0]} {unit}"
    low, high = (read_as(Text(end, text.place, single=False), "frequency", "length") for end in (first, parts[1]))
    return _band(low, high, text)


def _band(low: Quantity, high: Quantity, written: Text) -> Band:
    hertz = sorted(_hertz(end) for end in (low, high))
    return Band.model_validate({"low hertz": hertz[0], "high hertz": hertz[1], "written": written})


def _hertz(end: Quantity) -> float:
    if not end.si:
        raise refused(quoted(end.written), "a frequency or a wavelength above zero", at=end)
    return end.si if end.unit == "Hz" else SPEED_OF_LIGHT / end.si


BandField = Annotated[Band, Reads(read_band, schema_of(BandEnds))]
