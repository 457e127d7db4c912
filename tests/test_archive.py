"""What shows across sets: the list of all sets at every size, the lists beside it, and where they are published."""

from __future__ import annotations

import json
import posixpath
import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

import makers
from benchleaf.archive.cards import Card, card_of
from benchleaf.archive.data_script import data_script
from benchleaf.archive.failed_parts import failed
from benchleaf.archive.in_one_print import PRINTS
from benchleaf.archive.index import index
from benchleaf.archive.lists_across import MOST_ROWS, lists_across
from benchleaf.archive.on_card import for_card
from benchleaf.archive.page import archive_page
from benchleaf.archive.same_chassis import with_same_chassis
from benchleaf.build.taken_names import in_the_index_way, taken_names
from benchleaf.build.whereabouts import sets_folder
from benchleaf.pages.rendering import plain_text
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.pages.site_files import asset_files
from benchleaf.pages.working_pages import SAME_CHASSIS
from benchleaf.words import DIALECTS

BROKEN = SetPage("ruined", "ruined: the record cannot be read", "", "", "", (), ())
SETS = [
    makers.carded_page(
        "minuet-12", "Minuet 12", year=1947, state="finished", tubes=["50L6", "12BE6"], tube_types=["50L6GT", "12BE6"],
        faults=[["hum after ten minutes", "C7, leaky", "replaced"]], line_side="B- to chassis: 1 meg and 3.3 nF Y1",
        still_open=[[7, "V4 grid is positive."]], open_count=3,
    ),
    makers.carded_page("minuet-5", "Minuet 5", year=1949, state="on the bench", tubes=["50L6GT"]),
    makers.carded_page("oxbow", "Minuet 7", "Oxbow", state="waiting", line_side="not listed: not finished"),
    BROKEN,
]  # fmt: skip
EVIL = '<script>x</script>" onmouseover="x'


def groups(name: str, pages: list[SetPage] = SETS, dialect: str = "american") -> dict[str, list[tuple[str, str]]]:
    """One list across sets: each group's links with what is said of them."""
    found = {one.name: one for one in index(pages, Choices(dialect=dialect)).across}
    return {g.name: [(link.title, link.remark) for link in g.links] for g in found[name].groups}


def card(**given: Any) -> Card:
    return card_of(makers.carded_page("one", "One", **given), Choices())


# The index


def test_sets_stand_by_name_with_numbers_as_numbers() -> None:
    names = [card.title for card in index(SETS, Choices()).cards]
    assert names == ["Larkfield Minuet 5 (1949)", "Larkfield Minuet 12 (1947)", "Oxbow Minuet 7"]


def test_the_intro_counts_by_state() -> None:
    assert index(SETS, Choices()).intro == "3 tube radios: 1 finished, 1 on the bench, 1 waiting."
    assert index(SETS, Choices(dialect="british")).intro.startswith("3 valve radios")
    assert "No record" in index([BROKEN], Choices()).intro


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("finished", "hum → C7, leaky"),
        ("on the bench", "V5 grid at +0.9 V."),
        ("waiting", "hum"),
        ("", "hum → C7, leaky"),
    ],
)
def test_a_sets_line_is_its_trail_and_on_the_bench_what_is_open(state: str, said: str) -> None:
    """A finished set's line never is a computed note, whatever was computed."""
    both = {"faults": [["hum", "C7, leaky", ""], ["dead", "R13", ""]], "still_open": [[7, "V5 grid at +0.9 V."]]}
    assert card(state=state, **both).what == said


def test_without_a_fault_the_line_is_the_writers_sentence() -> None:
    for state in ("finished", "on the bench", "waiting"):
        assert card(state=state, lead="A kitchen set.").what == "A kitchen set."
    assert card(state="finished", lead="A set.", still_open=[[3, "A note."]], open_count=1).what == "A set."


def test_a_member_is_who_did_the_work_or_whose_folder_it_is() -> None:
    assert card(by="R. Alder").by == "R. Alder"
    assert card_of(makers.carded_page("north/one", "One"), Choices()).by == "north"
    assert card().by == ""


