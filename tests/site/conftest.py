"""The demo site, built once for all tests that look at it."""

from __future__ import annotations

import fcntl
import functools
import http.server
import json
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from sites import EPOCH, REPO, build

POLICY = "default-src 'self'; style-src 'self'; script-src 'self'; img-src 'self' data:"
"""As strict as a site can be served: nothing that stands in a page is run or styles it."""


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built strictly into a folder of its own; once, however many processes share the tests."""
    apart = "PYTEST_XDIST_WORKER" in os.environ
    shared = tmp_path_factory.getbasetemp().parent if apart else tmp_path_factory.mktemp("demo")
    site = shared / "demo-site"
    with (shared / "demo-site.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not site.exists():
            result = build(REPO, "--strict", "--site-dir", str(site), SOURCE_DATE_EPOCH=EPOCH)
            assert result.returncode == 0, result.stderr
    return site


class Unsought(_Quiet):
    """A site as it is but for an index of its search with nothing in it.

    Material reads the index on every page, which is near to half of what a page costs a browser.
    """

    def do_GET(self) -> None:
        if self.path != "/search/search_index.json":
            super().do_GET()
            return
        index = json.loads(Path(self.translate_path(self.path)).read_text(encoding="utf-8"))
        data = json.dumps({**index, "docs": []}).encode()
        self.send_response(200)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)


class Strict(_Quiet):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()


@contextmanager
def served(site: Path, handler: type[_Quiet] = _Quiet) -> Iterator[str]:
    """A site, served on this machine only: its address."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(handler, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="session")
def demo_address(demo_site: Path) -> Iterator[str]:
    """The demo for all that does not search it."""
    with served(demo_site, Unsought) as address:
        yield address


@pytest.fixture(scope="session")
def searched_address(demo_site: Path) -> Iterator[str]:
    """The demo as it is commonly served."""
    with served(demo_site) as address:
        yield address


@pytest.fixture(scope="session")
def strict_address(demo_site: Path) -> Iterator[str]:
    """The demo with the strictest policy."""
    with served(demo_site, Strict) as address:
        yield address
