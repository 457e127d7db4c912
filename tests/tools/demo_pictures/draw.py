"""Draw the demo's pictures into the demo's sets. Run by hand: `python tests/tools/demo_pictures/draw.py [set …]`.

They are drawn, not photographed, and say so in the corner: the archive of the demo is invented. One of them is stored
lying on its side and laden with metadata, as a phone would: the published site must show it upright and bare.
Drawing them all takes some ten minutes and gives the same files each time with the same versions of numpy, scipy and
Pillow.
"""

from __future__ import annotations

import sys
from pathlib import Path

from cabinets import PICTURES
from chassis import drawn
from PIL import Image
from relief import written
from small_sets import SMALL
from ternhaag import PICTURES as TERNHAAG
from ternhaag import UNDERSIDE
from undersides import LARKFIELD, MERROW, OXBOW

SETS = Path(__file__).parents[3] / "site_src" / "sets"
UNDERSIDES = {
    "larkfield-minuet-5": LARKFIELD,
    "merrow-and-daughters-teal": MERROW,
    "oxbow-regent-six": OXBOW,
    "ternhaag-goudvink": UNDERSIDE,
}
AS_A_PHONE_STORES_IT = ("oxbow-regent-six", "front")


def main(wanted: list[str]) -> None:
    """Draw every picture, or those of the sets named."""
    for folder, pictures in {**PICTURES, **SMALL, **TERNHAAG}.items():
        if wanted and folder not in wanted:
            continue
        photos = SETS / folder / "photos"
        for name, picture in pictures.items():
            if (folder, name) == AS_A_PHONE_STORES_IT:
                stored_lying(picture(), photos / f"{name}.jpg")
            else:
                written(picture(), photos / f"{name}.jpg")
        for when in ("before", "after") if folder in UNDERSIDES else ():
            written(drawn(UNDERSIDES[folder], when == "after"), photos / f"under-{when}.jpg")


def stored_lying(upright: Image.Image, place: Path) -> None:
    """Turned a quarter to the left, with the EXIF orientation that turns it back, a position and a camera."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F], exif[0x0110], exif[0x013B] = "Demo", "Demo camera", "demo"
    exif[0x0132] = "2026:02:21 10:00:00"
    position = exif.get_ifd(0x8825)
    position.update({1: "N", 2: (0.0, 0.0, 0.0), 3: "E", 4: (0.0, 0.0, 0.0)})
    written(upright.transpose(Image.Transpose.ROTATE_90), place, exif=exif, comment="a demo comment")


if __name__ == "__main__":
    main(sys.argv[1:])
