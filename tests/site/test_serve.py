"""``mkdocs serve``: one save, one rebuild; no save, no rebuild."""

from __future__ import annotations

import json
import os
import queue
import socket
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sites import SMALL_RECORD, write_site


@contextmanager
def served(site: Path, port: int = 0) -> Iterator[queue.Queue[str]]:
    """The live server's own words, line by line, while it runs."""
    process = subprocess.Popen(
        [sys.executable, "-W", "ignore", "-m", "mkdocs", "serve", "--dev-addr", f"127.0.0.1:{port}"],
        cwd=site,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "PYTHONUNBUFFERED": "1"},
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        text=True,
    )
    said: queue.Queue[str] = queue.Queue()
    assert process.stderr
    stream = process.stderr
    reader = threading.Thread(target=lambda: [said.put(line) for line in stream], daemon=True)
    reader.start()
    try:
        yield said
    finally:
        process.terminate()
        process.wait(timeout=20)
        reader.join(timeout=5)
        stream.close()


def _heard(said: queue.Queue[str], words: str, seconds: float) -> int:
    """How often ``words`` came within ``seconds``."""
    count, end = 0, time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        try:
            count += words in said.get(timeout=left)
        except queue.Empty:
            break
    return count


def _wait(said: queue.Queue[str], words: str, seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            if words in said.get(timeout=end - time.monotonic()):
                return
        except queue.Empty:
            break
    raise AssertionError(f"the server never said {words!r}")


def test_one_save_is_one_rebuild_and_none_without(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    record = site / "docs/sets/trial/record.yml"
    with served(site) as said:
        _wait(said, "Serving on")
        assert _heard(said, "Building documentation", 3) == 0
        record.write_text(SMALL_RECORD.replace("Trial", "Saved"))
        _wait(said, "Building documentation")
        assert _heard(said, "Building documentation", 4) == 0
        _ = record.read_text()
        assert _heard(said, "Building documentation", 2) == 0


def test_the_server_survives_a_record_broken_and_mended(tmp_path: Path) -> None:
    site = write_site(tmp_path, {"trial": SMALL_RECORD})
    record = site / "docs/sets/trial/record.yml"
    with served(site) as said:
        _wait(said, "Serving on")
        record.write_text("maker: Testwell\n")
        _wait(said, "sets/trial/record.yml")
        record.write_text(SMALL_RECORD)
        _wait(said, "Documentation built")


def test_sets_beside_docs_dir_are_watched_and_drafts_are_shown_but_not_listed(tmp_path: Path) -> None:
    config = "plugins:\n  - search\n  - benchleaf: {sets: ../sets}\ndraft_docs: sets/draft/\n"
    site = write_site(tmp_path, {}, config)
    for name in ("trial", "draft"):
        (site / "sets" / name).mkdir(parents=True)
        (site / "sets" / name / "record.yml").write_text(SMALL_RECORD.replace("Trial", name.title()))
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    address = f"http://127.0.0.1:{port}/"
    with served(site, port) as said:
        _wait(said, "Serving on")
        assert _heard(said, "Building documentation", 2) == 0
        assert "Testwell Draft" in _page(f"{address}sets/draft/")
        assert "Testwell Trial" in _page(f"{address}sets/")
        assert "Testwell Draft" not in _page(f"{address}sets/")
        entries = json.loads(_page(f"{address}search/search_index.json"))["docs"]
        assert "35W4" in " ".join(e["text"] for e in entries if e["location"].startswith("sets/trial/"))
        assert "35W4" not in " ".join(e["text"] for e in entries if e["location"].startswith("sets/draft/"))
        (site / "sets/trial/record.yml").write_text(SMALL_RECORD.replace("Trial", "Saved"))
        _wait(said, "Building documentation")
        assert _heard(said, "Building documentation", 4) == 0
        assert "Testwell Saved" in _page(f"{address}sets/trial/")


def _page(address: str) -> str:
    with urllib.request.urlopen(address) as page:
        return str(page.read().decode("utf-8"))
