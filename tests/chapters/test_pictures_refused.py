"""Pictures that are too heavy, damaged or none are refused."""

from __future__ import annotations

import io
import os
import struct
import subprocess
import sys
import threading
import time
import warnings
from pathlib import Path

import pytest
from PIL import Image, ImageCms

from benchleaf.build.photos import originals
from benchleaf.build.photos.pictures import PhotoProblem, Picture, publishable
from photographs import NO_CACHE, png, published, quarters, saved


def refused(path: Path) -> PhotoProblem:
    problem = publishable(path, path.parent, NO_CACHE)
    assert isinstance(problem, PhotoProblem), problem
    assert problem.found
    assert problem.expected
    assert problem.remedy
    return problem


def jpeg_of(width: int, height: int) -> bytes:
    """A small JPEG whose header claims another size."""
    written = io.BytesIO()
    Image.new("RGB", (16, 16)).save(written, "JPEG")
    content = bytearray(written.getvalue())
    frame = content.index(b"\xff\xc0")
    content[frame + 5 : frame + 9] = struct.pack(">HH", height, width)
    return bytes(content)


def webp_of(width: int, height: int) -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (16, 16)).save(written, "WEBP")
    size = (width - 1).to_bytes(3, "little") + (height - 1).to_bytes(3, "little")
    body = b"WEBPVP8X" + struct.pack("<I", 10) + bytes(4) + size + written.getvalue()[12:]
    return b"RIFF" + struct.pack("<I", len(body)) + body


@pytest.mark.parametrize(
    ("content", "size"),
    [
        (png(7800, 7800, 8, 2, b""), "7800 × 7800"),
        (png(100_000, 100_000, 8, 2, b""), ""),
        (png(2**31 - 1, 2**31 - 1, 8, 2, b""), ""),
        (jpeg_of(60_000, 1001), "60000 × 1001"),
        (jpeg_of(65_500, 65_500), ""),
        (webp_of(16_000, 16_000), ""),
        (b"GIF89a\xff\xff\xff\xff\x80\0\0" + bytes(6) + b",\0\0\0\0\xff\xff\xff\xff\0\x08\x01\0\0;", ""),
    ],
)
def test_more_than_sixty_megapixels_are_refused_before_decoding(tmp_path: Path, content: bytes, size: str) -> None:
    (tmp_path / "bomb").write_bytes(content)
    started = time.process_time()
    problem = refused(tmp_path / "bomb")
    assert time.process_time() - started < 0.5
    assert size in problem.found
    assert "pixels" in problem.found
    assert "60 megapixels" in problem.expected


def test_sixty_megapixels_are_not_refused_for_their_size(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(jpeg_of(60_000, 1000))
    assert published(tmp_path / "a.jpg").width == 60_000  # grey where the file has nothing, as in a browser


def test_a_jpeg_of_hundreds_of_scans_is_refused_before_decoding(tmp_path: Path) -> None:
    written = io.BytesIO()
    quarters((640, 480)).save(written, "JPEG", progressive=True)
    content = written.getvalue()
    first = content.index(b"\xff\xda")
    last = content.rindex(b"\xff\xda")
    assert 2 <= originals.scans_of(content) <= 12  # libjpeg's default script has ten for colour
    (tmp_path / "a.jpg").write_bytes(content[:last] + content[last:-2] * 300 + content[-2:])
    assert "30" in refused(tmp_path / "a.jpg").found
    assert "scans" in refused(tmp_path / "a.jpg").found
    comment = b"\xff\xfe\x40\x02" + b"\xff\xda" * 0x2000
    (tmp_path / "b.jpg").write_bytes(content[:first] + comment + content[first:] + b"\xff\xda" * 5000)
    published(tmp_path / "b.jpg")  # marks in a comment or after the end are no scans


def test_forty_megabytes_are_the_most(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(jpeg_of(16, 16))
    os.truncate(path, 40_000_001)
    assert "40 MB" in refused(path).found
    os.truncate(path, 40_000_000)
    published(path)


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "SVG"),
        (b"\xef\xbb\xbf\n <?xml version='1.0'?><svg/>", "SVG"),
        (b"<!DOCTYPE svg><svg onload='alert(1)'/>", "SVG"),
        (b"II*\0\x08\0\0\0", "TIFF"),
        (b"MM\0*\0\0\0\x08", "TIFF"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "HEIC"),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", "AVIF"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0", "film"),
        (b"%PDF-1.7\n", "PDF"),
        (b"BM\0\0\0\0\0\0\0\0", "BMP"),
        (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 1 1\n", "no picture"),
        (b"P6 1 1 255 abc", "no picture"),
        (b"maker: Larkfield\n", "no picture"),
        (b"\0", "no picture"),
    ],
)
def test_other_formats_are_named_and_refused_whatever_they_are_called(
    tmp_path: Path, content: bytes, found: str
) -> None:
    (tmp_path / "dial.jpg").write_bytes(content)
    problem = refused(tmp_path / "dial.jpg")
    assert found in problem.found
    assert "JPEG" in problem.expected
    assert "save it as" in problem.remedy


