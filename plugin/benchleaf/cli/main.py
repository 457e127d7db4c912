"""The same build without a site: new, check, export, schema. Data goes to stdout, messages to stderr."""

from __future__ import annotations

import argparse
import gc
import io
import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from .. import __version__
from ..build.failure import sentence, told
from ..build.garbage import search_seldom
from ..record.set_files import MISSING, Refusal
from ..words import DIALECTS
from . import add as cli_add
from . import completion, exporting, ordering, start_from
from . import fetch as cli_fetch
from . import marking as cli_marking
from . import pack as cli_pack
from . import pages as cli_pages
from . import parts_section as cli_parts_section
from . import readings as cli_readings
from . import unpack as cli_unpack
from .command_help import CommandParser
from .looked_over import problems_in
from .other_generators import takes_no_plugins
from .records import found_in, records, root_in
from .status import CLEAN, FAILED, PROBLEMS, USAGE
from .streams import UnwritableError, finish, give_up_output, put, say, shown

_STOPPED_BY_HAND = 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; 0 where all is well, 1 where a record has problems, 2 where the call itself is off.

    3 where a mistake of this program stopped it: then one line says where, and there is no traceback.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal of another encoding shows a sign it lacks as its code, and the command goes on.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    if arguments is None:
        search_seldom()
        # Otherwise pydantic reads the entry points of every installed package, a fifth of a run, and finds none for us.
        os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    parser = _parser()
    given = parser.parse_args(arguments)
    if not given.command:
        parser.print_help(sys.stderr)
        return USAGE
    try:
        if root := root_in(_paths_of(given)):
            say(f"{root}: found the root of a disk; expected a set's folder, or a folder of sets")
            return USAGE
        result: int = given.run(given)
        finish()
    except BrokenPipeError:
        # The reader of a pipe went away (`| head`): nothing more to say, and nothing to say it to.
        give_up_output()
        return CLEAN
    except UnwritableError as error:
        give_up_output()
        say(f"benchleaf {given.command}: what it found cannot be written: {error}")
        return USAGE
    except KeyboardInterrupt:
        return _STOPPED_BY_HAND
    except Exception as error:
        say(f"benchleaf {given.command}: stopped by a mistake of Benchleaf: {told(error)}")
        return FAILED
    if arguments is None:
        gc.freeze()
    return result


def _parser() -> argparse.ArgumentParser:
    parser = CommandParser(prog="benchleaf")
    parser.add_argument("--version", action="version", version=f"benchleaf {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    new = commands.add_parser("new", help="a whole site in an empty folder; in a site, a record that builds as it is")
    new.add_argument("folder", type=Path, metavar="FOLDER", nargs="?", default=Path("."))
    new.add_argument("--maker", help="left out, “Unknown maker” until it is written")
    new.add_argument("--model", help="left out, the name of the set's folder")
    new.add_argument(
        "--power", metavar="P", help="series string, transformer, autotransformer, battery, vibrator, three-way"
    )
    new.add_argument("--dialect", choices=tuple(DIALECTS), help="whose words the site and its first record speak")
    new.set_defaults(run=_new)
    check = commands.add_parser("check", help="every problem of one record or of many, one line each")
    check.add_argument(
        "paths", nargs="+", metavar="PATH", help="record.yml, a set's folder, a folder of sets, or - for stdin"
    )
    check.add_argument("--complete", action="store_true", help="also what the record does not tell yet: a list")
    check.set_defaults(run=_check)
    cli_add.add_to(commands)
    exporting.add_to(commands)
    cli_pages.add_to(commands)
    cli_readings.add_to(commands)
    cli_parts_section.add_to(commands)
    start_from.add_to(commands)
    cli_pack.add_to(commands)
    cli_unpack.add_to(commands)
    cli_fetch.add_to(commands)
    ordering.add_to(commands)
    cli_marking.add_to(commands)
    schema = commands.add_parser("schema", help="JSON Schema (draft 2020-12) of record.yml on stdout")
    schema.set_defaults(run=_schema)
    completion.add_to(commands, parser)
    return parser


def _paths_of(given: argparse.Namespace) -> list[str]:
    """The paths that a command is given to look for records in, or to put one in."""
    named = [getattr(given, name, None) for name in ("folder", "record")]
    return [*getattr(given, "paths", ()), *(str(path) for path in named if path is not None)]


def _new(given: argparse.Namespace) -> int:
    from .new import new

    return new(given)


def _check(given: argparse.Namespace) -> int:
    from ..build.beside_sets import words_beside
    from ..build.own_table import problems_beside

    found = missing = failed = 0
    of_tables: set[str] = set()
    of_sites: set[str] = set()
    for notice in (n for path in given.paths if path != "-" and "\0" not in path for n in found_in(Path(path)).notices):
        put(f"{shown(notice.told)}\n")
        found += 1
    for file, data, folder in records(given.paths):
        if data is MISSING:
            if not found_in(folder).notices:
                say(f"{file}: no record here")
                missing += 1
            continue
        try:
            if (told_of_site := takes_no_plugins(folder)) and told_of_site not in of_sites:
                of_sites.add(told_of_site)
                say(told_of_site)
            problems = [data.problem(file)] if isinstance(data, Refusal) else problems_in(data, folder, file)
            all_beside = (*problems_beside(folder), *words_beside(folder)[1])
            beside = [problem for problem in all_beside if str(problem) not in of_tables]
        except Exception as error:
            say(sentence(file, told(error)))
            failed += 1
            continue
        if given.complete and not isinstance(data, Refusal):
            from .complete import untold_lines

            put("".join(f"{shown(line)}\n" for line in untold_lines(data, folder, file)))
        of_tables.update(map(str, beside))
        for problem in (*beside, *problems):
            put(f"{shown(str(problem))}\n")
            found += 1
    if failed:
        return FAILED
    if missing:
        return USAGE
    if found:
        say(f"{found} problem{'s' if found != 1 else ''}")
    return PROBLEMS if found else CLEAN


def _schema(given: argparse.Namespace) -> int:
    from ..record.schema import record_schema

    put(json.dumps(record_schema(), ensure_ascii=False, indent=1) + "\n")
    return CLEAN
