"""Records full of sentences, private lines of which a slip has put anywhere, for tests of what is published.

Where ``torn_records`` tears a line where it stands, here it is moved: into somebody's sentences, lists and texts of
several lines, under any other name, with any indentation.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence

from torn_records import KINDS, tear

_RECORDS = (
    """\
maker: Testwell
model: Trial
year: 1950
called: the kitchen one
line: 120 V 60 Hz
power: series string
chassis: line-connected
cabinet: walnut, its veneer
  glued at the left
state: finished
papers:
  sheet: one, as the owner had it
  letter: from the maker
tubes:
  V1: 12BE6, frequency changer
  V2: 35W4, rectifier, note from a box of spares
parts:
  C1: was 0.05 uF 400 V paper, now 47 nF 630 V film, why leaky
  R1:
    was: 150 ohm
    note: it ran hot
    why: |
      drifted up
      by a third
faults:
  - complaint: hum with the volume down
    found: C1 leaky
    cure: new C1
  - complaint: crackle
    note: >
      came and went
      in the evening
changes:
  fuse: added 1 A, why none before
log:
  - 2020-01-01: cleaned it
  - 2020-01-02: |
      washed the dial
      and dried it
  - 2020-01-03, 2 h, replaced C1
advice: keep it dry
note: |
  kept dry and warm
  the owner wanted it playing

  serial number illegible
summary: It plays.
""",
    """\
maker: Testwell
model: Trial
line: 230 V 50 Hz
tubes:
  V1: ECH81
  V2: EL84, output
readings:
  found:
    meter: 20 kohm/V
    B+1: 250 V
    V2: plate 240, cathode 7
    note: before anything was done
  after:
    V2: plate 235
before power:
  - plug 6.1 ohms
  - field coil 1185 ohms, cold
power-up:
  - date: 2026-03-04
    note: nothing warm
    steps:
      - line 80 V, 0.16 A; no smell
      - line 230 V, 0.3 A
alignment:
  - date: 2026-03-20
    note: set warm
    steps:
      - 455 kHz, T1 for maximum
results:
  output: before 0.4 W, after 1.6 W, note at 1 kHz
mechanics:
  grille cloth:
    found: rotted
    did: replaced with linen
speaker:
  size: 8 in
  note: it buzzed
photos:
  front: photos/front.jpg
  back:
    picture: photos/back.jpg
    caption: from behind
log:
- did: cleaned
  date: 2020-01-01