def test_the_name_does_not_decide_the_format(tmp_path: Path) -> None:
    for name, format in (("a.txt", "JPEG"), ("b.jpg", "PNG"), ("c", "WEBP"), ("d.png", "GIF")):
        picture = published(saved(tmp_path / name, quarters(), format=format))
        assert {variant.format for variant in picture.variants} == {"webp", "jpeg"}


@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP", "GIF"])
def test_wherever_a_picture_is_cut_short_it_is_refused(tmp_path: Path, format: str) -> None:
    whole = saved(tmp_path / "whole", Image.effect_noise((64, 48), 60).convert("RGB"), format=format).read_bytes()
    steps = range(12, int(len(whole) * 0.9), max(1, len(whole) // 60))
    for length in steps:
        (tmp_path / "cut").write_bytes(whole[:length])
        assert "cut short or damaged" in refused(tmp_path / "cut").found
    assert len(steps) > 20


@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP", "GIF"])
def test_damage_anywhere_gives_a_picture_or_a_problem_and_nothing_else(tmp_path: Path, format: str) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    how = {} if format == "GIF" else {"exif": exif, "icc_profile": profile}
    whole = saved(tmp_path / "whole", quarters((64, 48)), format=format, **how).read_bytes()
    for place in range(12, len(whole), max(1, len(whole) // 150)):
        for damage in (0x00, 0xFF, whole[place] ^ 0x41):
            (tmp_path / "damaged").write_bytes(whole[:place] + bytes([damage]) + whole[place + 1 :])
            assert isinstance(publishable(tmp_path / "damaged", tmp_path, NO_CACHE), Picture | PhotoProblem)


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "empty.jpg").write_bytes(b"")
    (tmp_path / "folder.jpg").mkdir()
    os.mkfifo(tmp_path / "pipe.jpg")  # opening it would wait for ever
    (tmp_path / "loop.jpg").symlink_to("loop.jpg")
    assert "empty" in refused(tmp_path / "empty.jpg").found
    assert "folder" in refused(tmp_path / "folder.jpg").found
    assert "no ordinary file" in refused(tmp_path / "pipe.jpg").found
    assert "no ordinary file" in refused(Path("/dev/zero")).found
    assert "leads nowhere" in refused(tmp_path / "loop.jpg").found
    for missing in (tmp_path / "none.jpg", Path("null\0"), tmp_path / ("x" * 300)):
        assert "no such file" in refused(missing).found


def test_a_file_that_vanishes_or_may_not_be_read_is_a_problem(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def denied(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = saved(tmp_path / "a.jpg", quarters())
    for way in ("open", "fdopen"):
        with monkeypatch.context() as patch:
            patch.setattr(os, way, denied)
            assert "cannot be read" in refused(path).found


# No warnings, no leaks of filters, threads
def test_threads_leave_the_warning_filters_as_they_were(tmp_path: Path) -> None:
    paths = [saved(tmp_path / f"{turn}.png", quarters((200 + turn, 100))) for turn in range(12)]
    before = list(warnings.filters)
    threads = [threading.Thread(target=publishable, args=(path, path.parent, NO_CACHE)) for path in paths]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert list(warnings.filters) == before


def test_the_chapter_is_imported_without_pillow() -> None:
    code = "import sys, benchleaf.chapters.photos, benchleaf.build.photos.pictures; print('PIL' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
