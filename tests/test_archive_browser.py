"""The list of all sets in a real browser: its height, its filter, a click right after typing, no script, no server."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

import makers
from accessibility import violations


@pytest.fixture(scope="module")
def indexes(tmp_path_factory: pytest.TempPathFactory) -> dict[int, str]:
    """The index of archives of several sizes, as files on a disk."""
    root = tmp_path_factory.mktemp("archives")
    return {n: makers.write_archive(root / str(n), makers.archive(n)).as_uri() for n in (5, 40, 121, 400, 600)}


Tab = Callable[..., AbstractContextManager[Page]]


@pytest.fixture(scope="module")
def tab(browser: Browser) -> Iterator[Tab]:
    """A page at an address, in the one tab that there is for its scheme, with scripts or without."""
    tabs: dict[tuple[str, bool], Page] = {}

    @contextmanager
    def open_(address: str, width: int = 1280, *, scheme: str = "light", script: bool = True) -> Iterator[Page]:
        if (scheme, script) not in tabs:
            tabs[scheme, script] = browser.new_page(color_scheme=scheme, java_script_enabled=script)  # type: ignore[arg-type]
        page, wrong = tabs[scheme, script], list[str]()

        def heard(error: object) -> None:
            wrong.append(str(error))

        page.on("pageerror", heard)
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(media="screen")
        try:
            page.goto(address)
            yield page
        finally:
            page.remove_listener("pageerror", heard)
        assert wrong == []

    yield open_
    for page in tabs.values():
        page.close()


def shown(page: Page) -> list[str]:
    names = "[...document.querySelectorAll('#sets-list .bl-name a')].filter(a => a.checkVisibility())"
    found: list[str] = page.evaluate(f"{names}.map(a => a.textContent)")
    return found


@pytest.mark.parametrize(("count", "row", "most"), [(40, 62, 3_700), (400, 32, 14_000)])
def test_the_index_is_no_higher_than_its_sets_need(
    tab: Tab, indexes: dict[int, str], count: int, row: int, most: int
) -> None:
    with tab(indexes[count]) as page:
        assert page.evaluate("document.documentElement.scrollHeight") <= most
        heights = page.evaluate("[...document.querySelectorAll('#sets-list > li')].map(r => r.offsetHeight)")
        assert (len(heights), set(heights)) == (count, {row})


@pytest.mark.parametrize("count", [5, 40, 400, 600])
def test_the_page_never_scrolls_sideways(tab: Tab, indexes: dict[int, str], count: int) -> None:
    with tab(indexes[count]) as page:
        for width in (320, 360, 800):
            page.set_viewport_size({"width": width, "height": 800})
            assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_list_across_sets_of_long_names_never_scrolls_sideways(tab: Tab, tmp_path: Path) -> None:
    """Sets told apart by their folders have names longer than a phone is wide: a list by tube was cut off there."""
    pages = [
        replace(page, card=(page.card or {}) | {"title": f"Brackwater Cricket 7 of the northern branch, {page.folder}"})
        for page in makers.archive(40)
    ]
    index = makers.write_archive(tmp_path, pages)
    for path in sorted(index.parent.glob("*-*/index.html")):
        with tab(path.as_uri(), 320) as page:
            assert page.evaluate("document.documentElement.scrollWidth") <= 320, path.parent.name


@pytest.mark.parametrize(
    ("path", "scheme"),
    [("5|", "light"), ("40|", "dark"), ("121|", "light"), ("600|by-name/b/", "dark"), ("40|what-failed/", "light")],
)
def test_axe_finds_nothing(tab: Tab, indexes: dict[int, str], path: str, scheme: str) -> None:
    count, _, below = path.partition("|")
    address = indexes[int(count)].replace("index.html", f"{below}index.html")
    with tab(address, scheme=scheme) as page:
        if scheme == "dark":
            page.evaluate("document.body.dataset.mdColorScheme = 'slate'")
            # The theme blends colours: what is looked at while it does has the contrast of neither.
            page.evaluate("Promise.all(document.getAnimations().map(one => one.finished))")
        assert violations(page, rules={"region": {"enabled": False}}) == []


def test_axe_finds_what_is_wrong_on_a_bad_page(tab: Tab, tmp_path: Path) -> None:
    bad = tmp_path / "bad.html"
    bad.write_text('<!doctype html><html lang="en"><title>Bad</title><main><img src="x.png"></main></html>')
    with tab(bad.as_uri()) as page:
        assert 'image-alt: <img src="x.png">' in violations(page)


def test_a_click_right_after_typing_opens_the_set(tab: Tab, indexes: dict[int, str]) -> None:
    """The field is left between the press of the button and its release; the list must not move then."""
    with tab(indexes[40]) as page:
        page.click("#filter-words")
        page.keyboard.type("glasswick 1945")
        assert shown(page) == ["Glasswick Heron 17"]
        box = page.locator("#sets-list .bl-name a:visible").bounding_box()
        assert box
        page.mouse.move(box["x"] + 9, box["y"] + 9)
        page.mouse.down()
        page.mouse.up()
        page.wait_for_url("**/set-0017/index.html", timeout=3_000)


@pytest.mark.parametrize("count", [40, 600])
def test_the_filter_stands_in_the_address_and_is_there_again_on_back(
    tab: Tab, indexes: dict[int, str], count: int
) -> None:
    with tab(indexes[count]) as page:
        page.select_option("#filter-state", "on the bench")
        page.fill("#filter-words", "12be6 suspect")
        page.select_option("#filter-order", "year")
        page.wait_for_function("document.getElementById('filter-count').textContent.includes('fit')")
        before = shown(page)
        assert page.url.endswith("?words=12be6+suspect&state=on+the+bench&order=year")
        page.locator("#sets-list .bl-name a:visible").first.click()
        page.wait_for_url("**/set-*/index.html")
        page.go_back()
        page.wait_for_selector("#filter:not([hidden])")
        page.wait_for_function("document.getElementById('filter-count').textContent.includes('fit')")
        assert page.input_value("#filter-words") == "12be6 suspect"
        assert shown(page) == before


@pytest.mark.parametrize("count", [40, 600])
def test_every_property_can_be_asked_for(tab: Tab, indexes: dict[int, str], count: int) -> None:
    asked = {"state": "finished", "kind": "battery", "maker": "Dunwick", "decade": "1930s", "by": "R. Alder"}
    cards = [page.card or {} for page in makers.archive(count)]
    fitting = {
        "state": lambda card: card["state"] == "finished",
        "kind": lambda card: card["kind"] == "battery",
        "maker": lambda card: card["maker"] == "Dunwick",
        "decade": lambda card: card["year"] // 10 == 193,
        "by": lambda card: card["by"] == "R. Alder",
    }
    with tab(indexes[count]) as page:
        for name, value in asked.items():
            page.select_option(f"#filter-{name}", value)
            expected = sum(fitting[name](card) for card in cards)
            page.wait_for_function("document.getElementById('filter-count').textContent.includes('fit')")
            assert page.inner_text("#filter-count").startswith(f"{expected} of {count} sets fit.")
            assert len(shown(page)) == min(expected, 120)
            page.select_option(f"#filter-{name}", "")


def test_words_find_what_failed_and_nothing_finds_nothing(tab: Tab, indexes: dict[int, str]) -> None:
    with tab(indexes[40]) as page:
        page.fill("#filter-words", "OUTPUT coupling leaked")
        assert len(shown(page)) == 6
        page.fill("#filter-words", "no such thing")
        assert shown(page) == []
        page.fill("#filter-words", "")
        assert len(shown(page)) == 40


@pytest.mark.parametrize("order", ["dated", "year"])
def test_the_order_is_the_one_that_was_asked_for(tab: Tab, indexes: dict[int, str], order: str) -> None:
    cards = [page.card or {} for page in makers.archive(400)]
    with tab(indexes[400]) as page:
        page.select_option("#filter-order", order)
        listed = page.evaluate(f"[...document.querySelectorAll('#sets-list > li')].map(row => row.dataset.{order})")
        assert listed == sorted((str(card[order]) for card in cards), reverse=order == "dated")


def test_letters_stay_in_view_and_lead_to_the_first_set_that_is_shown(tab: Tab, indexes: dict[int, str]) -> None:
    with tab(indexes[400]) as page:
        page.click(".bl-letters a[data-letter=N]")
        nav = page.locator(".bl-letters").bounding_box()
        row = page.locator("#letter-n").bounding_box()
        assert nav
        assert row
        assert nav["y"] >= 0
        assert nav["y"] + nav["height"] <= row["y"] <= 300
        page.fill("#filter-words", "heron 9")
        first = page.locator("#sets-list > li:visible .bl-name a", has_text="Nether").first.inner_text()
        assert page.locator("#letter-n .bl-name a").inner_text() == first


@pytest.mark.parametrize(("count", "there"), [(5, 5), (40, 40), (400, 400), (600, 120)])
def test_without_a_script_every_set_is_shown_or_led_to(
    tab: Tab, indexes: dict[int, str], count: int, there: int
) -> None:
    with tab(indexes[count], script=False) as page:
        assert len(shown(page)) == there
        assert not page.locator("#filter").is_visible()
        if count == 600:
            page.click(".bl-letters a >> text=A")
            assert "Abbotwick Heron 0" in page.inner_text(".bl-sets")


def test_of_many_sets_the_newest_stand_there_again_when_nothing_is_asked(tab: Tab, indexes: dict[int, str]) -> None:
    with tab(indexes[600]) as page:
        before = shown(page)
        page.fill("#filter-words", "heron 599")
        page.wait_for_function("document.getElementById('filter-count').textContent.startsWith('1 of 600')")
        assert shown(page) == ["Thornwick Heron 599"]
        assert page.locator("#sets-list a").get_attribute("href") == "set-0599/index.html"
        page.fill("#filter-words", "")
        assert shown(page) == before


def test_names_from_a_record_stay_text_in_what_the_script_makes(tab: Tab, tmp_path: Path) -> None:
    evil = '<img src=x onerror="window.caught=1">'
    pages = [makers.carded_page("evil", evil, "Zorn", lead=evil), *makers.archive(510)]
    with tab(makers.write_archive(tmp_path, pages).as_uri()) as page:
        page.fill("#filter-words", "zorn")
        page.wait_for_function("document.getElementById('filter-count').textContent.startsWith('1 of 511')")
        assert shown(page) == [f"Zorn {evil}"]
        assert page.evaluate("window.caught") is None
        assert page.locator("#sets-list img").count() == 0


@pytest.mark.parametrize("count", [5, 40, 400])
def test_printed_a_set_is_one_line(tab: Tab, indexes: dict[int, str], count: int) -> None:
    with tab(indexes[count], 720) as page:
        page.emulate_media(media="print")
        heights = page.evaluate("[...document.querySelectorAll('#sets-list > li')].map(row => row.offsetHeight)")
        assert max(heights) <= 24
        assert not page.locator(".bl-pic").first.is_visible()
        assert not page.locator("#filter").is_visible()


_SEARCH = '<div data-md-component="search"></div>'


@pytest.mark.parametrize(
    ("head", "said"), [("", False), (_SEARCH, True), (f'{_SEARCH}<script src="x/iframe-worker.js"></script>', False)]
)
def test_from_a_disk_the_page_says_which_search_does_not_work(tab: Tab, tmp_path: Path, head: str, said: bool) -> None:
    """Only that of a theme which has one, and not where it brought what a search from a disk needs."""
    index = makers.write_archive(tmp_path, makers.archive(8))
    index.write_text(index.read_text(encoding="utf-8").replace("</header>", f"{head}</header>"), encoding="utf-8")
    with tab(index.as_uri()) as page:
        page.wait_for_selector("#filter:not([hidden])")
        assert page.locator("#opened-as-file").is_visible() is said
