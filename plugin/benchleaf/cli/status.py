"""What a command's exit status says."""

from __future__ import annotations

CLEAN, PROBLEMS, USAGE = 0, 1, 2
