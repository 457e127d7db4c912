"""One record for each line of what was once wrong, overclaimed or missing, to be built into a site."""

from __future__ import annotations

_STRING = "maker: Testwell\nmodel: {model}\nyear: 1940\nline: 120 V 60 Hz\npower: series string\n"
_FIVE = "tubes:\n  V1: 12SA7\n  V2: 12SK7\n  V3: 12SQ7\n  V4: 50L6GT\n  V5: 35Z5GT\n"
_FILTERS = (
    "  C12: now {first} electrolytic, between B+1 and B-\n"
    "  C13: now 22 uF 160 V electrolytic, between B+2 and B-\n"
    "  R9: keep, 1 kohm, between B+1 and B+2\n"
)
_CATHODE = "  R8: keep, 150 ohm, measured 156 ohm, between V4 cathode and B-\n"
_READ = "readings:\n  2026-03-04 after:\n    line: 117 V\n    V4: plate 126, cathode 8.1\n    B+1: 133\n    B+2: 103\n"
_BEHIND = "chassis: through R and C\n"
_PLATE = (
    "maker: Testwell\nmodel: meters\nyear: 1940\nline: 117 V 60 Hz\npower: transformer\nchassis: isolated\n"
    "tubes:\n  V3: 12SQ7, first audio\nparts:\n  R7: 470 kohm, V3 plate to B+\nwires:\n  - V3 cathode, chassis\n"
    "readings:\n  published sheet:\n    meter: 1000 ohm/V on 250 V\n    B+: 100\n    V3: plate {printed}\n"
    "  after:\n    meter: 10 meg\n    B+: 100\n    V3: plate {read}\n"
)


def _string(model: str, parts: str, readings: str = "", *, tubes: str = _FIVE, head: str = "") -> str:
    lines = f"parts:\n{parts}" if parts else ""
    return f"{_STRING.format(model=model)}{head}{tubes}{lines}{readings}"


_COMMON = _FILTERS.format(first="47 uF 160 V")
_SIDE = """maker: Testwell
model: touch
year: 1938
line: 120 V 60 Hz
power: series string
chassis: through R and C
tubes:
  V1: 12SA7
  V2: 12SK7
  V3: 12SQ7
  V4: 50L6GT
  V5: 35Z5GT
line side:
  after:
    plug: {plug}
    switch: {switch}
    B- to chassis: {barrier}
    touchable: chassis
"""
_UNPOLARISED = {"plug": "two-pin unpolarised", "switch": "both leads"}
_POLARISED = {"plug": "polarised", "switch": "hot lead"}

