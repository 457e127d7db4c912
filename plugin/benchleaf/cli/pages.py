"""``benchleaf pages``: the pages of all sets as plain files, for another generator or as a small site of their own."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..build.paths import real_path
from ..build.whereabouts import DEFAULT, sets_folder
from ..electrics.limits import LIMITS
from ..record.inputs import RECORD_FILE
from ..record.manner import SLASH_DATES
from ..record.problems import one_of, quoted
from ..words import DIALECTS
from ..words.decimal_sign import SIGNS
from .own_pages_of import left_as_typed, named_in, not_read, ways_in
from .records import is_folder, root_in
from .site_options import options_in, site_above, site_at
from .status import CLEAN, FAILED, PROBLEMS, USAGE
from .streams import say

if TYPE_CHECKING:
    import argparse

    from ..build.plain_site import Surroundings
    from ..pages.set_page import Choices

_GENERATORS = {"any": "index", "hugo": "_index"}
"""What the page of a folder is called: Hugo takes an ``index.md`` for a page without pages below it."""


class _OptionError(Exception):
    """An option of the configuration that cannot be; the text says which."""


def add_to(commands: Any) -> None:
    """Adds ``pages`` to the parser's commands."""
    pages = commands.add_parser("pages", help="the pages of all sets as plain files, for any generator or none")
    pages.add_argument("out", type=Path, metavar="OUT", help="the folder to write into; of what is there nothing goes")
    pages.add_argument(
        "--from", dest="sets", type=Path, metavar="SETS", help="the folder of the sets; left out, that of the site here"
    )
    pages.add_argument(
        "--own",
        type=Path,
        metavar="FOLDER",
        help="take the pages of your own in it along, with their pieces put in; with --site that of the site here",
    )
    pages.add_argument("--site", action="store_true", help="a small site of its own, which works from a disk too")
    pages.add_argument("--for", dest="generator", choices=tuple(_GENERATORS), help="hugo: as Hugo wants its files")
    pages.set_defaults(run=_pages)


def _pages(given: argparse.Namespace) -> int:
    from ..build.handed_over import NotHandedOverError, hand_over
    from ..build.plain_site import as_markdown, as_site, plain_site

    if given.site and given.generator:
        say(f"--for {given.generator}: is for files that a generator reads; expected it without --site")
        return USAGE
    sets = given.sets or _sets_here()
    if fault := _fault(sets, given.out):
        say(fault)
        return USAGE
    if given.own and (fault := _own_fault(given.own, given.out)):
        say(fault)
        return USAGE
    try:
        around, choices = _surroundings(sets, given.out, given.own, site=given.site)
    except _OptionError as error:
        say(error)
        return USAGE
    built = plain_site(sets, around, choices, given.out)
    if built.site.sets.fault:
        say(built.site.sets.fault)
        return USAGE
    plain = as_site(built, around) if given.site else as_markdown(built, around, _GENERATORS[given.generator or "any"])
    unfilled = () if given.site or given.own else left_as_typed(given.out, plain.files)
    for told in (*plain.remarks, *(not_read(around) if given.site else ()), *unfilled, *plain.warnings):
        say(told)
    try:
        changed = hand_over(given.out, plain.files, sets)
    except NotHandedOverError as error:
        say(f"{error}; nothing was changed")
        return USAGE
    say(f"{given.out}: {len(plain.files)} files, {changed or 'none'} of them changed")
    return FAILED if plain.failed else PROBLEMS if plain.warnings else CLEAN


def _sets_here() -> Path:
    """The folder of the sets of the site in this folder; ``sets`` where there is no site, or one that does not say."""
    found = site_at(Path("."))
    options = options_in(found[1]) if found else None
    if found is None or options is None or "sets" not in options:
        return Path(DEFAULT)
    file, settings = found
    return Path(os.path.relpath(sets_folder(str(options["sets"]), _docs(file, settings), file.parent).path))


def _fault(sets: Path, out: Path) -> str:
    if not is_folder(sets):
        return f"{sets}: found no folder; expected that of the sets; name it with --from"
    if root_in([str(sets), str(out)]):
        return f"{sets if root_in([str(sets)]) else out}: found the root of a disk; expected a folder"
    if os.path.lexists(sets / RECORD_FILE):
        return f"{sets}: found a set's folder; expected the folder of the sets, which holds it"
    if real_path(out).is_relative_to(real_path(sets)):
        return f"{out}: lies among the sets; expected a folder outside {sets}"
    return ""


def _own_fault(own: Path, out: Path) -> str:
    if not is_folder(own):
        return f"{own}: found no folder; expected that of your own pages"
    if root_in([str(own)]):
        return f"{own}: found the root of a disk; expected a folder"
    if real_path(out) == real_path(own):
        return f"{out}: holds the pages of your own; expected another folder to write them into"
    return ""


def _docs(file: Path, settings: Mapping[str, object]) -> Path:
    return file.parent / str(settings.get("docs_dir") or "docs")


def _surroundings(sets: Path, out: Path, own: Path | None, *, site: bool) -> tuple[Surroundings, Choices]:
    """What the configuration around the sets says, and the site's choices. Private lines are never shown here.

    ``own`` is the folder of the site's own pages where the writer names it.

    Raises _OptionError for an option with a value that there is not.
    """
    from ..build.plain_site import Surroundings
    from ..pages.set_page import Choices

    found = site_above(sets)
    if found is None:
        project, docs = Path(os.path.abspath(sets)).parent, (own or out).absolute()
        around = Surroundings(project, docs, own=own is not None, shown=str(own or ""))
        return around, Choices(directory_urls=not site)
    file, settings = found
    options = options_in(settings) or {}
    theme = settings.get("theme")
    spoken = (theme.get("language") or theme.get("locale") or "") if isinstance(theme, dict) else ""
    docs = own or _docs(file, settings)
    around = Surroundings(
        file.parent,
        docs.absolute(),
        excluded=str(settings.get("exclude_docs") or ""),
        drafts=str(settings.get("draft_docs") or ""),
        site_url=str(settings.get("site_url") or ""),
        name=str(settings.get("site_name") or ""),
        language=str(spoken),
        keep=options.get("cache") is not False,
        joined=_paths(options.get("joined")),
        own=own is not None or (site and is_folder(docs)),
        shown=str(own or os.path.relpath(docs)),
        ways=ways_in(settings),
        named=named_in(settings),
    )
    told = {name: _one_of(name, options, known, file) for name, known in _KNOWN.items() if name in options}
    how = options.get("how_it_works") is not False
    return around, Choices(directory_urls=not site, how_it_works=how, **told)


_KNOWN: Mapping[str, tuple[str, ...]] = {
    "dialect": tuple(DIALECTS),
    "decimal_sign": tuple(SIGNS),
    "touch_limit": tuple(LIMITS),
    "slash_dates": ("", *SLASH_DATES),
}
"""The options whose values are words, with what each may be."""


def _paths(written: object) -> tuple[str, ...]:
    return tuple(map(str, written)) if isinstance(written, list) else ()


def _one_of(name: str, options: Mapping[str, object], known: tuple[str, ...], file: Path) -> Any:
    value = options[name]
    if value not in known:
        expected = one_of([quoted(one) for one in known if one])
        raise _OptionError(f"{file}: the option “{name}”: found {quoted(str(value))}; expected {expected}")
    return value
