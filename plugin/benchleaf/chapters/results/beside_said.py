"""Results beside what is worked out of the set: the output stage's limit, the image, hum below the output."""

from __future__ import annotations

from collections.abc import Iterator

from ...circuit.frequencies import AERIAL_Q
from ...report.amount import Amount, Origin
from ...report.anchors import tube_anchor
from ...report.sentence import Link, Phrase
from ...report.source import COMMON_PRACTICE
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ..bench import Bench
from .findings import BesideTheSet, ResultsFindings

_OVER = 1.25
"""Times the limit: readings, and the harmonics of a stage driven hard, take a power so far (common practice, no
source)."""


def beside_table(findings: ResultsFindings, bench: Bench) -> Table | None:
    """The table; None where nothing is worked out of the set."""
    if not findings.beside:
        return None
    columns = (
        Column("What"),
        Column("Measured", NUMBER, Origin.MEASURED),
        Column("Worked out", NUMBER, Origin.COMPUTED),
        Column("Which is"),
    )
    rows = tuple(
        Row(cell(one.name), (_measured(one), _worked_out(one), Cell((_which(one, findings, bench),))))
        for one in findings.beside
    )
    return Table("Beside the set itself", "Beside what is worked out of the set", columns, (RowGroup(rows),))


def _measured(one: BesideTheSet) -> Cell:
    return cell(Amount(one.measured, one.unit, Origin.MEASURED, digits=3)) if one.measured is not None else cell()


def _worked_out(one: BesideTheSet) -> Cell:
    if one.what == "nameplate":
        return cell(Amount(one.worked_out, "W", Origin.PUBLISHED, digits=3))
    return cell(Amount(one.worked_out, one.unit, Origin.COMPUTED, digits=2))


def _which(one: BesideTheSet, findings: ResultsFindings, bench: Bench) -> Phrase:
    stage = findings.output_stage
    if one.what == "limit" and stage:
        return ("the most that ", Link(stage.tube, tube_anchor(stage.tube)), " can give in class A, at ",
                Amount(stage.plate_to_cathode_volts, "V", digits=3), " and ", Amount(stage.amps, "A", digits=2),
                *((" into ", Amount(stage.load_ohms, "ohm", digits=2)) if stage.load_ohms else ()))  # fmt: skip
    if one.what == "image":
        return (f"the image held back by one tuned circuit at the {bench.words.aerial}, Q {AERIAL_Q:.0f} taken, at ",
                Amount(one.at_hertz, "Hz", digits=4))  # fmt: skip
    if one.what == "draws":
        return (f"what the set takes from its {bench.words.line} by its heaters and its rectifier",)
    if one.what == "nameplate":
        return ("the nameplate",)
    return ("hum against the output power that was measured, across the same load",)


def over_limit(findings: ResultsFindings) -> BesideTheSet | None:
    """The output power, where it is well above what the stage can give as a sine."""
    limits = (one for one in findings.beside if one.what == "limit")
    return next((one for one in limits if (one.measured or 0) > _OVER * one.worked_out), None)


def beside_working(findings: ResultsFindings, bench: Bench) -> Iterator[Phrase]:
    """How each was worked out."""
    kinds = {one.what for one in findings.beside}
    stage = findings.output_stage
    if "limit" in kinds and stage:
        how = {"published": f"the load the {bench.words.tube} is published with",
               "reflected": "the load the transformer is said to match",
               "speaker": "what the speaker makes through its transformer"}.get(stage.load_how, "")  # fmt: skip
        load = f"; with {how}, the smaller of I² R ÷ 2 and V² ÷ 2 R." if how else ", V I ÷ 2."
        plate = bench.words.plate
        yield (f"In class A a sine takes the {plate} current no lower than zero and the {plate} no lower than the "
               f"cathode, so that half of what goes in can come out at most{load} A {bench.words.tube} stays below "
               f"it, and the transformer takes its share. Volts and current are those of “{stage.run}”.",)  # fmt: skip
    if "image" in kinds:
        yield ("Image: 10 log (1 + (Q (fi ÷ f − f ÷ fi))²), fi = f + 2 IF. ", f"Q = {AERIAL_Q:.0f} is taken (",
               COMMON_PRACTICE, ").")  # fmt: skip
    if "hum" in kinds:
        yield ("Hum: 20 log (hum ÷ √(power × load)).",)
