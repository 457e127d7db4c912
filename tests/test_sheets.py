"""Bench sheet and cabinet card: whole documents that fit their paper, with the cautions on them."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Request

import makers
from benchleaf.archive.in_one_print import MOST_SETS, offered, prints
from benchleaf.chapters.examine import Examined
from benchleaf.pages.cabinet_card import address as set_address
from benchleaf.pages.cautions import cautions
from benchleaf.pages.set_page import Choices, OutFile, SetPage
from benchleaf.pages.sheets import bench_sheet, cabinet_card
from benchleaf.pages.site_files import ASSETS, ASSETS_MARK, asset_files
from benchleaf.words import AMERICAN, BRITISH, Words
from benchleaf.words.decimal_sign import decimals_behind
from sites import DEMO

BARE = "maker: Larkfield\nmodel: Minuet 5\n"
WORKED = (
    BARE
    + """year: 1949
line: 120 V 60 Hz
power: series string
chassis: through R and C
serial: 40417
finished: 2026-03-28
by: R. Alder
tubes:
  V1: 12BE6, frequency changer
  V2: 12BA6
  V4: 50C5, output
  V9: 99XX9, odd one
heaters:
  order: V4, V2, V1, V9
  pilot lamp: 47 across V4 tap
readings:
  sheet:
    line: 117 V
    V1: plate 90, screen 90, cathode 0
    V4: 5.6 0 x x 0 90 110
    B+1: 118
parts:
  C7: to do, 0.01 uF 400 V paper, between V2 plate and V4 grid
  C8:
    sections:
      a: was 40 uF 150 V electrolytic, between B+1 and B-
  R1: keep, 1 kohm
  R2: was 2 kohm, now 2.2 kohm
line side:
  before:
    plug: two-pin, either way
    switch: B- lead
  after:
    plug: two-pin polarised
    switch: hot lead
    fuse: 0.5 A slow in hot lead
    B- to chassis: 1 meg 0.5 W 500 V, 3.3 nF Y1
