"""The record that a set begins with."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    pass


def starter(maker: str, model: str, power: str = "") -> str:
    """A record with the least it needs, and the next lines as comments to uncomment.

    Names are quoted where YAML would read them otherwise.
    """
    lines = [f"maker: {_quoted(maker)}", f"model: {_quoted(model)}"]
    lines += [f"power: {_quoted(power)}"] if power else []
    return "\n".join(lines) + "\n" + _STARTER


_STARTER = """
# Take the “#” and the blank away from a line to use it. One plain line for each thing; write what you know.
# year: 1949
# line: 120 V 60 Hz
# chassis: through R and C
# state: on the bench
# came in: 2026-02-21
# tubes:
#   V1: 12BE6, frequency changer
# heaters:
#   order: V1
# readings:
#   sheet:
#     line: 117 V
#     V1: plate 90, screen 90, cathode 0
# parts:
#   C1: to do, 0.05 uF 400 V paper
# log:
#   - 2026-02-21, 1 h, looked it over
"""


def _quoted(text: str) -> str:
    """Text as a YAML value on one line, in quotes unless it is plain beyond doubt."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    plain = re.fullmatch(r"[A-Za-z0-9](?:[\w .&/()+-]*[\w.)+])?", flat)
    return flat if plain and _is_text(flat) else json.dumps(flat, ensure_ascii=False)


def _is_text(plain: str) -> bool:
    """False for a word that other readers of YAML take for something else: ``no``, ``null``, ``1e3``."""
    import yaml

    return isinstance(yaml.safe_load(plain), str)
