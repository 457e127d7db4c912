"""``benchleaf export``: a record with its findings, or a whole folder of sets, for other programs."""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..build.failure import sentence, told
from ..build.paths import in_words
from ..record.set_files import MISSING, Refusal
from .putting import taking_the_place_of
from .records import records
from .status import CLEAN, FAILED, PROBLEMS, USAGE
from .streams import put, say, utf8_output

if TYPE_CHECKING:
    from ..archive.whole_archive import WholeArchive
    from ..chapters.examine import Examined

_LISTS = ("sets", "parts", "readings")
_KINDS = ("json", "csv", "jsonl", "sqlite")
_DATABASE = b"SQLite format 3\0"


def add_to(commands: Any) -> None:
    """Adds ``export`` to the parser's commands."""
    export = commands.add_parser("export", help="record and findings as JSON, or lists of one set or of all, on stdout")
    export.add_argument("record", metavar="RECORD", help="record.yml, a set's folder, a folder of sets, or - for stdin")
    export.add_argument("--to", choices=_KINDS, default="json", help="what to write; left out, JSON")
    export.add_argument("--list", choices=_LISTS, help="of all sets as CSV: which list; left out, the sets")
    export.add_argument("--decimals", choices=("point", "comma"), help="the sign in CSV; with a comma, semicolons part")
    export.add_argument("--out", type=Path, metavar="FILE", help="the database that --to sqlite writes")
    export.set_defaults(run=_export)


def _export(given: argparse.Namespace) -> int:
    if given.to == "sqlite" and given.out is None:
        say("--to sqlite: no file to write; expected --out and its name")
        return USAGE
    if given.out is not None and given.to != "sqlite":
        say(f"--out {given.out}: is for --to sqlite; expected the shell to send the output to a file, as in “> FILE”")
        return USAGE
    if given.list and given.to != "csv":
        say(f"--list {given.list}: is for --to csv; expected no list")
        return USAGE
    found = list(records([given.record]))
    if len(found) > 1 and given.to == "json":
        say(f"{given.record}: {len(found)} records in this folder; name one of them, or write “--to jsonl”")
        return USAGE
    if len(found) > 1 or given.to in ("jsonl", "sqlite") or given.list:
        return _all(found, given)
    return _one(*found[0], given)


def _one(file: str, data: bytes | Refusal, folder: Path, given: argparse.Namespace) -> int:
    from ..build.one_set import written_out
    from .site_options import cache_of_site, choices_of_site

    if isinstance(data, Refusal):
        say(f"{file}: no record here" if data is MISSING else data.problem(file))
        return USAGE if data is MISSING else PROBLEMS
    decimals = given.decimals or "point"

    def written(examined: Examined) -> str:
        from ..pages.takeaway import json_text, parts_csv
        from ..words.decimal_sign import decimals_behind

        with decimals_behind(decimals):
            return (json_text if given.to == "json" else parts_csv)(examined)

    try:
        choices, form = choices_of_site(folder), f"{given.to} {decimals}"
        text, problems = written_out(data, folder, file, choices, form, written, cache_of_site(folder))
    except Exception as error:
        say(sentence(file, told(error)))
        return FAILED
    for problem in problems:
        say(problem.public())
    if text is None:
        if any(problem.private for problem in problems):
            say(f"{file}: nothing is written out before this is mended, as it is not certain what is private")
        return PROBLEMS
    utf8_output()
    put(text)
    return PROBLEMS if problems else CLEAN


def _all(found: Sequence[tuple[str, bytes | Refusal, Path]], given: argparse.Namespace) -> int:
    """Every set that is found; one that stops the program is told of and left out, and the others go on."""
    from ..archive.whole_archive import WholeArchive
    from ..words.decimal_sign import decimals_behind
    from .site_options import kept_back, name_of_set

    utf8_output()
    whole, root, worst, drafts = WholeArchive(), Path(given.record), CLEAN, list[str]()
    for file, data, folder in found:
        if isinstance(data, Refusal):
            say(f"{file}: no record here" if data is MISSING else data.problem(file))
            worst = max(worst, USAGE if data is MISSING else PROBLEMS)
            continue
        try:
            name, draft = name_of_set(folder, root), kept_back(folder)
            drafts += [name] if draft else []
            worst = max(worst, _add(whole, name, (file, data, folder), draft=draft, lines=given.to == "jsonl"))
        except Exception as error:
            say(sentence(file, told(error)))
            worst = FAILED
    if drafts:
        say(f"drafts, which the site does not publish: {in_words(', '.join(drafts))}")
    if given.to == "csv":
        with decimals_behind(given.decimals or "point"):
            put(whole.as_csv(given.list or "sets"))
    if given.to == "sqlite" and not _write(whole, given.out):
        return USAGE
    return worst


def _add(whole: WholeArchive, name: str, of: tuple[str, bytes, Path], *, draft: bool, lines: bool) -> int:
    """One set put among the others; with ``lines`` its data goes out at once, on a line of its own."""
    import json

    from ..build.one_set import examination_of
    from ..chapters.examine import as_record_json
    from .site_options import choices_of_site

    file, data, folder = of
    looked = examination_of(data, folder, file, choices_of_site(folder))
    known = as_record_json(looked.examined) if looked.examined else {}
    if lines:
        told_of = {"set": name, **({"draft": True} if draft else {})}
        put(json.dumps({**told_of, **known}, ensure_ascii=False, allow_nan=False) + "\n")
    else:
        whole.add(name, looked.examined, known, len(looked.unread), draft=draft)
    for problem in looked.problems:
        say(problem.public())
    return PROBLEMS if looked.problems else CLEAN


def _write(whole: WholeArchive, file: Path) -> bool:
    """The database put in place as a whole; only a database may stand there before, and no link is followed."""
    if os.path.islink(file) or (os.path.lexists(file) and not _is_database(file)):
        say(f"--out {file}: something else is there already; expected a new name, or a database to replace")
        return False
    try:
        with taking_the_place_of(file) as beside:
            whole.write_database(beside)
    except OSError as error:
        say(f"--out {file}: cannot be written: {error.strerror or 'no reason given'}")
        return False
    return True


def _is_database(file: Path) -> bool:
    try:
        if not file.is_file():
            return False
        with file.open("rb") as stream:
            return stream.read(len(_DATABASE)) == _DATABASE
    except OSError:
        return False
