"""A new set put on the disk; whether the site around it would publish it, and what to write there if not."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

from ..build.found_sets import find_sets
from ..build.paths import in_words
from ..build.whereabouts import CONFIGURATIONS, DEFAULT, sets_folder
from ..record.inputs import RECORD_FILE
from ..record.problems import quoted
from .new_site import SCHEMA_FILE
from .site_options import is_file, options_in, site_above

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


def begins_a_site(folder: Path) -> bool:
    """Whether a whole site may be put there: a folder with nothing in it, or none yet, and no site or set around it.

    What does not count is what a code host or Python puts into a new project: hidden files, a licence, an environment.
    """
    home = Path(os.path.abspath(folder))
    try:
        empty = not os.path.lexists(home) or not any(map(_counts, home.iterdir()))
        beside = _folders_beside(home)
    except (OSError, ValueError):
        return False
    with_record = [os.path.lexists(each / RECORD_FILE) for each in beside]
    among_sets = os.path.lexists(home.parent / RECORD_FILE) or (bool(beside) and all(with_record))
    return empty and not among_sets and not any(is_file(up / name) for up in home.parents for name in CONFIGURATIONS)


def _folders_beside(home: Path) -> list[Path]:
    around = home.parent.iterdir() if home.parent.is_dir() else ()
    return [each for each in around if each.is_dir() and not each.name.startswith(".") and each.name != home.name]


def _counts(path: Path) -> bool:
    plain = path.name.startswith(".") or path.name.split(".")[0].upper() in ("LICENSE", "LICENCE", "README")
    return not plain and not os.path.lexists(path / "pyvenv.cfg")


def schema_above(folder: Path) -> str:
    """The way from a record to the schema beside the site's sets; empty where there is none."""
    found = site_above(folder)
    home = Path(os.path.abspath(folder))
    above = [up for up in home.parents if found and up.is_relative_to(found[0].parent)]
    beside = next((up for up in above if (up / SCHEMA_FILE).is_file()), None)
    return "" if beside is None else Path(os.path.relpath(beside / SCHEMA_FILE, home)).as_posix()


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
