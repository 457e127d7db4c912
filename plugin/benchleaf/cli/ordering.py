"""``benchleaf order``: what to get for all sets that are not finished; by part, by set or by member."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..record.set_files import MISSING, Refusal, read
from .records import records
from .status import CLEAN, FAILED, PROBLEMS, USAGE
from .streams import put, say, utf8_output

if TYPE_CHECKING:
    from ..archive.orders import NotUnderstood
    from ..archive.stock import InDrawer
    from ..archive.told_apart import NamedSet
    from ..archive.wanted_parts import WantedPart
    from ..build.one_set import Examination


def add_to(commands: Any) -> None:
    """Adds ``order`` to the parser's commands."""
    order = commands.add_parser("order", help="what to order for all sets that are not finished")
    order.add_argument("paths", nargs="+", metavar="PATH", help="record.yml, a set's folder, or a folder of sets")
    order.add_argument(
        "--by", choices=("part", "set", "member"), default="part", help="for the buyer, for the bench, for the bill"
    )
    order.add_argument("--pairs", action="store_true", help="two parts where they come nearer to an old value than one")
    order.add_argument(
        "--stock", type=Path, metavar="stock.csv", help="what is in the drawer: part, count, price; left out, the one "
        "beside the records",
    )  # fmt: skip
    order.add_argument(
        "--spare", type=float, default=0.0, metavar="PERCENT", help="how many to order over what is needed"
    )
    order.add_argument("--to", choices=("text", "csv", "json"), default="text")
    order.add_argument("--decimals", choices=("point", "comma"), help="the sign; in CSV, with a comma semicolons part")
    order.set_defaults(run=_order)


@dataclass
class _Gathered:
    """What the sets wait for, each set with its name, and how the call ends."""

    named: list[NamedSet] = field(default_factory=list)
    wanted: list[tuple[WantedPart, ...]] = field(default_factory=list)
    left_out: list[tuple[NotUnderstood, ...]] = field(default_factory=list)
    status: int = CLEAN


def _order(given: argparse.Namespace) -> int:
    from ..archive.order_views import written
    from ..archive.orders import order
    from ..words.decimal_sign import decimals_behind

    if not 0 <= given.spare <= 1000:
        say(f"--spare {given.spare:g}: a share from 0 to 1000 per cent was expected")
        return USAGE
    if given.stock is not None and isinstance(refused := read(given.stock, given.stock.parent), Refusal):
        missing = f"--stock {given.stock}: no file here"
        say(missing if refused is MISSING else refused.problem(str(given.stock)))
        return USAGE
    found = [one for path in given.paths for one in ((path, *each) for each in records([path]))]
    for _, file, data, _ in found:
        if isinstance(data, Refusal):
            say(f"{file}: no record here" if data is MISSING else data.problem(file))
            return USAGE
    drawer, status = _drawer(given.stock, [folder for *_, folder in found])
    gathered = _Gathered(status=status)
    for path, file, data, folder in found:
        if isinstance(data, bytes):
            _gather(gathered, file, data, folder, path)
    waiting, left_out = _named(gathered)
    listed = order(waiting, drawer, spare=given.spare / 100, pairs=given.pairs, not_understood=left_out)
    utf8_output()
    with decimals_behind(given.decimals or "point"):
        put(written(listed, given.by, given.to))
    return gathered.status


def _drawer(stock: Path | None, folders: Sequence[Path]) -> tuple[tuple[InDrawer, ...], int]:
    """What is in the drawer that is named, or else in those beside the records."""
    from ..build.beside_sets import STOCK, above, drawer_in

    beside = dict.fromkeys(root / STOCK for folder in folders if (root := above(folder, STOCK)) is not None)
    found = [drawer_in(file, str(file)) for file in ([stock] if stock is not None else beside)]
    for problem in (one for _, problems in found for one in problems):
        say(problem)
    status = PROBLEMS if any(problems for _, problems in found) else CLEAN
    return tuple(part for parts, _ in found for part in parts), status


def _gather(gathered: _Gathered, file: str, data: bytes, folder: Path, path: str) -> None:
    from ..archive.told_apart import NamedSet
    from ..archive.wanted_parts import wanted
    from ..build.failure import sentence, told
    from ..build.one_set import examination_of
    from .site_options import choices_of_site, name_of_set

    try:
        found = examination_of(data, folder, file, choices_of_site(folder))
        parts = wanted(found.examined) if found.examined else ()
        left_out = tuple(_left_out(found, file))
    except Exception as error:
        say(sentence(file, told(error)))
        gathered.status = FAILED
        return
    for problem in found.problems:
        say(problem.public())
        gathered.status = max(gathered.status, PROBLEMS)
    name = name_of_set(folder, Path(path))
    record = found.examined.record if found.examined else None
    member = str(record.member or "") if record else ""
    said = ", ".join(filter(None, (f"{record.maker} {record.model}", str(record.called or "")))) if record else file
    gathered.named.append(NamedSet(said, member or name.rpartition("/")[0].partition("/")[0], name))
    gathered.wanted.append(parts)
    gathered.left_out.append(left_out)


def _named(gathered: _Gathered) -> tuple[list[WantedPart], list[NotUnderstood]]:
    """All of it, each set by a name that no other has."""
    from dataclasses import replace

    from ..archive.told_apart import told_apart

    waiting: list[WantedPart] = []
    left_out: list[NotUnderstood] = []
    labels = told_apart(gathered.named)
    for named, label, parts, lines in zip(gathered.named, labels, gathered.wanted, gathered.left_out, strict=True):
        name = f"{named.name}, {label}" if label else named.name
        waiting += (replace(part, set=name, member=named.member) for part in parts)
        left_out += (replace(one, set=name) for one in lines)
    return waiting, left_out


def _left_out(found: Examination, file: str) -> Iterator[NotUnderstood]:
    """What of a record that may wait for parts was not understood; the whole of one that could not be read."""
    from ..archive.orders import NotUnderstood

    if found.examined is None:
        yield NotUnderstood(file)
    elif found.unread and str(found.examined.record.state or "") != "finished":
        yield NotUnderstood(file, found.unread)
