"""A record in which the plain chapters say all they can: every field of their models is written once."""

import re
from textwrap import indent
from typing import get_args

from benchleaf.chapters.order import CHAPTERS
from benchleaf.record.model import Record
from benchleaf.record.name_table import name_table
from benchleaf.record.section import Section
from sites import REPO

WRITTEN = """
tubes:
  V1: 12BE6, frequency changer, note ceramic socket
  V2:
    type: 12ZZ9
    emission: 70 %
    job: odd one
    heater: 12.6 V 0.15 A
    base: noval
    pins: g1, k, h, h, a
  V4: 50C5
  V6: 6E5, magic eye
changed tubes:
  V4: was 50C5 at 61 % emission, now 50C5 at 102 % emission, why low output, 2026-03-04, note tested twice
parts:
  C7: was 0.01 uF 400 V paper
  T1: keep
  C90: was 0.02 uF 600 V paper, tone, between V4 plate and B-
  C30: was 40 uF 150 V electrolytic
faults:
  - complaint: hum and distortion after ten minutes
    found: grid of V4 at +2.4 V, zero with C7 lifted
    ruled out: C30, good; V4, tested at 98 %
    cause: C7 leaky
    cure: replaced
    date: 2026-03-01
    note: seen *twice*
  - complaint: dial lamp dark
power-up:
  - date: 2026-03-04
    with: isolating transformer and variable transformer
    note: nothing warm at the end
    steps:
      - 10:40 line 40 V, 0.09 A
      - line 117 V, 0.24 A, B+1 118 V, after 90 s; no smell
      - with 60 W lamp in series, line 120 V, 0.2 A
    soak: 8 h, line 116 V, 0.23 A, chassis 41 °C, room 21 °C; quiet to the end
reforming:
  C30:
    to: 150 V through 22 kohm
    date: 2026-03-02
    note: on the bench supply
    log:
      - 0 min, 6.1 mA, at 40 V
      - 90 min, 0.21 mA, at 150 V, steady
alignment:
  - date: 2026-03-20
    generator: into V1 grid
    meter: AVC
    note: set warm for an hour
    steps:
      - 455 kHz, T1 for maximum, before 0.61 V, after 0.92 V; touchy
      - 187 m, oscillator trimmer
      - 600 kHz, oscillator coil, before 0.4 V, found at 612 kHz, after 0.6 V, dial read 590 kHz, dial now 600 kHz
      - 1400 kHz, trimmer, generator with a whip, into the aerial socket through 200 pF, meter output
      - 1000 kHz, loop, before 1.8 mV, after 0.9 mV for 60 mW
    levels:
      V1 grid: 38 mV, 455 kHz; probe clipped on
      V2 grid: 1.2 V, 400 Hz
    response: 445 kHz -12 dB, 450 kHz -3 dB, 455 kHz 0 dB, 461 kHz -7 dB
    response before: 445 kHz -5 dB, 450 kHz 0 dB, 455 kHz -2 dB
    S-curve: 10.6 MHz -2.1 V, 10.7 MHz 0 V, 10.8 MHz 2 V
results:
  hum at the speaker: before 38 mV, after 3.1 mV, note volume at nothing
  sensitivity at 1000 kHz: before 900 uV, after 140 uV, sheet 100 uV, for 50 mW
  output: before 0.4 W, after 1.6 W, into 3.2 ohm, at 10 %, standard sine at 1 kHz
  frequency response:
    before: 100 Hz -9 dB, 400 Hz 0 dB, 3 kHz -3 dB
    after: 50 Hz -9 dB, 400 Hz 0 dB, 3 kHz -4 dB
log:
  - 2026-03-29, 10:00-11:30, closed up
  - 2026-02-21, 1.5 h, by R. Alder, cleaned and looked at C7
  - 2026-03-01, 3 h, replaced the paper capacitors
  - swept the bench
photos:
  under the chassis:
    before: photos/a.jpg
    during: photos/m.jpg
    after: photos/b.jpg
    caption: the same corner
    marks:
      - C7, x 42 %, y 61 %, after
  dial: photos/dial.jpg, the reflector repainted, licence CC BY 4.0
"""

MOST = (REPO / "site_src/sets/larkfield-minuet-5/record.yml").read_text(encoding="utf-8")
"""The demo's fullest record."""


def _documented() -> str:
    """The documentation's examples for chapters that are written neither here nor in the demo's fullest record.

    Those without a heading of their own have an example for each of their names.
    """
    page = (REPO / "site_src/writing/record.md").read_text(encoding="utf-8")
    written = set(re.findall(r"^(\w[\w -]*):", WRITTEN + MOST, re.M))
    examples = dict(re.findall(r"^## `([^`]+)`.*?^```yaml\n(.*?)^```", page, re.M | re.S))
    chapters = [chapter.folder for chapter in CHAPTERS if chapter.folder not in written]
    return "".join(examples.get(name) or _name_by_name(name) for name in chapters)


def _name_by_name(name: str) -> str:
    """A section of one word with the example of each of its names; nothing where the record holds none of the name."""
    field, table = Record.model_fields.get(name), name_table()
    if field is None or "_" in name:
        return ""
    for section in get_args(field.annotation):
        if isinstance(section, type) and issubclass(section, Section):
            lines = "\n".join(table.of(section, each).example for each in section.names())
            return f"{name}:\n{indent(lines, '  ')}\n"
    return ""


FULL = WRITTEN + _documented()
