"""Hostile originals in, publishable pictures out. What exiftool finds in a published file is the measure of "bare"."""

from __future__ import annotations

import io
import json
import os
import struct
import subprocess
import sys
import threading
import time
import warnings
import zlib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageCms

from benchleaf.build.cache import Cache
from benchleaf.build.photos import originals, pictures
from benchleaf.build.photos.pictures import PhotoProblem, Picture, inside, publishable
from sites import kept_in

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


def refused(path: Path) -> PhotoProblem:
    problem = publishable(path, path.parent, NO_CACHE)
    assert isinstance(problem, PhotoProblem), problem
    assert problem.found
    assert problem.expected
    assert problem.remedy
    return problem


def opened(picture: Picture) -> list[Image.Image]:
    return [Image.open(io.BytesIO(variant.content())) for variant in picture.variants]


def near(found: Any, wanted: tuple[int, ...], by: int = 12) -> bool:
    return all(abs(one - other) <= by for one, other in zip(found, wanted, strict=True))


def colours(image: Image.Image) -> list[tuple[int, ...]]:
    """Of the middle of each quarter: top left, top right, bottom left, bottom right."""
    rgb = image.convert("RGB")
    across, down = rgb.width // 4, rgb.height // 4
    places = [(across, down), (3 * across, down), (across, 3 * down), (3 * across, 3 * down)]
    return [rgb.getpixel(place) for place in places]  # type: ignore[misc]


# Sizes


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        ((4000, 3000), [(480, 360), (960, 720), (1600, 1200)]),
        ((3000, 4000), [(480, 640), (960, 1280), (1600, 2133)]),
        ((1600, 1200), [(480, 360), (960, 720), (1600, 1200)]),
        ((1500, 1000), [(480, 320), (960, 640), (1500, 1000)]),
        ((1000, 500), [(480, 240), (960, 480)]),
        ((480, 480), [(480, 480)]),
        ((100, 50), [(100, 50)]),
        ((1, 1), [(1, 1)]),
    ],
)
def test_sizes_are_a_phone_a_column_and_the_whole_width_and_never_larger(
    tmp_path: Path, size: tuple[int, int], expected: list[tuple[int, int]]
) -> None:
    picture = published(saved(tmp_path / "dial.png", Image.new("RGB", size, RED)))
    assert (picture.width, picture.height) == size
    assert [(v.width, v.height) for v in picture.variants if v.format == "webp"] == expected
    assert [(v.width, v.height) for v in picture.variants if v.format == "jpeg"] == expected
    for variant, image in zip(picture.variants, opened(picture), strict=True):
        assert (image.format, image.size) == (variant.format.upper(), (variant.width, variant.height))


@pytest.mark.parametrize("size", [(10, 60_000), (60_000, 10), (1, 65_000)])
def test_a_strip_stays_within_what_webp_can_hold(tmp_path: Path, size: tuple[int, int]) -> None:
    for image in opened(published(saved(tmp_path / "strip.png", Image.new("RGB", size)))):
        assert image.width <= min(1600, size[0])
        assert image.height <= min(4800, size[1])


# Orientation


