"""The record that a set begins with."""

from __future__ import annotations

import json
import re

from ..words import AMERICAN, Words
from .starter_examples import example


def starter(maker: str, model: str, power: str = "", words: Words = AMERICAN, schema: str = "") -> str:
    """A record with the least it needs, and the next lines as comments to take into use.

    The comments are those of a set of this ``power`` in the dialect of ``words``. ``schema`` is the way from the record
    to the file by which an editor completes it. Names are quoted where YAML would read them otherwise.
    """
    lines = [f"# yaml-language-server: $schema={schema}"] if schema else []
    lines += [f"maker: {in_yaml(maker)}", f"model: {in_yaml(model)}"]
    lines += [f"power: {in_yaml(power)}"] if power else []
    lines += ["state: on the bench", "", *_ABOUT]
    lines += [f"# {line}" for line in example(power, words).splitlines()]
    return "\n".join(lines) + "\n"


_ABOUT = (
    "# Take the “#” and the blank away from a line to use it, and write this set's own in place of the example.",
    "# One plain line for each thing; leave out what you do not know.",
)


def in_yaml(text: str) -> str:
    """Text as a YAML value on one line, in quotes unless it is plain beyond doubt."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    plain = re.fullmatch(r"[A-Za-z0-9](?:[\w .&/()+-]*[\w.)+])?", flat)
    return flat if plain and _is_text(flat) else json.dumps(flat, ensure_ascii=False)


def _is_text(plain: str) -> bool:
    """False for a word that other readers of YAML take for something else: ``no``, ``null``, ``1e3``."""
    import yaml

    return isinstance(yaml.safe_load(plain), str)