- 2020-01-02 swept the bench
""",
)
_PRIVATE = (
    *("{key}: {a} {b}", "{key}: '{a} {b}'", '{key}: "{a} {b}"', "{key}: |\n  {a}\n  {b}", "{key}: >\n  {a}\n  {b}"),
    *("{key}: {a}\n  {b}", "{key}:\n  {a} {b}", "{key}: {a} {b} # {b}", "{key}: {a}, {b}", '{key}: "{a}\n  {b}"'),
    *("# {a} {b}\n{key}: {b}", "{key}: {a}\n# {b}", "{key}: {a} # 5 {b}", "{key}:\n  - {a}\n  - {b}"),
    *("{key}:\n  name: {a}\n  town: {b}", "{key}: |\n  {a}\n\n  {b}", "{key}: [{a}, {b}]", "# {key}: {a} {b}"),
    *("{key}: {{name: {a}, town: {b}}}", "{key}:\n- {a}\n- {b}", "{key}: {a}  # {b}\nserial: {b} {a}"),
)
_KEYS = (
    *("owner", "serial", "Owner", "OWNER", "serial number", "Serial No", "serial no.", "owner", "serial"),
    *("owners", "onwer", "serail", "the owner", "owner's name", "Serial-No", "ownr"),
)
MOVES = ("moved", "block moved", "into a list", "into a text", "exchanged", "reindented", "behind", "copied", "eaten")
"""What this generator does beside the slips of ``torn_records.KINDS``."""


def freely_torn(seed: str) -> tuple[str, tuple[str, str]]:
    """A record with one to four slips that may put its private lines anywhere, and the two secret words of them."""
    rng = random.Random(seed)
    letters = "0123456789" if rng.random() < 0.15 else "bcdfghjkqvwxz"
    a, b = ("".join(rng.choices(letters, k=10)) for _ in range(2))
    private = rng.choice(_PRIVATE).format(key=rng.choice(_KEYS), a=a.capitalize(), b=b).split("\n")
    lines = rng.choice(_RECORDS).rstrip("\n").split("\n")
    tops = [number for number, line in enumerate(lines) if number and line[:1].isalpha()]
    at = rng.choice(tops)
    lines[at:at] = private
    for _ in range(rng.choice((1, 1, 2, 2, 3, 4))):
        near = [number for number, line in enumerate(lines) if a in line.casefold() or b in line] or [0]
        if rng.random() < 0.6:
            _move(rng, lines, near, rng.choice(MOVES))
        else:
            around = rng.choice(near) + rng.choice((-1, 0, 0, 0, 1, 1))
            tear(rng, lines, min(max(around, 0), len(lines) - 1), rng.choice(KINDS))
    ending = rng.choice(("\n", "\n", "\n", "\r\n"))
    mixed = rng.random() < 0.05
    return "".join(line + (rng.choice(("\n", "\r\n")) if mixed else ending) for line in lines), (a, b)


_NAMED = re.compile(r"(?:owners?|onwer|ownr|serial|serail)(?:s?name|no|number)?[:：=]")
_LETTERS = re.compile(r"[^a-z:：=]")
_COMMENT = re.compile(r"(?:^|\s)#(?!\s*\d)")


def says_what_it_is(record: str, secrets: Sequence[str]) -> bool:
    """Whether before one of these words, wherever it stands, is a private name with its sign, or a comment's sign."""
    halves = re.compile("|".join(re.escape(half) for secret in secrets for half in (secret[:6], secret[-6:])))
    lines = record.casefold().split("\n")
    before = [line[: found.start()] for line in lines for found in [halves.search(line)] if found]
    return bool(before) and all(_COMMENT.search(text) or _NAMED.search(_LETTERS.sub("", text)) for text in before)


def _move(rng: random.Random, lines: list[str], near: list[int], kind: str) -> None:
    """One line, or the private ones together, put elsewhere, in place."""
    to = rng.randrange(len(lines))
    indent = _indent(lines[to]) + rng.choice((0, 0, 0, 2, 2, -2, 1))
    start = rng.choice(near)
    if kind == "exchanged":
        lines[start], lines[to] = lines[to], lines[start]
        return
    if kind == "reindented":
        change = rng.choice((-2, -1, 1, 2, 3, 4))
        for number in near:
            lines[number] = " " * max(_indent(lines[number]) + change, 0) + lines[number].lstrip(" ")
        return
    if kind == "eaten":
        # The line break before it, and perhaps the one behind, is gone.
        if start:
            lines[start - 1 : start + 1] = [
                lines[start - 1] + rng.choice(("", " ", ", ", "; ")) + lines[start].lstrip()
            ]
        return
    first, last = (min(near), max(near)) if kind == "block moved" else (start, start)
    taken = lines[first : last + 1]
    if kind != "copied":
        del lines[first : last + 1]
    if not lines:
        lines += taken
        return
    to = min(to, len(lines) - 1)
    if kind == "behind":
        lines[to] += rng.choice((" ", ", ", "; ", ". ", "")) + " ".join(line.strip() for line in taken)
        return
    depth = min((_indent(line) for line in taken if line.strip()), default=0)
    moved = [" " * max(indent, 0) + line[depth:] for line in taken]
    if kind == "into a list":
        moved = [f"{' ' * max(indent, 0)}- {line.lstrip()}" for line in taken]
    if kind == "into a text":
        texts = [n for n, line in enumerate(lines) if line.rstrip().endswith(("|", ">"))]
        if texts:
            to = rng.choice(texts)
            below = lines[to + 1] if to + 1 < len(lines) else ""
            moved = [" " * max(_indent(below), 1) + line.lstrip() for line in taken]
            to += rng.choice((0, 0, 1))
    lines[to + 1 : to + 1] = moved


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
