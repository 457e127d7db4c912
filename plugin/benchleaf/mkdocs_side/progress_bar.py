"""How far the making of the sets' pages has come, for somebody at a terminal."""

from __future__ import annotations

import sys
from typing import Any

import click


class ProgressBar:
    """A bar on a terminal, and nothing anywhere else."""

    def __enter__(self) -> ProgressBar:
        self._bar = click.progressbar(
            length=1, label="Records", show_pos=True, file=sys.stderr, hidden=not sys.stderr.isatty()
        )
        self._bar.__enter__()
        return self

    def __exit__(self, *raised: Any) -> None:
        self._bar.__exit__(*raised)

    def done(self, count: int, whole: int) -> None:
        """``count`` more of ``whole`` sets are finished."""
        self._bar.length = whole
        self._bar.update(count)
