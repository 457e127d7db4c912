"""The two small sets from the front, on a bench before a wall, and their dials close to."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from cabinets import Stand, cloth, relief_of
from dials import knob, round_dial
from PIL import Image
from relief import FINE, Array, Relief, noise, rgb, wood

FERNHOLLOW_DIAL = {"bezel": "#a9843c", "card": "#d9b877", "ink": "#2b170b", "pointer": "#1c120b", "lamp": "#ffb04a"}
FERNHOLLOW_WORDS = [
    ("Fernhollow", 0, 0.34, "DejaVuSerif-Italic:0.15"),
    ("CRICKET", 0, 0.51, "DejaVuSans-Bold:0.075"),
    ("KILOCYCLES ÷ 10", 0, 0.65, "DejaVuSans:0.050"),
]
QUILLON_DIAL = {"bezel": "#d8d2c2", "card": "#f0ead6", "ink": "#5a1420", "pointer": "#1d1a18", "lamp": "#000000"}
QUILLON_WORDS = [
    ("Quillon", 0, 0.34, "DejaVuSerif-BoldItalic:0.18"),
    ("S K Y L A R K", 0, 0.53, "DejaVuSans-Bold:0.070"),
    ("KC ÷ 10", 0, 0.67, "DejaVuSans:0.055"),
]


def fernhollow_front() -> Image.Image:
    """A mantel set small enough for one hand: round shoulders, pierced cloth beside the dial, two knobs below it."""
    front = (520, 560, 1420, 1275)
    skin = wood(1200, 400, "#8a5230", "#472512", 91, rings=54, figure=1.2, fine=1)
    stand = Stand((2000, 1500), front, 22, 210, (1700, -80), 0.15, skin, 0.75, "#a8a08c", 940)
    relief = relief_of(stand)
    left, top, right, bottom = front
    wide, high = int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8
    dark = wood(wide, high, "#63371d", "#2f170b", 92, rings=90)
    veneer = wood(wide, high, "#a2663a", "#553017", 93, rings=120, figure=2.4)
    relief.slab(left - 16, bottom - 40, right + 16, bottom + 10, 58, dark, corner=8, edge=12, gloss=0.7)
    relief.slab(*front, 42, dark, corner=22, edge=20, gloss=0.75, arch=210)
    relief.slab(
        left + 38, top + 38, right - 38, bottom - 62, 34, veneer, corner=12, edge=8, gloss=0.65, arch=174, sink=True
    )
    cloth(relief, (left + 92, top + 100, left + 418, bottom - 122), "#b3945c", "#574225", gold="#8d6a2c", z=6, arch=120)
    for place in range(4):
        x = left + 130 + place * 84
        relief.slab(x - 9, top + 92, x + 9, bottom - 116, 44, veneer[:, 200:], corner=7, edge=8, gloss=0.7)
    round_dial(relief, (left + 636, top + 236), 150, 42, FERNHOLLOW_DIAL, -52, FERNHOLLOW_WORDS)
    for x, turn in ((left + 550, -30), (left + 724, 44)):
        knob(relief, (x, bottom - 168), 50, "#3c1d0e", z=34, flutes=16, turn=turn)
    return relief.finished()


def leatherette(width: int, height: int, colour: str, seed: int, fine: int = 0) -> Array:
    """Grained cloth, varnished: small cells with darker valleys."""
    fine = fine or FINE
    grain = noise(width, height, (5 * fine, 5 * fine), seed) + 0.6 * noise(
        width, height, (2.5 * fine, 2.5 * fine), seed + 1
    )
    worn = noise(width, height, (300 * fine, 220 * fine), seed + 2)
    share = (1 + 0.16 * grain + 0.07 * worn)[..., None]
    return (np.array(rgb(colour)) * np.clip(share, 0.5, 1.5)).astype(np.float32)


def quillon_front() -> Image.Image:
    """A picnic portable in maroon leatherette: a handle on top, cream cloth behind bars, a round dial, two knobs."""
    front = (330, 560, 1570, 1270)
    skin = leatherette(1400, 420, "#5d1a22", 95, fine=1)
    stand = Stand((2000, 1500), front, 46, 70, (1780, -60), 0.15, skin, 0.45, "#9fb0a6", 935)
    relief = relief_of(stand)
    left, top, right, bottom = front
    wide, high = int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8
    cover = leatherette(wide, high, "#6b1e28", 96)
    middle = (left + right) / 2 + 20
    for x in (middle - 320, middle + 320):
        relief.slab(x - 34, top - 66, x + 34, top + 6, 18, "#c9c3b2", corner=12, edge=10, gloss=1.0)
    relief.wire(
        [(middle - 318, top - 44), (middle - 200, top - 128), (middle + 200, top - 128), (middle + 318, top - 44)],
        25,
        "#5a1821",
        z=10,
        gloss=0.4,
    )
    relief.slab(*front, 38, cover, corner=46, edge=26, gloss=0.4, arch=70)
    relief.slab(left + 26, top + 66, right - 26, top + 78, 42, "#cfc9b8", corner=5, edge=4, gloss=0.9)
    cloth(relief, (left + 74, top + 134, left + 676, bottom - 84), "#e2d6b4", "#a08c5c", z=12)
    for row in range(5):
        y = top + 172 + row * 84
        relief.slab(left + 66, y, left + 684, y + 20, 46, "#e3dcc6", corner=10, edge=9, gloss=0.8)
    round_dial(relief, (left + 930, top + 300), 176, 38, QUILLON_DIAL, 22, QUILLON_WORDS)
    for x, turn in ((left + 800, -46), (left + 1060, 18)):
        knob(relief, (x, bottom - 128), 60, "#e6dfca", z=32, flutes=24, turn=turn, mark="#5a1420")
    relief.text((left + 800, bottom - 42), "VOLUME", 20, "#e0d8c0", font="DejaVuSans-Bold")
    relief.text((left + 1060, bottom - 42), "TUNING", 20, "#e0d8c0", font="DejaVuSans-Bold")
    return relief.finished()


def fernhollow_dial() -> Image.Image:
    """The round dial close to, in plain walnut."""
    relief = Relief(wood(2000 * FINE, 1500 * FINE, "#a2663a", "#553017", 97, rings=230, figure=1.8))
    relief.gloss[:] = 0.5
    round_dial(relief, (1000, 760), 600, 30, FERNHOLLOW_DIAL, -52, FERNHOLLOW_WORDS)
    return relief.finished(vignette=0.4)


def quillon_dial() -> Image.Image:
    """The round dial close to, in leatherette; nothing lights it."""
    relief = Relief(leatherette(2000 * FINE, 1500 * FINE, "#6b1e28", 98))
    relief.gloss[:] = 0.3
    round_dial(relief, (1000, 760), 600, 30, QUILLON_DIAL, 22, QUILLON_WORDS)
    return relief.finished(vignette=0.4)


SMALL: dict[str, dict[str, Callable[[], Image.Image]]] = {
    "fernhollow-cricket": {"front": fernhollow_front, "dial": fernhollow_dial},
    "quillon-skylark": {"front": quillon_front, "dial": quillon_dial},
}