def stored_as(orientation: int, upright: Image.Image) -> Image.Image:
    """How a camera that writes `orientation` stores what is seen as `upright` (EXIF 2.32, tag 274)."""
    back = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    return upright.transpose(back[orientation]) if orientation in back else upright


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize(("suffix", "size"), [("jpg", (2600, 1950)), ("png", (480, 360)), ("webp", (480, 360))])
def test_a_picture_is_published_upright(tmp_path: Path, orientation: int, suffix: str, size: tuple[int, int]) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = published(saved(tmp_path / f"a.{suffix}", stored_as(orientation, quarters(size)), exif=exif))
    assert (picture.width, picture.height) == size
    for image in opened(picture):
        assert image.width > image.height
        for found, wanted in zip(colours(image), (RED, GREEN, BLUE, YELLOW), strict=True):
            assert near(found, wanted)


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_an_orientation_that_makes_no_sense_is_left_alone(tmp_path: Path, orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = published(saved(tmp_path / "a.jpg", quarters(), exif=exif))
    assert near(colours(opened(picture)[0])[0], RED)


@pytest.mark.parametrize(
    "exif", [b"Exif\0\0", b"Exif\0\0MM\0*\xff\xff\xff\xff", b"Exif\0\0II*\0\x08\0\0\0\xff\xff" + b"\xff" * 99]
)
def test_damaged_exif_does_not_keep_a_picture_from_being_shown(tmp_path: Path, exif: bytes) -> None:
    assert near(
        colours(opened(published(saved(tmp_path / "a.jpg", quarters(), exif=b"Exif\0\0" + exif)))[0])[3], YELLOW
    )


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


def laden(tmp_path: Path, suffix: str) -> Path:
    """A photo that tells where, when, by whom and with what it was taken."""
    path = tmp_path / f"laden.{suffix}"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    quarters((1200, 900)).save(path, icc_profile=profile)
    thumbnail = saved(tmp_path / "thumbnail.jpg", quarters((160, 120)))
    tags = [
        *("-EXIF:Artist=Nobody", "-EXIF:Make=Brownbox", "-EXIF:Model=Camera One", "-EXIF:SerialNumber=4711"),
        *("-EXIF:DateTimeOriginal=2026:01:02 03:04:05", "-EXIF:UserComment=secret comment", "-EXIF:Orientation#=3"),
        *("-EXIF:GPSLatitude=12.5", "-EXIF:GPSLatitudeRef=N", "-EXIF:GPSLongitude=7.25", "-EXIF:GPSLongitudeRef=E"),
        *("-XMP:Creator=Nobody", "-XMP:Location=Bench Lane 7", "-XMP:Rating=5"),
    ]
    if suffix == "jpg":
        tags += ["-IPTC:By-line=Nobody", "-Comment=secret comment", f"-ThumbnailImage<={thumbnail}"]
        tags += ["-Photoshop:URL=http://secret.invalid/", "-Ducky:Comment=secret comment"]
    if suffix == "png":
        tags += ["-PNG:Comment=secret comment", "-PNG:Author=Nobody"]
    exiftool("-q", "-overwrite_original", *tags, path)
    if suffix == "jpg":
        path.write_bytes(path.read_bytes() + b"secret trailer after the end of the picture")
    return path


@pytest.mark.parametrize("suffix", ["jpg", "png", "webp"])
def test_nothing_but_pixels_is_published(tmp_path: Path, suffix: str) -> None:
    original = laden(tmp_path, suffix)
    assert "Camera One" in exiftool(original)
    assert "GPS" in exiftool(original)
    cache = kept_in(tmp_path / "cache")
    picture = published(original, cache)
    for variant in picture.variants:
        assert variant.path is not None
        (found,) = json.loads(exiftool("-j", "-a", "-u", "-U", "--File:System:all", variant.path))
        assert set(found) - BELONGS_TO_THE_PIXELS == set()
        content = variant.content()
        for secret in (b"Nobody", b"secret", b"Brownbox", b"Exif", b"XMP", b"ICC", b"http", b"Photoshop", b"Ducky"):
            assert secret not in content
        assert near(colours(Image.open(io.BytesIO(content)))[0], YELLOW)  # it was stored upside down


def test_a_published_webp_has_only_its_picture_chunk(tmp_path: Path) -> None:
    for variant in published(laden(tmp_path, "webp")).variants:
        if variant.format == "webp":
            assert variant.content()[12:16] == b"VP8 "  # VP8X would announce metadata or animation


# Colour


def test_colours_are_turned_from_the_profile_of_the_original_into_srgb(tmp_path: Path) -> None:
    # Lab 53.2, 80.1, 67.2 is the red of sRGB, 255, 0, 0 (IEC 61966-2-1, D50); a Lab profile stands for any other.
    wide = Image.new("RGB", (600, 400), (200, 100, 50))
    swapped = ImageCms.ImageCmsProfile(io.BytesIO(_profile_with_red_and_blue_exchanged()))
    picture = published(saved(tmp_path / "a.png", wide, icc_profile=swapped.tobytes()))
    for image in opened(picture):
        assert near(image.convert("RGB").getpixel((300, 200)), (50, 100, 200))


def _profile_with_red_and_blue_exchanged() -> bytes:
    """sRGB with the places of rXYZ and bXYZ in its table of tags exchanged: its red is what we call blue."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    red, blue = profile.index(b"rXYZ"), profile.index(b"bXYZ")
    profile[red : red + 4], profile[blue : blue + 4] = b"bXYZ", b"rXYZ"
    return bytes(profile)


@pytest.mark.parametrize("profile", [b"no profile", b"\0" * 128, b"\xff" * 5000])
def test_a_profile_that_is_none_is_passed_over(tmp_path: Path, profile: bytes) -> None:
    picture = published(saved(tmp_path / "a.jpg", quarters(), icc_profile=profile))
    assert near(colours(opened(picture)[0])[0], RED)


def test_a_grey_profile_on_a_coloured_picture_is_passed_over(tmp_path: Path) -> None:
    grey = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    grey[16:20] = b"GRAY"
    picture = published(saved(tmp_path / "a.jpg", quarters(), icc_profile=bytes(grey)))
    assert near(colours(opened(picture)[0])[0], RED)


def test_cmyk_becomes_rgb(tmp_path: Path) -> None:
    ink = Image.new("CMYK", (600, 400), (0, 255, 255, 0))
    for image in opened(published(saved(tmp_path / "a.jpg", ink))):
        assert image.mode == "RGB"
        assert near(image.getpixel((300, 200)), (255, 0, 0))


def test_grey_stays_grey(tmp_path: Path) -> None:
    for suffix in ("jpg", "png"):
        picture = published(saved(tmp_path / f"a.{suffix}", Image.new("L", (600, 400), 120)))
        assert [image.mode for image in opened(picture)] == ["RGB"] * 2 + ["L"] * 2  # WebP knows no grey
        for image in opened(picture):
            assert near(image.convert("RGB").getpixel((300, 200)), (120, 120, 120), by=2)


def test_sixteen_bits_become_eight_without_turning_white(tmp_path: Path) -> None:
    image = Image.new("I;16", (600, 400), 0x8000)
    for variant in opened(published(saved(tmp_path / "a.png", image))):
        assert near(variant.convert("RGB").getpixel((300, 200)), (128, 128, 128), by=2)


def test_sixteen_bit_colour_becomes_eight(tmp_path: Path) -> None:
    row = b"\0" + struct.pack(">HHH", 0xC800, 0x6400, 0x3200) * 600
    (tmp_path / "a.png").write_bytes(png(600, 400, 16, 2, row * 400))
    assert near(opened(published(tmp_path / "a.png"))[1].getpixel((9, 9)), (200, 100, 50), by=4)


def see_through(mode: str) -> Image.Image:
    image = quarters((600, 400)).convert("RGBA")
    image.paste((0, 0, 0, 0), (0, 0, 300, 200))
    if mode == "P":
        flat = image.convert("RGB").quantize(8)
        flat.info["transparency"] = flat.getpixel((0, 0))
        return flat
    return image.convert(mode)


@pytest.mark.parametrize(
    ("mode", "suffix"), [("RGBA", "png"), ("RGBA", "webp"), ("LA", "png"), ("P", "png"), ("P", "gif")]
)
def test_what_can_be_seen_through_lies_on_white(tmp_path: Path, mode: str, suffix: str) -> None:
    for image in opened(published(saved(tmp_path / f"a.{suffix}", see_through(mode)))):
        assert near(colours(image)[0], (255, 255, 255))
        assert not near(colours(image)[1], (255, 255, 255))


@pytest.mark.parametrize("mode", ["L", "RGB"])
def test_a_single_transparent_colour_lies_on_white(tmp_path: Path, mode: str) -> None:
    key: Any = 0 if mode == "L" else (0, 0, 0)
    path = saved(tmp_path / "a.png", Image.new(mode, (500, 300), key), transparency=key)
    assert near(colours(opened(published(path))[0])[0], (255, 255, 255))


def test_a_palette_with_steps_of_transparency_warns_nobody(tmp_path: Path) -> None:
    image = quarters().quantize(4)
    path = saved(tmp_path / "a.png", image, transparency=bytes([0, 255, 255, 255]))
    assert len(opened(published(path))) == 4


def test_black_and_white_is_read(tmp_path: Path) -> None:
    picture = published(saved(tmp_path / "a.png", Image.new("1", (600, 400), 1)))
    assert near(colours(opened(picture)[0])[0], (255, 255, 255))


def test_of_an_animation_the_first_image_is_taken(tmp_path: Path) -> None:
    first, second = Image.new("RGB", (500, 300), RED), Image.new("RGB", (500, 300), BLUE)
    for suffix in ("gif", "webp", "png"):
        path = saved(tmp_path / f"a.{suffix}", first, save_all=True, append_images=[second], duration=100)
        assert near(colours(opened(published(path))[0])[0], RED)


def test_a_phone_jpeg_with_a_second_picture_in_it_is_a_jpeg(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    quarters((2600, 1950)).save(path, "MPO", save_all=True, append_images=[Image.new("RGB", (100, 100))])
    picture = published(path)
    assert (picture.width, picture.height) == (2600, 1950)
    assert near(colours(opened(picture)[0])[1], GREEN)


# What is no picture


def png(width: int, height: int, depth: int, colour: int, rows: bytes) -> bytes:
    def chunk(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


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


# The cache


def test_the_same_original_gives_the_same_bytes_with_and_without_a_cache(tmp_path: Path) -> None:
    path = saved(tmp_path / "Dial, 2nd try!.JPG", quarters((1200, 900)))
    cache = kept_in(tmp_path / "c")
    bare, kept, again = (published(path, used) for used in (NO_CACHE, cache, cache))
    assert [v.content() for v in bare.variants] == [v.content() for v in kept.variants]
    assert kept == again
    assert [v.name for v in bare.variants] == [v.name for v in kept.variants]
    assert [v.path is None for v in bare.variants] == [True] * 6
    assert [v.data is None for v in kept.variants] == [True] * 6
    first = bare.variants[0]
    assert first.name == f"dial-2nd-try-480-{first.digest[:16]}.webp"


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Übersicht.jpg", "ubersicht"),
        ("../../x.jpg", "x"),
        ("日本.jpg", "picture"),
        (".jpg", "picture"),
        ("a" * 90 + ".jpg", "a" * 40),
    ],
)
def test_published_names_are_plain(tmp_path: Path, name: str, stem: str) -> None:
    path = saved(tmp_path / name, quarters((100, 80)), format="JPEG")
    assert published(path).variants[0].name.startswith(f"{stem}-100-")


def test_an_original_is_worked_on_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    (tmp_path / "cut.jpg").write_bytes(path.read_bytes()[:700])
    picture, problem = publishable(path, path.parent, cache), publishable(tmp_path / "cut.jpg", tmp_path, cache)

    def never(*_: object) -> None:
        raise AssertionError("decoded again")

    monkeypatch.setattr(pictures, "prepared", never)
    assert publishable(path, path.parent, cache) == picture
    assert publishable(tmp_path / "cut.jpg", tmp_path, cache) == problem
    assert isinstance(problem, PhotoProblem)


@pytest.mark.parametrize("damaged", [None, b"", b"x" * 9])
def test_a_published_file_lost_or_damaged_in_the_cache_is_made_again(tmp_path: Path, damaged: bytes | None) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    picture = published(path, cache)
    lost = picture.variants[1].path
    assert lost is not None
    whole = lost.read_bytes()
    lost.unlink()
    if damaged is not None:
        lost.write_bytes(damaged)
    assert published(path, cache) == picture
    assert lost.read_bytes() == whole


@pytest.mark.parametrize("entry", [b"null", b"[]", b"{}", b"no json", b'{"files":[],"size":1}', b'{"problem":{"x":1}}'])
def test_an_entry_of_another_shape_is_made_again(tmp_path: Path, entry: bytes) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    picture = published(path, cache)
    cache.put("pictures", picture.cache_keys[0], entry)
    assert published(path, cache) == picture


def test_a_changed_original_is_seen_at_once(tmp_path: Path) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.png", quarters())
    before = published(path, cache)
    saved(path, Image.new("RGB", (640, 480), BLUE))
    assert published(path, cache) != before


def test_pruning_with_the_keys_of_a_picture_keeps_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cache = kept_in(tmp_path / "cache")
    path = saved(tmp_path / "a.jpg", quarters())
    picture = published(path, cache)
    published(saved(tmp_path / "b.png", Image.new("RGB", (640, 480), BLUE)), cache)
    cache.prune(picture.cache_keys, older_than_days=-1)
    monkeypatch.setattr(pictures, "prepared", None)
    assert publishable(path, path.parent, cache) == picture
    with pytest.raises(TypeError):
        publishable(tmp_path / "b.png", tmp_path, cache)


# Where a record says a picture lies


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    photos = tmp_path / "set" / "photos"
    photos.mkdir(parents=True)
    saved(photos / "dial.jpg", quarters((50, 40)))
    saved(photos / "Under the chassis.JPG", quarters((50, 40)), format="JPEG")
    saved(tmp_path / "set" / "front.jpg", quarters((50, 40)))
    saved(tmp_path / "outside.jpg", quarters((50, 40)))
    return tmp_path / "set"


@pytest.mark.parametrize("written", ["photos/dial.jpg", "./photos/dial.jpg", "photos//dial.jpg", "  photos/dial.jpg "])
def test_a_path_within_the_folder_is_found(folder: Path, written: str) -> None:
    assert inside(folder, written) == folder / "photos" / "dial.jpg"


@pytest.mark.parametrize(
    ("written", "found"),
    [
        ("", "no path"),
        ("  ", "no path"),
        ("../outside.jpg", "`..`"),
        ("photos/../../outside.jpg", "`..`"),
        ("photos/..", "`..`"),
        ("photos/ .. /x", "`..`"),
        ("/etc/passwd", "top of a disk"),
        ("~/dial.jpg", "top of a disk"),
        ("//server/share/dial.jpg", "an address"),
        ("https://example.invalid/dial.jpg", "an address"),
        ("file:///etc/passwd", "an address"),
        ("data:image/png;base64,AAAA", "an address"),
        ("javascript:alert(1)", "an address"),
        ("C:/photos/dial.jpg", "a drive letter"),
        ("c:dial.jpg", "a drive letter"),
        ("photos\\dial.jpg", "a backslash"),
        ("..\\outside.jpg", "a backslash"),
        ("photos/dial.jpg\0.png", "control characters"),
        ("photos/\ndial.jpg", "control characters"),
        ("a/" * 300, "more than 400 characters"),
        ("photos/none.png", "no file"),
        ("photos/dial.jpg/x", "no file"),
        ("photos/" + "x" * 300, "no file"),
        ("photos", "a folder"),
        ("photos/", "a folder"),
        ("photos/%2e%2e/outside.jpg", "no file"),
    ],
)
def test_any_other_path_is_refused_with_its_reason(folder: Path, written: str, found: str) -> None:
    problem = inside(folder, written)
    assert isinstance(problem, PhotoProblem)
    assert found in problem.found
    assert problem.expected
    assert problem.remedy
    assert problem.found.isprintable()
    assert len(problem.found) < 150


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("photos/Dial.jpg", "photos/dial.jpg"),
        ("Photos/dial.JPG", "photos/dial.jpg"),
        ("photos/under the chassis.jpg", "photos/Under the chassis.JPG"),
        ("dial.jpg", "photos/dial.jpg"),
        ("photos/front.jpg", "front.jpg"),
        ("photos/dial.jpeg", "photos/dial.jpg"),
        ("photo/dail.jpg", "photos/dial.jpg"),
        ("photos/cabinet-from-behind.png", None),
    ],
)
def test_the_file_that_was_probably_meant_is_named(folder: Path, written: str, nearest: str | None) -> None:
    problem = inside(folder, written)
    assert isinstance(problem, PhotoProblem)
    assert problem.nearest == nearest
    assert (f"did you mean {nearest}?" == problem.remedy) is (nearest is not None)


def test_a_link_out_of_the_folder_is_refused_and_one_within_is_not(folder: Path) -> None:
    (folder / "photos" / "out.jpg").symlink_to(folder.parent / "outside.jpg")
    (folder / "elsewhere").symlink_to(folder.parent)
    (folder / "photos" / "in.jpg").symlink_to("dial.jpg")
    (folder / "photos" / "dead.jpg").symlink_to("none.jpg")
    (folder / "photos" / "loop.jpg").symlink_to("loop.jpg")
    for written in ("photos/out.jpg", "elsewhere/outside.jpg"):
        problem = inside(folder, written)
        assert isinstance(problem, PhotoProblem)
        assert "outside the set's folder" in problem.found
    for written in ("photos/dead.jpg", "photos/loop.jpg"):
        assert isinstance(inside(folder, written), PhotoProblem)
    assert inside(folder, "photos/in.jpg") == folder / "photos" / "in.jpg"


def test_a_file_of_a_size_no_picture_has_is_told_before_it_is_opened(folder: Path) -> None:
    (folder / "empty.jpg").touch()
    with (folder / "long.jpg").open("wb") as file:
        file.truncate(originals.MOST_BYTES + 1)
    for name, found in (("empty.jpg", "an empty file"), ("long.jpg", "a file of 40 MB")):
        problem = inside(folder, name)
        assert isinstance(problem, PhotoProblem)
        assert problem.found == found


def test_a_set_folder_may_itself_be_a_link(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "linked").symlink_to(folder)
    assert inside(tmp_path / "linked", "front.jpg") == tmp_path / "linked" / "front.jpg"


def test_accents_written_another_way_are_the_same_name(folder: Path) -> None:
    stored = "Ru\u0308ckwand.jpg"  # as one kind of disk spells it, in two characters
    saved(folder / stored, quarters((50, 40)))
    assert inside(folder, "R\u00fcckwand.jpg") == folder / stored


def test_a_folder_that_is_missing_is_a_problem(tmp_path: Path) -> None:
    assert isinstance(inside(tmp_path / "none", "photos/dial.jpg"), PhotoProblem)


# The demo's own pictures

DEMO = Path(__file__).parents[2] / "site_src" / "sets"
NAMES = ("front", "dial", "under-before", "under-after")
DEMO_PICTURES = [
    DEMO / folder / "photos" / f"{name}.jpg"
    for folder in ("larkfield-minuet-5", "merrow-and-daughters-teal", "oxbow-regent-six")
    for name in NAMES
]


@pytest.mark.parametrize("path", DEMO_PICTURES, ids=lambda path: f"{path.parts[-3]}/{path.stem}")
def test_a_demo_picture_is_large_enough_to_zoom_and_small_enough_to_keep(path: Path) -> None:
    with Image.open(path) as image:
        assert image.size == (2000, 1500)
    assert path.stat().st_size < 350_000


def test_the_demo_picture_that_lies_on_its_side_is_published_upright_and_bare(tmp_path: Path) -> None:
    original = DEMO / "oxbow-regent-six" / "photos" / "front.jpg"
    (told,) = json.loads(exiftool("-j", "-n", original))
    assert told["Orientation"] == 6
    assert (told["GPSLatitude"], told["GPSLongitude"], told["Artist"]) == (0, 0, "demo")
    picture = published(original, kept_in(tmp_path / "cache"))
    assert (picture.width, picture.height) == (1500, 2000)
    for variant in picture.variants:
        assert variant.path is not None
        (found,) = json.loads(exiftool("-j", "-a", "-u", "-U", "--File:System:all", variant.path))
        assert set(found) - BELONGS_TO_THE_PIXELS == set()
        image = Image.open(variant.path).convert("L")
        label = image.crop((int(image.width * 0.73), int(image.height * 0.955), int(image.width * 0.97), image.height))
        assert label.getextrema()[1] > 225  # the slip of paper with its words is at the lower right, as drawn
        wall = image.crop((0, 0, image.width // 5, image.height // 5))
        assert wall.getextrema()[1] < 225
