"""Records torn at will that no test has seen: whether any private word of one is published or handed on.

    python tests/tools/torn_afresh.py PREFIX [--count 2000] [--share 1/2] [--all]

PREFIX is any word that was not used before: a rule made for the records of one prefix says nothing of those of
another. Each record of which a word is shown, though before that word stands what it is, or that raises anything, is
printed with its number; exit status 1 where there is one. Those that nothing tells of (``UNKNOWABLE`` of
``tests/test_freely_torn.py``) are only counted, but with ``--all``. ``--share 1/2`` takes the first of two
shares.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from all_published import handed_on, published
from freely_torn import freely_torn, says_what_it_is
from private_slips import shown


def main() -> int:
    """Tries them and tells those that show what they must not."""
    assert __doc__
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("prefix")
    parser.add_argument("--count", type=int, default=2_000)
    parser.add_argument("--share", default="1/1")
    parser.add_argument("--all", action="store_true")
    asked = parser.parse_args()
    share, shares = map(int, asked.share.split("/"))
    numbers = range(share - 1, asked.count, shares)
    told = unknowable = 0
    for number in numbers:
        record, secrets = freely_torn(f"{asked.prefix}{number}")
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            (folder / "record.yml").write_bytes(record.encode())
            try:
                seen = shown(published(record, folder) + handed_on(folder), secrets)
            except Exception as error:
                told += 1
                print(f"--- {asked.prefix}{number} raises {error!r}:\n{record}", flush=True)
                continue
        named = bool(seen) and says_what_it_is(record, seen)
        told += named
        unknowable += bool(seen) and not named
        if named or (seen and asked.all):
            sign = "---" if named else "~~~"
            print(f"{sign} {asked.prefix}{number} shows {', '.join(seen)}:\n{record}", flush=True)
    print(f"{len(numbers)} records: {told} raise or show what is told, {unknowable} what nothing tells of")
    return 1 if told else 0


if __name__ == "__main__":
    raise SystemExit(main())
