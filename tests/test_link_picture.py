"""The drawn picture of a link to a set without a photo: what is in it, where it lies, that it is made once."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from PIL import Image, ImageChops

from benchleaf.build import link_pictures
from benchleaf.build.one_set import make_page, read_inputs
from benchleaf.drawing.link_picture import HEIGHT, WIDTH, link_picture
from benchleaf.pages.set_page import Choices, SetPage
from hostile_text import HOSTILE
from sites import SMALL_RECORD, build, kept_in, photographed, write_site

WORDS = ("Testwell", "Trial", "about 1950", ["12BE6", "35W4"])
ONLINE = Choices(sets_url="https://club.example/sets/")


def picture(data: bytes) -> Image.Image:
    image = Image.open(BytesIO(data))
    assert (image.format, image.size) == ("PNG", (WIDTH, HEIGHT))
    assert image.info == {}
    return image.convert("L")


def ink(data: bytes, box: tuple[int, int, int, int]) -> int:
    """How many pixels are darker than the paper within a box."""
    return sum(picture(data).crop(box).histogram()[:200])


def test_each_word_leaves_ink_where_it_stands_and_nothing_runs_off_the_sheet() -> None:
    whole = link_picture(*WORDS)
    assert whole == link_picture(*WORDS)
    for other in (("X", *WORDS[1:]), (WORDS[0], "X", *WORDS[2:]), (*WORDS[:2], "X", WORDS[3]), (*WORDS[:3], ["X"])):
        assert ImageChops.difference(picture(whole), picture(link_picture(*other))).getbbox()
    edges = ((0, 0, WIDTH, 40), (0, 0, 40, HEIGHT), (WIDTH - 40, 0, WIDTH, HEIGHT), (0, HEIGHT - 16, WIDTH, HEIGHT))
    longest = ("Ü" * 3_000, "W" * 3_000, "9" * 3_000, ["6SK7GT/G" * 9] * 40)
    for words in (WORDS, longest, ("", "", "", []), (HOSTILE, HOSTILE, HOSTILE, [HOSTILE] * 3)):
        assert [ink(link_picture(*words), edge) for edge in edges] == [0, 0, 0, 0]


def made(folder: Path, record: str = SMALL_RECORD, choices: Choices = ONLINE) -> SetPage:
    one = folder / "set"
    one.mkdir(exist_ok=True)
    (one / "record.yml").write_text(record, encoding="utf-8")
    return make_page(read_inputs(one), choices, kept_in(folder / "cache"))


def test_it_is_drawn_once_for_the_same_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[str] = []

    def heard(maker: str, *words: object) -> bytes:
        drawn.append(maker)
        return link_picture(maker, *words)  # type: ignore[arg-type]

    monkeypatch.setattr(link_pictures, "link_picture", heard)
    first = made(tmp_path)
    again = made(tmp_path, f"{SMALL_RECORD}log:\n  - 2026-03-01, cleaned\n")
    assert drawn == ["Testwell"]
    assert first.files[-1] == again.files[-1]
    made(tmp_path, SMALL_RECORD.replace("Testwell", "Otherwell"))
    assert drawn == ["Testwell", "Otherwell"]


def test_without_an_address_and_beside_a_photo_there_is_none(tmp_path: Path) -> None:
    assert [file.path for file in made(tmp_path).files][-1] == "link-picture.png"
    assert "link-picture.png" not in [file.path for file in made(tmp_path, choices=Choices()).files]
    folder = photographed(tmp_path / "photographed")
    shown = make_page(read_inputs(folder), ONLINE, kept_in(tmp_path / "cache"))
    assert "link-picture.png" not in [file.path for file in shown.files]


def test_a_link_to_a_page_of_a_set_without_a_photo_shows_it(tmp_path: Path) -> None:
    root = write_site(tmp_path, {"mine": SMALL_RECORD}, "site_url: https://club.example/radios/\n")
    result = build(root, "--strict")
    assert result.returncode == 0, result.stderr
    for page in ("sets/mine/index.html", "sets/mine/parts/index.html"):
        head = (root / "site" / page).read_text(encoding="utf-8").partition("</head>")[0]
        (address,) = re.findall(r'<meta property="og:image" content="([^"]+)">', head)
        assert address == "https://club.example/radios/sets/mine/link-picture.png"
        assert f'<meta property="og:image:width" content="{WIDTH}">' in head
        assert '<meta name="twitter:card" content="summary_large_image">' in head
        assert '"image"' not in head  # of the set itself there is no picture: none is claimed to programs
        picture((root / "site" / urlsplit(address).path.removeprefix("/radios/")).read_bytes())
