"""Pictures on a record: each once, two stages side by side, and numbered marks that lead to what they name."""

from __future__ import annotations

import re

import makers
from benchleaf.pages.set_page import SetPage
from benchleaf.report.picture import Picture, Variant
from markup import parsed, words_of

FILES = ("photos/front.jpg", "photos/a.jpg", "photos/b.jpg", "photos/dial.jpg")
RECORD = """tubes:
  V4: 50C5
parts:
  C7: keep, 10 nF
photos:
  front: photos/front.jpg
  under the chassis:
    before: photos/a.jpg
    after: photos/b.jpg
    marks:
      - C7, x 25 %, y 50 %, after
      - V4, x 75 %, y 10 %, after
  dial: photos/dial.jpg, the reflector repainted
"""
STORY = "## Below\n\n![Old wax](photos/a.jpg)\n\nThen the work.\n\n![The same corner](photos/b.jpg)\n"


def picture(file: str) -> Picture:
    """A picture of 1600 by 1200 pixels."""
    name = file.rpartition("/")[2].removesuffix(".jpg")
    widths = ((480, 360), (1600, 1200))
    kinds = ("webp", "jpeg")
    variants = tuple(Variant(k, w, h, f"{name}-{w}.{k}", "0" * 64, None, b"") for k in kinds for w, h in widths)  # type: ignore[arg-type]
    return Picture(1600, 1200, variants, ())


def page_of(record: str = RECORD, story: str = STORY) -> SetPage:
    return makers.set_page(record, story, pictures={file: picture(file) for file in FILES})


def test_each_picture_is_shown_once_and_two_stages_side_by_side() -> None:
    html = page_of().html
    parsed(html)
    for name in ("front", "a", "b", "dial"):
        assert len(re.findall(rf'<img src="photos/{name}-', html)) == 1, name
    pair = re.search(r'<figure class="bl-photo bl-pair".*?</figure>', html, re.S)
    assert pair
    assert re.findall(r'<img src="photos/(\w)-', pair[0]) == ["a", "b"]
    assert re.findall(r'<p class="bl-caption"><b>(\w+)', pair[0]) == ["Before", "After"]


def test_the_same_picture_stands_where_its_first_stage_is_placed() -> None:
    html = page_of().html
    assert html.index("photos/b-480") < html.rindex("Then the work")


def test_a_story_places_a_photo_by_its_name_with_all_its_stages() -> None:
    page = page_of(story="## Below\n\n[[photo under the chassis]]\n\nThen the work.\n")
    assert not page.problems
    pair = re.search(r'<figure class="bl-photo bl-pair" id="photo-under-the-chassis">.*?</figure>', page.html, re.S)
    assert pair
    assert re.findall(r'<img src="photos/(\w)-', pair[0]) == ["a", "b"]
    assert page.html.index("photos/b-480") < page.html.rindex("Then the work")
    assert all(page.html.count(f'<img src="photos/{name}-') == 1 for name in ("front", "a", "b", "dial"))


def test_a_photo_that_the_record_does_not_have_is_asked_with_the_nearest() -> None:
    (problem,) = page_of(story="[[photo under the chasis]]\n").problems
    assert "did you mean “photo under the chassis”?" in str(problem)


def test_a_photo_that_is_listed_and_cannot_be_shown_is_not_asked_for_in_the_story() -> None:
    """Its own line of the record tells why."""
    left = {file: picture(file) for file in FILES if file != "photos/b.jpg"}
    assert makers.set_page(RECORD, STORY, pictures=left).problems == ()
    (problem,) = page_of(story="![the dial](photos/dials.jpg)\n").problems
    assert "which the record does not list" in str(problem)


def test_a_photo_placed_by_file_and_by_name_is_shown_once() -> None:
    html = page_of(story=f"{STORY}\n## Again\n\n[[photo under the chassis]]\n").html
    parsed(html)
    assert all(html.count(f'<img src="photos/{name}-') == 1 for name in ("a", "b"))


def test_marks_are_numbered_placed_and_lead_to_what_they_name() -> None:
    html = page_of().html
    drawn = re.search(r'<svg viewBox="0 0 1600 1200" preserveAspectRatio="xMidYMid slice".*?</svg>', html, re.S)
    assert drawn
    circles = re.findall(r'<circle cx="(\d+)" cy="(\d+)"', drawn[0])
    assert circles == [("400", "600"), ("1200", "120")]
    assert re.findall(r'aria-label="(\d: \w+)"', drawn[0]) == ["1: C7", "2: V4"]
    assert re.findall(r'<a xlink:href="([^"]+)" aria-label', drawn[0]) == ["parts/#part-c7", "tubes/#tubes-v4"]
    legend = re.search(r'<span class="bl-legend">.*?</span>', html, re.S)
    assert legend
    assert words_of(legend[0]).replace("\u00a0", " ") == "1 C7, 2 V4"
    assert "style=" not in drawn[0]
    assert html.count("<circle") == 2


def test_marks_stand_in_the_findings_with_their_places() -> None:
    shots = [shot for subject in makers.found("photos", RECORD).subjects for shot in subject.shots]
    marked = [shot for shot in shots if shot.pointers]
    placed = {shot.file: [(p.number, p.name, p.x_of_width, p.y_of_height) for p in shot.pointers] for shot in marked}
    assert placed == {"photos/b.jpg": [(1, "C7", 0.25, 0.5), (2, "V4", 0.75, 0.1)]}


def test_a_picture_that_stands_alone_needs_no_stage_for_its_marks() -> None:
    marked = "front:\n    picture: photos/front.jpg\n    marks:\n      - C7, x 50 %, y 50 %"
    html = page_of(RECORD.replace("front: photos/front.jpg", marked)).html
    assert "<circle" in html.partition('<div class="bl-hero')[2].partition("bl-facts")[0]


def test_no_link_stands_inside_another() -> None:
    assert re.search(r"<a\b[^>]*>(?:(?!</a>).)*<a\b", page_of().html, re.S) is None
