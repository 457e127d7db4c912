"""Every number of some sources turned, whole: whether anything that is made of such a record raises.

    python tests/tools/turned_whole.py [SOURCE ...] [--share 1/2]

SOURCE is a demo set, an example of the written word (``values-3``) or a first draft, by its name as the tests have it;
all of them where none is named. ``--share 1/2`` takes every other case, from the first. What raises is printed with the
line that was turned; exit status 1 where anything does.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from sites import kept_in
from turned_numbers import sources, turned, work_out


def main() -> int:
    """Tries them and tells those that raise."""
    assert __doc__
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("source", nargs="*")
    parser.add_argument("--share", default="1/1")
    asked = parser.parse_args()
    share, shares = map(int, asked.share.split("/"))
    raised = 0
    with tempfile.TemporaryDirectory() as name:
        cache, empty = kept_in(Path(name)), Path(name) / "empty"
        empty.mkdir()
        for source in sources(empty):
            if asked.source and source.name not in asked.source:
                continue
            tried = 0
            for case in islice(turned(source.text), share - 1, None, shares):
                tried += 1
                try:
                    work_out(case.record, source, cache)
                except Exception as error:
                    raised += 1
                    print(f"--- {source.name} raises {error!r}: {case.line}", flush=True)
            print(f"{source.name}: {tried} tried, {raised} raised so far", flush=True)
    return 1 if raised else 0


if __name__ == "__main__":
    raise SystemExit(main())
