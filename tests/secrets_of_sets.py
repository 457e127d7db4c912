"""Sets full of what must never be published as it lies, and the look through a built site for any of it."""

from __future__ import annotations

import hashlib
from pathlib import Path

from PIL import Image

SECRET = b"KEEP-THIS-AT-HOME"
SHORT_RECORD = "maker: Testwell\nmodel: Trial\n"
_LATITUDE, _GPS = 2, 0x8825


def secret_set(folder: Path, record: str | None = "record.yml", *, text: str = SHORT_RECORD) -> Path:
    """A set with a private line, a comment, originals with a position, a spreadsheet and loose notes."""
    secret = SECRET.decode()
    (folder / "photos").mkdir(parents=True)
    (folder / "scans" / "deep").mkdir(parents=True)
    if record is not None:
        listed = "photos:\n  front: photos/front.jpg\n"
        (folder / record).write_text(f"{text}owner: {secret}\n# {secret}\n{listed}", encoding="utf-8")
    (folder / "story.md").write_text("A card may say this much.\n\nHow it went.\n", encoding="utf-8")
    for name in ("notes.txt", "readings.csv", "page.html", "scans/deep/letter.pdf", "photos/more.webp", "NOTES.MD"):
        (folder / name).write_bytes(SECRET + name.encode())
    with_position(folder / "photos" / "front.jpg")
    return folder


def with_position(file: Path) -> None:
    """A photo as a phone takes it: with the place in its EXIF, and a comment beside it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    image = Image.new("RGB", (64, 48), (90, 60, 30))
    exif = image.getexif()
    exif.get_ifd(_GPS)[_LATITUDE] = (51.0, 30.0, 26.0)
    exif[0x010E] = SECRET.decode()
    image.save(file, exif=exif)
    assert SECRET in file.read_bytes()


def leaks(site: Path, *sources: Path) -> list[str]:
    """The files of a built site that hold the secret, or are a file of ``sources`` byte for byte."""
    raw = {_hash(file) for source in sources for file in source.rglob("*") if file.is_file() and file.stat().st_size}
    return [
        file.relative_to(site).as_posix()
        for file in sorted(site.rglob("*"))
        if file.is_file() and (SECRET in file.read_bytes() or _hash(file) in raw)
    ]


def _hash(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()
