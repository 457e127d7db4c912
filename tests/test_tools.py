"""The tools of the project still run: what is cheap to try of each."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from PIL import Image

from sites import REPO

KNOB = """
import sys
from pathlib import Path
import numpy as np
from dials import knob
from draw import PICTURES, SETS, UNDERSIDES, stored_lying
from relief import Relief, rgb

assert set(PICTURES) == set(UNDERSIDES)
assert all((SETS / folder / "record.yml").is_file() for folder in UNDERSIDES)
relief = Relief(rgb("#806040"), size=(200, 300))
knob(relief, (100, 120), 60, "#202020")
stored_lying(relief.finished(), Path(sys.argv[1]))
"""


def test_a_demo_picture_can_still_be_drawn(tmp_path: Path) -> None:
    """A knob on a plain ground: dark in the middle, lying on its side as a phone stores it."""
    command = [sys.executable, "-c", KNOB, str(tmp_path / "knob.jpg")]
    subprocess.run(command, cwd=REPO / "tests/tools/demo_pictures", check=True, env={"PYTHONPATH": "."})
    with Image.open(tmp_path / "knob.jpg") as picture:
        assert picture.size == (300, 200)
        assert picture.getexif()[0x0112] == 6
        grey = picture.convert("L")
    assert grey.getpixel((120, 90)) < grey.getpixel((10, 190)) - 20  # type: ignore[operator]
