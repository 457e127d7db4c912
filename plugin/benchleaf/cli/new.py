"""The command ``new``: a whole site with its first set where there is nothing yet, one more set in a site."""

from __future__ import annotations

import os
import re
import unicodedata
from pathlib import Path
from typing import TYPE_CHECKING

from ..build.whereabouts import CONFIGURATIONS, DEFAULT, sets_folder
from ..record import read_record
from ..record.inputs import RECORD_FILE
from ..record.manner import AMERICAN_SITE
from ..words import AMERICAN, DIALECTS
from .new_site import SCHEMA_FILE, files_of_site
from .putting import put_files
from .site_options import dialect_of_site, is_file, manner_of_site, options_in, site_at
from .starter import starter
from .starting import advice, begins_a_site, put_record, schema_above
from .status import CLEAN, USAGE
from .streams import say

if TYPE_CHECKING:
    import argparse

_FIRST_SET = "my-first-set"
_MAKER = "Unknown maker"
"""What stands for a maker until it is written; true of a set that nobody asked about yet."""


def new(given: argparse.Namespace) -> int:
    """Start a site or a set as the arguments say. Exit status 0, or 2 where nothing was written."""
    folder: Path = given.folder
    named = _folder_name(" ".join(filter(None, (given.maker, given.model)))) or _FIRST_SET
    whole = begins_a_site(folder)
    if not whole and (there := _sets_of(folder)):
        folder = there / named
    maker, model = maker_of(given.maker), model_of(given.model, Path(named) if whole else folder)
    dialect = given.dialect or (AMERICAN.dialect if whole else dialect_of_site(folder))
    schema = f"../{SCHEMA_FILE}" if whole else schema_above(folder)
    text = starter(maker, model, given.power or "", DIALECTS[dialect], schema)
    manner = AMERICAN_SITE if whole else manner_of_site(folder)
    record, problems = read_record(text.encode("utf-8", errors="replace"), RECORD_FILE, manner)
    for problem in problems:
        say(f"--{str(problem).split(': ', 1)[1]}")
    if problems or record is None:
        return USAGE
    if record.power:
        text = starter(maker, model, record.power, DIALECTS[dialect], schema)
    return _site(folder, named, text, given.dialect or "") if whole else _set(folder, text)


def maker_of(given: str | None) -> str:
    """The maker as it was given; “Unknown maker” where none was."""
    return _MAKER if given is None else given


def model_of(given: str | None, folder: Path) -> str:
    """The model as it was given; that of the set's folder where none was."""
    return _spoken(Path(os.path.abspath(folder)).name) if given is None else given


def _site(folder: Path, named: str, record: str, dialect: str) -> int:
    name = model_of(None, folder)
    put = put_files(folder, files_of_site(name, named, record, dialect), keep=(".gitignore",))
    if put.fault:
        say(f"{put.fault}; nothing was changed")
        return USAGE
    for path in put.written:
        say(f"{folder / path}: written")
    for path in put.kept:
        say(f"{folder / path}: there already, left as it is")
    record_file = folder / "sets" / named / RECORD_FILE
    where = "" if folder == Path(".") else f" in {folder}"
    say(f"“mkdocs serve”{where} shows the site; open {record_file} and go on from there")
    return CLEAN


def _set(folder: Path, text: str) -> int:
    if fault := put_record(folder, text):
        say(f"{fault}; nothing was changed")
        return USAGE
    say(f"{folder / RECORD_FILE}: written; open it and go on from there")
    told = advice(folder)
    if told:
        say(told)
    return CLEAN


def _sets_of(folder: Path) -> Path | None:
    """The folder of the sets of the site whose own folder this is; None for any other folder."""
    found = site_at(folder)
    if found is None:
        return folder / DEFAULT if any(is_file(folder / name) for name in CONFIGURATIONS) else None
    file, settings = found
    docs = file.parent / str(settings.get("docs_dir") or "docs")
    sets = sets_folder(str((options_in(settings) or {}).get("sets", f"../{DEFAULT}")), docs, file.parent)
    return Path(os.path.relpath(sets.path))


def _folder_name(text: str) -> str:
    """A name as a folder's: small letters of the Latin alphabet, digits and hyphens."""
    letters = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return "-".join(re.findall(r"[a-z0-9]+", letters.casefold()))[:60].strip("-")


def _spoken(name: str) -> str:
    """A folder's name as words: ``my-first-set`` is “My first set”."""
    words = " ".join(re.split(r"[-_\s]+", name)).strip()
    return words[:1].upper() + words[1:] if words else "My radios"
