"""A set that an exception keeps from being worked out: its page, and what is told without a traceback."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from ..record.inputs import RECORD_FILE

if TYPE_CHECKING:
    from ..pages.set_page import SetPage
    from .whereabouts import SetsFolder

_PACKAGE = Path(__file__).parents[1]
_TOP = "top"


def failed_page(folder: Path, why: str, sets: SetsFolder | None = None) -> SetPage:
    """The page of a set that could not be worked out; ``why`` goes into the log alone.

    Such a page is never cached: what stopped the set may have been the machine's (its memory, a process that ended).
    """
    from ..pages import rendering
    from ..pages.set_page import SetPage

    name = sets.name(folder) if sets else folder.name
    label = sets.label(folder) if sets else f"{folder.parent.name}/{folder.name}"
    file = f"{label}/{RECORD_FILE}"
    title = f"{name}: this set could not be worked out"
    html = rendering.render("failed.html.j2", top=_TOP, title=title, file=file)
    return SetPage(
        folder=name,
        title=title,
        description="A set that could not be worked out.",
        html=html,
        search=rendering.search_html(title, _TOP, []),
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
        failures=(sentence(file, why),),
    )


def sentence(file: str, why: str) -> str:
    """What is told of a record that could not be worked out."""
    return f"{file}: this set could not be worked out: {why}"


def told(error: BaseException) -> str:
    """What stopped a computation: the kind of exception and where in this package it arose; never its own words.

    An exception's words may hold text of the record, and its file names say where the package lies.
    """
    where = _code_place(error)
    return f"{type(error).__name__}{f' in {where}' if where else ''}"


def _code_place(error: BaseException) -> str:
    """The innermost function of this package on the way to the exception: ``chapters/heaters/string.py, solved``."""
    place, step = "", error.__traceback__
    while step is not None:
        code = step.tb_frame.f_code
        file = Path(code.co_filename)
        if file.is_relative_to(_PACKAGE):
            place = f"{file.relative_to(_PACKAGE).as_posix()}, {code.co_name.strip('<>')}"
        step = step.tb_next
    return place
