"""The set for AM and FM: its front with keys and magic eye, its glass close to, and its chassis from below."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from cabinets import Stand, cloth, relief_of
from chassis import Chassis, Part
from dials import Slide, knob, slide_dial
from PIL import Image
from relief import FINE, Box, Point, Relief, rgb, wood

SLIDE = Slide(
    "#1b1712",
    "#8a6a2c",
    "#f6e6b8",
    "#f3efe2",
    [
        (0.20, "FM MHz", {"88": 0.05, "90": 0.22, "92": 0.38, "94": 0.54, "96": 0.70, "98": 0.84, "100": 0.96}),
        (0.42, "SW m", {"17": 0.06, "19": 0.18, "25": 0.40, "31": 0.58, "41": 0.79, "49": 0.95}),
        (0.64, "MW m", {"190": 0.05, "250": 0.29, "300": 0.45, "350": 0.58, "400": 0.70, "500": 0.89}),
        (0.86, "LW m", {"1000": 0.05, "1200": 0.27, "1400": 0.47, "1600": 0.66, "1800": 0.82, "2000": 0.96}),
    ],
    [
        ("Ternhaag", 0.34, 0.125, "DejaVuSerif-BoldItalic"),
        ("G O U D V I N K", 0.58, 0.062, "DejaVuSans-Bold"),
    ],
)
KEYS = ("OFF", "LW", "MW", "SW", "FM")


def eye(relief: Relief, centre: Point, radius: float, z: float, open_share: float) -> None:
    """A magic eye behind its round window: a green fan that is dark at its foot for ``open_share`` of a half turn."""
    relief.disc(centre, radius * 1.18, lambda r: z + 3 - 3 * r, "#c9a24e", gloss=1.2)
    relief.disc(centre, radius, lambda r: z - 4 + 0 * r, "#0d120d", gloss=0.6)
    box = (centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius)
    window = relief.window(*box)
    assert window is not None
    rows, columns, x, y = window
    dx, dy = x - centre[0], y - centre[1]
    away = np.hypot(dx, dy) / radius
    turn = np.abs(np.arctan2(dx, dy)) / np.pi
    fan = (away < 0.92) & (away > 0.26) & (turn > open_share)
    light = np.array(rgb("#38d27a"), np.float32)
    relief.glow[rows, columns][fan] = (light * (0.95 - 0.35 * away[..., None]))[fan]


def keys(relief: Relief, box: Box, pressed: int) -> None:
    """The row of ivory keys; one is down."""
    left, top, right, bottom = box
    wide = (right - left) / len(KEYS)
    for place, name in enumerate(KEYS):
        down = place == pressed
        z, x = (43 if down else 54), left + place * wide
        relief.slab(x + 3, top, x + wide - 3, bottom, z, "#e9dfc4", corner=8, edge=9, gloss=0.9)
        relief.text((x + wide / 2, bottom + wide * 0.20), name, wide * 0.17, "#d8b668", font="DejaVuSans-Bold")


def front() -> Image.Image:
    """A wide walnut set: cloth in gold above, a long lit glass with the eye below it, keys between two knobs."""
    face = (150, 330, 1720, 1265)
    skin = wood(1700, 500, "#8d5a2f", "#4b2a14", 111, rings=60, figure=1.2, fine=1)
    stand = Stand((2000, 1500), face, 44, 60, (1900, -160), 0.17, skin, 1.0, "#b4ab93", 930)
    relief = relief_of(stand)
    left, top, right, bottom = face
    wide, high = int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8
    veneer = wood(wide, high, "#9c6334", "#4f2c15", 112, rings=190, figure=2.6)
    for x in (left + 140, right - 140):
        relief.slab(x - 70, bottom - 10, x + 70, bottom + 16, 10, "#20130b", corner=6, edge=6)
    relief.slab(*face, 40, veneer, corner=44, edge=26, gloss=1.0, arch=60)
    relief.slab(left + 62, top + 58, right - 62, bottom - 396, 46, "#cfa64c", corner=26, edge=9, gloss=1.3)
    cloth(relief, (left + 74, top + 70, right - 74, bottom - 408), "#cdbb8c", "#7c6238", gold="#c79b3e", z=14)
    relief.slab(left + 120, bottom - 452, left + 420, bottom - 420, 48, "#cfa64c", corner=6, edge=5, gloss=1.2)
    slide_dial(relief, (left + 96, bottom - 366, right - 96, bottom - 166), 40, 0.62, SLIDE)
    eye(relief, ((left + right) / 2 + 640, bottom - 206), 26, 44, 0.12)
    keys(relief, (left + 430, bottom - 132, right - 430, bottom - 64), 4)
    for x, turn in ((left + 220, -40), (right - 220, 30)):
        knob(relief, (x, bottom - 88), 58, "#e6dcc0", z=36, flutes=26, cap="#c9a24e", turn=turn, mark="#5a3a1c")
    return relief.finished()


def dial() -> Image.Image:
    """The glass close to: four scales, the eye nearly closed on a station."""
    relief = Relief(wood(2000 * FINE, 1500 * FINE, "#9c6334", "#4f2c15", 113, rings=250, figure=2.0))
    relief.gloss[:] = 0.7
    slide_dial(relief, (110, 300, 1890, 800), 30, 0.62, SLIDE)
    eye(relief, (1740, 700), 64, 34, 0.05)
    keys(relief, (520, 1000, 1480, 1150), 4)
    for x, turn in ((300, -40), (1700, 30)):
        knob(relief, (x, 1090), 118, "#e6dcc0", z=8, flutes=30, cap="#c9a24e", turn=turn, mark="#5a3a1c")
    return relief.finished(vignette=0.4)


UNDERSIDE = Chassis(
    box=(130, 190, 1870, 1285),
    plate="#b9ab74",
    sockets=[
        ("V5", (760, 380), 9, 200),
        ("V4", (880, 800), 9, 20),
        ("V3", (1180, 520), 9, 90),
        ("V2", (1250, 900), 9, 100),
        ("V1", (1650, 520), 9, 270),
    ],
    cans=[("T3", (1010, 640), 54), ("T2", (1420, 720), 54), ("T1", (1650, 760), 70)],
    strips=[("A", (640, 600), 4, 0), ("B", (1250, 330), 5, 0), ("C", (960, 1070), 5, 0), ("D", (260, 780), 5, 90)],
    controls=[("P", 480), ("Q", 1000), ("S", 1580)],
    grommets=[(220, 680), (700, 250)],
    core=(220, 250, 580, 540),
    parts=[
        Part("V5.2", "A.2", "pitch:22000 pF/400 V-", "film:22 n 630", 26),
        Part("A.3", "V4.9", "pitch:5000 pF/500 V-", "film:4n7 630", 30),
        Part("D.3", "G.1", "pitch:5000 pF/250 V~", "safety:Y1 2n2", 0),
        Part("B.1", "V3.8", "pitch:47000 pF/250 V-", "film:47 n 630", -30),
        Part("B.4", "V1.6", "pitch:2200 pF/500 V-", "pitch:2200 pF/500 V-", 14),
        Part("C.4", "V2.1", "pitch:47000 pF/250 V-", "film:47 n 630", -34),
        Part("P.3", "C.2", "pitch:10000 pF/250 V-", "film:10 n 630", 44),
        Part("D.5", "C.1", "filter:2 x 50 uF/350/385 V", "filter:2 x 50 uF/350/385 V", -14),
        Part("M.4", "A.1", "", "metal-film:8200", 20),
        Part("A.4", "V5.3", "carbon:171g", "carbon:171g", 0),
        Part("V3.9", "T3.4", "carbon:393g", "metal-film:3930", 10),
        Part("C.3u", "V4.8", "carbon:106g", "carbon:106g", 0),
        Part("B.5", "T2.2", "carbon:102g", "carbon:102g", 0),
        Part("V2.3", "C.5", "carbon:181g", "carbon:181g", 10),
        Part("V1.3", "T1.2", "mica:471", "mica:471", 20),
        Part("Q.2", "C.3", "carbon:105g", "carbon:105g", 0),
    ],
    wires=[
        ("M.5", "V5.4", "#5a4a3a", [(620, 480), (700, 440)]),
        ("M.6", "V4.4", "#5a4a3a", [(520, 660), (760, 860)]),
        ("M.4", "D.1u", "#b5402c", [(420, 640), (300, 720)]),
        ("V4.5", "V2.4", "#5a4a3a", [(1060, 960), (1150, 960)]),
        ("V2.5", "V3.4", "#5a4a3a", [(1290, 720)]),
        ("V3.5", "V1.4", "#5a4a3a", [(1400, 500), (1540, 560)]),
        ("G.1", "D.2u", "#8c6a3a", [(220, 740)]),
        ("V5.7", "G.2", "#2d568c", [(740, 300)]),
        ("A.2u", "V5.9", "#b5402c", [(660, 460)]),
        ("T3.2", "B.2", "#b5402c", [(1140, 620), (1270, 420)]),
        ("T2.3", "C.5u", "#3c7a48", [(1430, 960), (1300, 1060)]),
        ("T1.3", "V2.2", "#3c7a48", [(1560, 880), (1380, 920)]),
        ("V1.1", "T1.1", "#3c7a48", [(1710, 620)]),
        ("V1.8", "S.3", "#d8cfb4", [(1790, 740), (1800, 1060)]),
        ("P.1", "V4.7", "#7d4a98", [(560, 1010), (760, 900)]),
        ("S.1", "Q.3", "#d8cfb4", [(1380, 1120)]),
        ("D.5u", "P.2", "#23201d", [(360, 1080)]),
    ],
    seed=14,
)
PICTURES: dict[str, dict[str, Callable[[], Image.Image]]] = {"ternhaag-goudvink": {"front": front, "dial": dial}}
