"""How much memory a picture may take: asked of its header before anything is decoded, and held in a real process.

The bytes a pixel are measured here on Pillow, no source. 48 megapixels are what a phone's camera of 8000 × 6000 gives.
"""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from benchleaf.build.photos import preparing
from benchleaf.build.photos.originals import PhotoProblem
from benchleaf.build.photos.preparing import prepared
from benchleaf.build.photos.weight import MOST_DECODED, bytes_taken

MOST_RESIDENT = 300
"""Megabytes of a whole process that makes one picture ready."""
PEAK = """
import re, sys
from benchleaf.build.photos.preparing import Prepared, prepared
made = prepared(open(sys.argv[1], "rb").read())
assert isinstance(made, Prepared), made
print(int(re.search(r"VmHWM:\\s+(\\d+) kB", open("/proc/self/status").read())[1]) // 1000)
"""


def written(mode: str, size: tuple[int, int], format: str, **how: object) -> bytes:
    content = io.BytesIO()
    Image.new(mode, size).save(content, format, **how)
    return content.getvalue()


@pytest.mark.parametrize(
    ("mode", "size", "format", "how"),
    [
        ("RGB", (8000, 6000), "JPEG", {"progressive": True}),
        ("RGB", (4300, 3100), "WEBP", {"method": 0}),
        ("LA", (4900, 3700), "PNG", {"compress_level": 1}),
    ],
    ids=["a phone's 48 megapixels, progressive", "WebP", "PNG that is seen through"],
)
def test_a_large_picture_stays_within_its_memory(
    mode: str, size: tuple[int, int], format: str, how: dict[str, object], tmp_path: Path
) -> None:
    (tmp_path / "picture").write_bytes(written(mode, size, format, **how))
    done = subprocess.run(
        [sys.executable, "-c", PEAK, str(tmp_path / "picture")], capture_output=True, text=True, check=True
    )
    assert int(done.stdout) <= MOST_RESIDENT


@pytest.mark.parametrize(
    ("mode", "format", "how", "least"),
    [
        ("RGB", "WEBP", {}, 12.4),
        ("RGBA", "WEBP", {}, 15.0),
        ("RGB", "PNG", {}, 3.6),
        ("RGBA", "PNG", {}, 7.4),
        ("LA", "PNG", {}, 11.1),
        ("P", "PNG", {}, 4.5),
        ("P", "PNG", {"transparency": 3}, 8.3),
        ("RGB", "PNG", {"transparency": (1, 1, 1)}, 11.1),
        ("I;16", "PNG", {}, 7.7),
        ("L", "PNG", {}, 0.4),
        ("1", "PNG", {}, 1.5),
        ("P", "GIF", {"transparency": 3}, 8.3),
        ("RGB", "JPEG", {}, 0.1),
        ("RGB", "JPEG", {"progressive": True}, 2.0),
        ("RGB", "JPEG", {"progressive": True, "subsampling": 0}, 4.9),
        ("CMYK", "JPEG", {"progressive": True}, 6.8),
    ],
)
def test_what_a_pixel_takes_is_at_least_what_was_measured(
    mode: str, format: str, how: dict[str, object], least: float
) -> None:
    image = Image.open(io.BytesIO(written(mode, (64, 64), format, **how)))
    assert least <= bytes_taken(image, 64 * 64) / 64**2 <= least + 6


def test_too_heavy_a_picture_is_refused_before_it_is_decoded(monkeypatch: pytest.MonkeyPatch) -> None:
    content = written("RGB", (640, 480), "WEBP")
    monkeypatch.setattr(preparing, "MOST_DECODED", len(content) + 16 * 640 * 480)
    assert not isinstance(prepared(content), PhotoProblem)
    monkeypatch.setattr(preparing, "MOST_DECODED", len(content) + 16 * 640 * 480 - 1)
    monkeypatch.setattr(Image.Image, "load", None)
    problem = prepared(content)
    assert isinstance(problem, PhotoProblem)
    assert problem.found == "a WEBP of 640 × 480 pixels, which takes 5 MB to open"
    assert problem.remedy == "save it as an ordinary JPEG, or smaller, and name that"


def test_the_bound_leaves_room_for_the_rest_of_the_process() -> None:
    assert MOST_DECODED <= (MOST_RESIDENT - 75) * 1_000_000
