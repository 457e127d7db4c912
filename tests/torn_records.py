"""Records with a private line, torn as hands and programs tear files, for tests of what is published."""

from __future__ import annotations

import random

_RECORD = """\
maker: Testwell
model: Trial
year: 1950
{private}line: 120 V 60 Hz
power: series string
chassis: line-connected
tubes:
  V1: 12BE6, frequency changer
  V2: 35W4, rectifier
parts:
  C1: to do, 0.05 uF 400 V paper
papers:
  sheet: one
log:
  - 2020-01-01: cleaned it
"""
"""Without prose beside the private line: what is moved into somebody's sentences looks like one of them."""
_PRIVATE = (
    *("{key}: {a} {b}", "{key}: '{a} {b}'", '{key}: "{a} {b}"', "{key}: |\n  {a}\n  {b}", "{key}: >\n  {a}\n  {b}"),
    *("{key}: {a}\n  {b}", "{key}:\n  {a} {b}", "{key}: {a} {b} # {b}", "{key}: {a}, {b}", '{key}: "{a}\n  {b}"'),
    *("# {a} {b}\n{key}: {b}", "{key}: {a}\n# {b}", "{key}: {a} # 5 {b}"),
)
_KEYS = ("owner", "serial", "Owner", "serial number", "serial no")
KINDS = (
    *("swapped", "outdented", "indented", "no colon", "run together", "joined", "split", "quote", "tab", "CR", "BOM"),
    *("twice", "another of its name", "merge marks", "deleted", "cut short", "curly quotes", "odd blank", "other sign"),
    *("dash", "no blank before #", "wide colon", "bracket", "bar", "backslash", "# put in", "no blank", "two colons"),
)


def torn_record(seed: str) -> tuple[str, tuple[str, str]]:
    """A record with one to three slips on or about its private line, and the two secret words of that line."""
    rng = random.Random(seed)
    a, b = ("".join(rng.choices("bcdfghjkqvwxz", k=10)) for _ in range(2))
    private = rng.choice(_PRIVATE).format(key=rng.choice(_KEYS), a=a.capitalize(), b=b)
    lines = _RECORD.format(private=f"{private}\n").rstrip("\n").split("\n")
    for _ in range(rng.choice((1, 1, 2, 2, 3))):
        near = [number for number, line in enumerate(lines) if a in line.casefold() or b in line] or [0]
        at = rng.choice(near) + rng.choice((-1, 0, 0, 0, 1, 1))
        tear(rng, lines, min(max(at, 0), len(lines) - 1), rng.choice(KINDS))
    return "\n".join(lines) + "\n", (a, b)


def tear(rng: random.Random, lines: list[str], at: int, kind: str) -> None:
    """One slip, in place."""
    line = lines[at]
    indent = line[: len(line) - len(line.lstrip(" "))]
    cut = rng.randint(0, len(line))
    if kind == "swapped":
        lines[at : at + 2] = lines[at : at + 2][::-1]
    elif kind in ("run together", "joined"):
        lines[at : at + 2] = [("" if kind == "run together" else " ").join(part.strip() for part in lines[at : at + 2])]
    elif kind == "split":
        lines[at : at + 1] = [line[:cut], line[cut:]]
    elif kind == "twice":
        lines.insert(at, line)
    elif kind == "another of its name":
        lines.insert(at, f"{line.split(':')[0]}: other")
    elif kind == "merge marks":
        to = at + rng.randint(1, 3)
        theirs = [one.replace(": ", ": x ", 1) for one in lines[at:to]]
        lines[at:to] = ["<<<<<<< HEAD", *lines[at:to], "=======", *theirs, ">>>>>>> branch"]
    elif kind == "deleted":
        del lines[at]
    else:
        lines[at] = {
            "outdented": line.lstrip(" "),
            "indented": " " * rng.randint(1, 4) + line,
            "no colon": line.replace(":", "", 1),
            "quote": line[:cut] + rng.choice("\"'") + line[cut:],
            "tab": rng.choice((f"\t{line}", line.replace(" ", "\t", 1))),
            "CR": f"{line}\r",
            "BOM": f"\ufeff{line}",
            "cut short": line[:cut],
            "curly quotes": line.replace('"', "“").replace("'", "‘"),
            "odd blank": line.replace(" ", rng.choice(("\xa0", "\u200b", "\u2003", "")), 1),
            "other sign": line.replace(":", rng.choice(";=,.-"), 1),
            "dash": f"{indent}- {line.lstrip()}",
            "no blank before #": line.replace(" #", "#", 1),
            "wide colon": line.replace(":", "：", 1),
            "bracket": line[:cut] + rng.choice("[]{}") + line[cut:],
            "bar": line.replace(":", ": |", 1),
            "backslash": f"{line}\\",
            "# put in": f"{line[:cut]}#{line[cut:]}",
            "no blank": line.replace(": ", ":", 1),
            "two colons": line.replace(":", "::", 1),
        }[kind]
