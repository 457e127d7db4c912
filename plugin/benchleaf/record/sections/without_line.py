"""What a list of readings says where no line fed the set."""

from __future__ import annotations

import re

NO_LINE = re.compile(
    r"(?:(?:none|no line)(?:,\s+|\s+)?)?(?:(?:run |fed )?(?:on|from|off|by)\s+)?(?:(?:the|its|fresh|new|old)\s+)*"
    r"(?:batter(?:y|ies)|bench (?:power )?suppl(?:y|ies)|battery eliminator)\b.{0,60}",
    re.I,
)
"""What stands for the line where none feeds a set."""
FED_BY_NONE = re.compile(
    r"\b(?:on|from|off|by)\s+(?:\w+\s+)?(?:batter(?:y|ies)|bench (?:power )?suppl(?:y|ies))\b"
    r"|\bline: [^;]*?\b(?:batter(?:y|ies)|bench (?:power )?suppl(?:y|ies))\b",
    re.I,
)
