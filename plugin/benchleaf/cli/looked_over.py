"""A record looked over as ``check`` does it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from .streams import say

if TYPE_CHECKING:
    from ..record.problems import Problem


def problems_in(data: bytes, folder: Path, file: str) -> list[Problem]:
    """Every problem of one record: what cannot be read, and what it names that is not there. Its remarks are said."""
    from ..build.follow import look_over
    from ..build.own_table import own_files
    from ..record.remarks import folded
    from ..words import DIALECTS
    from .site_options import dialect_of_site, manner_of_site

    looked = look_over(data, folder, file, own_files(folder)[0], manner_of_site(folder))
    for remark in folded(looked.remarks):
        say(remark)
    return [problem.in_dialect(DIALECTS[dialect_of_site(folder)]) for problem in looked.problems]
