"""``mkdocs serve``: one save, one rebuild; no save, no rebuild."""

from __future__ import annotations

import os
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sites import SMALL_RECORD, write_site


@contextmanager
def served(site: Path) -> Iterator[queue.Queue[str]]:
    """The live server's own words, line by line, while it runs."""
    process = subprocess.Popen(
        [sys.executable, "-W", "ignore", "-m", "mkdocs", "serve", "--dev-addr", "127.0.0.1:0"],
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
