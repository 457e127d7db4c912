"""Whether a change of the code changed what is published: every output file of two commits, compared.

    python tests/tools/output_hashes.py OLD [NEW] [--generated 300] [--seed 1] [--show 3]

OLD and NEW are commits; without NEW the work tree as it stands is compared. Both build one site: the demo, and records
generated from the demo's and the documentation's by leaving out lines and blocks, by other figures and other kinds of
set. Everything the site holds is hashed (pages, ``record.json``, CSV, sheets, search index) and so is what the build
said. Exit status 0 where nothing differs, 1 where something does: the paths and the first differing words are printed.
"""

from __future__ import annotations

import argparse
import difflib
import hashlib
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

REPO = Path(__file__).parents[2]
EPOCH = "1767225600"
SAID = "what the build said"

_FENCED = re.compile(r"^```yaml\n(maker:.*?)^```", re.S | re.M)
_NUMBER = re.compile(r"(?<![\w.#-])\d+(?:\.\d+)?(?![\w.-]*[-:])")
_KINDS = ("series string", "transformer", "autotransformer", "battery", "three-way", "vibrator")
_CHASSIS = ("line-connected", "isolated", "through R and C", "earthed")


def generated_records(demo: Path, count: int, seed: int) -> Iterator[tuple[str, str]]:
    """``count`` records by name, the same for the same seed: each a written one with a few things changed."""
    written = [path.read_text(encoding="utf-8") for path in sorted(demo.glob("sets/*/record.yml"))]
    for page in sorted(demo.glob("writing/*.md")):
        written += _FENCED.findall(page.read_text(encoding="utf-8"))
    chance = random.Random(seed)
    for number in range(count):
        yield f"generated-{number:04}", _changed(chance.choice(written), chance)


def _changed(record: str, chance: random.Random) -> str:
    blocks = [b for b in re.split(r"(?m)^(?=\w)", record) if b.strip() and not b.startswith("photos:")]
    keep = chance.choice((1.0, 0.95, 0.8, 0.6))
    blocks = [b for b in blocks if re.match(r"maker|model", b) or chance.random() < keep]
    text = "".join(_thinned(b, chance.choice((1.0, 0.95, 0.7)), chance) for b in blocks)
    if chance.random() < 0.3:
        text = re.sub(r"(?m)^power:.*$", f"power: {chance.choice(_KINDS)}", text)
    if chance.random() < 0.3:
        text = re.sub(r"(?m)^chassis:.*$", f"chassis: {chance.choice(_CHASSIS)}", text)
    share = chance.choice((0.0, 0.02, 0.1))
    return _NUMBER.sub(lambda m: _other(m[0], chance) if chance.random() < share else m[0], text)


def _thinned(block: str, keep: float, chance: random.Random) -> str:
    """The block without some of its entries, each with the lines that belong to it."""
    head, *entries = re.split(r"(?m)^(?=  (?! )\S)", block)
    return head + "".join(e for e in entries if chance.random() < keep)


def _other(number: str, chance: random.Random) -> str:
    return f"{float(number) * chance.choice((0.5, 0.9, 1.1, 2.0)):.4g}"


def write_site(docs: Path, demo: Path, count: int, seed: int) -> None:
    """The demo's pages with the generated records beside its sets."""
    shutil.copytree(demo, docs)
    for name, record in generated_records(demo, count, seed):
        (docs / "sets" / name).mkdir()
        (docs / "sets" / name / "record.yml").write_text(record, encoding="utf-8")


def published(plugin: Path, config: str, docs: Path, work: Path) -> dict[str, bytes]:
    """Every file that the package below ``plugin`` makes of ``docs``, by its path, and what the build said."""
    work.mkdir()
    (work / "mkdocs.yml").write_text(config, encoding="utf-8")
    (work / "site_src").symlink_to(docs, target_is_directory=True)
    environment = {
        **os.environ,
        "PYTHONPATH": str(plugin),
        "SOURCE_DATE_EPOCH": EPOCH,
        "NO_MKDOCS_2_WARNING": "1",
        "PYTHONHASHSEED": "0",
    }
    command = [sys.executable, "-W", "ignore", "-m", "mkdocs", "build"]
    result = subprocess.run(command, cwd=work, env=environment, capture_output=True, text=True, check=False)
    said = "\n".join(line for line in result.stderr.splitlines() if "directory" not in line and "seconds" not in line)
    site = work / "site"
    files = {p.relative_to(site).as_posix(): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()}
    return {**files, SAID: said.encode()}


def plugin_at(commit: str | None, folder: Path) -> Path:
    """Where the package of ``commit`` lies (the work tree's own for None)."""
    if commit is None:
        return REPO / "plugin"
    archive = subprocess.run(["git", "archive", commit, "plugin"], cwd=REPO, capture_output=True, check=True)
    folder.mkdir()
    subprocess.run(["tar", "-x", "-C", str(folder)], input=archive.stdout, check=True)
    return folder / "plugin"


def total(files: dict[str, bytes]) -> str:
    """One hash over all paths and contents."""
    found = hashlib.sha256()
    for path, content in sorted(files.items()):
        found.update(f"{path} {hashlib.sha256(content).hexdigest()}\n".encode())
    return found.hexdigest()


def first_difference(old: bytes, new: bytes) -> str:
    """The first words that differ, with a few around them."""
    words = [re.findall(r"\S+", content.decode("utf-8", "replace")) for content in (old, new)]
    at = next((i for i, (a, b) in enumerate(zip(*words, strict=False)) if a != b), min(map(len, words)))
    end = at + 12
    before, after = (" ".join(w[max(0, at - 6) : end]) for w in words)
    return "\n".join(difflib.ndiff([before], [after]))


def main() -> int:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("old")
    ap.add_argument("new", nargs="?")
    ap.add_argument("--generated", type=int, default=300)
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--show", type=int, default=3, help="how many differences to show in words")
    given = ap.parse_args()
    config = (REPO / "mkdocs.yml").read_text(encoding="utf-8").replace("strict: true", "strict: false")
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        write_site(work / "docs", REPO / "site_src", given.generated, given.seed)
        old, new = (
            published(plugin_at(commit, work / f"code-{side}"), config, work / "docs", work / side)
            for side, commit in (("old", given.old), ("new", given.new))
        )
    changed = sorted(path for path in old.keys() | new.keys() if old.get(path) != new.get(path))
    for path in changed[: given.show]:
        print(f"{path}\n{first_difference(old.get(path, b''), new.get(path, b''))}\n")
    print(f"old: {len(old)} files, {total(old)}")
    print(f"new: {len(new)} files, {total(new)}")
    print(f"{len(changed)} differ" + "".join(f"\n  {path}" for path in changed[:40]))
    return int(bool(changed))


if __name__ == "__main__":
    sys.exit(main())
