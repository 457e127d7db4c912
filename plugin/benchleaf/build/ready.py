"""Everything that making a set takes, loaded on import: by the process that those that make sets are forked from.

What fails here is passed over: the set that needs it meets it again, and tells it on its page.
"""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from pathlib import Path

from ..pages.rendering import compile_all
from .garbage import search_seldom

_NAMED = (
    "matplotlib.backends.backend_svg",
    "matplotlib.figure",
    "numpy",
    "eseries",
    "PIL.ImageCms",
    "PIL.JpegImagePlugin",
    "PIL.WebPImagePlugin",
    "schemdraw.elements",
    "scipy.integrate",
    "scipy.optimize",
    "yaml",
    "benchleaf.archive.on_card",
    *(f"{__package__}.{name}" for name in ("all_sets", "figures", "follow", "link_pictures")),
)
"""What is imported only where it is used, of libraries and of rooms of which else nothing is needed."""
_ROOMS = ("electrics", "words", "tubes", "drawing", "record", "circuit", "report", "chapters", "pages", "build/photos")
_PACKAGE = Path(__file__).parents[1]


def _load() -> None:
    for name in (*_NAMED, *_of_ours()):
        with suppress(Exception):
            import_module(name)
    with suppress(Exception):
        compile_all()


def _of_ours() -> Iterator[str]:
    for room in _ROOMS:
        for file in sorted((_PACKAGE / room).rglob("*.py")):
            yield ".".join((_PACKAGE.name, *file.relative_to(_PACKAGE).with_suffix("").parts)).removesuffix(".__init__")


# Threads of a library for linear algebra would be left behind by a fork; the matrices here are too small for them.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
search_seldom()
_load()
gc.collect()
gc.freeze()  # what is here stays: no fork looks through it for garbage, nor copies it by looking
