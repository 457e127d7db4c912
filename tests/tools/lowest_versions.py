"""Whether the lowest versions that `pyproject.toml` allows still do: an environment of them, and a set built in it.

    python tests/tools/lowest_versions.py [--set quillon-skylark] [--keep FOLDER]

Makes an environment, installs the package with each of its own dependencies at its lower bound, and builds a site of
one demo set under ``--strict``. It takes two minutes and a package index. Exit status 0 where the set was worked out, 1
where it was not; ``--keep`` leaves the environment there, to run tests in.
"""

from __future__ import annotations

import argparse
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

REPO = Path(__file__).parents[2]
_CONFIGURATION = """site_name: The lowest versions
strict: true
theme:
  name: material
  font: false
plugins:
  - benchleaf:
      sets: ../sets
"""


def lowest() -> list[str]:
    """Each dependency of the package at its lower bound, as pip takes constraints. Raises ValueError without one."""
    project = tomllib.loads((REPO / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    found = []
    for written in project["dependencies"]:
        bound = re.match(r"([\w.-]+)>=([\w.]+)(?:,|$)", written)
        if bound is None:
            raise ValueError(f"{written}: no lower bound")
        found.append(f"{bound[1]}=={bound[2]}")
    return found


def built(home: Path, name: str) -> bool:
    """Whether one demo set is worked out in an environment of the lowest versions, made in ``home``."""
    environment, site = home / "environment", home / "archive"
    (home / "constraints.txt").write_text("\n".join([*lowest(), ""]), encoding="utf-8")
    subprocess.run([sys.executable, "-m", "venv", str(environment)], check=True)
    programs = environment / ("Scripts" if sys.platform == "win32" else "bin")
    install = [str(programs / "pip"), "install", "-q", str(REPO), "-c", str(home / "constraints.txt")]
    subprocess.run(install, check=True)
    shutil.copytree(REPO / "site_src" / "sets" / name, site / "sets" / name)
    (site / "docs").mkdir()
    (site / "docs" / "index.md").write_text("# Archive\n", encoding="utf-8")
    (site / "mkdocs.yml").write_text(_CONFIGURATION, encoding="utf-8")
    done = subprocess.run([str(programs / "mkdocs"), "build", "-q"], cwd=site, check=False)
    return done.returncode == 0 and (site / "site" / "sets" / name / "record.json").is_file()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--set", default="quillon-skylark", metavar="NAME", help="the demo set to build")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="where to make the environment and leave it")
    given = parser.parse_args()
    if given.keep:
        given.keep.mkdir(parents=True)
        return not built(given.keep, given.set)
    with tempfile.TemporaryDirectory() as folder:
        return not built(Path(folder), given.set)


if __name__ == "__main__":
    sys.exit(main())
