"""Builds of real sites in processes forked from one that has everything loaded: each pays for its own work alone.

What a process is started with (hash seed, locale, zone) cannot be had in this way.
"""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Mapping
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from subprocess import CompletedProcess
from tempfile import TemporaryDirectory
from typing import NoReturn

PATIENCE = 300
"""Seconds after which a build is taken to hang."""
_SAID = ("out", "err")


def warm_up() -> None:
    """Load what a build loads, and fill what it fills once: tables, templates."""
    for name in ("mkdocs.__main__", "mkdocs.commands.build", "benchleaf.mkdocs_plugin"):
        import_module(name)
    from benchleaf.build.all_sets import build_archive, build_set
    from benchleaf.build.cache import Cache
    from benchleaf.pages.set_page import Choices
    from sites import SMALL_RECORD

    with TemporaryDirectory() as folder:
        record = Path(folder) / "one" / "record.yml"
        record.parent.mkdir()
        record.write_text(SMALL_RECORD, encoding="utf-8")
        build_archive([build_set(record.parent, Choices(), Cache(None))], Choices(), Cache(None), "../")


def forked(arguments: list[str], folder: Path, environment: Mapping[str, str]) -> CompletedProcess[str]:
    """Run MkDocs with ``arguments`` in ``folder``, in a process forked from the warm one."""
    context = get_context("forkserver")
    context.set_forkserver_preload([f"{__name__}_preload"])
    with TemporaryDirectory() as told:
        files = [Path(told) / name for name in _SAID]
        for file in files:
            file.touch()
        process = context.Process(target=_run, args=(arguments, folder, dict(environment), told))
        process.start()
        process.join(PATIENCE)
        if process.is_alive():
            process.kill()
            raise TimeoutError(f"mkdocs {' '.join(arguments)}")
        said = [file.read_text(encoding="utf-8") for file in files]
        return CompletedProcess(["mkdocs", *arguments], process.exitcode or 0, *said)


def _run(arguments: list[str], folder: Path, environment: dict[str, str], told: str) -> NoReturn:
    for name, stream in zip(_SAID, (sys.stdout, sys.stderr), strict=True):
        stream.flush()
        os.dup2(os.open(Path(told) / name, os.O_WRONLY), stream.fileno())
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    warnings.simplefilter("ignore")
    from mkdocs.__main__ import cli

    sys.argv = ["mkdocs", *arguments]
    cli(arguments, prog_name="mkdocs")
    sys.exit(0)
