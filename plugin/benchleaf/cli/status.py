"""What a command's exit status says."""

from __future__ import annotations

CLEAN, PROBLEMS, USAGE, FAILED = 0, 1, 2, 3