RECORDS = {
    "printed-24": _PLATE.format(printed=24, read=45),
    "printed-24-bad": _PLATE.format(printed=24, read=21),
    "output-drawn": _string("output drawn", _COMMON + _CATHODE, _READ),
    "output-unknown": _string("output unknown", _COMMON, _READ.replace("    V4: plate 126, cathode 8.1\n", "")),
    "a-tenth-off": _string("a tenth off", _COMMON + _CATHODE, _READ.replace("133", "105").replace("103", "82")),
    "allowance": _string("allowance", _COMMON + _CATHODE, _READ),
    "cold-string": _string("cold string", _COMMON + _CATHODE, _READ),
    "cold-surge": _string("cold surge", _FILTERS.format(first="47 uF 160 V surge rating 400 V") + _CATHODE, _READ),
    "cold-dead": _string("cold dead", _COMMON + "  R8: keep, 150 ohm, measured open, between V4 cathode and B-\n"),
    "cold-doubler": _string("cold doubler", _COMMON + "  C11: keep, 40 uF 160 V electrolytic, job doubler\n"),
    "cold-silicon": _string("cold silicon", _COMMON + "  D1: now silicon, job rectifier, between line and B+1\n"),
    "three-way": (
        "maker: Testwell\nmodel: three-way\nyear: 1948\nline: 120 V 60 Hz\npower: three-way\n"
        "tubes:\n  V1: 1R5\n  V2: 1T4\n  V3: 1S5\n  V4: 3V4\n"
        "heaters:\n  order: V4, V1, V2, V3\n  filament supply: 110 V\n"
        "  cathode currents:\n    V1: 0 mA\n    V2: 0 mA\n    V3: 0 mA\n    V4: 0 mA\n"
    ),
    "three-way-bare": (
        "maker: Testwell\nmodel: three-way bare\nyear: 1948\nline: 120 V 60 Hz\npower: three-way\n"
        "tubes:\n  V1: 1R5\n  V2: 1T4\n  V3: 1S5\n  V4: 3V4\nheaters:\n  order: V4, V1, V2, V3\n"
    ),
    "touch-paper": _SIDE.format(**_UNPOLARISED, barrier="1 Mohm, 0.01 uF paper"),
    "touch-y2": _SIDE.format(**_POLARISED, barrier="470 kohm, 10 nF Y2"),
    "touch-over": _SIDE.format(**_UNPOLARISED, barrier="220 kohm, 0.1 uF paper"),
    "fuse-reversible": _SIDE.format(**_UNPOLARISED, barrier="1 Mohm, 2.2 nF Y1") + "    fuse: 1 A\nnameplate: 40 W\n",
    "coupled": (
        "maker: Testwell\nmodel: coupled\nyear: 1950\nline: 117 V 60 Hz\npower: transformer\nchassis: isolated\n"
        "tubes:\n  V1: 12AX7, audio\n  V2: 6SN7GT, cathode follower\n"
        "wires:\n  - V1 plate 1, V2 grid 1\n"
        "readings:\n  after:\n    meter: 10 meg\n    V1: plate 1 153\n    V2: grid 1 153, cathode 1 154, plate 1 250\n"
    ),
    "above-cathode": _string(
        "above cathode",
        _COMMON + _CATHODE + "  T3: keep, 200 ohm, job output transformer, between V4 plate and B+1\n",
        _READ.replace("plate 126", "plate 113"),
    ),
    "hot-heaters": (
        "maker: Testwell\nmodel: hot\nyear: 1941\nline: 121 V 60 Hz\npower: series string\n"
        "tubes:\n  V1: 12SA7\n  V2: 12SK7\n  V3: 12SQ7\n  V4: 35L6GT\n  V5: 35Z5GT\n"
    ),
    "barretter": (
        "maker: Testwell\nmodel: barretter\nyear: 1938\nline: 230 V 50 Hz\npower: series string\n"
        "tubes:\n  V1: CCH1\n  V2: CF3\n  V3: CBC1\n  V4: CL4\n  V5: CY1\nheaters:\n  dropper: barretter 0.2 A\n"
    ),
    "taps": (
        "maker: Testwell\nmodel: taps\nyear: 1950\nline: 240 V 50 Hz\npower: series string\n"
        "tubes:\n  V1: UCH42\n  V2: UF41\n  V3: UBC41\n  V4: UL41\n  V5: UY41\n"
        "heaters:\n  mains taps:\n    200 V: 820 ohm\n    240 V: 1220 ohm\n"
    ),
    "transformer-taps": (
        "maker: Testwell\nmodel: transformer taps\nyear: 1950\nline: 230 V 50 Hz\npower: transformer\n"
        "tubes:\n  V1: ECH42\n  V2: EL41\n  V3: EZ40\n"
        "heaters:\n  windings:\n    LT: 6.3 V, feeds all\n  mains taps:\n    110 V: 12 ohm\n    220 V: 45 ohm\n"
    ),
    "codes": (
        "maker: Testwell\nmodel: codes\nyear: 1955\nline: 117 V 60 Hz\npower: transformer\ntubes:\n  V1: 6SN7GT\n"
        "parts:\n  C4: keep, marked 104K\n  R4: keep, marked 104K\n"
        "  R5: keep, marked brown black black red brown\n  R6: keep, marked brown black red grey\n"
    ),
}
