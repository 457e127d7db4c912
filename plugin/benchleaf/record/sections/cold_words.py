"""Words of a cold check: bounds before its ohms, and how the set stood meanwhile."""

from __future__ import annotations

import re

BEYOND = re.compile(r"\b(over|above|more than|greater than|at least|beyond)(?=\s+[.\d])", re.I)
BELOW = re.compile(r"\b(under|below|less than|at most)(?=\s+[.\d])", re.I)
ABOUT = re.compile(r"\b(about|around|approx\.?|approximately|roughly|circa|ca\.)(?=\s+[.\d])", re.I)
HOW_IT_STOOD = re.compile(
    r"(?:set |all )?(?:unplugged|(?:the )?plug (?:pulled|out)|cold|(?:all |the )?(?:tubes|valves) (?:in|out|removed)"
    r"|switch (?:on|off|closed|open))",
    re.I,
)
"""How the set stood, before what was measured: ``unplugged, field coil 1480 ohms``."""
