"""Block drawings: stages in rows from left to right, each handing on to the next, with others below that work on them.

A row that is too long goes on in the next one, as lines of a text do, so that the letters stay large.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from textwrap import wrap

from benchleaf.drawing.figure import Figure
from benchleaf.drawing.labels import EM_PER_LETTER

__all__ = ["INTO", "OUT_OF", "Block", "BlockRow", "block_drawing"]

INTO, OUT_OF = "into", "out of"
"""Whether what stands below a stage works on it, or is worked by it."""

_BOX, _GAP, _STUB = 126.0, 54.0, 26.0
_IN_A_ROW, _ON_A_PHONE = 4, 2
"""How many blocks stand side by side, and how many on a phone."""
_HEAD_SIZE, _LINE_SIZE = 12.0, 11.0
_HEAD_STEP, _LINE_STEP, _PADDING, _BELOW, _BETWEEN, _LABEL = 14.0, 13.0, 7.0, 30.0, 26.0, 17.0
_HEAD_LETTERS = int((_BOX - 8) / (_HEAD_SIZE * EM_PER_LETTER))
_LINE_LETTERS = int((_BOX - 8) / (_LINE_SIZE * EM_PER_LETTER))
_MOST_LINES = 6
_APART = 12.0


@dataclass(frozen=True, slots=True)
class Block:
    """One box: its heading, and what stands below it. ``certain`` is false for one whose place is not known."""

    heading: str
    lines: tuple[str, ...] = ()
    certain: bool = True

    @property
    def heads(self) -> list[str]:
        """The heading in the lines that it takes."""
        return _cut(self.heading, _HEAD_LETTERS, 2)

    @property
    def texts(self) -> list[str]:
        """The lines below it."""
        said = [piece for line in self.lines for piece in _cut(line, _LINE_LETTERS, 2)]
        return said if len(said) <= _MOST_LINES else [*said[: _MOST_LINES - 1], "…"]

    @property
    def height(self) -> float:
        return 2 * _PADDING + len(self.heads) * _HEAD_STEP + len(self.texts) * _LINE_STEP


@dataclass(frozen=True, slots=True)
class BlockRow:
    """Blocks in a row. ``arrows`` has two short words for each way from one to the next, above and below the arrow.

    ``below`` are blocks that belong to one of the row by its index, each with ``INTO`` or ``OUT_OF``. ``joined`` is
    false for blocks that hand nothing on; ``onward`` says that the last hands on to the next row.
    """

    blocks: tuple[Block, ...]
    arrows: tuple[tuple[str, str], ...] = ()
    below: tuple[tuple[int, Block, str], ...] = ()
    label: str = ""
    joined: bool = True
    onward: tuple[str, str] | None = None
    entered: bool = False


def block_drawing(rows: Sequence[BlockRow], *, name: str, title: str, description: str) -> Figure:
    """The drawing of the rows, one below the other; on a phone fewer blocks stand side by side."""
    svg, width, height = _drawn(rows, name, title, description, _IN_A_ROW)
    narrow, *_ = _drawn(rows, f"{name}-narrow", title, description, _ON_A_PHONE)
    return Figure(name, title, description, svg, width, height, narrow)


def _drawn(
    rows: Sequence[BlockRow], name: str, title: str, description: str, in_a_row: int
) -> tuple[str, float, float]:
    """The SVG with ``in_a_row`` blocks side by side at most, its width and its height."""
    width = _left(in_a_row)
    drawn: list[str] = []
    y = 2.0
    for row in rows:
        if row.label:
            drawn.append(_text(2.0, y + 11, row.label, _LINE_SIZE, anchor="start", bold=True))
            y += _LABEL
        for start in range(0, len(row.blocks), in_a_row):
            piece, y = _line(row, start, y, in_a_row)
            drawn += piece
    height = y - _BETWEEN + 6
    svg = (
        f'<svg class="benchleaf-drawing bl-fine bl-least-{3 * in_a_row}" xmlns="http://www.w3.org/2000/svg" '
        f'viewBox="0 0 {width:g} {height:g}" width="{width:g}" height="{height:g}" role="img" '
        f'aria-labelledby="{name}-t {name}-d" fill="currentColor">'
        f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(description)}</desc>'
        f"{''.join(drawn)}</svg>"
    )
    return svg, width, height


def _line(row: BlockRow, start: int, top: float, in_a_row: int) -> tuple[list[str], float]:
    """As many blocks as stand side by side, those below them, and where the next line begins."""
    blocks = row.blocks[start : start + in_a_row]
    high = max(block.height for block in blocks)
    middle = top + high / 2
    drawn = [_box(block, _left(n), top + (high - block.height) / 2) for n, block in enumerate(blocks)]
    ends = start + len(blocks)
    if row.joined:
        for n in range(len(blocks) - 1):
            drawn += _arrow(_left(n) + _BOX, _left(n + 1), middle, row.arrows[start + n])
        if start or row.entered:
            drawn += _arrow(_left(0) - _STUB, _left(0), middle, ("", ""))
        if ends < len(row.blocks):
            drawn += _onward(len(blocks), middle, row.arrows[ends - 1])
        elif row.onward:
            drawn += _onward(len(blocks), middle, row.onward)
    below = [(at - start, block, sense) for at, block, sense in row.below if start <= at < ends]
    y = top + high
    if below:
        more, y = _below(below, [top + (high + block.height) / 2 for block in blocks], y, in_a_row)
        drawn += more
    return drawn, y + _BETWEEN


def _onward(count: int, y: float, words: tuple[str, str]) -> list[str]:
    """The arrow that leaves a line at its end, to go on at the beginning of the next."""
    x = _left(count - 1) + _BOX
    return list(_arrow(x, x + _GAP, y, words))


def _below(
    below: Sequence[tuple[int, Block, str]], bottoms: Sequence[float], top: float, in_a_row: int
) -> tuple[list[str], float]:
    """The blocks that belong to some of the line, each below its own where there is room; and where they end."""
    free = list(range(in_a_row))
    drawn: list[str] = []
    y, lowest, joined = top + _BELOW, top, [0] * len(bottoms)
    for at, block, sense in below:
        if not free:
            free, y = list(range(in_a_row)), lowest + _BELOW
        column = min(free, key=lambda n: (abs(n - at), n))
        free.remove(column)
        drawn.append(_box(block, _left(column), y))
        drawn += _joint(column, at, bottoms[at], y, joined[at], sense)
        joined[at] += 1
        lowest = max(lowest, y + block.height)
    return drawn, lowest


def _joint(column: int, at: int, bottom: float, top: float, before: int, sense: str) -> list[str]:
    """The way between a block and the one below: straight, or along the gap between the two lines."""
    x = _left(at) + _BOX / 2 + _APART * before
    from_x = _left(column) + _BOX / 2 if column != at else x
    turn = top - _BELOW / 2 - 3 * before
    way = f"M{from_x:g} {top:g}V{turn:g}H{x:g}V{bottom:g}" if column != at else f"M{x:g} {top:g}V{bottom:g}"
    tip = _head(x, bottom, "up") if sense == INTO else _head(from_x, top, "down")
    return [f'<path d="{way}" fill="none" stroke="currentColor"/>', tip]


def _left(column: int) -> float:
    return _STUB + column * (_BOX + _GAP)


def _box(block: Block, x: float, y: float) -> str:
    dashes = "" if block.certain else ' stroke-dasharray="5 4"'
    parts = [
        f'<rect x="{x:g}" y="{y:g}" width="{_BOX:g}" height="{block.height:g}" rx="3" fill="none" '
        f'stroke="currentColor" stroke-width="1.3"{dashes}/>'
    ]
    at = y + _PADDING - 3
    for head in block.heads:
        at += _HEAD_STEP
        parts.append(_text(x + _BOX / 2, at, head, _HEAD_SIZE, bold=True))
    for line in block.texts:
        at += _LINE_STEP
        parts.append(_text(x + _BOX / 2, at, line, _LINE_SIZE))
    return "".join(parts)


def _arrow(x: float, to: float, y: float, words: tuple[str, str]) -> Iterator[str]:
    yield f'<path d="M{x:g} {y:g}H{to:g}" fill="none" stroke="currentColor" stroke-width="1.3"/>'
    yield _head(to, y, "right")
    for word, at in zip(words, (y - 5, y + 13), strict=True):
        if word:
            yield _text((x + to) / 2, at, word, _LINE_SIZE)


def _head(x: float, y: float, way: str) -> str:
    tips = {
        "right": f"M{x:g} {y:g}l-7 -4v8z",
        "up": f"M{x:g} {y:g}l-4 7h8z",
        "down": f"M{x:g} {y:g}l-4 -7h8z",
    }
    return f'<path d="{tips[way]}"/>'


def _text(x: float, y: float, words: str, size: float, *, anchor: str = "middle", bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    return f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}" font-size="{size:g}"{weight}>{escape(words)}</text>'


def _cut(words: str, letters: int, most: int) -> list[str]:
    """Words in lines of so many letters; what is too long even so is cut."""
    lines = wrap(words, letters) or [""]
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], f"{lines[most - 1][: letters - 1]}…"]
