"""A new set put on the disk; whether the site around it would publish it, and what to write there if not."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

from ..build.found_sets import find_sets
from ..build.paths import in_words
from ..build.whereabouts import DEFAULT, sets_folder
from ..record.inputs import RECORD_FILE
from ..record.problems import quoted
from .site_options import options_in, site_above

_PLAIN = re.compile(r"(?:\.\./)*[\w][\w./-]*(?: [\w][\w./-]*)*")


def advice(folder: Path) -> str:
    """What to do so that the set in ``folder`` is published; empty where nothing is, or no site is found around it."""
    home = Path(os.path.abspath(folder))
    found = site_above(folder)
    if found is None:
        return ""
    file, settings = found
    docs = file.parent / str(settings.get("docs_dir") or "docs")
    options = options_in(settings)
    option = None if options is None else str(options.get("sets", DEFAULT))
    wanted = Path(os.path.relpath(home.parent, docs)).as_posix()
    if option is None:
        return f"{_shown(file)}: to publish it, write under plugins: {_lines(wanted)}"
    sets = sets_folder(option, docs, file.parent)
    if not sets.fault and home.is_relative_to(sets.path) and home != sets.path:
        return ""
    if sets.fault or not find_sets(sets.path).sets:
        return f"{_shown(file)}: to publish it, write under plugins: {_lines(wanted)}"
    shown = quoted(in_words(sets.shown) or "docs_dir")
    return f"{_shown(file)}: this site's sets lie in {shown}; move the folder there to publish it"


def put_record(folder: Path, text: str) -> str:
    """Write a new record, and a folder for its pictures beside it; what kept it from being written, empty for nothing.

    A record that is there already is never touched.
    """
    target = folder / RECORD_FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with target.open("x", encoding="utf-8", errors="replace", newline="\n") as file:
            file.write(text)
        (folder / "photos").mkdir(exist_ok=True)
    except FileExistsError as error:
        return f"{target}: there is a record already" if str(error.filename) == str(target) else _in_the_way(error)
    except NotADirectoryError as error:
        return _in_the_way(error)
    except (OSError, ValueError) as error:
        return f"{target}: cannot be written: {getattr(error, 'strerror', None) or error}"
    return ""


def _in_the_way(error: OSError) -> str:
    return f"{error.filename}: found a file in the way; expected a folder"


def _shown(file: Path) -> str:
    return in_words(Path(os.path.relpath(file)).as_posix())


def _lines(option: str) -> str:
    return "“- benchleaf”" if option == DEFAULT else f"“- benchleaf: {{sets: {_in_yaml(in_words(option))}}}”"


def _in_yaml(text: str) -> str:
    """A text as the configuration takes it: in quotes where YAML would read something else."""
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)
