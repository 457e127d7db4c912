"""The room itself: pure physics that imports nothing of ours and nothing heavy."""

from __future__ import annotations

import pkgutil
import subprocess
import sys

import benchleaf.electrics


def test_importing_all_of_electrics_loads_nothing_heavy_and_no_other_room() -> None:
    names = [m.name for m in pkgutil.iter_modules(benchleaf.electrics.__path__, "benchleaf.electrics.")]
    assert "benchleaf.electrics.nodal_analysis" in names
    script = f"import sys, {', '.join(names)}; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    heavy = {"numpy", "scipy", "matplotlib", "schemdraw", "PIL", "eseries", "mkdocs", "pydantic", "yaml"}
    assert not loaded & heavy
    ours = {name for name in loaded if name.startswith("benchleaf.")}
    assert all(name.startswith("benchleaf.electrics") for name in ours)
