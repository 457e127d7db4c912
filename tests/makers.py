"""Records, benches, findings and pages for every test: one way to make each, the way the build makes them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from importlib import import_module
from typing import Any

from benchleaf.chapters.bench import Bench
from benchleaf.chapters.examine import Examined, examine
from benchleaf.chapters.order import CHAPTERS, Chapter
from benchleaf.circuit.circuit import Circuit
from benchleaf.circuit.place import place
from benchleaf.pages.rendering import render
from benchleaf.record import read_record
from benchleaf.record.model import Record
from benchleaf.record.slips import Slips
from benchleaf.tubes import Tube, find

FILE = "record.yml"
SET = "maker: Larkfield\nmodel: Minuet 5\n"
"""What every record must have."""


def record(text: str = "") -> Record:
    """The record of ``text``, which may leave out maker and model. Fails where it cannot be read."""
    whole = text if text.startswith("maker:") else SET + text
    made, problems = read_record(whole.encode(), FILE)
    assert made is not None, [str(problem) for problem in problems]
    assert problems == []
    return made


def bench(of: Record | str = "", *, tubes: Mapping[str, str] | None = None, **more: Any) -> Bench:
    """A set on the bench, with its tubes from the table; ``tubes`` puts types in positions the record leaves out."""
    made = record(of) if isinstance(of, str) else of
    circuit = place(made, Slips(FILE))
    if tubes is not None:
        circuit = replace(circuit, tubes={p: known(type_) for p, type_ in tubes.items()})
    return Bench(circuit, **more)


def circuit(of: Record | str = "") -> Circuit:
    """The circuit of a record."""
    return bench(of).circuit


def told(look_over: Callable[[Record, Slips], None], of: Record) -> list[str]:
    """What one rule tells of a record."""
    slips = Slips(FILE)
    look_over(of, slips)
    return [str(problem) for problem in slips.problems()]


def known(type_: str) -> Tube:
    """A type of the tube table."""
    tube = find(type_)
    assert tube is not None, type_
    return tube


def examined(of: Record | str = "", **more: Any) -> Examined:
    """A record with the findings of all chapters."""
    return examine(bench(of, **more))


def chapter(folder: str) -> Chapter:
    """The chapter of a folder."""
    return next(c for c in CHAPTERS if c.folder == folder)


def findings(folder: str, on: Bench) -> Any:
    """A chapter's findings, given those it needs; None where the record says nothing on the subject."""
    needed = {need: findings(need, on) for need in chapter(folder).needs}
    return import_module(f"benchleaf.chapters.{folder}.examine").examine(on, **needed)


def standouts(folder: str, on: Bench) -> Any:
    """What a chapter puts at the top of the page."""
    return import_module(f"benchleaf.chapters.{folder}.say").standouts(findings(folder, on), on)


def page(folder: str, on: Bench, found: Any = None, **more: Any) -> str:
    """A chapter as HTML, without its figures unless they are given."""
    given = {"figures": {}, "pictures": {}, **more}
    return render(
        f"{folder}/page.html.j2",
        record=on.record,
        f=findings(folder, on) if found is None else found,
        bench=on,
        words=on.words,
        chapter=chapter(folder),
        **given,
    )
