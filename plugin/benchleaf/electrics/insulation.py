"""What insulation and an earth wire should measure: limits of tests after a repair, each with its source."""

from __future__ import annotations

__all__ = ["EARTH_OHMS", "INSULATION_OHMS", "TEST_VOLTS"]

INSULATION_OHMS = 2e6
"""Least insulation without a protective conductor: DIN VDE 0701-0702, as a tester's manual has it; not opened."""
EARTH_OHMS = 0.5
"""Most from the earth pin to the metal: AS/NZS 3760, as quoted on a trade forum; not opened."""

TEST_VOLTS = 500.0
"""Direct volts that it is tested with: as above."""
