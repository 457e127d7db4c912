"""Draw the demo's pictures into the demo's sets. Run by hand: `python tests/demo_pictures/draw.py [set …]`.

They are drawn, not photographed, and say so in the corner: the archive of the demo is invented.
"""

from __future__ import annotations

import sys
from pathlib import Path

from chassis import drawn
from relief import written
from undersides import LARKFIELD, MERROW, OXBOW

SETS = Path(__file__).parents[2] / "site_src" / "sets"
UNDERSIDES = {"larkfield-minuet-5": LARKFIELD, "merrow-and-daughters-teal": MERROW, "oxbow-regent-six": OXBOW}


def main(wanted: list[str]) -> None:
    """Draw every picture, or those of the sets named."""
    for folder, chassis in UNDERSIDES.items():
        if not wanted or folder in wanted:
            for when in ("before", "after"):
                written(drawn(chassis, when == "after"), SETS / folder / "photos" / f"under-{when}.jpg")


if __name__ == "__main__":
    main(sys.argv[1:])
