"""The wheel, not the checkout: installed into an environment of its own, it takes a person from nothing to a page."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import zipfile
from pathlib import Path

from sites import REPO, first_five_minutes


def test_the_built_wheel_carries_its_tables_and_the_first_five_minutes_run_as_pasted(tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path / "dist"), str(REPO)],
        check=True,
        capture_output=True,
    )
    (wheel,) = (tmp_path / "dist").glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    for needed in (
        "tubes/types.csv",
        "pages/templates/set.html.j2",
        "pages/assets/ground.css",
        "pages/theme/main.html",
    ):
        assert f"benchleaf/{needed}" in names
    assert not [name for name in names if name.startswith(("tests", "site_src"))]

    environment = tmp_path / "environment"
    subprocess.run([sys.executable, "-m", "venv", str(environment)], check=True)
    python = environment / "bin" / "python"
    subprocess.run(
        [python, "-m", "pip", "install", "-q", "--no-index", "--no-deps", str(wheel)], check=True, capture_output=True
    )
    # The libraries come from the environment the tests run in; a plain path there does not bring its editable installs.
    (site_packages,) = (environment / "lib").glob("python*/site-packages")
    libraries = [path for path in sys.path if path.endswith("site-packages")]
    (site_packages / "libraries.pth").write_text("".join(f"{path}\n" for path in libraries))

    clean = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"} | {"NO_MKDOCS_2_WARNING": "1"}
    where = subprocess.run(
        [python, "-c", "import benchleaf; print(benchleaf.__file__)"],
        capture_output=True,
        text=True,
        check=True,
        env=clean,
        cwd=tmp_path,
    )
    assert str(environment) in where.stdout
    (tmp_path / "empty").mkdir()
    bin_ = str(environment / "bin")
    result = subprocess.run(
        ["sh", "-ec", _in_an_environment(first_five_minutes("README.md"))],
        cwd=tmp_path / "empty",
        env={**clean, "PATH": os.pathsep.join([bin_, os.environ["PATH"]])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 0, result.stderr
    (site,) = (tmp_path / "empty").iterdir()
    assert "Larkfield Minuet 5" in (site / "site/sets/larkfield-minuet-5/index.html").read_text()
    front = (site / "site/index.html").read_text()
    assert "<title>My radios</title>" in front
    assert 'href="sets/larkfield-minuet-5/"' in front


def _in_an_environment(listing: str) -> str:
    """The listing where the package is installed already, and a build in place of a server, which would never end."""
    given = [r"python3 -m venv .*", r"\. \S+/activate", r"pip install .*"]
    lines = [line for line in listing.splitlines() if not any(re.fullmatch(one, line) for one in given)]
    assert len(lines) == len(listing.splitlines()) - len(given)
    assert lines[-1] == "mkdocs serve"
    return "\n".join([*lines[:-1], "python -m mkdocs build --strict"])
