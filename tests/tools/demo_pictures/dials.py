"""Knobs and dials: the round one with a pointer, and the long glass with three printed scales."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from relief import FINE, Array, Box, Point, Relief, noise, rgb


def knob(
    relief: Relief,
    centre: Point,
    radius: float,
    colour: str,
    *,
    z: float = 40,
    flutes: int = 28,
    cap: str = "",
    turn: float = 30,
    mark: str = "#efe6cf",
) -> None:
    """A turned or moulded knob with a skirt, a fluted edge and a line that points."""
    relief.disc(centre, radius * 1.16, lambda r: z + 12 - 12 * r**5, colour, gloss=0.55)
    window = relief.window(*(c - radius for c in centre), *(c + radius for c in centre))
    assert window is not None
    rows, columns, x, y = window
    away = np.hypot(x - centre[0], y - centre[1]) / radius
    angle = np.arctan2(y - centre[1], x - centre[0])
    edge = away * (1 + 0.022 * np.cos(angle * flutes))
    tall = radius * 0.62
    rise = (
        z + tall * (1 - np.clip((edge - 0.80) / 0.17, 0, 1) ** 3) - tall * 0.10 * (1 - np.clip(away / 0.72, 0, 1) ** 2)
    )
    relief.lay(rows, columns, edge < 0.97, rise.astype(np.float32), rgb(colour), 0.75)
    if cap:
        relief.disc(centre, radius * 0.46, lambda r: z + tall + 3 - 3 * r**4, cap, gloss=0.9)
    a = math.radians(turn)
    tip = (centre[0] + radius * 0.70 * math.sin(a), centre[1] - radius * 0.70 * math.cos(a))
    base = (centre[0] + radius * 0.50 * math.sin(a), centre[1] - radius * 0.50 * math.cos(a))
    relief.rod(base, tip, radius * 0.035 + 1, z + tall * 0.97, mark, gloss=0.1, squash=0.3)


def ticks(
    relief: Relief,
    centre: Point,
    inner: float,
    outer: float,
    angles: list[float],
    colour: str,
    thick: float,
    glow: float,
) -> None:
    """Short printed lines towards the middle of a round dial; angles in degrees clockwise from the top."""
    reach = int(outer * FINE) + 4
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1].astype(np.float32) / FINE
    away, turn = np.hypot(x, y), np.degrees(np.arctan2(x, -y))
    ink = np.zeros_like(x)
    for angle in angles:
        off = np.radians(np.abs((turn - angle + 180) % 360 - 180)) * away
        ink = np.maximum(
            ink, np.clip(thick / 2 - off + 0.5, 0, 1) * np.clip(away - inner, 0, 1) * np.clip(outer - away, 0, 1)
        )
    relief.stamp(centre, ink, colour, glow)


def ring(
    relief: Relief, centre: Point, radius: float, thick: float, colour: str, span: Point = (-180, 180), glow: float = 0
) -> None:
    """A printed circle, or the part of it between two angles."""
    reach = int((radius + thick) * FINE) + 4
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1].astype(np.float32) / FINE
    turn = np.degrees(np.arctan2(x, -y))
    ink = np.clip(thick / 2 - np.abs(np.hypot(x, y) - radius) + 0.5, 0, 1) * ((turn >= span[0]) & (turn <= span[1]))
    relief.stamp(centre, ink.astype(np.float32), colour, glow)


def round_dial(
    relief: Relief,
    centre: Point,
    radius: float,
    z: float,
    style: dict[str, str],
    pointer: float,
    words: Sequence[tuple[str, float, float, str]],
) -> None:
    """A round dial: bezel, sunken card lit from behind, medium-wave scale and one or two more, pointer, glass."""
    relief.disc(
        centre,
        radius * 1.10,
        lambda r: z + radius * 0.10 * np.sqrt(np.clip(1 - ((r - 0.945) / 0.055) ** 2, 0, 1)),
        style["bezel"],
        gloss=1.1,
        inner=0.89,
    )
    window = relief.window(*(c - radius for c in centre), *(c + radius for c in centre))
    assert window is not None
    rows, columns, x, y = window
    away = np.hypot(x - centre[0], y - centre[1]) / radius
    card = away < 0.985
    relief.z[rows, columns][card] = z - radius * 0.10
    paper = (
        np.array(rgb(style["card"]), np.float32)
        * (1 + 0.05 * noise(x.shape[1], x.shape[0], (80 * FINE, 60 * FINE), 17))[..., None]
    )
    relief.colour[rows, columns][card] = paper[card]
    relief.gloss[rows, columns][card] = 0.10
    ink = style["ink"]
    medium = [55, 60, 70, 80, 100, 120, 140, 160]
    sweep = {n: -112 + 224 * math.log(n / 53) / math.log(165 / 53) for n in range(54, 164, 2)}
    ring(relief, centre, radius * 0.84, radius * 0.010, ink, (-114, 114))
    ticks(relief, centre, radius * 0.84, radius * 0.89, [sweep[n] for n in range(54, 164, 2)], ink, radius * 0.008, 0)
    where = {n: -112 + 224 * math.log(n / 53) / math.log(165 / 53) for n in medium}
    ticks(relief, centre, radius * 0.80, radius * 0.92, list(where.values()), ink, radius * 0.016, 0)
    for n, angle in where.items():
        a = math.radians(angle)
        relief.text(
            (centre[0] + radius * 0.69 * math.sin(a), centre[1] - radius * 0.69 * math.cos(a)),
            str(n),
            radius * 0.115,
            ink,
            font="DejaVuSerif-Bold",
            turn=angle,
        )
    if style.get("short"):
        ring(relief, centre, radius * 0.50, radius * 0.010, style["short"], (-114, 114))
        short = {6: -104, 7: -74, 8: -48, 9: -25, 10: -4, 12: 30, 14: 60, 16: 86, 18: 108}
        ticks(relief, centre, radius * 0.50, radius * 0.56, list(short.values()), style["short"], radius * 0.014, 0)
        for n, angle in short.items():
            a = math.radians(angle)
            relief.text(
                (centre[0] + radius * 0.425 * math.sin(a), centre[1] - radius * 0.425 * math.cos(a)),
                str(n),
                radius * 0.075,
                style["short"],
                font="DejaVuSerif-Bold",
                turn=angle,
            )
    for text, dx, dy, font in words:
        size = radius * float(font.split(":")[1])
        relief.text((centre[0] + dx * radius, centre[1] + dy * radius), text, size, ink, font=font.split(":")[0])
    a = math.radians(pointer)
    tip, tail = (
        (centre[0] + radius * 0.88 * math.sin(a), centre[1] - radius * 0.88 * math.cos(a)),
        (centre[0] - radius * 0.16 * math.sin(a), centre[1] + radius * 0.16 * math.cos(a)),
    )
    relief.rod(tail, tip, radius * 0.013, z - radius * 0.05, style["pointer"], gloss=0.4)
    relief.disc(centre, radius * 0.075, lambda r: z - radius * 0.02 - radius * 0.02 * r**3, style["bezel"], gloss=1.0)
    lit = np.exp(-((x - centre[0]) ** 2 + (y - centre[1] + radius * 0.3) ** 2) / (0.55 * radius**2))
    relief.glow[rows, columns][card] = (np.array(rgb(style["lamp"]), np.float32) * (0.42 * lit)[..., None])[card]
    relief.glow[rows, columns][card] *= np.clip(relief.colour[rows, columns] / paper, 0, 1)[
        card
    ]  # ink lets no light by
    glass(
        relief,
        rows,
        columns,
        away < 0.985,
        x,
        y,
        (centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius),
    )


def glass(relief: Relief, rows: slice, columns: slice, where: Array, x: Array, y: Array, box: Box) -> None:
    """The window of the room, faintly, on the glass before a dial."""
    across = (x - box[0]) / (box[2] - box[0]) + 0.45 * (y - box[1]) / (box[3] - box[1])
    band = (
        np.clip(1 - np.abs(across - 0.40) / 0.13, 0, 1) ** 0.6 * 0.050
        + np.clip(1 - np.abs(across - 0.64) / 0.03, 0, 1) * 0.028
    )
    relief.glow[rows, columns][where] += (np.array([0.9, 0.97, 1.0], np.float32) * band[..., None])[where]


@dataclass(frozen=True)
class Slide:
    """What a long glass dial has: its colours, a scale for each band, and the words at its end with size and font."""

    glass: str
    lit: str
    ink: str
    pointer: str
    scales: list[tuple[float, str, dict[str, float]]]
    words: list[tuple[str, float, float, str]]


MERROW_SLIDE = Slide(
    "#10302f",
    "#1f6f68",
    "#f3d587",
    "#e0482e",
    [
        (0.25, "SW m", {"16": 0.06, "19": 0.2, "25": 0.40, "31": 0.57, "41": 0.77, "49": 0.93}),
        (0.50, "MW m", {"200": 0.05, "250": 0.27, "300": 0.44, "350": 0.58, "400": 0.70, "500": 0.89}),
        (0.75, "LW m", {"1000": 0.06, "1200": 0.28, "1400": 0.47, "1600": 0.66, "1800": 0.82, "2000": 0.95}),
    ],
    [
        ("Merrow", 0.30, 0.135, "DejaVuSerif-BoldItalic"),
        ("& Daughters", 0.46, 0.088, "DejaVuSerif-Italic"),
        ("T E A L", 0.70, 0.085, "DejaVuSans-Bold"),
    ],
)


def slide_dial(relief: Relief, box: Box, z: float, pointer: float, style: Slide = MERROW_SLIDE) -> None:
    """A long glass dial: printed scales, lit from its lower edge, with a pointer that travels along."""
    left, top, right, bottom = box
    wide, high = right - left, bottom - top
    letter = min(high, wide / 5.0)
    relief.slab(
        left - high * 0.06,
        top - high * 0.06,
        right + high * 0.06,
        bottom + high * 0.06,
        z + high * 0.05,
        "#c9a24e",
        corner=high * 0.10,
        edge=high * 0.035,
        gloss=1.2,
    )
    relief.slab(
        left, top, right, bottom, z - high * 0.06, style.glass, corner=high * 0.06, edge=4, gloss=0.1, sink=True
    )
    window = relief.window(left + 3, top + 3, right - 3, bottom - 3)
    assert window is not None
    rows, columns, x, y = window
    lit = np.exp(-(((bottom - y) / high) ** 2) * 1.7) * (0.72 + 0.28 * np.cos((x - left) / wide * 4 * np.pi))
    relief.glow[rows, columns] = np.array(rgb(style.lit), np.float32) * (0.50 * lit)[..., None]
    gold = style.ink
    start, length = left + wide * 0.135, wide * 0.70
    for row, name, marks in style.scales:
        level = top + high * row
        relief.text((left + wide * 0.075, level), name, letter * 0.088, gold, font="DejaVuSans-Bold", glow=0.55)
        line = np.ones((max(2, int(high * 0.012 * FINE)), int(length * FINE)), np.float32)
        relief.stamp((start + length / 2, level), line, gold, 0.5)
        for step in range(101):
            tall = 0.055 if step % 10 == 0 else 0.028
            tick = np.ones((int(high * tall * FINE), max(2, int(high * 0.008 * FINE))), np.float32)
            relief.stamp((start + length * step / 100, level - high * tall / 2), tick, gold, 0.5)
        for number, share in marks.items():
            relief.text(
                (start + length * share, level + high * 0.075),
                number,
                letter * 0.092,
                gold,
                font="DejaVuSans-Bold",
                glow=0.55,
            )
    plate = left + wide * 0.917
    for text, row, size, font in style.words:
        relief.text((plate, top + high * row), text, letter * size, gold, font=font, glow=0.6)
    px = start + length * pointer
    relief.rod(
        (px, top + high * 0.07), (px, bottom - high * 0.07), high * 0.014, z - high * 0.04, style.pointer, gloss=0.5
    )
    lamp = relief.window(px - high * 0.014, top + high * 0.07, px + high * 0.014, bottom - high * 0.07)
    assert lamp is not None
    relief.glow[lamp[0], lamp[1]] += np.array(rgb("#c03018"), np.float32) * 0.35
    glass(relief, rows, columns, np.ones(x.shape, bool), x, y, box)


LARKFIELD_DIAL = {"bezel": "#c8a75c", "card": "#e6d9b4", "ink": "#4a1f12", "pointer": "#b3201a", "lamp": "#ffca6a"}
OXBOW_DIAL = {
    "bezel": "#b3904a",
    "card": "#caa765",
    "ink": "#2c1a0c",
    "short": "#7d1f14",
    "pointer": "#1d1712",
    "lamp": "#ff9f38",
}
LARKFIELD_WORDS = [
    ("Larkfield", 0, 0.34, "DejaVuSerif-BoldItalic:0.17"),
    ("MINUET  5", 0, 0.52, "DejaVuSans-Bold:0.075"),
    ("KILOCYCLES ÷ 10", 0, 0.66, "DejaVuSans:0.050"),
]
OXBOW_WORDS = [
    ("OXBOW", 0, 0.42, "DejaVuSerif-Bold:0.16"),
    ("REGENT SIX", 0, 0.60, "DejaVuSans-Bold:0.065"),
    ("BROADCAST  KC ÷ 10", 0, 0.72, "DejaVuSans:0.042"),
    ("SHORT WAVE  MC", 0, 0.80, "DejaVuSans:0.042"),
]