"""
)
MANY = BARE + "tubes:\n" + "".join(f"  V{n}: 6SK7, the {n}th of a long row of stages\n" for n in range(1, 25))
WORDY = WORKED.replace("Minuet 5", "Minuet " + "grand " * 60).replace(
    "two-pin polarised", "two-pin polarised\n    cord: " + "long " * 90
)


def examined(text: str, words: Words = AMERICAN) -> Examined:
    return makers.examined(text, words=words)


def words_of(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def styled(html: str) -> str:
    """The document with its style in it, which a site has beside it."""
    style = dict(asset_files())
    return re.sub(
        rf'<link rel="stylesheet" href="{ASSETS_MARK}/([\w-]+\.css)">',
        lambda link: f"<style>{style[f'{ASSETS}/{link[1]}']}</style>",
        html,
    )


@pytest.fixture(scope="module")
def tab(browser: Browser) -> Iterator[Page]:
    """The one tab that all documents are shown in."""
    page = browser.new_page()
    yield page
    page.close()


def pages_on(tab: Page, html: str, *papers: str | None) -> list[int]:
    """How many sheets of each paper the document takes; None is the size it asks for itself."""
    asked: list[str] = []

    def heard(request: Request) -> None:
        asked.append(request.url)

    tab.on("request", heard)
    tab.set_content(styled(html))
    pdfs = [tab.pdf(format=paper) if paper else tab.pdf(prefer_css_page_size=True) for paper in papers]
    tab.remove_listener("request", heard)
    assert not asked
    return [len(re.findall(rb"/Type\s*/Page\b", pdf)) for pdf in pdfs]


@pytest.mark.parametrize("text", [BARE, WORKED, MANY, WORDY])
def test_the_bench_sheet_takes_one_to_three_pages(tab: Page, text: str) -> None:
    taken = pages_on(tab, bench_sheet(examined(text)), "A4", "Letter")
    assert min(taken) >= 1
    assert max(taken) <= (5 if text is MANY else 3)


@pytest.mark.parametrize("name", sorted(folder.parent.name for folder in DEMO.glob("sets/*/record.yml")))
def test_the_bench_sheet_of_a_demo_set_takes_two_pages_at_most(tab: Page, name: str) -> None:
    text = (DEMO / "sets" / name / "record.yml").read_text(encoding="utf-8")
    html = bench_sheet(examined(text))
    assert max(pages_on(tab, html, "A4", "Letter")) <= 2
    assert "style=" not in html


@pytest.mark.parametrize("text", [BARE, WORKED, MANY, WORDY])
def test_the_card_takes_one_page(tab: Page, text: str) -> None:
    assert pages_on(tab, cabinet_card(examined(text)), None) == [1]


@pytest.mark.parametrize(("sheet", "name"), [(bench_sheet, "bench-sheet"), (cabinet_card, "cabinet-card")])
@pytest.mark.parametrize("text", [BARE, WORKED])
def test_the_document_is_whole_and_asks_for_its_style_alone(sheet: object, name: str, text: str) -> None:
    html = sheet(examined(text))  # type: ignore[operator]
    assert html.startswith("<!doctype html>")
    assert '<html lang="en">' in html
    assert re.search(r"<title>[^<]*Larkfield Minuet 5", html)
    bare = html.replace('href="data:,"', "")
    assert re.findall(r'(?:src|href)="([^"]*)"', bare) == [f"{ASSETS_MARK}/{name}.css"]
    assert not re.search(r"url\(|@import", styled(bare))


def test_the_bench_sheet_begins_with_the_cautions() -> None:
    one = examined(WORKED)
    block = cautions(one.bench.circuit, AMERICAN)[0]
    html = bench_sheet(one)
    shown = words_of(html)
    assert all(line in shown for line in (block.title, *block.lines))
    assert html.index("<aside") < html.index("<dl") < html.index("<table")


def test_the_bench_sheet_names_what_is_to_be_done() -> None:
    shown = words_of(bench_sheet(examined(WORKED)))
    for said in (
        "V4, V2, V1, V9",
        "47, across V4 tap",
        "0.01 µF 400 V paper",
        "V2 plate and V4 grid",
        "C8 a",
        "to check",
    ):
        assert said in shown
    assert "R1" not in shown
    assert "R2" not in shown
    assert re.search(r"V9 99XX9 odd one not known", shown)


@pytest.mark.handbook
def test_heaters_on_the_bench_sheet_as_published() -> None:
    """General Electric data sheet ET-T891A (Nov 1956): 12BE6, heater 12.6 V 0.15 A."""
    assert "V1 12BE6 frequency changer 12.6\u202fV 150\u202fmA" in words_of(bench_sheet(examined(WORKED))).replace(
        "12.6 V 150 mA", "12.6\u202fV 150\u202fmA"
    )


def test_voltages_to_read_are_those_of_the_sheet_with_their_pins() -> None:
    shown = makers.plain(words_of(bench_sheet(examined(WORKED))))
    assert "Printed (sheet): line 117 V, to B-." in shown
    assert "Expected: line 120 V, to B-, the meter as printed." in shown
    assert "At another line: times its volts ÷ 120 V, but for grids, diodes and regulated rails." in shown
    # The nominal line over the sheet's: 110 V x 120 / 117 = 112.8 V, 118 V x 120 / 117 = 121.0 V.
    assert "V4 7, plate 110 113" in shown
    assert "V4 2, 5, grid 0 0" in shown
    assert "B+1 rail 118 121" in shown


AFTER = """  2026-03-04 after:
    line: 118 V
    to: B-
    meter: 10 meg
    V2: plate 44, screen 92
    B+1: 120