@pytest.mark.parametrize(
    ("maker", "initial", "letter"),
    [("larkfield", "L", "L"), ("Ångström", "Å", "A"), ("3 Brothers", "3", "other"), ("Ёлка", "Ё", "other")],
)
def test_a_set_without_a_picture_shows_its_makers_initial(maker: str, initial: str, letter: str) -> None:
    made = card_of(makers.carded_page("one", "One", maker), Choices())
    assert (made.initial, made.letter) == (initial, letter)
    assert (
        f'aria-hidden="true">{initial}</div>' in archive_page([makers.carded_page("one", "One", maker)], Choices()).html
    )


@pytest.mark.parametrize(
    ("count", "density", "pictures", "letters", "pages"),
    [
        (1, "cards", True, False, False),
        (12, "cards", True, False, False),
        (13, "rows", True, False, True),
        (120, "rows", True, False, True),
        (121, "lines", False, True, True),
        (500, "lines", False, True, True),
    ],
)
def test_one_list_in_three_densities(count: int, density: str, pictures: bool, letters: bool, pages: bool) -> None:
    page = archive_page(makers.archive(count), Choices())
    assert f'class="bl-sets bl-as-{density}"' in page.html
    assert page.html.count('class="bl-name"') == count
    assert ('class="bl-pic' in page.html) is pictures
    assert ('class="bl-letters"' in page.html) is letters
    assert ("by-tube" in {one.name for one in page.workings}) is pages
    assert ('<h2 id="by-tube">' in page.html) is not pages
    assert page.files == ()


@pytest.mark.parametrize(("count", "there"), [(5, False), (6, True)])
def test_few_sets_need_no_filter(count: int, there: bool) -> None:
    assert ('id="filter"' in archive_page(makers.archive(count), Choices()).html) is there


def test_a_filter_has_its_properties_and_every_field_its_label() -> None:
    html = archive_page(makers.archive(40), Choices()).html
    fields = re.findall(r"<(?:input|select) id=\"filter-([^\"]+)\"", html)
    assert fields == ["words", "state", "kind", "maker", "decade", "by", "order"]
    assert all(f'<label for="filter-{field}">' in html for field in fields)
    assert "<option>1930s</option>" in html
    alike = archive_page([makers.carded_page(str(n), str(n), state="waiting") for n in range(9)], Choices()).html
    assert re.findall(r"<select id=\"filter-([^\"]+)\"", alike) == ["order"]


def test_nothing_is_written_into_the_page_that_a_policy_would_refuse() -> None:
    """No style and no script in the page itself."""
    page = archive_page(makers.archive(501), Choices())
    for html in (page.html, *(one.html for one in page.workings)):
        assert not re.search(r"\sstyle=|<style|\son\w+=|<script(?! src=)", html)


@pytest.mark.parametrize(("directories", "href"), [(True, "minuet-5/"), (False, "minuet-5/index.html")])
def test_links_follow_the_sites_kind_of_address(directories: bool, href: str) -> None:
    assert f'<a href="{href}">Larkfield Minuet 5</a>' in archive_page(SETS, Choices(directory_urls=directories)).html


def test_a_record_that_cannot_be_read_is_listed_plainly() -> None:
    html = archive_page(SETS, Choices()).html
    assert '<a href="ruined/">ruined</a>' in html
    assert "cannot be read yet" in html


def test_headings_and_ids_go_to_the_theme() -> None:
    page = archive_page(SETS, Choices(permalinks=True))
    headings = [id for level, id, _ in page.entries if level == 2]
    assert headings == ["unread", "by-tube", "by-complaint", "hand-and-line", "to-put-right"]
    assert page.anchors[0] == "top"
    assert 'href="#by-tube" title="Permanent link"' in page.html


