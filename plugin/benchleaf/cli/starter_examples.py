"""Lines of a record as an example, for each kind of set in each dialect: what a starter holds as comments."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..words import AMERICAN, Words


@dataclass(frozen=True)
class _Kind:
    """What differs between kinds of set. ``types`` are those of V1 to V4, and of V5 where the set has a rectifier tube.

    ``from_line`` says whether ``fed`` is the line, which has its word in each dialect, or a battery of the set's own.
    ``volts`` are those of the output tube's plate, screen and cathode, and of the first rail.
    """

    fed: str
    chassis: str
    types: str
    heaters: str
    volts: tuple[float, float, float, float]
    switch: str = ""
    from_line: bool = True


_WOUND = "windings:\n  LT: {0}, feeds V1 V2 V3 V4\n  rectifier: {1}, feeds V5\npilot lamp: 46"
_IN_ROW = "order: V4, V2, V1, V3\nbatteries:\n  A: 7.5 V 4 Ah\n  B: {0} V"
_THREE_WAY = _IN_ROW.replace("order", "filament supply: {1} V\ndropper: {2}\norder", 1)
_PORTABLE = "1R5 1T4 1S5 3V4"
_ISOLATED, _ON_LINE = "isolated", "line-connected"

_AMERICAN = {
    "series string": _Kind(
        "120 V 60 Hz",
        "through R and C",
        "12BE6 12BA6 12AV6 50C5 35W4",
        "order: V5, V4, V2, V1, V3\npilot lamp: 47 across V5 tap",
        (110, 90, 5.6, 118),
        "{b_minus} lead",
    ),
    "transformer": _Kind(
        "120 V 60 Hz",
        _ISOLATED,
        "6A8 6K7 6Q7 6F6 5Y3G",
        _WOUND.format("6.3 V 2 A", "5 V 2 A"),
        (240, 250, 16.5, 330),
        "{hot} lead",
    ),
    "battery": _Kind(
        "7.5 V DC",
        _ISOLATED,
        _PORTABLE,
        _IN_ROW.format(67.5),
        (64, 67, 0, 67),
        from_line=False,
    ),
    "vibrator": _Kind(
        "6.3 V DC",
        _ISOLATED,
        "6BE6 6BA6 6AT6 6AQ5 6X4",
        "windings:\n  battery: 6.3 V, feeds all\npilot lamp: 44",
        (230, 235, 12.5, 240),
        from_line=False,
    ),
    "three-way": _Kind(
        "117 V 60 Hz",
        "through R and C",
        _PORTABLE,
        _THREE_WAY.format(90, 110, "resistor 2.1 kohm 15 W"),
        (85, 88, 0, 90),
        "{b_minus} lead",
    ),
}
_EUROPEAN = {
    "series string": _Kind(
        "230 V 50 Hz",
        _ON_LINE,
        "UCH42 UF41 UBC41 UL41 UY41",
        "order: V5, V4, V2, V1, V3\ndropper: resistor 1.13 kohm 25 W",
        (158, 165, 9.6, 190),
        "double-pole",
    ),
    "transformer": _Kind(
        "230 V 50 Hz",
        _ISOLATED,
        "ECH42 EF41 EBC41 EL41 EZ40",
        _WOUND.format("6.3 V 2 A", "6.3 V 1 A"),
        (240, 250, 7, 280),
        "double-pole",
    ),
    "battery": _Kind(
        "7.5 V DC",
        _ISOLATED,
        "DK91 DF91 DAF91 DL94",
        _IN_ROW.format(90),
        (85, 88, 0, 90),
        from_line=False,
    ),
    "vibrator": _Kind(
        "6.3 V DC",
        _ISOLATED,
        "ECH42 EF41 EBC41 EL41 EZ40",
        "windings:\n  battery: 6.3 V, feeds all",
        (220, 225, 6.5, 235),
        from_line=False,
    ),
    "three-way": _Kind(
        "230 V 50 Hz",
        _ON_LINE,
        "DK91 DF91 DAF91 DL94",
        _THREE_WAY.format(90, 215, "resistor 4.2 kohm 25 W"),
        (85, 88, 0, 90),
        "double-pole",
    ),
}
_OF_DIALECT: Mapping[str, Mapping[str, _Kind]] = {AMERICAN.dialect: _AMERICAN}
"""The kinds of set that a dialect's writers have before them; the European ones for any that is not named."""

_LINES = """\
{power}year: 1949
{line}: {fed}
chassis: {chassis}
came in: 2026-02-21
{tubes}:
{positions}
heaters:
{heaters}
readings:
  sheet:
    to: {reference}
    V4: {plate} {volts[0]:g}, screen {volts[1]:g}{cathode}
    {rail}: {volts[3]:g}
parts:
  C7: to do, 0.01 uF 400 V paper, between V3 {plate} and V4 grid
line side:
  before:
    plug: two-pin, either way
    switch: {switch}
log:
  - 2026-02-21, 1 h, looked it over"""
_JOBS = ("frequency changer", "IF amplifier", "detector and first audio", "output", "rectifier")


def example(power: str, words: Words) -> str:
    """Lines that a set of this ``power`` may have, every one of them right as it stands; of a series string for none.

    An ``autotransformer`` winds down like a transformer and parts nothing from the line.
    """
    kinds = _OF_DIALECT.get(words.dialect, _EUROPEAN)
    wound = power == "autotransformer"
    kind = kinds.get("transformer" if wound else power) or kinds["series string"]
    chassis = _ON_LINE if wound else kind.chassis
    said = words.by_name()
    positions = [f"  V{n}: {t}, {job}" for n, (t, job) in enumerate(zip(kind.types.split(), _JOBS, strict=False), 1)]
    heaters = [f"  {line}" for line in kind.heaters.splitlines()]
    lines = _LINES.format(
        **said | {"line": words.line if kind.from_line else "line", "rail": words.rail.format(1)},
        power="" if power else "power: series string\n",
        fed=kind.fed,
        chassis=chassis,
        positions="\n".join(positions),
        heaters="\n".join(heaters),
        reference="chassis" if chassis in (_ISOLATED, _ON_LINE) else words.b_minus,
        volts=kind.volts,
        cathode=f", grid 0, cathode {kind.volts[2]:g}" if kind.volts[2] else "",
        switch=kind.switch.format(**said),
    )
    return lines if kind.from_line else lines.partition("line side:")[0] + lines[lines.index("log:") :]
