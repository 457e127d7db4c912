"""What of the commonest tube types was read, what is cross-checked, and what rests on memory alone.

    python tests/tools/tube_coverage.py [--write]

prints the part of the page on the tube table that says so, worked out from the table; ``--write`` puts it in there.
The types are those of ``tests/facts/common_types.csv``. Of each, four things are asked: its heater (volts and current),
its pins (those that lead to an electrode or the heater), its ratings (all that the table has) and a point to work from
(one at least; of a rectifier what it drops). Each is as good as the weakest of its values, a point as the best.
Last come the points of all types that a public model of the type does not bear out.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchleaf.tubes import Tube, all_types, find, grade
from benchleaf.tubes.build_tube import parts_of
from benchleaf.tubes.fitted_models import MODEL_TOLERANCE, FittedModel, fitted_models
from benchleaf.tubes.grade import GRADES, Grade
from benchleaf.tubes.point_checks import grid_volts, models
from benchleaf.tubes.rectifiers import rectifier_figures

REPO = Path(__file__).parents[2]
PAGE = REPO / "site_src" / "writing" / "tubes.md"
BEGIN, END = "<!-- worked out by tests/tools/tube_coverage.py -->", "<!-- end of what is worked out -->"
ASPECTS = ("heater", "pins", "ratings", "point")
NOTHING = "none"
_LEAD_NOWHERE = frozenset({"nc", "ic", "shell", "s", "shield"})
_RATINGS = {
    "plate_volts": "plate volts",
    "plate_watts": "plate dissipation",
    "screen_volts": "screen volts",
    "screen_watts": "screen dissipation",
    "cathode_amps": "cathode current",
}


@dataclass(frozen=True)
class Covered:
    """One aspect of a type: the grade, ``none`` where the table has nothing, and which values only memory holds."""

    grade: str
    only_memory: tuple[str, ...] = ()


def common_types() -> list[str]:
    """The types of the written list, in its order."""
    with (REPO / "tests" / "facts" / "common_types.csv").open(encoding="utf-8", newline="") as table:
        return [row["type"] for row in csv.DictReader(table)]


def _weakest(values: list[tuple[str, Grade]]) -> Covered:
    if not values:
        return Covered(NOTHING)
    remembered = tuple(name for name, of in values if of == "from memory")
    return Covered(max((of for _, of in values), key=GRADES.index), remembered)


def _pins(tube: Tube) -> list[tuple[str, Grade]]:
    leading = (row for row in tube.pin_rows if not set(parts_of(row.electrode)) <= _LEAD_NOWHERE)
    return [(f"pin {row.pin}" if isinstance(row.pin, int) else row.pin, grade.pin(tube, row).grade) for row in leading]


def _ratings(tube: Tube) -> Iterator[tuple[str, Grade]]:
    for maxima in (tube.maxima, *tube.other_maxima):
        where = f" of the {maxima.section}" if maxima.section else ""
        for name, words in _RATINGS.items():
            limit = getattr(maxima, name)
            if limit:
                yield words + where, grade.rated(tube, maxima.section, name, limit).grade
        for direct in maxima.dc:
            said = f"direct current, {direct.condition}" if direct.condition else "direct current"
            yield said, grade.direct_current(tube, maxima.section, direct).grade


def _point(tube: Tube) -> Covered | None:
    figures = rectifier_figures(tube)
    if "rectifier" in (tube.role or ""):
        grades = [grade.drop(tube, drop).grade for drop in figures.drops] if figures else []
    elif tube.role == "twin diode":
        return None
    else:
        grades = [grade.point(tube, point).grade for point in tube.typical if point.plate_volts and point.plate_amps]
    if not grades:
        return Covered(NOTHING)
    best = min(grades, key=GRADES.index)
    return Covered(best, ("point",) if best == "from memory" else ())


def covered(type_: str) -> dict[str, Covered]:
    """The four aspects of a type of the table; a twin diode has no point. Raises LookupError for any other."""
    tube = find(type_)
    if tube is None or tube.asked_as != "type":
        raise LookupError(type_)
    heater: list[tuple[str, Grade]] = [
        ("volts", grade.heater_volts(tube).grade),
        ("current", grade.heater_amps(tube).grade),
    ]
    found = {"heater": _weakest(heater), "pins": _weakest(_pins(tube)), "ratings": _weakest([*_ratings(tube)])}
    point = _point(tube)
    return found if point is None else found | {"point": point}


@dataclass(frozen=True)
class Modelled:
    """A point of the table beside a public model of its type: ``at`` which volts or current, milliamperes or volts."""

    model: FittedModel
    at: str
    ours: float
    modelled: float
    unit: str

    @property
    def far(self) -> bool:
        """True where the model does not bear the point out."""
        return abs(self.modelled - self.ours) > MODEL_TOLERANCE * self.ours


def modelled() -> Iterator[Modelled]:
    """Every point and drop of the table that a public model of the type speaks of."""
    for type_ in all_types():
        tube = find(type_)
        assert tube is not None
        for model in fitted_models(type_):
            yield from _drops(tube, model) if model.form == "diode" else _points(tube, model)


def _points(tube: Tube, model: FittedModel) -> Iterator[Modelled]:
    for point in tube.typical:
        grid = grid_volts(point)
        if grid is None or not (models(model, point) and point.plate_volts and point.plate_amps):
            continue
        volts = (point.plate_volts, point.screen_volts, round(grid, 2))
        at = ", ".join(f"{value:g} V" for value in volts if value is not None)
        found = model.currents(point.plate_volts, grid, point.screen_volts)[0]
        yield Modelled(model, at, point.plate_amps * 1e3, found * 1e3, "mA")


def _drops(tube: Tube, model: FittedModel) -> Iterator[Modelled]:
    figures = rectifier_figures(tube)
    for drop in figures.drops if figures else ():
        yield Modelled(model, f"{drop.amps * 1e3:.3g} mA", drop.volts, model.drop_volts(drop.amps), "V")


def _far_said() -> str:
    far = dict.fromkeys(
        f"{of.model.type}{f' {of.model.section}' if of.model.section else ''} at {of.at}: "
        f"{of.ours:.3g} {of.unit} here, {of.modelled:.3g} there"
        for of in modelled()
        if of.far
    )
    return "; ".join(far)


def text() -> str:
    """The part of the page: counts, then the types by name."""
    known = {type_: covered(type_) for type_ in common_types()}
    lines = [f"Of the {len(known)} commonest types:", "", "| | read | cross-checked | from memory | not in the table |"]
    lines.append("| --- | --- | --- | --- | --- |")
    for aspect in ASPECTS:
        counts = Counter(of[aspect].grade for of in known.values() if aspect in of)
        lines.append(f"| {aspect} | " + " | ".join(str(counts[name]) for name in (*GRADES, NOTHING)) + " |")
    for aspect in ASPECTS:
        of_type = {type_: of[aspect] for type_, of in known.items() if aspect in of}
        lines += ["", f"**{aspect.capitalize()}**", ""]
        lines += [f"- *{words}*: {_names(of_type, name)}." for name, words in _HEADS if _names(of_type, name)]
    lines += ["", "**Points that a public model of the type does not bear out**", "", f"{_far_said()}."]
    return "\n".join(lines) + "\n"


_HEADS = (
    ("from memory", "from memory alone, in part or whole"),
    (NOTHING, "not in the table"),
    ("cross-checked", "cross-checked"),
)


def _names(of_type: dict[str, Covered], name: str) -> str:
    return ", ".join(_name(type_, of) for type_, of in of_type.items() if of.grade == name)


def _name(type_: str, of: Covered) -> str:
    whole = len(of.only_memory) > 3 or of.only_memory in ((), ("point",))
    return type_ if whole else f"{type_} ({', '.join(of.only_memory)})"


def renewed(page: str) -> str:
    """A page with the part between the two marks as it is worked out now."""
    before, rest = page.split(BEGIN)
    return f"{before}{BEGIN}\n\n{text()}\n{END}{rest.split(END)[1]}"


def main() -> int:
    """Prints what is worked out, or writes it into the page."""
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--write", action="store_true")
    if ap.parse_args().write:
        PAGE.write_text(renewed(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
    else:
        print(text(), end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
