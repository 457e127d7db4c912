"""Pictures made for the tests, and what becomes of them when they are published."""

from __future__ import annotations

import struct
import subprocess
import zlib
from pathlib import Path
from typing import Any

from PIL import Image

from benchleaf.build.cache import Cache
from benchleaf.build.photos.pictures import Picture, publishable

NO_CACHE = Cache(None)


RED, GREEN, BLUE, YELLOW = (220, 30, 30), (30, 180, 30), (30, 30, 220), (220, 220, 30)


def quarters(size: tuple[int, int] = (640, 480)) -> Image.Image:
    """Red top left, green top right, blue bottom left, yellow bottom right."""
    width, height = size
    image = Image.new("RGB", size, RED)
    image.paste(GREEN, (width // 2, 0, width, height // 2))
    image.paste(BLUE, (0, height // 2, width // 2, height))
    image.paste(YELLOW, (width // 2, height // 2, width, height))
    return image


def saved(path: Path, image: Image.Image, **how: Any) -> Path:
    image.save(path, **how)
    return path


def published(path: Path, cache: Cache = NO_CACHE) -> Picture:
    picture = publishable(path, path.parent, cache)
    assert isinstance(picture, Picture), picture
    return picture


# Nothing but pixels
BELONGS_TO_THE_PIXELS = {
    *("SourceFile", "FileType", "FileTypeExtension", "MIMEType", "ExifToolVersion"),
    *("ImageWidth", "ImageHeight", "ImageSize", "Megapixels", "BitsPerSample", "ColorComponents"),
    *("EncodingProcess", "YCbCrSubSampling", "VP8Version", "HorizontalScale", "VerticalScale"),
    *("JFIFVersion", "ResolutionUnit", "XResolution", "YResolution"),
}
"""What exiftool computes from any bare file; JFIF's own header must state a version and an aspect ratio of 1:1."""


def exiftool(*arguments: str | Path) -> str:
    done = subprocess.run(["exiftool", *map(str, arguments)], capture_output=True, text=True, check=True)
    return done.stdout


# What is no picture
def png(width: int, height: int, depth: int, colour: int, rows: bytes) -> bytes:
    def chunk(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