@pytest.mark.parametrize("count", [5, 40, 501])
def test_hostile_names_stay_text(count: int) -> None:
    evil = makers.carded_page("evil", EVIL, EVIL, state="on the bench", kind=EVIL, tubes=[EVIL], by=EVIL, lead=EVIL)
    page = archive_page([evil, *makers.archive(count)], Choices())
    for html in (page.html, *(one.html for one in page.workings)):
        assert "<script>x" not in html
        assert 'onmouseover="' not in html
    assert page.title == "Sets"


# Many sets


@pytest.fixture(scope="module")
def thousands() -> SetPage:
    return archive_page(makers.archive(4000), Choices())


def rows(html: str) -> int:
    return html.count('class="bl-name"') + html.count('<tr><th scope="row">') + html.count("<dd>")


def test_no_page_of_thousands_of_sets_is_long(thousands: SetPage) -> None:
    assert rows(thousands.html.partition("<template")[0]) == MOST_ROWS
    assert max(rows(one.html) for one in thousands.workings) <= MOST_ROWS
    assert max(len(one.html) for one in (thousands, *thousands.workings)) < 120_000
    names = {one.name.split("/")[0] for one in thousands.workings}
    assert {"by-name", "by-year", "by-tube", "what-failed", "to-put-right", "to-order", "old-parts"} <= names


def test_every_set_stands_on_a_page_by_its_initial_and_by_its_decade(thousands: SetPage) -> None:
    for folder in ("by-name/", "by-year/"):
        there = "".join(one.html for one in thousands.workings if one.name.startswith(folder))
        assert len(set(re.findall(r'href="[./]*(set-\d+)/"', there))) == 4000


def test_the_newest_stand_in_the_index(thousands: SetPage) -> None:
    folders = re.findall(r'href="(set-\d+)/"', thousands.html)[:MOST_ROWS]
    days = {page.folder: (page.card or {})["dated"] for page in makers.archive(4000)}
    assert min(days[folder] for folder in folders) >= sorted(days.values())[-MOST_ROWS]


@pytest.mark.parametrize("count", [5, 40, 501])
@pytest.mark.parametrize("directories", [True, False])
def test_every_link_between_the_pages_arrives(count: int, directories: bool) -> None:
    pages = makers.archive(count)
    made = archive_page(pages, Choices(directory_urls=directories))
    found = {"": made.html} | {f"{one.name}/": one.html for one in made.workings}
    there = {at: set(re.findall(r'\sid="([^"]+)"', html)) for at, html in found.items()}
    sets = {f"{page.folder}/" for page in pages} | {f"{one.file}/" for one in PRINTS}
    for at, html in found.items():
        ids = re.findall(r'\sid="([^"]+)"', html)
        assert len(ids) == len(set(ids))
        for href in re.findall(r'<a[^>]*\shref="([^"]*)"', html):
            path, _, fragment = unquote(href).partition("#")
            path = path if directories else path.removesuffix("index.html")
            to = posixpath.normpath(posixpath.join(f"/{at}", path)).lstrip("/")
            to = at if not path else f"{to}/" if to else ""
            assert to in sets or (to in there and (not fragment or fragment in there[to])), (at, href)


def test_the_script_of_all_sets_is_data_and_nothing_else() -> None:
    evil = makers.carded_page("javascript:alert(1)", '"};alert(1);\u2028{"', EVIL, faults=[["hum", "C7", ""]])
    script = data_script([card_of(page, Choices()) for page in (evil, *makers.archive(3))])
    assert script.startswith("window.benchleafSets = {")
    assert script.isascii()
    data = json.loads(script.removeprefix("window.benchleafSets = ").removesuffix(";\n"))
    row = data["rows"][0]
    assert row[:2] == ["javascript%3Aalert%281%29/", f'{EVIL} "}};alert(1);\u2028{{"']
    assert data["states"][data["rows"][1][6]] == "finished"


# Lists across sets


