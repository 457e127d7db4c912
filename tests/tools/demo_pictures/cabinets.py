"""The three large sets from the front, on a bench before a wall, and their dials close to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from dials import LARKFIELD_DIAL, LARKFIELD_WORDS, OXBOW_DIAL, OXBOW_WORDS, knob, round_dial, slide_dial
from PIL import Image
from relief import FINE, LAMP, Array, Box, Point, Relief, noise, outline, rgb, wood
from scipy import ndimage


@dataclass(frozen=True)
class Stand:
    """Where a cabinet stands: its front, its rounded corners, the point all depth runs towards, and what it is of."""

    size: tuple[int, int]
    front: Box
    corner: float
    arch: float
    vanishing: Point
    depth: float
    skin: Array
    gloss: float
    wall: str
    bench_back: float


def scene(stand: Stand) -> Array:
    """Wall, bench, shadows and the body of the cabinet behind its front, already lit; linear light."""
    width, height = stand.size
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    picture = wall(width, height, stand.wall)
    horizon, back = stand.vanishing[1], stand.bench_back
    on_bench = y > back
    far = np.clip(y - horizon, 1, None)
    planks = wood(2400, 1400, "#8f6a44", "#634428", 77, rings=90, figure=0.9, contrast=0.75, fine=1)
    rows = (back - horizon) / far * 900 % 1400
    columns = ((x - stand.vanishing[0]) * (back - horizon) / far * 0.9 + 1200) % 2400
    for channel in range(3):
        sampled = ndimage.map_coordinates(planks[..., channel], [rows, columns], order=1, mode="wrap")
        picture[..., channel] = np.where(on_bench, sampled, picture[..., channel])
    picture *= cast_shadow(stand, x, y)[..., None]
    body(stand, picture, x, y)
    large = [
        Image.fromarray(picture[..., c]).resize((width * FINE, height * FINE), Image.Resampling.BICUBIC)
        for c in range(3)
    ]
    return np.stack([np.asarray(channel, np.float32) for channel in large], axis=-1)


def wall(width: int, height: int, colour: str) -> Array:
    """Distempered plaster with the light falling across it."""
    cloud = noise(width, height, (400, 300), 3) * 0.04 + noise(width, height, (30, 30), 4) * 0.008
    fall = (
        np.linspace(1.12, 0.80, width, dtype=np.float32)[None, :]
        * np.linspace(1.06, 0.9, height, dtype=np.float32)[:, None]
    )
    return np.asarray((np.array(rgb(colour), np.float32) * ((1 + cloud) * fall)[..., None]), np.float32)


def at_depth(stand: Stand, depth: float) -> Box:
    """The outline of the cabinet `depth` (0 front, 1 back) away, as it is seen."""
    scale = 1 - stand.depth * depth
    vx, vy = stand.vanishing
    left, top, right, bottom = stand.front
    return vx + (left - vx) * scale, vy + (top - vy) * scale, vx + (right - vx) * scale, vy + (bottom - vy) * scale


def cast_shadow(stand: Stand, x: Array, y: Array) -> Array:
    """What is left of the light: the long shadow on the wall, the one on the bench, and the dark line beneath."""
    left, top, right, bottom = at_depth(stand, 1.0)
    front_left, _, front_right, front_bottom = stand.front
    on_wall = outline(x, y, (left + 130, top + 90, right + 190, bottom + 300), stand.corner, stand.arch)
    wall_part = np.where(y <= stand.bench_back, np.clip(0.5 - on_wall / 70, 0, 1), 0)
    share = np.clip((y - stand.bench_back) / max(1, front_bottom - stand.bench_back), 0, 1)
    edge = (right + 190) * (1 - share) + (front_right + 26) * share
    bench_part = (
        np.clip(0.5 - (x - edge) / 60, 0, 1) * np.clip((x - front_left + 30) / 40, 0, 1) * (y > stand.bench_back)
    )
    bench_part = bench_part * np.clip((front_bottom + 14 - y) / 20, 0, 1)
    beneath = outline(x, y, (front_left + 8, front_bottom - 40, front_right + 10, front_bottom + 10), 20)
    soft = np.clip(1 - np.clip(beneath, 0, None) / 60, 0, 1) ** 2 * 0.62
    dark = ndimage.gaussian_filter(np.maximum(wall_part * 0.52, bench_part * 0.60), 9)
    return np.asarray((1 - dark) * (1 - soft * (y > front_bottom - 30)), np.float32)


def body(stand: Stand, picture: Array, x: Array, y: Array) -> None:
    """Top and side, painted slice by slice from the back to the front."""
    direction = LAMP / np.linalg.norm(LAMP)
    rows, columns = stand.skin.shape[:2]
    for depth in np.linspace(1, 0, 190):
        box = at_depth(stand, float(depth))
        scale = 1 - stand.depth * float(depth)
        reach = slice(max(0, int(box[1]) - 2), int(box[3]) + 3), slice(max(0, int(box[0]) - 2), int(box[2]) + 3)
        px, py = x[reach], y[reach]
        away = outline(px, py, box, stand.corner * scale, stand.arch * scale)
        rim = (away < 0) & (away > -7)
        slope_y, slope_x = np.gradient(away)
        facing = np.clip(slope_x * direction[0] + slope_y * direction[1], 0, 1)
        shine = np.clip(slope_x * -0.30 + slope_y * -0.92, 0, 1) ** 14 * stand.gloss * 0.34
        round_over = 0.5 + 0.5 * min(1.0, float(depth) * 14)
        light = 0.26 + 0.16 * np.clip(-slope_y, 0, 1) + 1.0 * facing
        grain = stand.skin[int(depth * (rows - 1)), (px + py).astype(int) % columns]
        painted = grain * light[..., None] + (shine * (1.5 - round_over))[..., None]
        picture[reach][rim] = painted[rim]


def relief_of(stand: Stand) -> Relief:
    """The scene as ground for the relief of the front. The scene is lit already: its colours are set against the
    light that a flat ground gets."""
    relief = Relief(scene(stand), height=-8, size=stand.size)
    flat = 0.42 + 1.05 * LAMP[2] / float(np.linalg.norm(LAMP))
    relief.colour /= flat
    relief.gloss[:] = 0
    return relief


def cloth(relief: Relief, box: Box, light: str, dark: str, gold: str = "", z: float = 4, arch: float = 0) -> None:
    """Grille cloth, sunk into the front: two threads over and under, some of them golden."""
    relief.slab(*box, z, dark, corner=16, edge=8, gloss=0.05, sink=True, arch=arch)
    window = relief.window(box[0] + 8, box[1] + 8, box[2] - 8, box[3] - 8)
    assert window is not None
    rows, columns, x, y = window
    over, under = np.sin(x * 2 * np.pi / 8.0), np.sin(y * 2 * np.pi / 8.0)
    weave = 0.5 + 0.5 * over * under
    slubs = (
        noise(x.shape[1], x.shape[0], (90 * FINE, 5 * FINE), 61) * 0.16
        + noise(x.shape[1], x.shape[0], (5 * FINE, 90 * FINE), 62) * 0.16
    )
    share = np.clip(0.25 + 0.5 * weave + slubs, 0, 1)[..., None]
    mixed = np.array(rgb(dark)) * (1 - share) + np.array(rgb(light)) * share
    if gold:
        stripe = ((x % 64 < 8) | (y % 96 < 6))[..., None] * share
        mixed = mixed * (1 - stripe * 0.7) + np.array(rgb(gold)) * stripe * 0.7
    within = outline(x, y, box, 16, arch) < -9
    relief.colour[rows, columns][within] = mixed[within]
    relief.z[rows, columns] += np.where(within, weave * 1.1, 0).astype(np.float32)


def bakelite(width: int, height: int, seed: int, fine: int = 0) -> Array:
    """Phenolic moulding, walnut mottle."""
    fine = fine or FINE
    swirl = noise(width, height, (230 * fine, 90 * fine), seed) + 0.5 * noise(
        width, height, (70 * fine, 30 * fine), seed + 1
    )
    cloud = noise(width, height, (9 * fine, 7 * fine), seed + 2)
    share = np.clip(0.40 + 0.26 * np.sin(swirl * 5) + 0.05 * cloud, 0, 1)[..., None]
    return (np.array(rgb("#2c1209")) * (1 - share) + np.array(rgb("#5c2a14")) * share).astype(np.float32)


def larkfield_front() -> Image.Image:
    """A moulded table set: louvres on the left, round dial on the right, two knobs."""
    front = (300, 400, 1600, 1270)
    skin = bakelite(1400, 400, 31, fine=1)
    stand = Stand((2000, 1500), front, 54, 150, (1830, -120), 0.17, skin, 0.9, "#a9b39d", 930)
    relief = relief_of(stand)
    left, top, right, bottom = front
    mould = bakelite(int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8, 33)
    for x in (left + 120, right - 120):
        relief.slab(x - 60, bottom - 10, x + 60, bottom + 16, 10, "#1d0d07", corner=8, edge=6)
    relief.slab(*front, 40, mould, corner=54, edge=44, gloss=0.85, arch=150)
    relief.slab(
        left + 62, top + 62, right - 62, bottom - 62, 26, mould, corner=26, edge=16, gloss=0.85, arch=100, sink=True
    )
    cloth(relief, (left + 105, top + 110, left + 675, bottom - 205), "#b9995e", "#5d4424", z=-6)
    for step in range(8):
        y = top + 122 + step * 66
        relief.slab(left + 92, y, left + 688, y + 36, 44, mould, corner=17, edge=17, gloss=0.9)
    for x in (left + 270, left + 486):
        relief.slab(x, top + 100, x + 26, bottom - 196, 36, mould, corner=10, edge=12, gloss=0.85)
    round_dial(relief, (left + 962, top + 322), 212, 36, LARKFIELD_DIAL, -24, LARKFIELD_WORDS)
    knob(relief, (left + 822, bottom - 212), 72, "#3a190c", z=30, cap="#c8a75c", turn=-40)
    knob(relief, (left + 1102, bottom - 212), 72, "#3a190c", z=30, cap="#c8a75c", turn=24)
    relief.text((left + 822, bottom - 105), "VOLUME", 21, "#cdaa62", font="DejaVuSans-Bold")
    relief.text((left + 1102, bottom - 105), "TUNING", 21, "#cdaa62", font="DejaVuSans-Bold")
    relief.text((left + 390, bottom - 130), "Larkfield", 66, "#d8b668", font="DejaVuSerif-BoldItalic", z=5)
    return relief.finished()


def merrow_front() -> Image.Image:
    """A walnut table set: cloth with brass above, a long glass dial, four ivory knobs beneath."""
    front = (230, 330, 1650, 1265)
    skin = wood(1600, 500, "#9a6336", "#56301a", 51, rings=60, figure=1.2, fine=1)
    stand = Stand((2000, 1500), front, 34, 84, (1880, -160), 0.19, skin, 0.7, "#8fa3a6", 930)
    relief = relief_of(stand)
    left, top, right, bottom = front
    veneer = wood(
        int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8, "#a86e3d", "#5b331b", 52, rings=170, figure=2.2
    )
    dark = wood(int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8, "#6b4023", "#371d0f", 53, rings=120)
    for x in (left + 130, right - 130):
        relief.slab(x - 70, bottom - 10, x + 70, bottom + 16, 10, "#20130b", corner=6, edge=6)
    relief.slab(*front, 40, dark, corner=34, edge=22, gloss=0.7, arch=84)
    relief.slab(
        left + 46, top + 46, right - 46, bottom - 36, 32, veneer, corner=16, edge=10, gloss=0.6, arch=56, sink=True
    )
    relief.slab(left + 82, top + 84, right - 82, bottom - 378, 44, "#c9a24e", corner=24, edge=8, gloss=1.2)
    cloth(relief, (left + 92, top + 94, right - 92, bottom - 388), "#d9c79a", "#8a6f42", gold="#b88f3c", z=14)
    for share in (0.25, 0.5, 0.75):
        bar = left + 92 + (right - left - 184) * share
        relief.rod((bar, top + 96), (bar, bottom - 390), 7, 34, "#c9a24e", gloss=1.2)
    slide_dial(relief, (left + 96, bottom - 345, right - 96, bottom - 145), 40, 0.46)
    for x, turn in ((150, -50), (290, 10), (1130, 40), (1270, -20)):
        knob(relief, (left + x, bottom - 82), 42, "#e2d6b4", z=34, flutes=22, cap="#c9a24e", turn=turn, mark="#5a3a1c")
    return relief.finished()


def oxbow_front() -> Image.Image:
    """An upright set of the thirties: arched shoulders, pierced cloth above, round dial, three knobs."""
    front = (240, 300, 1200, 1760)
    skin = wood(1800, 500, "#7c4526", "#3d1f10", 71, rings=60, figure=1.2, fine=1)
    stand = Stand((1500, 2000), front, 26, 300, (1400, 40), 0.17, skin, 0.8, "#b7a27f", 1330)
    relief = relief_of(stand)
    left, top, right, bottom = front
    middle = (left + right) / 2
    wide, high = int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8
    dark = wood(wide, high, "#6a3a1f", "#331a0d", 72, rings=90, upright=True)
    veneer = wood(wide, high, "#9a5a2f", "#4c2713", 73, rings=150, figure=2.4, upright=True)
    relief.slab(left - 26, bottom - 74, right + 26, bottom + 8, 66, dark, corner=10, edge=16, gloss=0.7)
    relief.slab(*front, 44, dark, corner=26, edge=24, gloss=0.75, arch=300)
    relief.slab(
        left + 54, top + 54, right - 54, bottom - 110, 36, veneer, corner=14, edge=10, gloss=0.65, arch=248, sink=True
    )
    relief.slab(left + 128, top + 128, right - 128, top + 700, 50, dark, corner=22, edge=14, gloss=0.75, arch=190)
    cloth(relief, (left + 152, top + 152, right - 152, top + 676), "#a98a55", "#54402a", gold="#8d6a2c", z=4, arch=168)
    for x, half in ((middle - 150, 15), (middle, 24), (middle + 150, 15)):
        relief.slab(x - half, top + 132, x + half, top + 690, 52, veneer[:, 300:], corner=8, edge=12, gloss=0.7)
    for y in (top + 330, top + 520):
        relief.slab(left + 140, y - 12, right - 140, y + 12, 46, veneer, corner=6, edge=10, gloss=0.7)
    round_dial(relief, (middle, top + 940), 190, 46, OXBOW_DIAL, 32, OXBOW_WORDS)
    for x, turn in ((middle - 270, -60), (middle, 0), (middle + 270, 50)):
        knob(relief, (x, top + 1240), 58, "#4a2413", z=36, flutes=18, turn=turn)
    return relief.finished()


def larkfield_dial() -> Image.Image:
    """The round dial close to, in its moulding."""
    relief = Relief(bakelite(2000 * FINE, 1500 * FINE, 35))
    relief.gloss[:] = 0.8
    relief.z += noise(2000 * FINE, 1500 * FINE, (700, 500), 36) * 6
    relief.disc(
        (1000, 760),
        760,
        lambda r: 40 * np.sqrt(np.clip(1 - ((r - 0.90) / 0.10) ** 2, 0, 1)),
        "#43200f",
        gloss=0.9,
        inner=0.80,
    )
    round_dial(relief, (1000, 760), 590, 30, LARKFIELD_DIAL, -24, LARKFIELD_WORDS)
    return relief.finished(vignette=0.4)


def oxbow_dial() -> Image.Image:
    """The round dial close to, in figured walnut."""
    relief = Relief(wood(2000 * FINE, 1500 * FINE, "#9a5a2f", "#4c2713", 74, rings=260, figure=1.6))
    relief.gloss[:] = 0.5
    round_dial(relief, (1000, 760), 610, 30, OXBOW_DIAL, 32, OXBOW_WORDS)
    return relief.finished(vignette=0.4)


def merrow_dial() -> Image.Image:
    """The glass scale close to, with its brass and two of the knobs."""
    relief = Relief(wood(2000 * FINE, 1500 * FINE, "#a86e3d", "#5b331b", 54, rings=240, figure=1.8))
    relief.gloss[:] = 0.5
    slide_dial(relief, (110, 370, 1890, 810), 30, 0.46)
    for x, turn in ((330, -50), (700, 10), (1300, 40), (1670, -20)):
        knob(relief, (x, 1130), 118, "#e2d6b4", z=8, flutes=30, cap="#c9a24e", turn=turn, mark="#5a3a1c")
    return relief.finished(vignette=0.4)


PICTURES: dict[str, dict[str, Callable[[], Image.Image]]] = {
    "larkfield-minuet-5": {"front": larkfield_front, "dial": larkfield_dial},
    "merrow-and-daughters-teal": {"front": merrow_front, "dial": merrow_dial},
    "oxbow-regent-six": {"front": oxbow_front, "dial": oxbow_dial},
}