"""
METERED = WORKED.replace("readings:\n", f"readings:\n{AFTER}")


def test_what_to_expect_is_for_the_line_and_meter_of_the_newest_list() -> None:
    shown = makers.plain(words_of(bench_sheet(examined(METERED))))
    assert "Expected: line 118 V, to B-, meter 10 MΩ, as in 2026-03-04 after." in shown
    assert "V4 7, plate 110 111" in shown
    assert "V2" in shown
    assert "5, plate 44" not in shown


def test_where_a_sheet_and_the_circuit_have_a_value_both_stand_there() -> None:
    own = "parts:\n  R5: keep, 150 ohm, between V4 cathode and B-\n"
    one = examined(METERED.replace("parts:\n", own).replace("0 90 110\n", "0 90 110\n    B+2: 90\n"))
    worked_out = next(each for each in one.findings["readings"].worked_out if each.place == "V4 cathode")
    shown = makers.plain(words_of(bench_sheet(one)))
    ends = f"{worked_out.low_volts:g} to {worked_out.high_volts:g}"
    assert f"V4 1, cathode 5.6 5.65 {ends} V4" in shown
    assert "Worked out: from the set’s own parts; on printed tables" in shown
    assert "; small: worked out" in shown
    alone = f"{BARE}tubes:\n  V5: 35W4\nreadings:\n  sheet:\n    V5: cathode 118\n"
    assert "V5 7, cathode 118 118" in words_of(bench_sheet(examined(alone)))
    assert "small: worked out" not in words_of(bench_sheet(examined(alone)))


def test_without_a_sheet_what_was_read_last_stands_beside_the_pins() -> None:
    bare = METERED.replace("  sheet:\n    line: 117 V\n    V1: plate 90, screen 90, cathode 0\n", "")
    bare = bare.replace("    V4: 5.6 0 x x 0 90 110\n    B+1: 118\n", "")
    shown = makers.plain(words_of(bench_sheet(examined(bare))))
    assert "No sheet is in the record. Worked out: from the set’s own parts, line 118 V" in shown
    assert "Last read: 2026-03-04 after." in shown
    assert "V2 5, plate 44" in shown
    assert "V1 5, plate V" in shown
    assert "B+1 rail 120" in shown


def test_without_a_sheet_each_tube_is_read_at_its_telling_electrodes() -> None:
    shown = words_of(bench_sheet(examined(BARE + "tubes:\n  V1: 12BA6\n", BRITISH)))
    assert "No sheet is in the record" in shown
    assert "5, anode" in shown


def test_the_card_says_what_somebody_who_opens_the_set_must_know() -> None:
    one = examined(WORKED)
    shown = words_of(cabinet_card(one))
    assert cautions(one.bench.circuit, AMERICAN)[0].title in shown
    for said in (
        "120 V 60 Hz",
        "0.5 A slow in hot lead",
        "two-pin polarized",
        "3.3 nF Y1",
        "2026-03-28",
        "By R. Alder",
        "V4 50C5",
    ):
        assert said in shown


def test_the_fuse_of_the_card_is_in_the_sites_words_and_decimals() -> None:
    fused = f"{BARE}line side:\n  after:\n    fuse: 0.4 A slow in hot lead\n"
    with decimals_behind("comma"):
        shown = words_of(cabinet_card(examined(fused, BRITISH)))
    assert "Fuse 0,4 A slow in live lead" in makers.plain(shown)


def test_the_card_says_what_was_changed_and_what_was_left() -> None:
    more = WORKED + "changed tubes:\n  V4: was 50C5, now 50C5\n" + "changes:\n  C21: add 0.1 uF film, across R2\n"
    shown = words_of(cabinet_card(examined(more.replace("R1: keep, 1 kohm", "R1: keep, 1 kohm, original as found"))))
    for said in ("Replaced R2", "Exchanged V4", "Circuit C21 across R2", "Kept R1", "Old parts R1 as found"):
        assert said in shown


STRING = """line: 120 V 60 Hz
power: series string
chassis: line-connected
tubes:
  V1: 12BE6
  V2: 12BA6
  V3: 12AV6
  V4: 50C5
  V5: 35W4
