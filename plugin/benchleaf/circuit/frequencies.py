"""The frequencies of a set: which band is for FM, and what intermediate frequency belongs to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..record.alignment_remarks import near_one

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.wave_bands import Band

AERIAL_Q = 100.0
"""Of the tuned circuit at the aerial, where it is not known (common practice, no source)."""
_FM_FROM = 40e6
"""Hz; below lie bands with AM, above those with FM, whose intermediate frequency is another."""
_AM_IF_BELOW = 2e6
"""Hz: intermediate frequencies of AM sets lie below, those of FM sets above (common practice, no source)."""


def is_fm_signal(hertz: float) -> bool:
    """Whether what is received at so many hertz is FM."""
    return hertz >= _FM_FROM


def is_fm_intermediate(hertz: float) -> bool:
    """Whether an intermediate frequency, in hertz, is one for FM."""
    return hertz > _AM_IF_BELOW


def is_fm(band: Band) -> bool:
    """Whether a band is one of FM."""
    return is_fm_signal(band.low_hertz)


def near_intermediate(hertz: float | None, record: Record) -> float | None:
    """The intermediate frequency written that ``hertz`` is near, in hertz; None where there is none."""
    return near_one(hertz, (one.si for one in (record.IF, record.second_if) if one and one.si))


def intermediates(record: Record) -> list[float]:
    """The intermediate frequencies written, in hertz, the lowest first."""
    return sorted(each.si for each in (record.IF, record.second_if) if each and each.si and each.si > 0)


def intermediate_of(band: Band, record: Record) -> float | None:
    """The intermediate frequency of a band in hertz: that for FM or that for AM; one alone is of either."""
    both = len({is_fm(each) for each in record.bands.values()}) == 2
    return intermediate_for(record, fm=is_fm(band), both=both)


def intermediate_for(record: Record, *, fm: bool, both: bool) -> float | None:
    """The intermediate frequency in hertz for FM or for AM in a set for ``both`` or for this one alone."""
    known = intermediates(record)
    if not known:
        return None
    if len(known) == 2:
        return known[1] if fm else known[0]
    return None if both and is_fm_intermediate(known[0]) is not fm else known[0]
