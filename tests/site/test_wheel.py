"""The wheel, not the checkout: installed into an environment of its own, it builds a site."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

from sites import REPO, SMALL_RECORD, write_site


def test_the_built_wheel_carries_its_tables_and_builds_a_site(tmp_path: Path) -> None:
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
    (site_packages / "libraries.pth").write_text(sysconfig.get_path("purelib") + "\n")

    site = write_site(tmp_path / "trial", {"trial": SMALL_RECORD}, "theme: {name: material}\n")
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
    result = subprocess.run(
        [python, "-m", "mkdocs", "build", "--strict"], cwd=site, env=clean, capture_output=True, text=True, check=False
    )
    assert result.returncode == 0, result.stderr
    assert "Testwell Trial (1950)" in (site / "site/sets/trial/index.html").read_text()
