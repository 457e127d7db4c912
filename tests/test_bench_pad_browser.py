"""The bench pad in a real browser: what is typed there on the way into a record."""

from __future__ import annotations

import io
import json
import random
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route

import makers
from accessibility import COLOURS, violations
from bench_pads import BARE, SET, pad
from benchleaf.circuit.place import place
from benchleaf.cli.main import main
from benchleaf.pages.site_files import ASSETS, ASSETS_MARK, asset_files
from benchleaf.record import read_record
from benchleaf.record.quantities import Quantity
from benchleaf.record.sections.readings import Reading
from benchleaf.record.slips import Slips
from benchleaf.record.text import Text

KNOWN = SET.replace("  V9: 99XX9, odd one\n", "")
"""The same without the tube that the table does not have, so that the record has no slip."""


NOW = "2026-11-29T03:30:00Z"


NEW_YORK = "America/New_York"
"""Where it is still 28 November then."""


PHONE = {"width": 360, "height": 760}


UNSAFE = "http://pad.example/"
"""An address that no browser takes for secure."""


POLICY = "default-src 'self'; style-src 'self'; script-src 'self'; img-src 'self' data:"


BLOCKED = """Object.defineProperty(window, "localStorage", {
    get() { throw new DOMException("refused", "SecurityError"); }
});"""


SHARED = "navigator.share = given => { window.shared = given; return Promise.resolve(); };"


@pytest.fixture(scope="module")
def disk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two sites with a set of one name each, as they lie on a disk."""
    root = tmp_path_factory.mktemp("disk")
    files = {f"{site}/{path}": text for site in ("site", "other") for path, text in asset_files()}
    for site in ("site", "other"):
        files[f"{site}/sets/minuet-5/bench-pad.html"] = pad(KNOWN).replace(ASSETS_MARK, f"../../{ASSETS}")
    for path, text in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text, encoding="utf-8")
    return root


@contextmanager
def phone(browser: Browser, profile: Path, script: str = "") -> Iterator[BrowserContext]:
    """A browser whose profile lies in a folder, so that it can be closed and opened again."""
    context = browser.browser_type.launch_persistent_context(
        profile, executable_path="/usr/bin/chromium", viewport=PHONE, timezone_id=NEW_YORK, has_touch=True
    )  # type: ignore[call-overload, unused-ignore]
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    context.add_init_script(script or SHARED)
    yield context
    context.close()


def opened(context: BrowserContext, address: str) -> tuple[Page, list[str]]:
    """A page, and what goes wrong on it."""
    page, wrong = context.new_page(), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.clock.set_fixed_time(NOW)
    page.goto(address)
    return page, wrong


def written(page: Page) -> str:
    return page.input_value("#lines")


TYPED = """  2026-11-28 after work:
    line: 118
    meter: 10 meg, 0.5 %
    to: B-
    note: "warm: 20 minutes"
    V4: cathode 5,9, grid -.2, plate 92.4
    V5: cathode <121, plate 118 AC
    B+1: x