def test_sets_with_one_type_under_two_names_stand_together() -> None:
    assert {name: [title for title, _ in links] for name, links in groups("by-tube").items()} == {
        "12BE6": ["Larkfield Minuet 12 (1947)"],
        "50L6GT": ["Larkfield Minuet 5 (1949)", "Larkfield Minuet 12 (1947)"],
    }


def test_a_complaint_answers_with_its_causes() -> None:
    assert groups("by-complaint") == {"hum after ten minutes": [("Larkfield Minuet 12 (1947)", "C7, leaky")]}


def test_the_line_side_list_has_finished_sets_only() -> None:
    assert groups("hand-and-line") == {"": [("Larkfield Minuet 12 (1947)", "B- to chassis: 1 meg and 3.3 nF Y1")]}


def test_what_is_to_be_put_right_is_the_worst_finding_and_how_many_more() -> None:
    assert groups("to-put-right") == {"Fault": [("Larkfield Minuet 12 (1947)", "V4 grid is positive. And 2 more.")]}


@pytest.mark.parametrize(("dialect", "heading"), [("american", "By tube"), ("british", "By valve")])
def test_the_lists_speak_the_sites_dialect(dialect: str, heading: str) -> None:
    assert index(SETS, Choices(dialect=dialect)).across[0].heading == heading


def test_nothing_to_show_is_no_list() -> None:
    assert lists_across([(card(), {"tube_types": [], "line_side": ""})], DIALECTS["american"]) == ()


SET = """\
maker: A
model: B
tubes:
  V3: 12AV6, detector and first audio
  V4: 50C5, output
  V5: 35W4, rectifier
"""


@pytest.mark.parametrize(
    ("part", "said"),
    [
        ("C7: was 10 nF 400 V paper, leakage 27 uA at 200 V, between V3 plate and V4 grid", "output coupling, leaked"),
        ("C5: {job: coupling to V3, was: '10 nF paper, shorted'}", "coupling, shorted"),
        ("C5: {job: wave trap of V12, was: '10 nF paper, shorted'}", "wave trap, shorted"),
        ("R4: keep, 250 kohm 20 %, measured 400 kohm, between V3 plate and B+2", "plate load, out of tolerance"),
        ("R6: was 470 kohm 20 %, measured open, between V4 grid and B-", "grid leak, open"),
        ("R7: was 150 ohm 10 %, open, between V4 cathode and B-", "cathode resistor, open"),
        ("C12: {job: filter, was: '40 uF 150 V electrolytic, ESR 41 ohm'}", "filter, ESR too high"),
        ("R1: keep, 1 kohm 10 %, measured 1.02 kohm", ""),
        ("C3: to do, 10 nF paper", ""),
    ],
)  # fmt: skip
def test_a_part_fails_in_its_job(part: str, said: str) -> None:
    text = f"{SET}line: 120 V 60 Hz\npower: series string\nparts:\n  {part}\n"
    assert [f"{one.job}, {one.how}" for one in failed(makers.examined(text))] == ([said] if said else [])


def test_what_a_cause_names_failed_though_nobody_measured_it() -> None:
    text = f"{SET}parts:\n  C7: was 10 nF paper\nfaults:\n  - complaint: dead\n    cause: C7 and V5\n"
    assert [(one.name, one.job, one.how) for one in failed(makers.examined(text))] == [
        ("C7", "capacitor", "named as the cause"),
        ("V5", "rectifier", "named as the cause"),
    ]


def test_output_coupling_leaked_answers_with_its_sets() -> None:
    found = groups("what-failed", makers.archive(15))["output coupling, leaked"]
    assert [title for title, _ in found] == [
        "Abbotwick Heron 0 (1928)",
        "Dunwick Heron 14 (1942)",
        "Kettlewick Heron 7 (1935)",
    ]
    assert found[0][1] == "C7: 10 nF 400 V paper"


# Names that the archive needs for itself


def _folders(root: Path, *names: str) -> list[Path]:
    for name in names:
        (root / "docs/sets" / name).mkdir(parents=True, exist_ok=True)
    return [root / "docs/sets" / name for name in names]


