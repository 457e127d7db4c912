"""A picture is published small, upright, in true colours, and bare of what a camera wrote into it."""

from __future__ import annotations

import io
import json
import struct
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageCms

from benchleaf.build.photos.pictures import Picture
from photographs import BELONGS_TO_THE_PIXELS, BLUE, GREEN, RED, YELLOW, exiftool, png, published, quarters, saved
from sites import kept_in


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
