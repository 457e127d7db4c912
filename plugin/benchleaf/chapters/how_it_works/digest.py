"""The chapter in short; the record has no more of it than the way there, or the drawing where the story wants it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...report.digest import Digest
from .say import conclusion

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import HowItWorksFindings


def digest(findings: HowItWorksFindings, bench: Bench) -> Digest:
    """What kind of set it is, and what stands on its page."""
    return Digest(conclusion(findings, bench), working="Each stage in turn, drawn and told")