def test_a_set_at_the_address_of_a_page_of_the_archive_is_told_and_stays(tmp_path: Path) -> None:
    many = [f"set-{n}" for n in range(12)]
    folders = _folders(tmp_path, "By-Tube", "to-order/one", "to-order/two", *many)
    sets = sets_folder("sets", tmp_path / "docs", tmp_path)
    told = taken_names(sets, folders, 13)
    assert list(told) == ["by-tube", "to-order"]
    assert told["by-tube"].startswith(
        "sets/By-Tube: found a folder of sets at the address of the archive's page by-tube"
    )
    assert "rename the folder" in told["by-tube"]
    assert taken_names(sets, folders, 12) == {}
    left = archive_page(makers.archive(13), Choices(), left_out=told)
    assert not {"by-tube", "to-order"} & {one.name for one in left.workings}
    assert 'href="by-tube/"' not in left.html
    assert "by-complaint" in {one.name for one in left.workings}


@pytest.mark.parametrize("name", ["by-name", "by-year", "sets-data.js"])
def test_without_a_place_the_pages_of_many_sets_do_without_it(name: str) -> None:
    page = archive_page(makers.archive(501), Choices(), left_out=[name])
    assert name not in page.html
    assert not [one.name for one in page.workings if one.name.startswith(name)]
    assert bool(page.files) == (name != "sets-data.js")


@pytest.mark.parametrize("name", ["index.html", "INDEX.html", "index.html/deeper"])
def test_a_set_where_the_index_has_its_file_is_not_published(name: str, tmp_path: Path) -> None:
    folders = _folders(tmp_path, name, "good")
    sets = sets_folder("sets", tmp_path / "docs", tmp_path)
    told = in_the_index_way(sets, folders, ["sets/index.html", "index.html"])
    assert list(told) == [folders[0]]
    assert told[folders[0]].startswith(f"sets/{name}: found a folder where the site has the file of a page")


def test_the_style_and_the_script_ask_no_other_host() -> None:
    for name, text in asset_files():
        assert Path(name).suffix in (".css", ".js")
        assert "@import" not in text
        assert not re.search(r"https?://(?!www\.w3\.org/2000/svg)", text)


# Voltages of one chassis


def _on_chassis(model: str, volts: float, *, chassis: str = "LK-5B", to: str = "B-") -> SetPage:
    kept = {"chassis": f"Larkfield {chassis}", "reference": to, "line": "line 117 V", "volts": {"V4 plate": volts}}
    return makers.carded_page(model.casefold(), model, chassis_volts=kept)


def test_what_sets_of_one_chassis_read_is_usual_from_three_on() -> None:
    two = [_on_chassis("A", 110.0), _on_chassis("B", 114.0)]
    found = groups("chassis-volts", two)
    assert [makers.plain(name) for name in found] == [
        "Larkfield LK-5B, V4 plate: 110 V to 114 V in 2 sets, too few to call it usual"
    ]
    (links,) = found.values()
    assert [makers.plain(remark) for _, remark in links] == ["110 V, line 117 V", "114 V, line 117 V"]
    three = groups("chassis-volts", [*two, _on_chassis("C", 111.0)])
    assert [makers.plain(name) for name in three] == [
        "Larkfield LK-5B, V4 plate: 110 V to 114 V in 3 sets, the middle one 111 V"
    ]


@pytest.mark.parametrize("other", [{"chassis": "LK-6"}, {"to": "chassis"}])
def test_sets_of_another_chassis_or_read_to_another_point_are_not_held_beside(other: dict[str, str]) -> None:
    pages = [_on_chassis("A", 110.0), _on_chassis("B", 114.0, **other)]
    assert "chassis-volts" not in {one.name for one in index(pages, Choices()).across}


