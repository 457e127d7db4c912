#!/usr/bin/env python3
"""How long a browser takes until a site can be searched. Not a test.

    python tests/bench/archive.py --sets 1000 --in FOLDER --part cold
    python tests/bench/search.py FOLDER/site [--as 1000]

Opens a page of a built site with Material's search, and waits until the search says that it is ready: the worker has
then fetched the index and made its own of it. Five times, each in a new browser without anything kept: the best by the
clock, and the CPU seconds that the browser took for it, which other work on the machine leaves alone. ``--as`` writes
the texts of the sets that there are under as many further addresses as it takes for so many sets, where building them
all would take too long.
"""

from __future__ import annotations

import argparse
import functools
import json
import os
import re
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from shutil import copytree
from time import monotonic
from typing import Any

from playwright.sync_api import Playwright, sync_playwright

INDEX = Path("search") / "search_index.json"
MOST_SECONDS = 1.0
_TRIES = 5
_OF_A_SET = re.compile(r"sets/([^/#]+)/")
_TUBES_OF_A_SET = re.compile(r"sets/([^/#]+)/#tubes$")
"""Below the same folder there are lists across sets, which have no tubes of their own."""
_PAGE = "index.html"
_READY = """() => {
  const said = document.querySelector('.md-search-result__meta');
  return said && !/initiali[sz]ing/i.test(said.textContent) && said.textContent.trim() !== '';
}"""


def with_sets(index: dict[str, Any], count: int) -> dict[str, Any]:
    """The index with the texts of its sets repeated under further addresses, until there are so many sets."""
    sets = {found[1] for text in index["docs"] if (found := _TUBES_OF_A_SET.match(text["location"]))}
    own, of_sets = [], dict[str, list[dict[str, str]]]()
    for text in index["docs"]:
        found = _OF_A_SET.match(text["location"])
        if found and found[1] in sets:
            of_sets.setdefault(found[1], []).append(text)
        else:
            own.append(text)
    names = list(of_sets)
    for number in range(count):
        name = f"{number:05}-{names[number % len(names)]}"
        for text in of_sets[names[number % len(names)]]:
            title = text["title"] if "#" in text["location"] else f"{text['title']} {number:05}"
            own.append({**text, "location": _OF_A_SET.sub(f"sets/{name}/", text["location"], count=1), "title": title})
    return {**index, "docs": own}


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *said: object) -> None:
        """Nothing."""


@contextmanager
def served(site: Path) -> Iterator[str]:
    """The address of a site, while it is served."""
    with ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=str(site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def _children(of: int) -> Iterator[int]:
    """The processes below one, itself with them."""
    yield of
    for task in Path(f"/proc/{of}/task").iterdir():
        for child in (task / "children").read_text().split():
            yield from _children(int(child))


def _browsers_seconds() -> float:
    """The CPU seconds of all processes that this one has started and that still run."""
    ticks = 0
    for process in list(_children(os.getpid())):
        if process != os.getpid():
            fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
            ticks += int(fields[11]) + int(fields[12])
    return ticks / os.sysconf("SC_CLK_TCK")


def seconds_until_ready(playwright: Playwright, address: str) -> tuple[float, float]:
    """Seconds by the clock and of CPU from asking for a page to a search that is ready, in a browser of its own."""
    browser = playwright.chromium.launch(executable_path="/usr/bin/chromium")
    page = browser.new_page()
    began, taken = monotonic(), _browsers_seconds()
    page.goto(address)
    page.wait_for_function(_READY, timeout=120_000)
    found = monotonic() - began, _browsers_seconds() - taken
    browser.close()
    return found


def measured(site: Path) -> tuple[float, float]:
    """The best of some tries, by the clock and of CPU."""
    with served(site) as address, sync_playwright() as playwright:
        tries = [seconds_until_ready(playwright, address + _PAGE) for _ in range(_TRIES)]
    return min(clock for clock, _ in tries), min(cpu for _, cpu in tries)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("site", type=Path, help="a built site")
    parser.add_argument("--as", type=int, dest="sets", metavar="SETS", help="measure an index of so many sets")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="benchleaf-bench-") as folder:
        site = Path(folder) / "site"
        copytree(given.site, site)
        index = json.loads((site / INDEX).read_text(encoding="utf-8"))
        (site / INDEX).write_text(json.dumps({**index, "docs": []}), encoding="utf-8")
        empty_clock, empty_cpu = measured(site)
        index = with_sets(index, given.sets) if given.sets else index
        written = json.dumps(index, separators=(",", ":"), ensure_ascii=False)
        (site / INDEX).write_text(written, encoding="utf-8")
        clock, cpu = measured(site)
    print(f"{len(written.encode()) / 1e6:.1f} MB of index, {len(index['docs'])} texts")
    print(f"page with an empty index: {empty_clock:.2f} s by the clock, {empty_cpu:.2f} s of CPU")
    print(f"page with this one: {clock:.2f} s by the clock, {cpu:.2f} s of CPU")
    kept = clock - empty_clock <= MOST_SECONDS or cpu - empty_cpu <= MOST_SECONDS
    print(f"for the index: {clock - empty_clock:.2f} s, {cpu - empty_cpu:.2f} s of CPU, {'kept' if kept else 'missed'}")


if __name__ == "__main__":
    main()
