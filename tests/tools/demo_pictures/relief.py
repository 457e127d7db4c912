"""Draws a picture as a relief: every thing has a height and a colour, and one lamp at the upper left lights them all.

Lengths are pixels of the finished picture; heights are pixels towards the viewer. Inside, everything is drawn `FINE`
times larger and reduced at the end, so that edges are smooth.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from scipy import ndimage

Array = NDArray[Any]
Colour = tuple[float, float, float] | Array
Point = tuple[float, float]
Box = tuple[float, float, float, float]
FINE = 2
WIDTH, HEIGHT = 2000, 1500
LAMP = np.array([-0.46, -0.62, 0.64])


def rgb(code: str) -> tuple[float, float, float]:
    """A colour as written on the web (#c8a878), in linear light, 0 to 1."""
    values = [int(code.lstrip("#")[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    return tuple(value**2.2 for value in values)


def noise(width: int, height: int, cell: Point, seed: int) -> Array:
    """Smooth noise from -1 to 1 with features about `cell` pixels wide and high."""
    rows, columns = max(2, int(height / cell[1]) + 2), max(2, int(width / cell[0]) + 2)
    coarse = np.random.default_rng(seed).uniform(-1, 1, (rows, columns)).astype(np.float32)
    return np.asarray(Image.fromarray(coarse).resize((width, height), Image.Resampling.BICUBIC), np.float32)


def wood(
    width: int, height: int, light: str, dark: str, seed: int, *, upright: bool = False, rings: float = 150,
    figure: float = 1.0, contrast: float = 1.0, fine: int = 0,
) -> Array:  # fmt: skip
    """Planed wood, grain along the width (or the height), `rings` pixels between two dark bands; `fine` as FINE."""
    if upright:
        lying = wood(height, width, light, dark, seed, rings=rings, figure=figure, contrast=contrast, fine=fine)
        return np.swapaxes(lying, 0, 1)
    fine = fine or FINE
    across = np.arange(height, dtype=np.float32)[:, None] / (rings * fine)
    wander = noise(width, height, (width / 2.5, 260 * fine), seed) * 1.3 * figure
    wander = wander + noise(width, height, (420 * fine, 40 * fine), seed + 1) * 0.16 * figure
    phase = (across + wander) % 1
    band = phase**2.2  # early wood darkens slowly towards late wood, then breaks off
    band = np.where(phase > 0.90, band * (1 - phase) / 0.10, band)
    fibre = noise(width, height, (150 * fine, 1.6 * fine), seed + 2) + noise(
        width, height, (400 * fine, 4 * fine), seed + 3
    )
    pores = np.clip(noise(width, height, (40 * fine, 1.5 * fine), seed + 4) - 0.5, 0, 1)
    share = np.clip(0.5 + contrast * (0.34 - 0.55 * band + 0.10 * fibre - 0.40 * pores), 0, 1)[..., None]
    return (np.array(rgb(dark)) * (1 - share) + np.array(rgb(light)) * share).astype(np.float32)


class Relief:
    """The picture while it is drawn: height, colour, gloss and own light of every point."""

    def __init__(self, ground: Colour, height: float = 0.0, size: tuple[int, int] = (WIDTH, HEIGHT)) -> None:
        self.size = size
        shape = size[1] * FINE, size[0] * FINE
        self.z = np.full(shape, height, np.float32)
        self.colour = np.empty((*shape, 3), np.float32)
        self.colour[:] = ground
        self.gloss = np.full(shape, 0.06, np.float32)
        self.glow = np.zeros((*shape, 3), np.float32)

    def window(self, left: float, top: float, right: float, bottom: float) -> tuple[slice, slice, Array, Array] | None:
        """The points within a box (slices of rows and columns) and their x and y."""
        x0, x1 = max(0, int(left * FINE)), min(self.z.shape[1], math.ceil(right * FINE))
        y0, y1 = max(0, int(top * FINE)), min(self.z.shape[0], math.ceil(bottom * FINE))
        if x0 >= x1 or y0 >= y1:
            return None
        y, x = np.mgrid[y0:y1, x0:x1].astype(np.float32)
        return slice(y0, y1), slice(x0, x1), (x + 0.5) / FINE, (y + 0.5) / FINE

    def lay(
        self, rows: slice, columns: slice, where: NDArray[np.bool_], z: Array, colour: Colour, gloss: float
    ) -> None:
        """Put a thing down: seen only where it is higher than what is there."""
        seen = where & (z > self.z[rows, columns])
        self.z[rows, columns][seen] = z[seen]
        self.gloss[rows, columns][seen] = gloss
        view = self.colour[rows, columns]
        view[seen] = colour[seen] if isinstance(colour, np.ndarray) and colour.ndim == 3 else colour

    def rod(
        self, a: Point, b: Point, radius: float, z: float, colour: str, *, gloss: float = 0.3, ends: float = 0.25,
        bands: Sequence[tuple[float, float, str]] = (), squash: float = 1.0, mottle: float = 0,
    ) -> None:  # fmt: skip
        """A round body lying from `a` to `b`, its axis at height `z`; bands are (from, to, colour) along it, 0 to 1."""
        box = self.window(*(min(a[i], b[i]) - radius for i in (0, 1)), *(max(a[i], b[i]) + radius for i in (0, 1)))
        if box is None:
            return
        rows, columns, x, y = box
        length = max(1e-6, math.dist(a, b))
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        along, across = (x - a[0]) * ux + (y - a[1]) * uy, -(x - a[0]) * uy + (y - a[1]) * ux
        shoulder = max(1.0, ends * radius)
        over = np.clip(np.maximum(shoulder - along, along - (length - shoulder)), 0, None) / shoulder
        bulk = radius * np.sqrt(np.clip(1 - over**2, 0, 1)) if ends > 0.9 else radius * (1 - 0.22 * over**2)
        where = (along >= 0) & (along <= length) & (np.abs(across) < bulk)
        rise = np.sqrt(np.clip(bulk**2 - across**2, 0, None)) * squash
        paint = np.empty((*x.shape, 3), np.float32)
        paint[:] = rgb(colour)
        for start, stop, band in bands:
            paint[(along / length >= start) & (along / length <= stop)] = rgb(band)
        if mottle:
            seed = int(a[0] * 7 + a[1] * 13)
            cloud = (
                noise(x.shape[1], x.shape[0], (26 * FINE, 20 * FINE), seed)
                + noise(x.shape[1], x.shape[0], (6 * FINE, 6 * FINE), seed + 1) * 0.5
            )
            paint *= (1 + mottle * cloud[..., None] * np.array([0.7, 1.0, 1.5], np.float32)).clip(0.2)
        self.lay(rows, columns, where, (z + rise).astype(np.float32), paint, gloss)

    def disc(
        self, centre: Point, radius: float, profile: Callable[[Array], Array], colour: str | Array, *,
        gloss: float = 0.3, inner: float = 0.0,
    ) -> None:  # fmt: skip
        """A round thing seen from above: `profile` gives the height for the distance from the middle, 0 to 1."""
        box = self.window(centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius)
        if box is None:
            return
        rows, columns, x, y = box
        away = np.minimum(np.hypot(x - centre[0], y - centre[1]) / radius, 1)
        paint: Colour = rgb(colour) if isinstance(colour, str) else colour
        self.lay(rows, columns, (away < 1) & (away >= inner), profile(away).astype(np.float32), paint, gloss)

    def slab(
        self, left: float, top: float, right: float, bottom: float, z: float, colour: str | Array, *,
        corner: float = 6, edge: float = 6, gloss: float = 0.2, sink: bool = False, arch: float = 0,
    ) -> None:  # fmt: skip
        """A board with rounded corners and edges; `sink` cuts it into what lies there, `arch` rounds its top more."""
        box = self.window(left, top, right, bottom)
        if box is None:
            return
        rows, columns, x, y = box
        inward = -outline(x, y, (left, top, right, bottom), corner, arch)
        paint: Colour = rgb(colour) if isinstance(colour, str) else colour
        if isinstance(paint, np.ndarray) and paint.ndim == 3:
            missing = [(0, max(0, want - have)) for want, have in zip(x.shape, paint.shape, strict=False)]
            paint = np.pad(paint, (*missing, (0, 0)), "symmetric")[: x.shape[0], : x.shape[1]]
        round_off = np.clip(1 - inward / max(edge, 1e-3), 0, 1)
        if not sink:
            rise = z - edge * (1 - np.sqrt(np.clip(1 - round_off**2, 0, 1)))
            self.lay(rows, columns, inward > 0, rise.astype(np.float32), paint, gloss)
            return
        where = inward > 0
        old = self.z[rows, columns]
        old[where] = (z + (old - z) * round_off**2)[where]
        flat = inward > edge * 0.6
        self.colour[rows, columns][flat] = paint[flat] if isinstance(paint, np.ndarray) else paint
        self.gloss[rows, columns][flat] = gloss

    def wire(
        self, points: Sequence[Point], radius: float, colour: str, *, z: float, bow: float = 0, gloss: float = 0.35
    ) -> None:
        """A wire through `points`, bent smoothly, `bow` higher in its middle than at its ends."""
        path = smooth(points)
        steps = len(path)
        for place, (x0, y0) in enumerate(path):
            lift = z + bow * math.sin(math.pi * place / max(1, steps - 1))
            box = self.window(x0 - radius, y0 - radius, x0 + radius, y0 + radius)
            if box is None:
                continue
            rows, columns, x, y = box
            away = np.hypot(x - x0, y - y0)
            rise = lift + np.sqrt(np.clip(radius**2 - away**2, 0, None))
            self.lay(rows, columns, away < radius, rise.astype(np.float32), rgb(colour), gloss)

    def text(
        self, at: Point, words: str, size: float, colour: str, *, font: str = "DejaVuSans", turn: float = 0,
        anchor: str = "mm", strength: float = 1.0, glow: float = 0, z: float = 0,
    ) -> None:  # fmt: skip
        """Print words flat on whatever lies there; with `z` they stand that much proud, with `glow` they shine."""
        face = ImageFont.truetype(f"{font}.ttf", int(size * FINE))
        left, top, right, bottom = face.getbbox(words, anchor=anchor)
        reach = int(max(abs(left), abs(top), abs(right), abs(bottom))) + 4
        sheet = Image.new("L", (2 * reach, 2 * reach))
        ImageDraw.Draw(sheet).text((reach, reach), words, 255, face, anchor=anchor)
        if turn:
            sheet = sheet.rotate(-turn, Image.Resampling.BICUBIC)
        self.stamp(at, np.asarray(sheet, np.float32) / 255 * strength, colour, glow, z)

    def stamp(self, at: Point, ink: Array, colour: str, glow: float = 0, z: float = 0) -> None:
        """Ink (0 to 1) of one colour, its middle at `at`."""
        x0, y0 = int(at[0] * FINE) - ink.shape[1] // 2, int(at[1] * FINE) - ink.shape[0] // 2
        x1, y1 = max(0, x0), max(0, y0)
        ink = ink[y1 - y0 : self.z.shape[0] - y0, x1 - x0 : self.z.shape[1] - x0]
        rows, columns = slice(y1, y1 + ink.shape[0]), slice(x1, x1 + ink.shape[1])
        share = ink[..., None]
        self.colour[rows, columns] = (
            self.colour[rows, columns] * (1 - share) + np.array(rgb(colour), np.float32) * share
        )
        self.glow[rows, columns] += share * np.array(rgb(colour), np.float32) * glow
        self.z[rows, columns] += ink * z

    def finished(self, *, ambient: float = 0.42, lamp: float = 1.05, vignette: float = 0.30) -> Image.Image:
        """Light it, reduce it, and say in the corner that it is drawn."""
        slope_y, slope_x = np.gradient(self.z)
        upright = 1 / np.sqrt(slope_x**2 + slope_y**2 + 1)
        direction = LAMP / np.linalg.norm(LAMP)
        facing = (-slope_x * direction[0] - slope_y * direction[1] + direction[2]) * upright
        half = direction + np.array([0, 0, 1])
        half /= np.linalg.norm(half)
        shine = np.clip((-slope_x * half[0] - slope_y * half[1] + half[2]) * upright, 0, 1)
        lit = np.clip(facing, 0, 1) * self._shadow(direction)
        open_sky = self._open_sky()
        highlight = (shine**48 * 1.4 + shine**9 * 0.16) * self.gloss * (0.25 + 0.75 * lit)
        light = (ambient * open_sky * (0.75 + 0.25 * upright) + lamp * lit)[..., None]
        warm = np.array([1.03, 1.0, 0.95], np.float32)
        picture = self.colour * light * warm + highlight[..., None] + self.glow
        y, x = np.mgrid[-1 : 1 : picture.shape[0] * 1j, -1 : 1 : picture.shape[1] * 1j].astype(np.float32)
        picture *= (1 - vignette * np.clip((x * 0.8 + 0.12) ** 2 + (y * 0.8 + 0.12) ** 2, 0, 1.4) / 1.4)[..., None]
        picture = picture * (1 + picture * 0.10) / (1 + picture * 0.28)  # a shoulder instead of burnt-out whites
        image = Image.fromarray((np.clip(picture, 0, 1) ** (1 / 2.2) * 255 + 0.5).astype(np.uint8))
        return labelled(image.resize(self.size, Image.Resampling.LANCZOS))

    def _shadow(self, direction: NDArray[np.float64]) -> Array:
        flat = math.hypot(direction[0], direction[1])
        rise = direction[2] / flat
        light = np.ones_like(self.z)
        distance = 1.5
        while distance < 260:
            dx, dy = (round(direction[i] / flat * distance * FINE) for i in (0, 1))
            seen = shifted(self.z, dx, dy) - (self.z + distance * rise)
            light = np.minimum(light, np.clip(1 - (seen + 0.5) / (0.10 * distance + 1.0), 0, 1))
            distance *= 1.09
        return np.asarray(ndimage.uniform_filter(light, 3), np.float32)

    def _open_sky(self) -> Array:
        """How much of the sky a point sees: less in corners and under things."""
        small = self.z[::FINE, ::FINE]
        closed = np.zeros_like(small)
        for reach, share in ((5, 0.35), (18, 0.4), (60, 0.4)):
            around = ndimage.uniform_filter(ndimage.uniform_filter(small, reach), reach)
            closed += share * np.clip((around - small) / (reach * 0.7), 0, 1)
        full = np.asarray(Image.fromarray(closed).resize(self.z.shape[::-1], Image.Resampling.BILINEAR))
        return np.asarray(1 - np.clip(full, 0, 0.85), np.float32)


def shifted(z: Array, dx: int, dy: int) -> Array:
    """What stands `dx` to the right and `dy` below of each point; nothing beyond the edge of the picture."""
    moved = np.full_like(z, -1e6)
    rows, columns = z.shape
    to_rows, to_columns = slice(max(0, -dy), rows - max(0, dy)), slice(max(0, -dx), columns - max(0, dx))
    from_rows, from_columns = slice(max(0, dy), rows - max(0, -dy)), slice(max(0, dx), columns - max(0, -dx))
    moved[to_rows, to_columns] = z[from_rows, from_columns]
    return moved


def outline(x: Array, y: Array, box: Box, corner: float, arch: float = 0) -> Array:
    """Distance from the edge of a rounded box, negative inside; `arch` is the radius of its two upper corners."""
    left, top, right, bottom = box
    radius = np.where(y < (top + bottom) / 2, max(arch, corner), corner).astype(np.float32)
    qx = np.abs(x - (left + right) / 2) - (right - left) / 2 + radius
    qy = np.abs(y - (top + bottom) / 2) - (bottom - top) / 2 + radius
    away = np.hypot(np.clip(qx, 0, None), np.clip(qy, 0, None))
    return np.asarray(away + np.minimum(np.maximum(qx, qy), 0) - radius, np.float32)


def smooth(points: Sequence[Point], step: float = 1.2) -> list[Point]:
    """Points close together on a curve through `points` (Catmull and Rom)."""
    ends = [points[0], *points, points[-1]]
    path: list[Point] = []
    for p0, p1, p2, p3 in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        count = max(2, int(math.dist(p1, p2) / step))
        for t in np.linspace(0, 1, count):
            weights = (-t + 2 * t**2 - t**3, 2 - 5 * t**2 + 3 * t**3, t + 4 * t**2 - 3 * t**3, -(t**2) + t**3)
            x, y = (sum(w * p[i] for w, p in zip(weights, (p0, p1, p2, p3), strict=True)) / 2 for i in (0, 1))
            path.append((float(x), float(y)))
    return path


def labelled(image: Image.Image) -> Image.Image:
    """Say in the corner, on a slip of paper, that this is no photograph."""
    words, face = "drawn demo picture", ImageFont.truetype("DejaVuSans.ttf", 34)
    draw = ImageDraw.Draw(image)
    width = int(face.getlength(words))
    right, bottom = image.width - 36, image.height - 32
    draw.rounded_rectangle((right - width - 36, bottom - 62, right, bottom), 8, fill=(246, 242, 230))
    draw.text((right - 18 - width, bottom - 31), words, (40, 36, 30), face, anchor="lm")
    return image


def written(image: Image.Image, place: Path, **extra: object) -> None:
    """Save as the demo keeps its pictures: JPEG, quality 88."""
    place.parent.mkdir(parents=True, exist_ok=True)
    image.save(place, "JPEG", quality=88, optimize=True, progressive=True, **extra)