"""


def test_what_is_typed_is_kept_and_goes_into_the_record(browser: Browser, disk: Path, tmp_path: Path) -> None:
    address = (disk / "site/sets/minuet-5/bench-pad.html").as_uri()
    with phone(browser, tmp_path / "profile") as context:
        page, wrong = opened(context, address)
        page.fill("#run-line", "118")
        page.fill("#run-note", "warm: 20 minutes")
        page.get_by_label("pin 1, cathode").press_sequentially("5,9")
        page.keyboard.press("Enter")
        page.keyboard.type(".2")
        page.get_by_role("button", name="Minus sign: V4 grid").click()
        for typed in ("", "92.4", "<121", "118", ""):
            page.keyboard.press("Enter")
            page.keyboard.type(typed)
        page.get_by_label("B+1").first.fill("x")
        assert written(page) == TYPED
        assert page.inner_text("#kept").startswith("What you type is kept in this browser")
        assert wrong == []
    with phone(browser, tmp_path / "profile") as context:
        page, wrong = opened(context, address)
        assert written(page) == TYPED
        other, _ = opened(context, address.replace("/site/", "/other/"))
        assert written(other) == "Nothing is typed yet."
        other.get_by_label("pin 6, screen").first.fill("44")
        assert written(page) == TYPED
        second, _ = opened(context, address)
        second.get_by_label("pin 6, screen").last.fill("91")
        page.wait_for_function("document.getElementById('lines').value.includes('screen 91')")
        second.get_by_label("pin 6, screen").last.fill("")
        page.bring_to_front()
        page.wait_for_function("!document.getElementById('lines').value.includes('screen')")
        page.click("#share")
        assert page.evaluate("window.shared") == {"title": "Larkfield Minuet 5: 2026-11-28 after work", "text": TYPED}
        page.click("#copy")
        page.wait_for_function("document.getElementById('said').textContent === 'Copied.'")
        copied = page.evaluate("navigator.clipboard.readText()")
        assert copied == TYPED
        page.click("#new-run")
        page.click("#keep")
        assert written(page) == TYPED
        page.click("#new-run")
        page.click("#clear")
        assert written(page) == "Nothing is typed yet."
        page.reload()
        assert written(page) == "Nothing is typed yet."
        assert page.input_value("#run-meter") == "10 meg, 0.5 %"
        assert wrong == []
    record = tmp_path / "record.yml"
    record.write_text(KNOWN + copied, encoding="utf-8")
    assert main(["check", str(record)]) == 0
    run = next(run for name, run in makers.record(KNOWN + copied).readings.items() if name == "2026-11-28 after work")
    assert volts(run.points) == {
        ("V4", "cathode"): 5.9, ("V4", "grid"): -0.2, ("V4", "plate"): 92.4,
        ("V5", "cathode"): 121, ("V5", "plate"): 118, ("B+1", ""): None,
    }  # fmt: skip
    assert run.note == "warm: 20 minutes"


def test_what_was_saved_goes_in_from_the_terminal_as_it_would_be_pasted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = tmp_path / "record.yml"
    record.write_text(KNOWN, encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(TYPED.encode())))
    assert main(["add", str(record), "-"]) == 0
    assert record.read_text(encoding="utf-8") == KNOWN + TYPED


def volts(points: Mapping[Any, Sequence[Reading]]) -> dict[tuple[str, str], float | None]:
    return {
        (str(name), str(point.at)): point.value.si if point.value else None
        for name, of_place in points.items()
        for point in of_place
    }


def from_the_web(context: BrowserContext, disk: Path) -> None:
    """Serve the files of the disk at the unsafe address, with the strictest policy."""

    def answer(route: Route) -> None:
        file = disk / route.request.url.removeprefix(UNSAFE)
        kind = {".html": "text/html", ".css": "text/css", ".js": "text/javascript"}[file.suffix]
        headers = {"Content-Type": f"{kind}; charset=utf-8", "Content-Security-Policy": POLICY}
        route.fulfill(body=file.read_text(encoding="utf-8"), headers=headers)

    context.route(f"{UNSAFE}**", answer)


def test_where_nothing_may_be_kept_or_copied_the_lines_stand_there_to_take(browser: Browser, disk: Path) -> None:
    with browser.new_context(viewport=PHONE, timezone_id=NEW_YORK) as context:
        context.add_init_script(BLOCKED)
        from_the_web(context, disk)
        page, wrong = opened(context, f"{UNSAFE}site/sets/minuet-5/bench-pad.html")
        assert page.inner_text("#kept").startswith("Nothing is being kept")
        assert page.is_hidden("#copy")
        assert page.is_hidden("#share")
        assert page.is_disabled("#save")
        page.clock.set_fixed_time("2026-11-30T15:00:00Z")
        page.get_by_label("pin 7, plate").fill("92")
        with page.expect_download() as saved:
            page.click("#save")
        assert saved.value.suggested_filename == "minuet-5-2026-11-30-after-work.txt"
        assert Path(saved.value.path()).read_text(encoding="utf-8") == written(page)
        assert written(page).endswith("    V4: plate 92\n")
        assert wrong == []


def test_without_its_script_the_page_leads_to_the_sheet(browser: Browser, disk: Path) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        page.goto((disk / "site/sets/minuet-5/bench-pad.html").as_uri())
        assert page.is_hidden("#pad")
        assert page.locator("#without-script a").get_attribute("href") == "bench-sheet.html"
        assert "needs its script" in page.inner_text("#without-script")


SMALL = """[...document.querySelectorAll('a, button, input, textarea')].filter(e => e.checkVisibility())
    .filter(e => e.getBoundingClientRect().height < 44 || e.getBoundingClientRect().width < 44)
    .map(e => e.outerHTML)"""


def test_a_thumb_hits_what_it_means_and_axe_finds_nothing(browser: Browser, disk: Path) -> None:
    with browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True) as context:
        page, wrong = opened(context, (disk / "site/sets/minuet-5/bench-pad.html").as_uri())
        page.get_by_label("pin 7, plate").fill("92?")
        page.get_by_label("pin 6, screen").first.fill("90")
        page.locator(".letters").first.evaluate("key => key.click()")
        assert page.locator("#box-1").get_attribute("inputmode") == "text"
        page.click("#new-run")
        assert "Not read as a voltage" in page.inner_text("main")
        assert page.evaluate(SMALL) == []
        for width in (320, 360, 1280):
            page.set_viewport_size({"width": width, "height": 760})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert wrong == []
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert violations(page, **(COLOURS if scheme == "dark" else {})) == [], scheme
        page.emulate_media(media="print")
        shown = page.inner_text("main")
        assert "To print, take the bench sheet" in shown
        assert "pin 7" not in shown


PIECES = (
    *"0123456789" * 5, ".", ",", "-", "+", "−", "<", ">", "~", " ", " ", "x", "OL", "AC", "V", "mV", "k",
    "±", "'", '"', ":", "#", "&", "*", "!", "|", "{", "[", "]", "%", "@", "`", "\\", "\t", "\u00a0", "\u202f", "\u200b",
    "\u202e", "\x07", "\U0001f4fb", "about ", "open", "null", "pin 3", "plate", "?", "/",
)  # fmt: skip


CHOSEN = (
    "-7,2", ".5", ",5", "-.5", "<0.5", ">500", "~90", "x", "X", "OL", "ol", "o.l.", "1 200", "1,234", "92 V", "117 AC",
    "38 mV", "1.2 kV", "- 7", "7-", "92?", "92.", "5 6", "5 6 AC", "5 x", "about 92", "± 3", "90-95", "1e3", "1:30",
    "true", "null", "~", "", "-", "?", "- ", "# 3", "3 # 4", "3: 4", "{3}", "'3'", '"3"', "7, plate 3", "92, screen 3",
)  # fmt: skip


TYPE_EACH = """typed => {
    const type = (box, text) => { box.value = text; box.dispatchEvent(new Event('input', { bubbles: true })); };
    const plate = document.querySelector('[data-name=V4] [data-at=plate]');
    const rail = document.querySelector('[data-name="B+1"] input');
    return typed.map(text => { type(plate, text); type(rail, text); return document.getElementById('lines').value; });
}"""


def test_what_is_typed_reads_back_as_typed_or_is_asked(browser: Browser, disk: Path) -> None:
    chance = random.Random(14)
    strings = [*CHOSEN, *("".join(chance.choices(PIECES, k=chance.randint(1, 6))) for _ in range(120))]
    with browser.new_context() as context:
        page, wrong = opened(context, (disk / "site/sets/minuet-5/bench-pad.html").as_uri())
        results = page.evaluate(TYPE_EACH, strings)
        named = page.evaluate(NAME_EACH, strings[:70])
        assert wrong == []
    read = [compare(typed, lines) for typed, lines in zip(strings, results, strict=True)]
    assert sum(read) > 40
    for typed, lines in zip(strings, named, strict=False):
        (name, run), *_ = makers.record(f"tubes:\n  V4: 50C5\nreadings:\n{lines}").readings.items()
        said = meant(typed)
        assert (str(name), str(run.note or "")) == (f"2026-11-28 {said or 'after work'}", said)


NAME_EACH = """typed => {
    const type = (id, text) => {
        const box = document.getElementById(id);
        box.value = text;
        box.dispatchEvent(new Event('input', { bubbles: true }));
    };
    const plate = document.querySelector('[data-name=V4] [data-at=plate]');
    document.querySelectorAll('input[data-at]').forEach(box => { box.value = ''; });
    type(plate.id, '92');
    type('run-date', '2026-11-28');
    return typed.map(text => {
        type('run-name', text);
        type('run-note', text);
        return document.getElementById('lines').value;
    });
}"""


def meant(typed: str) -> str:
    """What was typed without what no line can hold."""
    return " ".join(re.sub(r"[\x00-\x1f\x7f\u200b\u202e]", " ", typed.replace("\t", " ")).split())


def compare(typed: str, lines: str) -> bool:
    """Whether what was typed is a reading; fails where its lines read as another one, or elsewhere."""
    said = meant(typed)
    if said in ("", "-", "+", "−"):
        assert lines == "Nothing is typed yet.", typed
        return False
    head = "tubes:\n  V4: 50C5\nreadings:\n"
    alone = refused_or_read(f"{head}  2026-11-28:\n    V4:\n      plate: {json.dumps(said, ensure_ascii=False)}\n")
    found = refused_or_read(head + lines)
    assert isinstance(found, list) == isinstance(alone, list), (typed, lines, found)
    if isinstance(found, list):
        return False
    value = alone[Text("V4")][0].value
    for name, at in (("V4", "plate"), ("B+1", "")):
        (point,) = found[Text(name)]
        assert (str(point.at), alike(point.value)) == (at, alike(value)), (typed, lines)
    return True


def alike(value: Quantity | None) -> tuple[Any, ...]:
    return (value.si, value.low, value.high, value.qualifier, value.mark) if value else ()


def refused_or_read(text: str) -> Any:
    """The readings of the one run of a record, or what is told of it."""
    record, problems = read_record((BARE + text).encode(), "record.yml")
    slips = Slips("record.yml")
    if record is not None:
        place(record, slips)
    told = [*problems, *slips.problems()]
    return told or next(iter(record.readings.values())).points if record else told
