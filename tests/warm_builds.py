"""Builds of real sites in processes forked from one that has everything loaded: each pays for its own work alone.

What a process is started with (hash seed, locale, zone) cannot be had in this way.
"""

from __future__ import annotations

import gc
import os
import sys
import warnings
from collections.abc import Mapping
from importlib import import_module
from multiprocessing import forkserver, get_context
from pathlib import Path
from subprocess import CompletedProcess
from tempfile import TemporaryDirectory
from typing import Any, NoReturn

import jinja2
import pytest
from jinja2.bccache import Bucket, BytecodeCache

PATIENCE = 300
"""Seconds after which a build is taken to hang."""
FEW = 8
"""So many sets are built without further processes, each of which would have to load everything. A person's build
starts them for more than two, as do those here that are started anew or killed."""
_SAID = ("out", "err")
_THEMES = ("material", "mkdocs")
_ADAPTER = "benchleaf.mkdocs_plugin"
_PRELOAD = f"{__name__}_preload"
_started: int | None = None
"""The warm process, by its number."""


class _Compiled(BytecodeCache):
    """Templates as compiled, kept in memory under their source: MkDocs would compile a theme's in every build."""

    def __init__(self) -> None:
        self._kept: dict[tuple[str, str], bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if kept := self._kept.get((bucket.key, bucket.checksum)):
            bucket.bytecode_from_string(kept)

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._kept[bucket.key, bucket.checksum] = bucket.bytecode_to_string()


def warm_up() -> None:
    """Load what a build loads, and fill what it fills once: tables, templates."""
    for name in ("mkdocs.__main__", "mkdocs.commands.build", _ADAPTER):
        import_module(name)
    from benchleaf.build import all_sets
    from sites import SMALL_RECORD, write_site

    all_sets._FEW = FEW
    _keep_compiled(_Compiled())
    for theme in _THEMES:
        with TemporaryDirectory() as folder:
            _build_once(write_site(Path(folder) / "site", {"one": SMALL_RECORD}, f"theme: {{name: {theme}}}\n"))
    gc.collect()
    gc.freeze()


def _keep_compiled(kept: BytecodeCache) -> None:
    made = jinja2.Environment.__init__

    def make(self: jinja2.Environment, *arguments: Any, **named: Any) -> None:
        made(self, *arguments, **named)
        self.bytecode_cache = self.bytecode_cache or kept

    jinja2.Environment.__init__ = make  # type: ignore[method-assign]


def _build_once(site: Path) -> None:
    from mkdocs.commands.build import build
    from mkdocs.config import load_config

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        build(load_config(str(site / "mkdocs.yml")))


def forked(program: str, arguments: list[str], folder: Path, environment: Mapping[str, str]) -> CompletedProcess[str]:
    """Run MkDocs or ProperDocs with ``arguments`` in ``folder``, in a process forked from the warm one."""
    _start_server()
    with TemporaryDirectory() as told:
        files = [Path(told) / name for name in _SAID]
        for file in files:
            file.touch()
        given = (program, arguments, folder, dict(environment), told)
        process = get_context("forkserver").Process(target=_run, args=given)
        process.start()
        process.join(PATIENCE)
        if process.is_alive():
            process.kill()
            raise TimeoutError(f"{program} {' '.join(arguments)}")
        said = [file.read_text(encoding="utf-8") for file in files]
        return CompletedProcess([program, *arguments], process.exitcode or 0, *said)


def _start_server() -> None:
    """Start the warm process where none runs.

    It looks for what it is to load where the environment says (Python 3.11 does not hand it this process's own path),
    and passes over in silence what it does not find. One that sets were made by in this process has not loaded as much.
    """
    global _started
    if _started != forkserver._forkserver._forkserver_pid:
        forkserver._forkserver._stop()
    get_context("forkserver").set_forkserver_preload([_PRELOAD])
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", os.pathsep.join(path for path in sys.path if path))
        forkserver.ensure_running()
    _started = forkserver._forkserver._forkserver_pid


def _run(program: str, arguments: list[str], folder: Path, environment: dict[str, str], told: str) -> NoReturn:
    for name, stream in zip(_SAID, (sys.stdout, sys.stderr), strict=True):
        stream.flush()
        os.dup2(os.open(Path(told) / name, os.O_WRONLY), stream.fileno())
    if _PRELOAD not in sys.modules:
        sys.exit("the process that builds are forked from has nothing loaded")
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    warnings.simplefilter("ignore")
    if program != "mkdocs":
        _forget_mkdocs()
    sys.argv = [program, *arguments]
    import_module(f"{program}.__main__").cli(arguments, prog_name=program)
    sys.exit(0)


def _forget_mkdocs() -> None:
    """ProperDocs takes the place of MkDocs in whatever is imported after it."""
    for name in [n for n in sys.modules if n.partition(".")[0] in ("mkdocs", "material") or n == _ADAPTER]:
        del sys.modules[name]
