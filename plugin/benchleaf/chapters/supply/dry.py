"""The drop of a dry rectifier."""

from __future__ import annotations

DRY_DROP_VOLTS = {"silicon": 1.0, "selenium": 5.0}
"""Forward drop of a silicon diode, and of a selenium stack for the line (from memory)."""
