"""The demo site, built once for all tests that look at it."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from sites import REPO, build


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, built strictly into a folder of its own."""
    site = tmp_path_factory.mktemp("demo") / "site"
    result = build(REPO, "--strict", "--site-dir", str(site))
    assert result.returncode == 0, result.stderr
    return site


@pytest.fixture(scope="session")
def demo_address(demo_site: Path) -> Iterator[str]:
    """The demo, served on this machine only."""
    handler = functools.partial(_Quiet, directory=str(demo_site))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()
