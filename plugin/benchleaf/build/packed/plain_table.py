"""A spreadsheet of readings as it may be handed on: the cells that are read, and nothing else that was typed there."""

from __future__ import annotations

import csv
import io

from ...record.saved_table import saved_table
from ...record.spreadsheet import read_spreadsheet, read_table

_HEADINGS = ("tube or rail", "electrode or pin", "volts", "remark")


def plain_table(data: bytes, file: str) -> bytes | None:
    """The rows of a spreadsheet as a file of their own; the same for what it gave before.

    None where they would be read otherwise than in the file they come from, or nothing can be read.
    """
    table, _ = saved_table(data, file)
    if table is None:
        return None
    rows, _ = read_table(data, file)
    made = io.StringIO()
    lines = csv.writer(made, delimiter=table.parted_by if table.parted_by in ",;\t" else ",")
    lines.writerow(_HEADINGS)
    lines.writerows((row.name, row.at, row.volts, row.note) for row in rows)
    plain = made.getvalue().encode()
    again, _ = read_table(plain, file)
    same = [tuple(map(str, (r.name, r.at, r.volts, r.note))) for r in (*rows, *again)]
    as_read = read_spreadsheet(plain, file)[0] == read_spreadsheet(data, file)[0]
    return plain if as_read and same[: len(rows)] == same[len(rows) :] else None
