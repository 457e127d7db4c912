"""Curves by matplotlib through its object interface: fixed axes, words as text, the same bytes in every run.

``pyplot`` is never used: it keeps its figures in a list of its own. Words are put out as they are, without matplotlib's
reading of TeX, since labels may come from a record. Axes are kept from one plot to the next of the same size: making
them and their ticks takes longer than drawing the curves.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import KW_ONLY, dataclass
from functools import lru_cache
from io import StringIO
from itertools import pairwise
from threading import RLock
from typing import TYPE_CHECKING, Any

from benchleaf.drawing.figure import Figure
from benchleaf.drawing.svg import clean_svg

from ..words.decimal_sign import with_decimal_sign

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure as Sheet

WIDTH, HEIGHT = 320, 230
"""Size of a plot in points: its words are legible in a phone's column."""
_SCALE = 1.2
"""CSS pixels to a point in a page."""

_MARGINS = {"left": 76, "right": 16, "bottom": 48, "top": 14}
_LETTER, _LINE = 6.2, 13
"""Points of a letter, on average, and of a line of words."""
_KEY_ROW, _KEY_LINE = 17, 40
"""Points of the key above a plot: from row to row, and a line with the space around it."""
_STYLES: tuple[Any, ...] = ("-", (0, (7, 3)), (0, (2, 2)), (0, (9, 3, 2, 3)), (0, (1, 3)))
_WIDTHS = (2.0, 1.6, 1.6, 1.6, 2.0)
_PREFIXES = ((1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n"), (1e-12, "p"))
_UNITS = ("Hz", "Ω", "A", "V", "W")
"""Units whose prefix an axis writes: “200 m” alone is read as metres."""
_SETTINGS: dict[str, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "benchleaf",
    "text.parse_math": False,
    "text.usetex": False,
    "axes.unicode_minus": True,
    "axes.formatter.use_mathtext": False,
    "path.simplify": True,
    "font.family": ["DejaVu Sans"],
    "font.size": 11,
    "axes.linewidth": 1.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "legend.frameon": False,
    "lines.solid_capstyle": "round",
}
_SETTINGS_LOCK = RLock()


@dataclass(frozen=True, slots=True)
class Series:
    """A curve: equally many abscissae and ordinates, in the unit its axis names, and the words that stand beside it."""

    x: Sequence[float]
    y: Sequence[float]
    label: str


@dataclass(frozen=True, slots=True)
class Limit:
    """A level or a band across the plot, in the unit of its axis; ``low`` and ``high`` are equal for a level."""

    low: float
    high: float
    label: str
    across: str = "y"


@dataclass(frozen=True, slots=True)
class LinePlot:
    """Curves told apart by line style, with limits as grey bands and single points as open circles with their words.

    Every number is in the unit its axis names (``line current, A``); ``width`` and ``height`` are in points. Raises
    ValueError where a series' two lists differ in length.
    """

    series: Sequence[Series]
    _: KW_ONLY
    x_label: str
    y_label: str
    log_x: bool = False
    log_y: bool = False
    limits: Sequence[Limit] = ()
    marked_points: Sequence[tuple[float, float, str]] = ()
    width: int = WIDTH
    height: int = HEIGHT

    def __post_init__(self) -> None:
        for one in self.series:
            if len(one.x) != len(one.y):
                raise ValueError(f"{one.label}: {len(one.x)} abscissae, {len(one.y)} ordinates")


def engineering(value: float, unit: str = "") -> str:
    """A number for an axis: ``10 kHz``, ``0``, ``470 mA``; without a unit it has no prefix either."""
    if value == 0:
        return "0"
    for factor, prefix in _PREFIXES if unit else ():
        if abs(value) >= factor * (1 - 1e-9):
            return with_decimal_sign(f"{value / factor:.4g} {prefix}{unit}").replace("-", "−")
    return with_decimal_sign(f"{value:.6g} {unit}").strip().replace("-", "−")


def _named(label: str) -> tuple[str, str]:
    """What an axis shows and the unit that its numbers then carry, of ``frequency, Hz``; else the label as it is."""
    what, _, unit = label.rpartition(", ")
    return (what, unit) if what and unit in _UNITS else (label, "")


@contextmanager
def _look() -> Iterator[None]:
    """Our settings, whatever a settings file of the machine says. They are global in matplotlib, hence the lock.

    The backend is left alone: matplotlib does not put that one back. Only what differs is set, since matplotlib looks
    at every value that it is given.
    """
    import matplotlib

    ours: dict[Any, Any] = {**matplotlib.rcParamsDefault, **_SETTINGS}
    del ours["backend"]
    with _SETTINGS_LOCK, matplotlib.rc_context():
        matplotlib.rcParams.update({k: v for k, v in ours.items() if dict.get(matplotlib.rcParams, k) != v})
        yield


def _words(text: str) -> str:
    """Words that matplotlib neither leaves out (a leading underscore) nor chokes on (control characters)."""
    flat = " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())
    return "\u200b" + flat if flat.startswith("_") else flat


def to_figure(plot: LinePlot, *, name: str, title: str, description: str) -> Figure:
    """The plot as a finished figure, the same bytes for the same curves; ``name`` begins its ids."""
    columns, rows = _key(plot)
    with _look(), _empty_axes(plot.width, plot.height + rows * _KEY_ROW, rows) as (sheet, made):
        _draw(made, plot, columns)
        out = StringIO()
        sheet.savefig(out, format="svg", metadata={"Date": None, "Creator": None}, facecolor="none")
        svg = clean_svg(out.getvalue(), prefix=name, title=title, description=description, scale=_SCALE)
    height = plot.height + rows * _KEY_ROW
    return Figure(name, title, description, svg, round(plot.width * _SCALE), round(height * _SCALE))


def _key(plot: LinePlot) -> tuple[int, int]:
    """In how many columns and rows the key stands above the plot, clear of every curve; nothing for one curve alone."""
    told = [*(limit.label for limit in plot.limits), *(one.label for one in plot.series)]
    if len(told) < 2:
        return 1, 0
    for columns in range(len(told), 1, -1):
        rows, over = math.ceil(len(told) / columns), len(told) % columns or columns
        firsts = [rows * min(n, over) + (rows - 1) * max(n - over, 0) for n in range(columns + 1)]
        widest = [max(map(len, told[first:last])) for first, last in pairwise(firsts)]
        if sum(_KEY_LINE + _LETTER * letters for letters in widest) <= plot.width - _MARGINS["right"]:
            return columns, rows
    return 1, len(told)


@contextmanager
def _empty_axes(width: int, height: int, rows: int) -> Iterator[tuple[Sheet, Axes]]:
    """The axes kept for this size, for one plot at a time: inside ``_look``, whose lock no other thread passes."""
    sheet, made = _kept_axes(width, height, rows)
    try:
        yield sheet, made
    finally:
        _take_off(made)


@lru_cache(maxsize=8)
def _kept_axes(width: int, height: int, rows: int) -> tuple[Sheet, Axes]:
    """An empty plot of ``width`` by ``height`` points, below a key of ``rows``: its axes have a fixed rectangle."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure as Sheet

    sheet = Sheet(figsize=(width / 72, height / 72), dpi=72)
    FigureCanvasSVG(sheet)
    left, bottom = _MARGINS["left"] / width, _MARGINS["bottom"] / height
    across = _inside(width) / width
    up = 1 - bottom - (_MARGINS["top"] + rows * _KEY_ROW) / height
    made = sheet.add_axes((left, bottom, across, up))
    made.grid(True, color="black", alpha=0.18, linewidth=0.7)
    return sheet, made


def _inside(width: int) -> int:
    """Points between the ends of the axis across."""
    return width - _MARGINS["left"] - _MARGINS["right"]


def _take_off(made: Axes) -> None:
    """Everything drawn taken off the axes, with what they remember of it; their ticks stay."""
    from matplotlib.transforms import Bbox

    legend = made.get_legend()
    for artist in (*made.lines, *made.patches, *made.texts, *([legend] if legend else [])):
        artist.remove()
    made.dataLim = Bbox.null()
    made.ignore_existing_data_limits = True
    made.set_xscale("linear")
    made.set_yscale("linear")
    made.set_xlim(0, 1, auto=True)
    made.set_ylim(0, 1, auto=True)


def _draw(made: Axes, plot: LinePlot, columns: int) -> None:
    (x_said, x_unit), (y_said, y_unit) = _named(plot.x_label), _named(plot.y_label)
    made.set_xlabel(_words(x_said))
    made.set_ylabel(_words(y_said))
    if plot.log_x:
        made.set_xscale("log")
    if plot.log_y:
        made.set_yscale("log")
    for limit in plot.limits:
        _draw_limit(made, limit)
    for number, one in enumerate(plot.series):
        style, thick = _STYLES[number % len(_STYLES)], _WIDTHS[number % len(_WIDTHS)]
        made.plot(one.x, one.y, color="black", linestyle=style, linewidth=thick, label=_words(one.label))
    for x, y, _ in plot.marked_points:
        made.plot([x], [y], linestyle="none", marker="o", markersize=7, markeredgecolor="black", markerfacecolor="none")
    if not plot.log_x:
        letters = 2 + max(len(engineering(float(f"{value:.2g}"), x_unit)) for value in made.get_xlim())
        made.locator_params(axis="x", nbins=max(2, int(_inside(plot.width) // (_LETTER * letters))))
    _name_points(made, plot)
    _number_axes(made, (x_unit, y_unit))
    _draw_minor_ticks(made)
    handles, labels = made.get_legend_handles_labels()
    if len(labels) > 1:
        made.legend(
            handles,
            labels,
            ncols=columns,
            loc="lower right",
            bbox_to_anchor=(1.0, 1.0),
            borderaxespad=0.2,
            borderpad=0.0,
            columnspacing=1.0,
            handlelength=2.2,
        )


def _name_points(made: Axes, plot: LinePlot) -> None:
    """Words beside each marked point: on its right, in the last third on its left, on the side the curve leaves free.

    They stand below no point at the foot of the plot, and a line farther off where others stand already.
    """
    made.get_xlim()  # sets the limits, which are left open until somebody asks
    taken: list[tuple[float, float, float]] = []
    for x, y, words in plot.marked_points:
        across, up = made.transAxes.inverted().transform(made.transData.transform((x, y)))
        left, foot = across > 2 / 3, up < 0.15
        below = not foot and _rises(plot, x, y) != left
        way = -1 if below else 1
        wide, start = _LETTER * len(words), _inside(plot.width) * across + (-7 if left else 7)
        begin, end = (start - wide, start) if left else (start, start + wide)
        level, off = plot.height * up, 7 * way
        while any(begin < b and a < end and abs(level + off - at) < _LINE for a, b, at in taken):
            off += _LINE * way
        taken += [(begin, end, level + off)] if words else []
        made.annotate(
            _words(words),
            (x, y),
            xytext=(-7 if left else 7, off),
            textcoords="offset points",
            ha="right" if left else "left",
            va="top" if below else "bottom",
        )


def _rises(plot: LinePlot, x: float, y: float) -> bool:
    """Whether the curve nearest to a point goes up there, from left to right."""
    stretches = [
        ((xs[n], ys[n]), (xs[n + 1], ys[n + 1]))
        for xs, ys in ((each.x, each.y) for each in plot.series)
        for n in range(len(xs) - 1)
        if min(xs[n], xs[n + 1]) <= x <= max(xs[n], xs[n + 1])
    ]
    if not stretches:
        return False
    (x0, y0), (x1, y1) = min(stretches, key=lambda ends: abs((ends[0][1] + ends[1][1]) / 2 - y))
    return (y1 - y0) * (x1 - x0) > 0


def _draw_limit(made: Axes, limit: Limit) -> None:
    level, span = (made.axhline, made.axhspan) if limit.across == "y" else (made.axvline, made.axvspan)
    if limit.low == limit.high:
        level(limit.low, color="black", linewidth=1.0, linestyle=(0, (1, 2)), label=_words(limit.label))
    else:
        span(limit.low, limit.high, facecolor="black", alpha=0.12, linewidth=0, label=_words(limit.label))


def _number_axes(made: Axes, units: tuple[str, str]) -> None:
    from matplotlib.ticker import FuncFormatter, NullFormatter

    for axis, unit in zip((made.xaxis, made.yaxis), units, strict=True):
        axis.set_major_formatter(FuncFormatter(lambda value, _, unit=unit: engineering(value, unit)))
        axis.set_minor_formatter(NullFormatter())


def _draw_minor_ticks(made: Axes) -> None:
    """The ticks between the numbers of a logarithmic axis as one line of marks for each axis.

    Left to the library each is an object with a grid line and two labels of its own: two thirds of a curve's time.
    """
    from matplotlib.lines import Line2D
    from matplotlib.markers import TICKDOWN, TICKLEFT, MarkerStyle
    from matplotlib.ticker import NullLocator

    for axis, mark in ((made.xaxis, TICKDOWN), (made.yaxis, TICKLEFT)):
        low, high = sorted(axis.get_view_interval())
        at = [float(place) for place in axis.get_minorticklocs() if low <= place <= high]
        axis.set_minor_locator(NullLocator())
        edge = [0.0] * len(at)
        x, y, across = (
            (at, edge, made.get_xaxis_transform()) if mark == TICKDOWN else (edge, at, made.get_yaxis_transform())
        )
        ticks = Line2D(x, y, linestyle="none", marker=MarkerStyle(mark), markersize=2.0, markeredgewidth=0.6)
        ticks.set(color="black", transform=across, clip_on=False)
        made.add_artist(ticks)
