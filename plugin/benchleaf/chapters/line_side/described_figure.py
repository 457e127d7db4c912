"""The drawings of the line side in words, for those who do not see them."""

from __future__ import annotations

from collections.abc import Iterable

from ...words import Words
from .diagram import Diagram, DrawnSymbol, SymbolRow
from .wording import part_words


def description_of(diagram: Diagram, words: Words) -> str:
    """What a drawing shows, from the plug to the touchable parts, with what was removed or added."""
    sentences = [
        f"{_said(diagram.plug)}.",
        _lead(f"{words.hot.capitalize()} lead", diagram.hot_fuse, diagram.hot_switch),
        _lead("Return lead", diagram.return_fuse, diagram.return_switch),
        *_between(f"Across the {words.line}", diagram.across),
        _chassis(diagram, words),
        *_between(f"From the {words.hot} lead to the chassis", diagram.hot_to_chassis),
        *_between("From the return lead to the chassis", diagram.return_to_chassis),
        *(_part(name, part.barrier, words) for part in diagram.parts if part for name in part.names),
    ]
    if diagram.earthed:
        mark = "" if diagram.earth_state == "kept" else f" ({diagram.earth_state})"
        sentences.append(f"{words.earth.capitalize()} wire to the chassis{mark}.")
    return " ".join(s for s in sentences if s)


def _said(drawn: DrawnSymbol) -> str:
    mark = "" if drawn.state == "kept" else f" ({drawn.state})"
    before = "Plug: " if drawn.kind == "plug" else ""
    return f"{before}{' '.join(drawn.labels)}{mark}"


def _lead(name: str, *drawn: DrawnSymbol | None) -> str:
    present = [_said(d) for d in drawn if d is not None]
    return f"{name}: {', then '.join(present) if present else 'nothing in it'}."


def _between(place: str, rows: Iterable[SymbolRow | None]) -> list[str]:
    said = _rows(rows)
    return [f"{place}: {said}."] if said else []


def _rows(rows: Iterable[SymbolRow | None]) -> str:
    return ", beside it ".join(" in series with ".join(_said(d) for d in row) for row in rows if row is not None)


def _chassis(diagram: Diagram, words: Words) -> str:
    if diagram.double_wound:
        return f"A double-wound transformer parts the set from the {words.line}."
    said = _rows(diagram.b_minus)
    return f"From {words.b_minus} to the chassis: {said}." if said else f"Nothing joins {words.b_minus} and chassis."


def _part(name: str, rows: Iterable[SymbolRow], words: Words) -> str:
    said = _rows(rows)
    where = f"through {said}" if said else "bolted on"
    return f"{part_words(name, words).capitalize()}: {where}."
