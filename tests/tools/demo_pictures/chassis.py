"""A chassis seen from below: sockets, strips and parts hung between their lugs, before and after the work."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from PIL import Image
from relief import FINE, HEIGHT, WIDTH, Array, Point, Relief, noise, rgb, wood

GROWN = 1.24
"""How much larger than in the table the parts are drawn."""

SOLDER, TIN, BRASS, PHENOLIC = "#b9bcbd", "#a9aca8", "#b08d4a", "#6b4526"
BANDS = {
    "0": "#15120f",
    "1": "#5a3316",
    "2": "#b3241c",
    "3": "#d9701b",
    "4": "#d8bd22",
    "5": "#3a7a35",
    "6": "#2a55a8",
    "7": "#6c3c8c",
    "8": "#8a8a86",
    "9": "#e8e4da",
    "g": "#c09a3a",
    "s": "#b8b8b4",
}
"""The colours of the digits 0 to 9, gold and silver (IEC 60062), as old paint shows them."""


@dataclass
class Part:
    """One part between two lugs: what it was, what it is now, and what is printed or banded on each."""

    a: str
    b: str
    was: str
    now: str
    off: float = 0
    """How far its body lies beside the straight line between its lugs."""


@dataclass
class Chassis:
    """Where everything is. Sockets: name, place, pins, turn in degrees; strips: name, left end, lugs, turn."""

    box: tuple[float, float, float, float]
    plate: str
    sockets: list[tuple[str, Point, int, float]]
    cans: list[tuple[str, Point, float]]
    strips: list[tuple[str, Point, int, float]]
    parts: list[Part]
    wires: list[tuple[str, str, str, list[Point]]]
    controls: list[tuple[str, float]]
    grommets: list[Point] = field(default_factory=list)
    cutouts: list[tuple[float, float, float, float]] = field(default_factory=list)
    core: tuple[float, float, float, float] | None = None
    dropper: tuple[Point, Point] | None = None
    seed: int = 1


def drawn(chassis: Chassis, after: bool) -> Image.Image:
    """The whole picture, before or after the work."""
    mat = bench(chassis.seed)
    relief = Relief(mat, height=-70)
    pan(relief, chassis, after)
    lugs: dict[str, Point] = {}
    for left, top, right, bottom in chassis.cutouts:
        relief.slab(left, top, right, bottom, -40, "#17140f", sink=True, corner=10, edge=5)
        for rib in range(int(left) + 16, int(right) - 10, 11):
            relief.slab(rib, top + 14, rib + 3, bottom - 14, -14, "#9a9b97", corner=1, edge=1, gloss=0.4)
    for name, centre, pins, turn in chassis.sockets:
        lugs |= socket(relief, name, centre, pins, turn)
    for name, centre, side in chassis.cans:
        lugs |= can(relief, name, centre, side)
    for name, at, count, turn in chassis.strips:
        lugs |= strip(relief, name, at, count, turn)
    if chassis.core is not None:
        lugs |= core(relief, *chassis.core)
    for name, x in chassis.controls:
        lugs |= control(relief, name, x, chassis.box[3])
    for place, (x, y) in enumerate(chassis.grommets):
        relief.disc(
            (x, y), 24, lambda r: 8 * np.sqrt(np.clip(1 - ((r - 0.72) / 0.28) ** 2, 0, 1)), "#231d19", inner=0.42
        )
        relief.disc((x, y), 11, lambda r: -30 + 0 * r, "#0c0a08")
        lugs[f"G.{place + 1}"] = (x, y)
    if chassis.dropper is not None:
        lugs |= dropper(relief, *chassis.dropper)
    for place, (start, stop, colour, way) in enumerate(chassis.wires):
        faded = colour if after else dulled(colour, 0.25)
        path = [lugs[start], *way, lugs[stop]]
        high = 40 if start.startswith("M.") else 0
        relief.wire(path, 6.0, faded, z=10 + high + place % 4 * 3, bow=10, gloss=0.12)
    for part in chassis.parts:
        hang(relief, part.now if after else part.was, lugs[part.a], lugs[part.b], part.off, after)
    for name, at in lugs.items():
        solder(relief, at, 46 if name.startswith("M.") else 17, after)
    if not after:
        dust(relief, chassis)
    return relief.finished()


def solder(relief: Relief, at: Point, z: float, after: bool) -> None:
    """A joint: bright where it is new."""
    colour, gloss = (SOLDER, 0.9) if after else ("#9b9a92", 0.45)
    relief.disc(at, 9.5, lambda r: z + 7 * np.sqrt(1 - r**2), colour, gloss=gloss)


def dulled(colour: str, share: float) -> str:
    """A colour gone towards the brown of old dust."""
    values = [int(colour[place : place + 2], 16) for place in (1, 3, 5)]
    return "#" + "".join(
        f"{round(v * (1 - share) + d * share):02x}" for v, d in zip(values, (110, 92, 66), strict=True)
    )


def bench(seed: int) -> Array:
    """A bench top of planed boards."""
    top = wood(WIDTH * FINE, HEIGHT * FINE, "#a17c52", "#7a5836", 40 + seed, rings=210, figure=0.8, contrast=0.8)
    for place, y in enumerate((380, 960)):
        top[int(y * FINE) : int((y + 3) * FINE)] *= 0.35
        top[int((y + 3) * FINE) :] *= (0.93, 1.08)[place]
    return top


def pan(relief: Relief, chassis: Chassis, after: bool) -> None:
    """The folded sheet: skirt, floor with its marks, flange holes."""
    left, top, right, bottom = chassis.box
    width, height = int((right - left) * FINE) + 8, int((bottom - top) * FINE) + 8
    cloud = (
        noise(width, height, (260 * FINE, 200 * FINE), chassis.seed) * 0.06
        + noise(width, height, (14 * FINE, 500 * FINE), chassis.seed + 9) * 0.025
    )
    where = np.clip(noise(width, height, (420 * FINE, 380 * FINE), chassis.seed + 4) - 0.1, 0, 1)
    spots = where * np.clip(
        0.25
        + noise(width, height, (60 * FINE, 50 * FINE), chassis.seed + 3)
        + noise(width, height, (12 * FINE, 12 * FINE), chassis.seed + 5) * 0.5,
        0,
        1,
    )
    tint = np.array(rgb(chassis.plate if after else dulled(chassis.plate, 0.30)), np.float32)
    floor = tint * (1 + cloud[..., None] * (0.8 if after else 1.6))
    if not after:
        rust = np.clip(spots * 0.9, 0, 0.5)[..., None]
        floor = floor * (1 - rust) + np.array(rgb("#7a4f2c"), np.float32) * rust
    relief.slab(left, top, right, bottom, 46, floor, corner=14, edge=5, gloss=0.35)
    relief.slab(
        left + 13, top + 13, right - 13, bottom - 13, 0, floor[26:, 26:], corner=10, edge=7, gloss=0.28, sink=True
    )
    for x, y in ((left + 60, top + 55), (right - 60, top + 55), (left + 60, bottom - 60), (right - 60, bottom - 60)):
        relief.disc((x, y), 11, lambda r: 3 + 4 * np.sqrt(1 - r**2), TIN, gloss=0.6)


def pins_of(name: str, centre: Point, count: int, turn: float, radius: float) -> dict[str, Point]:
    """Clockwise from the gap or key, as seen from below; seven- and nine-pin bases leave one place out."""
    places = {7: 8, 9: 10}.get(count, count)
    shift = 1.0 if places > count else 0.5
    angles = [math.radians(turn + (pin + shift) * 360 / places) for pin in range(count)]
    return {
        f"{name}.{pin + 1}": (centre[0] + radius * math.sin(a), centre[1] - radius * math.cos(a))
        for pin, a in enumerate(angles)
    }


def socket(relief: Relief, name: str, centre: Point, count: int, turn: float) -> dict[str, Point]:
    """A tube socket on its saddle; the lugs stand outward."""
    size = 64 if count != 8 or turn >= 360 else 76
    x, y = centre
    ear = size * 1.28
    for side in (-1, 1):
        a = math.radians(turn + 90)
        at = (x + side * ear * math.sin(a), y - side * ear * math.cos(a))
        relief.disc(at, size * 0.36, lambda r: 5 + 0 * r, TIN, gloss=0.5)
        relief.disc(at, size * 0.17, lambda r: 7 + 5 * np.sqrt(1 - r**2), "#8d8f8b", gloss=0.7)
    relief.disc(centre, size * 1.16, lambda r: 7 - 3 * np.clip(r * 8 - 7, 0, 1), TIN, gloss=0.5)
    relief.disc(centre, size, lambda r: 15 - 5 * np.clip(r * 6 - 5, 0, 1) ** 2, PHENOLIC, gloss=0.35)
    relief.disc(centre, size * 0.60, lambda r: 17 + 0 * r, dulled(PHENOLIC, 0.2), gloss=0.3, inner=0.90)
    inner, outer = (pins_of(name, centre, count, turn, size * k) for k in (0.62, 1.02))
    for pin, at in outer.items():
        relief.rod(inner[pin], at, 7.5, 15, "#b4b3a8", gloss=0.6, squash=0.5, ends=0.4)
        relief.disc(inner[pin], 8.5, lambda r: 19 + 2 * (1 - r), "#c3c2b8", gloss=0.6)
        relief.disc(inner[pin], 4.5, lambda r: 22 + 0 * r, "#2a241c")
    relief.disc(
        centre, size * 0.24, lambda r: 22 - 4 * r**4, "#a7a79f" if count != 8 or turn >= 360 else "#1a120c", gloss=0.6
    )
    relief.disc(centre, size * 0.10, lambda r: 23 + 0 * r, "#221c16")
    numeral = pins_of("n", centre, count, turn, size * 0.40)
    for pin, at in list(numeral.items())[:1]:
        relief.text(at, pin[2:], 13, "#e4d9c4")
    relief.text((x, y + size * 1.52 + 6), name, 24, "#2c2820", strength=0.9)
    return outer


def can(relief: Relief, name: str, centre: Point, side: float) -> dict[str, Point]:
    """The underside of an intermediate-frequency transformer: a fibre plate, a trimmer, four lugs."""
    x, y = centre
    relief.slab(x - side, y - side, x + side, y + side, 8, "#a5a7a2", corner=10, edge=4, gloss=0.5)
    relief.slab(x - side * 0.84, y - side * 0.84, x + side * 0.84, y + side * 0.84, 12, "#8a6237", corner=6, edge=2)
    relief.disc(centre, side * 0.36, lambda r: 18 - 2 * r**6, "#b9b3a0", gloss=0.4)
    relief.disc(centre, side * 0.24, lambda r: 20 - 2 * r**6, BRASS, gloss=0.8)
    relief.slab(x - side * 0.21, y - 3, x + side * 0.21, y + 3, 16, "#3a2c14", corner=1, edge=1, sink=True)
    lugs = {}
    for place, (dx, dy) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1))):
        at = (x + dx * side * 0.66, y + dy * side * 0.66)
        relief.rod((x + dx * side * 0.45, y + dy * side * 0.66), at, 7, 14, "#b4b3a8", squash=0.5, gloss=0.6)
        lugs[f"{name}.{place + 1}"] = at
    relief.text((x, y + side + 20), name, 24, "#2c2820", strength=0.9)
    return lugs


def strip(relief: Relief, name: str, at: Point, count: int, turn: float) -> dict[str, Point]:
    """A terminal strip of fibre with `count` lugs 52 pixels apart; its middle lug is riveted to the chassis."""
    ux, uy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    end = (at[0] + ux * 52 * (count - 1), at[1] + uy * 52 * (count - 1))
    relief.rod(
        (at[0] - ux * 26, at[1] - uy * 26),
        (end[0] + ux * 26, end[1] + uy * 26),
        15,
        4,
        "#83562f",
        squash=0.75,
        ends=0.2,
    )
    lugs = {}
    for place in range(count):
        x, y = at[0] + ux * 52 * place, at[1] + uy * 52 * place
        relief.rod((x + uy * 22, y - ux * 22), (x - uy * 22, y + ux * 22), 9, 12, "#b4b3a8", squash=0.5, gloss=0.6)
        lugs[f"{name}.{place + 1}"] = (x - uy * 16, y + ux * 16)
        lugs[f"{name}.{place + 1}u"] = (x + uy * 16, y - ux * 16)
    return lugs


def core(relief: Relief, left: float, top: float, right: float, bottom: float) -> dict[str, Point]:
    """The underside of a mains transformer: laminations, and a fibre board with the ends of its windings."""
    relief.slab(left, top, right, bottom, 26, "#3b3a38", corner=4, edge=4, gloss=0.3)
    for sheet in range(int(left) + 8, int(right) - 6, 7):
        relief.slab(sheet, top + 4, sheet + 2.4, bottom - 4, 27, "#5a5956", corner=1, edge=1, gloss=0.5)
    inset = (right - left) * 0.17
    relief.slab(left + inset, top + 26, right - inset, bottom - 26, 46, "#9c7038", corner=8, edge=14, gloss=0.15)
    lugs = {}
    for row, y in enumerate((top + 58, bottom - 58)):
        for place in range(4):
            x = left + inset + 34 + place * ((right - left - 2 * inset - 68) / 3)
            relief.rod((x, y - 16), (x, y + 16), 8, 44, "#b4b3a8", squash=0.5, gloss=0.6)
            lugs[f"M.{row * 4 + place + 1}"] = (x, y)
    for x, y in ((left + 22, top + 22), (right - 22, top + 22), (left + 22, bottom - 22), (right - 22, bottom - 22)):
        relief.disc((x, y), 17, lambda r: 38 - 3 * r**4, "#9a9b96", gloss=0.7)
        relief.slab(x - 13, y - 2.5, x + 13, y + 2.5, 33, "#33322e", corner=1, edge=1, sink=True)
    return lugs


def control(relief: Relief, name: str, x: float, wall: float) -> dict[str, Point]:
    """A control on the front skirt, its body inside, its shaft and nut outside."""
    relief.rod(
        (x, wall - 96),
        (x, wall - 12),
        54,
        2,
        "#8f918c",
        gloss=0.5,
        ends=0.12,
        squash=0.75,
        bands=[(0.0, 0.14, "#5d3b21")],
    )
    relief.rod((x, wall - 4), (x, wall + 26), 23, 20, "#b4a67c", gloss=0.7, ends=0.15)
    relief.rod((x, wall + 26), (x, wall + 108), 13, 20, "#b3b3ad", gloss=0.8, ends=0.2)
    lugs = {}
    for place in (-1, 0, 1):
        at = (x + place * 30, wall - 124)
        relief.rod((at[0], wall - 92), at, 8, 12, "#b4b3a8", squash=0.5, gloss=0.6)
        lugs[f"{name}.{place + 2}"] = at
    return lugs


def dropper(relief: Relief, a: Point, b: Point) -> dict[str, Point]:
    """A wire-wound resistor with taps, on a ceramic tube."""
    turns = [(k / 60, k / 60 + 0.008, "#6d5a42") for k in range(3, 57)]
    bands = [*turns, *((k, k + 0.03, "#b7b2a4") for k in (0.05, 0.34, 0.62, 0.92))]
    relief.rod(a, b, 46, 14, "#97866b", gloss=0.12, ends=0.15, bands=bands)
    relief.rod(a, b, 16, 48, "#cfc8b8", gloss=0.2, ends=0.2, bands=[(0.0, 1.0, "#97866b")], squash=0.2)
    for end in (a, b):
        relief.disc(end, 24, lambda r: 30 - 3 * r**4, "#c9c2b2", gloss=0.3)
        relief.disc(end, 12, lambda r: 36 - 3 * r**4, "#8f918c", gloss=0.8)
    lugs = {}
    for place, share in enumerate((0.065, 0.355, 0.635, 0.935)):
        x, y = a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
        relief.rod((x, y + 36), (x, y + 62), 8, 16, "#b4b3a8", squash=0.5, gloss=0.6)
        lugs[f"R.{place + 1}"] = (x, y + 60)
    return lugs


SHAPES = {
    # kind: length, radius, colour, gloss, ends, squash
    "paper": (176, 30, "#bf9a5f", 0.42, 0.3, 1.0),
    "pitch": (166, 29, "#2b2622", 0.55, 0.3, 1.0),
    "film": (104, 21, "#e0b21c", 0.75, 0.7, 0.86),
    "filter": (262, 55, "#8f7a58", 0.15, 0.15, 1.0),
    "new-filter": (150, 31, "#27406e", 0.7, 0.2, 1.0),
    "carbon": (84, 15, "#6b4a2e", 0.25, 0.3, 1.0),
    "dogbone": (106, 17, "#3a6a3c", 0.3, 0.35, 1.0),
    "metal-film": (66, 11, "#7fb2c4", 0.5, 0.7, 1.0),
    "mica": (62, 24, "#5a2f1a", 0.5, 0.15, 0.5),
    "safety": (58, 33, "#2f62a8", 0.6, 1.0, 0.5),
    "fuse": (110, 15, "#d9e4e2", 1.0, 0.15, 1.0),
}


def hang(relief: Relief, written: str, a: Point, b: Point, off: float, after: bool) -> None:
    """Draw `kind:marking` between two lugs, with its bare leads."""
    kind, _, marking = written.partition(":")
    if not kind:
        return
    shape_length, shape_radius, colour, gloss, ends, squash = SHAPES[kind]
    length, radius = shape_length * GROWN, shape_radius * GROWN
    span = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / span, (b[1] - a[1]) / span
    middle = ((a[0] + b[0]) / 2 - uy * off, (a[1] + b[1]) / 2 + ux * off)
    start, stop = ((middle[0] + s * ux * length / 2, middle[1] + s * uy * length / 2) for s in (-1, 1))
    z = 12 + radius * squash
    lead = "#b9b6aa" if after else "#8e8878"
    for lug, end, sign in ((a, start, -1), (b, stop, 1)):
        out = (end[0] + sign * ux * 14, end[1] + sign * uy * 14)
        relief.wire([lug, out, (end[0] - sign * ux * 4, end[1] - sign * uy * 4)], 3.4, lead, z=20, bow=10, gloss=0.8)
    relief.rod(
        start,
        stop,
        radius,
        z - radius * squash * 0.3,
        colour,
        gloss=gloss,
        ends=ends,
        squash=squash,
        bands=bands_of(kind, marking),
        mottle={"paper": 0.2, "filter": 0.14, "pitch": 0.2}.get(kind, 0),
    )
    turn = math.degrees(math.atan2(uy, ux))
    turn = turn - 180 if turn > 90 else turn + 180 if turn < -90 else turn
    ink = {"paper": "#4a2f16", "pitch": "#c9b98e", "film": "#4a3606", "filter": "#2c241a", "new-filter": "#d9dde6"}.get(
        kind
    )
    if ink:
        for row, words in enumerate(marking.split("/")):
            rows = len(marking.split("/"))
            shift = (row - (rows - 1) / 2) * radius * 0.62
            at = (middle[0] - math.sin(math.radians(turn)) * shift, middle[1] + math.cos(math.radians(turn)) * shift)
            relief.text(at, words, radius * (0.54 if rows == 1 else 0.46), ink, turn=turn, strength=0.85)
    if kind == "safety":
        relief.text(middle, marking, 15, "#e8ecf4", turn=turn)
    if kind == "mica":
        for place, code in enumerate(marking):
            at = (middle[0] + (place - 1) * 17 * ux, middle[1] + (place - 1) * 17 * uy)
            relief.disc(at, 5.5, lambda r: z + radius * squash * 0.9 + 0 * r, BANDS[code], gloss=0.4)


def bands_of(kind: str, marking: str) -> list[tuple[float, float, str]]:
    """The painted rings and end caps of a part (IEC 60062 colours; body, tip and dot on the oldest)."""
    if kind == "carbon":
        return [(0.12 + k * 0.17, 0.21 + k * 0.17, BANDS[code]) for k, code in enumerate(marking)]
    if kind == "metal-film":
        return [(0.16 + k * 0.15, 0.22 + k * 0.15, BANDS[code]) for k, code in enumerate(marking)]
    if kind == "dogbone":
        body, tip, dot = tuple(marking)
        return [(0.0, 1.0, dulled(BANDS[body], 0.35)), (0.0, 0.22, dulled(BANDS[tip], 0.2)), (0.46, 0.56, BANDS[dot])]
    if kind == "paper":
        return [(0.0, 0.06, "#7d5a30"), (0.94, 1.0, "#7d5a30"), (0.08, 0.10, "#7b2f1c")]
    if kind == "pitch":
        return [(0.0, 0.05, "#0f0d0b"), (0.95, 1.0, "#0f0d0b"), (0.16, 0.84, "#4a3a26")]
    if kind == "filter":
        return [(0.0, 0.05, "#3a2c1c"), (0.95, 1.0, "#3a2c1c"), (0.07, 0.09, "#8a2a1c")]
    if kind == "new-filter":
        return [(0.0, 0.04, "#15151a"), (0.09, 0.11, "#16284a"), (0.84, 0.88, "#c7ccd8"), (0.97, 1.0, "#a9adb2")]
    return [(0.0, 0.17, "#b9bcb8"), (0.83, 1.0, "#b9bcb8")] if kind == "fuse" else []


def dust(relief: Relief, chassis: Chassis) -> None:
    """Seventy years of it: on everything that faces up."""
    left, top, right, bottom = (int(edge * FINE) for edge in chassis.box)
    rows, columns = slice(top, bottom), slice(left, right)
    width, height = right - left, bottom - top
    fluff = (
        0.10
        + 0.12 * noise(width, height, (120 * FINE, 90 * FINE), chassis.seed + 20)
        + 0.10 * noise(width, height, (9 * FINE, 9 * FINE), chassis.seed + 21)
    )
    share = np.clip(fluff, 0, 0.42)[..., None]
    relief.colour[rows, columns] = (
        relief.colour[rows, columns] * (1 - share) + np.array(rgb("#8d7c62"), np.float32) * share
    )
    relief.gloss[rows, columns] *= 0.55
