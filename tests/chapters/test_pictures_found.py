"""A picture's file is found in its set's folder, and nowhere else."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from benchleaf.build.photos import originals
from benchleaf.build.photos.pictures import PhotoProblem, inside
from photographs import BELONGS_TO_THE_PIXELS, exiftool, published, quarters, saved
from sites import kept_in


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
