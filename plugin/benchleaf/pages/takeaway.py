"""What a visitor may take away from a set's page: parts list, record, bench sheet, bench pad, cabinet card."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..chapters.examine import Examined, as_record_json
from .set_page import Choices, OutFile

if TYPE_CHECKING:
    from ..record.inputs import Inputs


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of the list: where it is, what it is called, and what it is good for."""

    href: str
    label: str
    hint: str
    download: bool = True


@dataclass(frozen=True)
class Offered:
    """The files and the list that names them."""

    links: tuple[Offer, ...]
    files: tuple[OutFile, ...]


def take_away(inputs: Inputs, examined: Examined, choices: Choices, *, as_typed: bool = True) -> Offered:
    """All downloads of one set. The record goes out without its private fields, whatever the page shows.

    ``as_typed`` is False where a line that was not understood may hold something private: then its text stays at home.
    """
    from .bench_pad import bench_pad
    from .cabinet_card import address
    from .sheets import bench_sheet, cabinet_card

    links: list[Offer] = []
    files: list[OutFile] = []
    if examined.findings["parts"] is not None:
        links.append(Offer("parts.csv", "Parts list (CSV)", "opens in any spreadsheet"))
        files.append(OutFile("parts.csv", parts_csv(examined)))
    # Where the notation of a file is broken, what stands under which name is not certain: its text stays unpublished.
    as_typed = as_typed and not examined.record.lost.marred
    links += [Offer("record.yml", "Record (YAML)", "to start a record of the same chassis from")] if as_typed else []
    files += [OutFile("record.yml", public_yaml(inputs.record or b""))] if as_typed else []
    links += [
        Offer("record.json", "Record and findings (JSON)", "in SI units, for other programs"),
        Offer("bench-sheet.html", "Bench sheet", "to print and take to the bench", download=False),
        Offer("bench-pad.html", "Bench pad", "to type readings into at the bench, on a phone", download=False),
        Offer("cabinet-card.html", "Cabinet card", "to print and leave inside the cabinet", download=False),
    ]
    files += [
        OutFile("record.json", json_text(examined)),
        OutFile("bench-sheet.html", bench_sheet(examined)),
        OutFile("bench-pad.html", bench_pad(examined, inputs.name, choices)),
        OutFile("cabinet-card.html", cabinet_card(examined, address(choices, inputs.name))),
    ]
    return Offered(tuple(links), tuple(files))


def json_text(examined: Examined) -> str:
    """``record.json`` as text, on one line (indenting would take twenty times as long); never NaN or infinity."""
    return json.dumps(as_record_json(examined), ensure_ascii=False, allow_nan=False) + "\n"


def parts_csv(examined: Examined) -> str:
    """The parts list as CSV; the header line alone where the record lists no parts."""
    from ..chapters.parts.parts_list import as_csv

    return as_csv(examined.record, examined.findings["parts"], examined.bench.words)


def public_yaml(record: bytes) -> str:
    """The record's lines without private fields and comments."""
    from ..record.mapping import as_yaml
    from ..record.model import Record
    from ..record.reader import decode, read_tree

    text, _ = decode(record, "")
    tree, _ = read_tree(text, "")
    assert tree is not None, "a record that was examined can be read"
    return as_yaml(tree, Record.private_words())