def test_a_set_keeps_its_newest_readings_by_place() -> None:
    text = (
        "chassis number: LK-5B\nline: 120 V\ntubes:\n  V4: 50C5\nreadings:\n  as found:\n    to: B-\n    line: 118 V\n"
        "    V4: plate 96.5, grid 2.4, cathode x, screen <90\n"
    )
    kept = for_card(makers.examined(text), "Minuet 5")["chassis_volts"]
    assert kept["volts"] == {"V4 plate": 96.5, "V4 grid": 2.4}
    assert (kept["chassis"], kept["reference"], makers.plain(kept["line"])) == ("Larkfield LK-5B", "B-", "line 118 V")
    without = makers.examined(text.replace("chassis number: LK-5B\n", ""))
    assert for_card(without, "Minuet 5")["chassis_volts"] is None


CHASSIS = """maker: Larkfield
model: {model}
chassis number: LK-5B
tubes:
  V4: 50C5
readings:
  as found:
    line: 118 V
    to: {to}
    V4: {volts}
"""


def _as_built(number: int, text: str) -> SetPage:
    page = makers.set_page(text)
    card = {**(page.card or {}), **for_card(makers.examined(text), page.title)}
    return replace(page, folder=f"north/{number}", card=card)


def _beside(*sets: tuple[str, str, str], decimal_sign: str = "point") -> list[str]:
    """The voltages' pages of sets on one chassis, each of a model, a point and its volts, as they are published."""
    choices = Choices(decimal_sign=decimal_sign)
    pages = [_as_built(n, CHASSIS.format(model=m, to=to, volts=volts)) for n, (m, to, volts) in enumerate(sets)]
    assert all(SAME_CHASSIS not in file.text for page in pages for file in page.files if file.text)
    filled = with_same_chassis(pages, pages, choices)
    return [next(one.html for one in page.workings if one.name == "voltages") for page in filled]


def test_what_others_on_the_chassis_read_stands_beside_a_sets_own_readings() -> None:
    one, alone = "B-", ("Minuet 6", "chassis", "plate 111")
    first, *_, last = _beside(
        ("Minuet 1", one, "plate 110, cathode 5.5"),
        ("Minuet 2", one, "plate 114"),
        ("Minuet 3", one, "plate 112.5, cathode 5.7"),
        ("Minuet 4", one, "plate 120"),
        alone,
    )
    shown = makers.plain(plain_text(first))
    assert "Other sets on chassis Larkfield LK-5B: 3" in shown
    # The ends and the middle of 114, 112.5 and 120; two alone are no middle.
    assert "V4 plate 110 113 to 120 3 sets 114" in shown
    assert "V4 cathode 5.5 5.7 1 set too few" in shown
    assert '<a href="../../../north/1/#voltages">Larkfield Minuet 2</a>' in first
    assert "Minuet 6" not in shown
    assert "Other sets" not in last
    assert SAME_CHASSIS not in first + last


def test_one_other_set_is_never_called_usual_and_none_is_not_spoken_of() -> None:
    pair = _beside(("Minuet 1", "B-", "cathode 5.5"), ("Minuet 2", "B-", "cathode 5.25"), decimal_sign="comma")
    assert "V4 cathode 5,5 5,25 1 set too few" in makers.plain(plain_text(pair[0]))
    (single,) = _beside(("Minuet 1", "B-", "plate 110"))
    assert "Other sets" not in single
    assert SAME_CHASSIS not in single


def test_a_card_that_is_none_costs_its_own_set_alone() -> None:
    pages = [_as_built(n, CHASSIS.format(model=f"Minuet {n}", to="B-", volts="plate 110")) for n in (1, 2)]
    kept = [3, "x", {"volts": []}, {**(pages[0].card or {})["chassis_volts"], "volts": {"V4 plate": "much"}}]
    bad = [replace(pages[0], folder=f"bad {n}", card={"chassis_volts": one}) for n, one in enumerate(kept)]
    filled = with_same_chassis([*pages, *bad], [*pages, *bad], Choices())
    assert ["LK-5B: 1<" in "".join(one.html for one in page.workings) for page in filled] == [True] * 2 + [False] * 4
