"""What readers that only put a line in other words make of it, each as one short text, beside ``lines_shown``."""

from __future__ import annotations

from collections.abc import Callable

from pydantic_core import InitErrorDetails

from benchleaf.record.alignment_days import steps_below_their_day
from benchleaf.record.clauses import clauses_parted
from benchleaf.record.dial_read import with_dial_read
from benchleaf.record.manner import Manner
from benchleaf.record.parts_said import as_said
from benchleaf.record.said_bands import bands_as_said
from benchleaf.record.said_in_full import said_in_full
from benchleaf.record.sections.line_measured import LineSideMeasurement
from benchleaf.record.text import Entries, Listing, Text
from benchleaf.record.times_in_words import times_in_figures

TUBES = {"v4": "V4", "80": "V5", "6v6": "V6", "rectifier": "V7"}


def of_part(
    text: str, letters: str = "C", *, american: bool = True, millions: bool = False, single: bool = True
) -> Text:
    """A line of a part, whose name begins with those letters, in a set of four tubes."""
    made = Text(text, (3, 1), single=single)
    made.manner = Manner(part=letters, tubes=TUBES, american=american, millions=millions)
    return made


def told(text: Text) -> str:
    """A text with what its writer is told of it."""
    return str(text) + "".join(f" ({remark})" for _, remark in text.remarks)


def _in_line(value: object) -> str:
    match value:
        case Entries():
            return f"{{{', '.join(f'{key}: {_in_line(inner)}' for key, inner in value.items())}}}"
        case Listing():
            return f"[{' / '.join(map(_in_line, value))}]"
        case Text():
            return told(value)
    return str(value)


def clauses(letters: str, text: str) -> str:
    return told(clauses_parted(of_part(text, letters.removesuffix("+"), single="+" not in letters))).rstrip()


def in_full(letters: str, text: str) -> str:
    return told(said_in_full(of_part(text, letters))).rstrip()


def part_said(letters: str, text: str) -> str:
    return told(as_said(of_part(text, letters))).rstrip()


def dial(text: str) -> str:
    return told(with_dial_read(of_part(text, "")))


def in_figures(text: str) -> str:
    return told(times_in_figures(of_part(text, "")))


def bands(text: str) -> str:
    """Bands in one line, or name by name where a double stroke parts them."""
    if " // " not in text:
        return _in_line(bands_as_said(of_part(text, "")))
    named = Entries((2, 1))
    for number, band in enumerate(text.split(" // ")):
        name, _, ends = band.partition(": ")
        named[Text(name, (3 + number, 3))] = Text(ends, (3 + number, 9))
    return _in_line(bands_as_said(named))


def side_measured(text: str) -> str:
    """A measurement of the line side, as its line alone has it."""
    errors: list[InitErrorDetails] = []
    row = LineSideMeasurement._table(Text(text, (3, 3)), errors)
    return f"asked: {errors[0]['type']}" if errors or row is None else _in_line(row)


def sessions(text: str) -> str:
    """The rows of an alignment; what stands below a row's own name in brackets."""
    tree, rows = Entries((1, 1)), Listing((2, 1))
    for number, line in enumerate(text.split(" // ")):
        name, below, steps = line.partition(" [")
        row = Text(name, (3 + number, 3))
        if below:
            inner = Listing((3 + number, 5))
            inner += [Text(step, (3 + number, 5)) for step in steps.removesuffix("]").split(" / ")]
            rows.append(Entries((3 + number, 3)))
            rows[-1][row] = inner
        else:
            rows.append(row)
    tree[Text("alignment")] = rows
    steps_below_their_day(tree)
    return _in_line(tree["alignment"])


REWORDED: dict[str, Callable[..., str]] = {
    reader.__name__: reader
    for reader in (clauses, in_full, part_said, dial, in_figures, bands, side_measured, sessions)
}
