"""A socket chart for each tube of the last run, each stage from its parts, and the tree of the supply."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from typing import TYPE_CHECKING

from ...record.units import say
from ...report.digest import Shown
from .judging import OUTSIDE
from .pins import is_at
from .rows import ReadingRow

if TYPE_CHECKING:
    from ...drawing import Figure
    from ...drawing.socket_chart import PinLabel
    from ...tubes import Pin, Tube
    from ..bench import Bench
    from .findings import ReadingsFindings, TubeReadings
    from .supply_tree import Branch

TREE = "voltages-supply-tree"
STAGE = "voltages-stage-"
_NARROW, _WIDE, _STEP, _ROW, _LINE = 320.0, 400.0, 14.0, 32.0, 13.0
_LETTER = 6.5


def draw(findings: ReadingsFindings, bench: Bench) -> tuple[Figure, ...]:
    """The charts in the order of the tubes, the stages, then the tree."""
    run = findings.latest
    groups = run.groups if run else findings.published_only
    charts = tuple(_charts(groups, bench, unread_too=run is None))
    drawn = (*charts, *_stages(findings))
    return (*drawn, _tree(run.tree, bench)) if run and run.tree else drawn


def placeable(findings: ReadingsFindings) -> Mapping[str, Shown]:
    """The stages by the names that a story may place them by."""
    return {
        stage.story_name: Shown(f"{STAGE}{n}", (f"{stage.name} {stage.type}. ", stage.leak.text if stage.leak else ""))
        for n, stage in enumerate(findings.stages, 1)
    }


def _stages(findings: ReadingsFindings) -> Iterator[Figure]:
    from .stage_figure import stage_figure

    for n, stage in enumerate(findings.stages, 1):
        yield stage_figure(stage, f"{STAGE}{n}")


def _charts(groups: Sequence[TubeReadings], bench: Bench, *, unread_too: bool) -> Iterator[Figure]:
    from ...drawing.socket_chart import socket_chart
    from ...tubes.sockets import socket
    from .examine import SOCKET

    for number, group in enumerate(groups, 1):
        tube = bench.tubes.get(group.tube)
        pins_of_base = socket(tube.base) if tube and tube.base else None
        if tube is None or pins_of_base is None or not tube.pins or (group.all_unread and not unread_too):
            continue
        labels = [_label(pin, key, group.rows, tube, bench) for pin, key in tube.pins.items()]
        title = f"{group.tube} {group.type}, {tube.base}"
        yield socket_chart(pins_of_base, labels, name=f"{SOCKET}{number}", title=title)


def _label(pin: Pin, key: str, rows: Sequence[ReadingRow], tube: Tube, bench: Bench) -> PinLabel:
    from ...drawing.socket_chart import PinLabel
    from ...tubes import say_electrode

    word = say_electrode(key, tube.role, bench.words, direct=tube.heater.direct)
    word = {"nc": "not connected", "ic": "internal"}.get(key, word)
    here = [row for row in rows if is_at(row.spot, pin, key)]
    lines: list[str] = []
    off = ""
    for row in here:
        said = "" if row.current == "DC" else f" {row.current}"
        if row.measured_written:
            lines.append(f"read {_read(row)}{said}")
        if row.expected_written:
            lines.append(
                f"exp. {say(row.adjusted_volts, 'V') if row.adjusted_volts is not None else row.expected_written}{said}"
            )
        if row.verdict in OUTSIDE:
            off = off or row.verdict
    return PinLabel(pin, word, tuple(lines), off)


def _read(row: ReadingRow) -> str:
    return row.measured_written if row.as_typed else say(row.measured_volts, "V")


def _tree(tree: Sequence[Branch], bench: Bench) -> Figure:
    from ...drawing import Figure

    title = f"Where {bench.words.b_plus} goes"
    lines = [_words(branch) for branch in tree]
    description = "; ".join(f"{branch.name} {detail}".strip() for branch, detail in zip(tree, lines, strict=True))
    width, height = _width(tree), len(tree) * _ROW + 6
    body = "".join(
        _branch(n, branch, detail, tree, width) for n, (branch, detail) in enumerate(zip(tree, lines, strict=True))
    )
    svg = (
        f'<svg class="benchleaf-drawing bl-fine" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}" role="img" aria-labelledby="{TREE}-t {TREE}-d">'
        f'<title id="{TREE}-t">{escape(title)}</title><desc id="{TREE}-d">{escape(description)}</desc>{body}</svg>'
    )
    return Figure(TREE, title, "Volts as read, currents from the resistors of the parts list.", svg, width, height)


def _words(branch: Branch) -> str:
    told = [say(branch.volts, "V")] if branch.volts is not None else []
    if branch.expected_volts is not None:
        told.append(f"exp. {say(branch.expected_volts, 'V')}")
    if branch.amps is not None:
        about = "about " if branch.amps_how == "assumed share" else ""
        told.append(f"{about}{say(branch.amps, 'A')}")
    return " · ".join((*told, *((branch.off,) if branch.off else ())))


def _width(tree: Sequence[Branch]) -> float:
    """As wide as the longest of its lines asks for, within bounds."""
    longest = max(_left(branch) + 10 + _LETTER * len(_heading(branch)) for branch in tree)
    return min(max(_NARROW, longest + 1), _WIDE)


def _left(branch: Branch) -> float:
    return 8 + branch.level * _STEP


def _heading(branch: Branch) -> str:
    via = f" through {branch.via}" if branch.via else ""
    ohms = f", {say(branch.via_ohms, 'ohm')}" if branch.via_ohms is not None else ""
    return f"{branch.name}{via}{ohms}"


def _branch(n: int, branch: Branch, detail: str, tree: Sequence[Branch], width: float) -> str:
    """One line of the tree, with the stroke that leads to it from the line it hangs on."""
    x, y = _left(branch), 4 + n * _ROW
    name = _cut(_heading(branch), x, width)
    stroke = ""
    parent = next((m for m in range(n - 1, -1, -1) if tree[m].level < branch.level), None)
    if parent is not None:
        px = _left(tree[parent])
        stroke = (
            f'<path d="M{px:g} {8 + parent * _ROW + 6:g}V{y + 6:g}H{x - 5:g}" fill="none" stroke="currentColor" '
            'stroke-opacity=".55"/>'
        )
    at = f'x="{x + 10:g}" font-size="11.5" fill="currentColor"'
    mark = (
        f'<rect x="{x - 4.5:g}" y="{y + 1.5:g}" width="9" height="9" fill="none" stroke="currentColor" '
        'stroke-width="2.5"/>'
        if branch.off
        else f'<circle cx="{x:g}" cy="{y + 6:g}" r="4" fill="currentColor"/>'
    )
    texts = (
        f'<text {at} y="{y + 10:g}" font-weight="700">{escape(name)}</text>'
        f'<text {at} y="{y + 10 + _LINE:g}">{escape(detail)}</text>'
    )
    return stroke + mark + texts


def _cut(text: str, x: float, width: float) -> str:
    most = int((width - x - 10) / _LETTER)
    return text if len(text) <= most else text[: most - 1] + "…"
