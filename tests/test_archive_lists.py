"""Lists across sets, sets of one chassis, and addresses that are taken."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

import makers
from benchleaf.archive.cards import card_of
from benchleaf.archive.failed_parts import Failed, as_dict, failed, ruled_out
from benchleaf.archive.index import index
from benchleaf.archive.job_tallies import MOST_JOBS, job_tallies
from benchleaf.archive.lists_across import lists_across
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
from indexes import SETS, card


def groups(name: str, pages: list[SetPage] = SETS, dialect: str = "american") -> dict[str, list[tuple[str, str]]]:
    """One list across sets: each group's links with what is said of them."""
    found = {one.name: one for one in index(pages, Choices(dialect=dialect)).across}
    return {g.name: [(link.title, link.remark) for link in g.links] for g in found[name].groups}


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
        ("C4: was 50 nF paper, measured 90 nF, between V4 screen and B-", "screen bypass, out of tolerance"),
        ("C6: was 25 uF electrolytic, measured 2 uF, between V4 cathode and B-", "cathode bypass, out of tolerance"),
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


def test_what_was_ruled_out_stands_apart_and_what_failed_is_counted() -> None:
    text = f"{SET}parts:\n  C7: was 10 nF paper\nfaults:\n  - hum, not C7, not V5, cause V4, replaced\n"
    examined = makers.examined(text)
    assert [(one.name, one.job, one.how, one.typed) for one in ruled_out(examined)] == [
        ("C7", "capacitor", "ruled out", "hum"),
        ("V5", "rectifier", "ruled out", "hum"),
    ]
    assert [(one.name, one.job) for one in failed(examined)] == [("V4", "output tube")]
    told = [Failed("filter", how, "C1", "", "") for how in ("leaked", "shorted", "ruled out")]
    made = job_tallies([("a", told[0]), ("b", told[0]), ("b", told[1]), ("b", told[2])])
    assert (made.ways, made.any_ruled_out) == (("shorted", "leaked"), True)
    assert [(tally.job, tally.counts, tally.sets, tally.ruled_out) for tally in made.jobs] == [("filter", (1, 2), 2, 1)]
    assert made.of_all == 1
    many = job_tallies([("a", Failed(f"job {n}", "leaked", "C1", "", "")) for n in range(MOST_JOBS + 2)])
    assert (len(many.jobs), many.of_all) == (MOST_JOBS, MOST_JOBS + 2)
    page = makers.carded_page("x", "X", failed=[as_dict(told[0])], ruled_out=[as_dict(told[2])])
    (group,) = next(
        one
        for one in lists_across([(card_of(page, Choices()), page.card or {})], DIALECTS["american"])
        if one.name == "ruled-out"
    ).groups
    assert (group.name, [link.href for link in group.links]) == ("filter", ["x/#faults"])


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


def test_what_failed_is_told_as_the_trade_prints_it() -> None:
    text = f"{SET}parts:\n  C12: {{job: filter, was: '.05 mfd 150 V paper, leakage 90 uA at 100 V'}}\n"
    assert [one.typed for one in failed(makers.examined(text))] == ["50\u202fnF 150\u202fV paper"]


def test_a_rectifier_without_a_tube_is_told_as_one_though_its_line_names_no_job() -> None:
    """It stood among what failed as “part”."""
    examined = makers.examined(
        "maker: M\nmodel: X\npower: transformer\nparts:\n"
        "  D1: was selenium bridge B250 C85, now silicon bridge 1 A 800 V\n"
        "faults:\n  - rails low, cause D1, replaced\n"
    )
    assert [(one.name, one.job, one.how) for one in failed(examined)] == [("D1", "rectifier", "named as the cause")]