"""


@pytest.mark.parametrize(
    ("heaters", "said"),
    [
        (
            "order: V5, V4, V2, V1, V3\n  pilot lamp: 47 across V5 tap",
            r"47, across the tap of V5\. Replace it at once if it burns out: the tap section of V5 then carries 1\d\d",
        ),
        (
            "order: V5, V4, V2, V1, V3\n  pilot lamp: 47 in series\n  shunts:\n    lamp: 100 ohm",
            r"47, in the string\. Replace it at once if it burns out: its shunt then carries all",
        ),
        (
            "order: V5, V4, V2, V1, V3\n  pilot lamp: 47 in series",
            "If it burns out the set goes dark, and the line stands",
        ),
        ("pilot lamp: 47", "Lamp 47 What|Lamp 47 Tubes"),
        ("pilot lamp: 2 x 7 V 0.3 A", "Lamp 2 × 7.V 300.mA"),
    ],
)
def test_the_card_says_what_to_do_when_the_lamp_burns_out(heaters: str, said: str) -> None:
    """What a burnt-out lamp leaves the others to carry is the string as computed without it."""
    shown = words_of(cabinet_card(examined(f"{BARE}{STRING}heaters:\n  {heaters}\n")))
    assert re.search(said, shown), shown


def test_the_card_leads_to_the_record_where_the_site_says_where_it_is() -> None:
    one = examined(WORKED)
    assert "<svg" not in cabinet_card(one)
    there = cabinet_card(one, "https://club.example/sets/minuet/")
    other = cabinet_card(one, "https://club.example/sets/regent/")
    assert "https://club.example/sets/minuet/" in words_of(there)
    squares = [re.search(r"<svg.*?</svg>", html, re.S) for html in (there, other)]
    assert squares[0]
    assert squares[1]
    assert squares[0][0] != squares[1][0]
    # ISO/IEC 18004: 17 + 4 n modules on a side, and a quiet zone of 4 on each side
    side = re.search(r'viewBox="0 0 (\d+) \1"', squares[0][0])
    assert side
    assert (int(side[1]) - 8 - 17) % 4 == 0
    assert "style=" not in squares[0][0]


@pytest.mark.parametrize(
    ("urls", "directories", "address"),
    [
        ("https://club.example/sets/", True, "https://club.example/sets/my%20set/"),
        ("https://club.example/sets/", False, "https://club.example/sets/my%20set/index.html"),
        ("", True, ""),
    ],
)
def test_the_address_of_a_set(urls: str, directories: bool, address: str) -> None:
    assert set_address(Choices(sets_url=urls, directory_urls=directories), "my set") == address


def test_nothing_private_is_printed() -> None:
    assert "40417" not in bench_sheet(examined(WORKED)) + cabinet_card(examined(WORKED))


@pytest.mark.parametrize("sheet", [bench_sheet, cabinet_card])
def test_hostile_text_stays_text(sheet: object) -> None:
    bad = "<script>alert(1)</script>"
    text = WORKED.replace("Larkfield", f"'{bad}'").replace("R. Alder", f"'\"><img onerror=x> {bad}'")
    html = sheet(examined(text.replace("odd one", bad)))  # type: ignore[operator]
    assert "<script" not in html
    assert "<img" not in html


def a_set(name: str, state: str, updated: str = "2026-03-28") -> SetPage:
    one = examined(WORKED.replace("Minuet 5", name))
    files = (OutFile("bench-sheet.html", bench_sheet(one)), OutFile("cabinet-card.html", cabinet_card(one)))
    return SetPage(name, name, "", "", "", (), (), card={"state": state}, files=files, updated=updated)


def test_many_in_one_print_have_a_page_each_and_their_own_size(tab: Page) -> None:
    sets = [a_set("Minuet 5", "finished"), a_set("Minuet 6", "on the bench"), a_set("Minuet 7", "waiting")]
    (sheets,) = prints(sets)
    assert (sheets.path, offered([page.card or {} for page in sets])) == (
        "bench-sheets.html",
        [("bench-sheets.html", "Bench sheets", 2)],
    )
    text = sheets.text or ""
    assert "<title>Bench sheets: 2 sets</title>" in text
    assert text.count("<main>") == text.count("</main>") == 2
    assert "Minuet 6" in text
    assert "Minuet 7" in text
    assert "Minuet 5" not in text
    alone = [pages_on(tab, page.files[0].text or "", "A4")[0] for page in sets[1:]]
    assert pages_on(tab, text, "A4") == [sum(alone)]
    (cards,) = prints([a_set("Minuet 5", "finished"), a_set("Minuet 8", "")])
    assert cards.path == "cabinet-cards.html"
    assert pages_on(tab, cards.text or "", None) == [2]


def test_no_more_than_a_pile_that_a_printer_takes_the_latest_first() -> None:
    card = cabinet_card(examined(BARE))
    sets = [
        SetPage(str(n), str(n), "", "", "", (), (), card={"state": "finished"}, updated=f"2026-01-01 {n:03}",
                files=(OutFile("cabinet-card.html", card.replace("Minuet 5", f"Minuet {n}!")),))
        for n in range(MOST_SETS + 5)
    ]  # fmt: skip
    (cards,) = prints(sets)
    text = cards.text or ""
    assert text.count("<main>") == MOST_SETS
    assert f"Minuet {MOST_SETS + 4}!" in text
    assert "Minuet 4!" not in text
    assert prints(sets[:1]) == ()
    assert prints([*sets[:1], SetPage("broken", "", "", "", "", (), ())]) == ()


def test_the_card_says_once_that_a_set_runs_from_direct_current() -> None:
    shown = words_of(cabinet_card(examined(f"{BARE}power: battery\nline: 7.5 V DC, low 5.6 V\n")))
    assert "Battery 7.5 V DC" in shown
    assert "DC DC" not in shown


def test_the_bench_sheet_names_the_places_where_sheet_and_set_disagree() -> None:
    shown = words_of(bench_sheet(examined(WORKED)))
    assert "Sheet and set disagree at V1 plate, V4 screen: a part, a tube or the sheet is another one there." in shown
