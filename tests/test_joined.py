"""Archives joined: all sets of all clubs in one search and in lists, each linked to its own site, and none trusted."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from benchleaf.archive.joined import joined_pages, leading_on
from benchleaf.archive.lists_across import MOST_ROWS
from benchleaf.archive.other_archives import OtherArchive, read_archive
from benchleaf.build import joined_files as joined_files_module
from benchleaf.build import joined_kept
from benchleaf.build.cache import Cache
from benchleaf.build.joined_files import joined_files
from benchleaf.build.joined_kept import JoinedSites
from benchleaf.cli import main
from benchleaf.pages.set_page import Choices, OutFile, WorkingPage
from hostile_text import HOSTILE
from markup import parsed
from sites import SECRET, SMALL_RECORD

TYPES = ["12BE6", "12BA6", "12AV6", "50C5", "35W4", "EF80", "ECC83", "EL84"]
JOBS = ["coupling", "reservoir", "screen feed", "plate load"]
HOWS = ["leaked", "open", "shorted", "out of tolerance"]


def of_club(club: int, count: int, **more: Any) -> dict[str, Any]:
    """An archive of generated sets, as such a site publishes it."""
    listed = [
        {
            "id": f"set-{n}",
            "address": f"sets/set-{n}/",
            "title": f"{chr(65 + n % 26)}maker Model {n}",
            **dict.fromkeys(("member", "by", "called", "chassis_number")),
            "made": "1950",
            "year": 1950,
            "state": "finished",
            "kind": "superheterodyne",
            "summary": "A set.",
            "tubes": [TYPES[n % 8], TYPES[(n + club) % 8]],
            "faults": [{"complaint": f"hum {n}", "cause": f"C{n % 30} leaky", "cure": None}],
            "failed": [{"job": JOBS[n % 4], "verdict": HOWS[(n + club) % 4], "part": f"C{n % 30}", "was": "10 nF"}],
        }
        for n in range(count)
    ]
    head = {"format": "benchleaf-sets", "version": 1, "name": f"Club {club}", "site_url": f"https://c{club}.example/a"}
    return {**head, "file": "sets/sets.json", "dialect": "american", "sets": listed, **more}


def read(told: dict[str, Any]) -> OtherArchive:
    return read_archive(json.dumps(told).encode(), "file")


OWN = read(of_club(0, 3, name="Ours", site_url=None))


def joined(
    *others: OtherArchive, own: OtherArchive = OWN, **choices: Any
) -> tuple[dict[str, WorkingPage], list[OutFile]]:
    pages, scripts = joined_pages(own, others, Choices(**choices), "../")
    return {page.name: page for page in pages}, scripts


def links(page: WorkingPage) -> Iterator[str]:
    yield from map(unescape, re.findall(r'<a href="([^"]*)"', page.html))


def rows_of(script: OutFile) -> dict[str, Any]:
    found = re.fullmatch(
        r"\(window\.benchleafJoined = window\.benchleafJoined \|\| \{\}\)\[\d+\] = (.*);\n", script.text or ""
    )
    assert found
    data: dict[str, Any] = json.loads(found[1])
    return data


@pytest.fixture(scope="module")
def twenty() -> tuple[dict[str, WorkingPage], list[OutFile]]:
    return joined(*(read(of_club(club, 1000)) for club in range(1, 21)))


def test_twenty_archives_of_a_thousand_sets(twenty: tuple[dict[str, WorkingPage], list[OutFile]]) -> None:
    pages, scripts = twenty
    assert "20003 sets of 21 archives." in pages["joined"].html
    assert [len(rows_of(script)["rows"]) for script in scripts] == [3, *[1000] * 20]
    assert max(len(script.text or "") for script in scripts) < 250_000
    assert max(len(page.html) for page in pages.values()) < 130_000
    by_name = [page for name, page in pages.items() if name.startswith("joined/by-name/")]
    failed = [page for name, page in pages.items() if name.startswith("joined/what-failed")]
    by_tube = [page for name, page in pages.items() if name.startswith("joined/by-tube")]
    assert max(page.html.count("<dt>") for page in by_name) == MOST_ROWS
    assert max(page.html.count("<dd>") for page in failed) == MOST_ROWS
    addresses = {f"https://c{club}.example/a/sets/set-{n}/" for club in range(1, 21) for n in range(1000)}
    addresses |= {f"sets/set-{n}/" for n in range(3)}
    for lists in (by_name, failed, by_tube):
        assert {re.sub(r"^(\.\./)+", "", link) for page in lists for link in links(page) if "set-" in link} == addresses
    assert sum(page.html.count("<dt>") for page in by_name) == 20_003


def test_each_sheet_is_reached_from_the_one_before(twenty: tuple[dict[str, WorkingPage], list[OutFile]]) -> None:
    pages, _ = twenty
    reached, waiting = set(), ["joined"]
    while waiting:
        name = waiting.pop()
        if name in reached:
            continue
        reached.add(name)
        for link in links(pages[name]):
            if not link.startswith("https:") and "set-" not in link:
                steps = name.split("/")
                up = len(re.match(r"(?:\.\./)*", link)[0]) // 3  # type: ignore[index]
                target = "/".join([*steps[: len(steps) - up], *link[3 * up :].strip("/").split("/")]).strip("/")
                assert target in pages or target == "", (name, link)
                waiting += [target] if target else []
    assert reached == set(pages)


def test_own_sets_stay_on_this_site_and_others_lead_away() -> None:
    pages, scripts = joined(read(of_club(1, 1)))
    assert list(links(pages["joined/by-name/a"]))[-2:] == [
        "../../../../sets/set-0/",
        "https://c1.example/a/sets/set-0/",
    ]
    assert 'rel="external noopener noreferrer"' in pages["joined/by-name/a"].html
    assert rows_of(scripts[0])["rows"][0][:4] == ["../../sets/set-0/", "Amaker Model 0", "hum 0 → C0 leaky", "12BE6"]
    assert rows_of(scripts[1])["rows"][0][0] == "https://c1.example/a/sets/set-0/"
    assert {"assets/benchleaf/joined.js"} == {
        re.sub(r"^(\.\./)+", "", s) for s in re.findall(r'<script src="([^"]+)"', pages["joined"].html)
    }
    plain, _ = joined(read(of_club(1, 1)), directory_urls=False)
    assert "../joined/what-failed/index.html" in set(links(plain["joined"]))


def test_what_failed_is_counted_across_clubs() -> None:
    british = read(of_club(2, 4, dialect="british", sets=[{**one, "failed": [{"job": "anode load", "verdict": "open"}]}
                           for one in of_club(2, 4)["sets"]]))  # fmt: skip
    pages, _ = joined(read(of_club(1, 8)), british)
    html = pages["joined/what-failed"].html
    cells = [re.findall(r"<t[hd][^>]*>([^<]*)</t[hd]>", row) for row in re.findall(r"<tr>.*?</tr>", html)]
    assert cells[0] == ["Job", "Shorted", "Open", "Leaked", "Out of tolerance", "Sets"]
    assert ["plate load", "–", "4", "2", "–", "6"] in cells
    assert "anode" not in html
    tubes = pages["joined/by-tube"].html
    assert re.findall(r"<dt>(\S+) <span class=\"bl-hint\">(\d+)", tubes)[:2] == [("12AV6", "5"), ("12BA6", "4")]


def test_an_archive_of_one_name_with_another_and_one_without_address() -> None:
    nowhere = read(of_club(1, 1, site_url=None, name="Ours"))
    pages, scripts = joined(nowhere)
    assert [rows_of(script)["club"] for script in scripts] == ["Ours (1)", "Ours (2)"]
    assert "where its site is, it does not say" in pages["joined"].html
    assert rows_of(scripts[1])["rows"][0][0] == ""
    assert pages["joined/by-name/a"].html.count("Amaker Model 0</a>") == 1
    alone, _ = joined(nowhere, own=read(of_club(0, 0)))
    assert "1 set of 1 archive." in alone["joined"].html


@pytest.mark.parametrize("hostile", [HOSTILE, "javascript:alert(1)//", "\u202e</script><svg onload=x>", "//b.example/"])
def test_what_others_wrote_is_text(hostile: str) -> None:
    one = of_club(1, 1)["sets"][0]
    said = dict.fromkeys(("id", "title", "made", "kind", "state", "summary", "member", "address"), hostile)
    faults, failed = (
        [{"complaint": hostile, "cause": hostile}],
        [{"job": hostile, "verdict": hostile, "part": hostile, "was": hostile}],
    )
    told = of_club(
        1,
        1,
        name=hostile,
        site_url=hostile,
        dialect=hostile,
        sets=[{**one, **said, "tubes": [hostile], "faults": faults, "failed": failed}],
    )
    pages, scripts = joined(read(told))
    for page in pages.values():
        made = parsed(page.html)
        assert made.scripts == []
        assert not {"img", "svg", "iframe", "style", "object", "base", "meta"} & set(made.tags)
        assert made.tags.count("script") == (page.name == "joined")
        assert [link for link in made.links if not re.match(r"\.\./|\./|https?://|#", link)] == []
    for script in scripts:
        assert all(row[0] == "" or re.match(r"https?://|\.\./", row[0]) for row in rows_of(script)["rows"])
        assert (script.text or "").isascii()


def test_files_that_are_joined(tmp_path: Path) -> None:
    nothing = joined_files((), tmp_path)
    assert (nothing.archives, nothing.told) == ((), ())
    (folder := tmp_path / "joined").mkdir()
    (folder / "b.json").write_text(json.dumps(of_club(2, 2)))
    (folder / "a.json").write_text(json.dumps(of_club(1, 1, sets=[7])))
    (folder / "c.json").write_text("{}")
    (folder / "notes.txt").write_text("mine")
    (tmp_path / "secret").write_text(json.dumps(of_club(9, 9)))
    (folder / "d.json").symlink_to(tmp_path / "secret")
    found = joined_files((), tmp_path)
    told = found.told
    assert [one.name for one in found.archives] == ["Club 1", "Club 2"]
    assert told[0] == "joined/a.json: found 1 entries that cannot be read as sets; they are left out"
    assert told[1].startswith("joined/c.json: found no archive; expected")
    assert told[2].startswith("joined/d.json: found a link to somewhere outside")
    named = joined_files(("joined/b.json", "no.json"), tmp_path)
    assert [one.name for one in named.archives] == ["Club 2"]
    assert named.told == ("no.json: found no such file; expected the sets.json of another archive; it is not joined",)


def test_the_pages_are_kept_by_all_that_went_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder := tmp_path / "joined").mkdir()
    (folder / "a.json").write_text(json.dumps(of_club(1, 2)))
    (folder / "b.json").write_text("{}")
    own = json.dumps(of_club(0, 1))
    times = []
    made = joined_kept._made
    monkeypatch.setattr(joined_kept, "_made", lambda *given: times.append(1) or made(*given))

    def pages(own: str = own, name: str = "Us", secret: bytes = SECRET, **choices: Any) -> Any:
        sites = JoinedSites(joined_files((), tmp_path), Cache(tmp_path / "cache", secret))
        assert sites.any
        assert len(sites.told) == 1
        return sites.pages(own, name, Choices(**choices), "../")

    first = pages()
    with monkeypatch.context() as patch:
        patch.setattr(joined_files_module, "_archive", None)
        assert pages() == first
    assert len(times) == 1
    for different in ({"own": ""}, {"name": "Them"}, {"directory_urls": False}, {"secret": bytes(32)}, {}):
        pages(**different)
    assert len(times) == 6
    (folder / "a.json").write_text(json.dumps(of_club(2, 2)))
    assert pages() != first
    assert len(times) == 7
    entries = [file for file in (tmp_path / "cache" / "joined").rglob("*") if file.is_file()]
    assert len(entries) == 1
    entries[0].write_bytes(entries[0].read_bytes()[:-1])
    assert pages()[0]
    assert len(times) == 8


def test_a_site_has_the_pages_and_its_index_leads_to_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("one", "joined-not"):
        (tmp_path / "sets" / name).mkdir(parents=True)
        (tmp_path / "sets" / name / "record.yml").write_text(SMALL_RECORD)
    (tmp_path / "joined").mkdir()
    (tmp_path / "joined" / "north.json").write_text(json.dumps(of_club(1, 2)))
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Ours\nplugins:\n  - benchleaf:\n      sets: ../sets\n      cache: false\n"
    )
    monkeypatch.chdir(tmp_path)
    assert main(["pages", "out", "--site"]) == 0, capsys.readouterr()
    index = (tmp_path / "out/sets/index.html").read_text()
    assert '<a href="joined/index.html">Sets of all archives</a>' in index
    page = (tmp_path / "out/sets/joined/index.html").read_text()
    assert "4 sets of 2 archives." in page
    assert "Ours" in page
    for way in re.findall(r'data-script="([^"]+)"|<script src="([^"]*joined.js)"', page):
        assert (tmp_path / "out/sets/joined" / "".join(way)).is_file(), way
    assert "../../../sets/one/index.html" in (tmp_path / "out/sets/joined/by-tube/index.html").read_text()
    (tmp_path / "joined" / "north.json").unlink()
    assert main(["pages", "out", "--site"]) == 0
    assert not (tmp_path / "out/sets/joined").exists()
    assert "joined" not in (tmp_path / "out/sets/index.html").read_text().replace("joined-not", "")


@pytest.fixture(scope="module")
def on_a_disk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A joined site with an own set and a hostile one among the others', as files on a disk."""
    root = tmp_path_factory.mktemp("joined")
    (root / "sets" / "one").mkdir(parents=True)
    (root / "sets" / "one" / "record.yml").write_text(SMALL_RECORD)
    (root / "joined").mkdir()
    (root / "joined" / "a.json").write_text(json.dumps(of_club(1, 300)))
    odd = {**of_club(2, 1)["sets"][0], "title": f"Oddmaker {HOSTILE}", "tubes": ["6XX9"]}
    (root / "joined" / "b.json").write_text(json.dumps(of_club(2, 1, sets=[odd])))
    (root / "mkdocs.yml").write_text(
        "site_name: Ours\nplugins:\n  - benchleaf:\n      sets: ../sets\n      cache: false\n"
    )
    assert main(["pages", str(root / "out"), "--from", str(root / "sets"), "--site"]) == 0
    return root / "out" / "sets" / "joined" / "index.html"


def test_the_search_works_from_a_disk(on_a_disk: Path, browser: Browser) -> None:
    page, wrong = browser.new_page(), list[str]()
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("dialog", lambda dialog: wrong.append(dialog.message))
    page.goto(on_a_disk.as_uri())
    found = page.locator("#joined-found > li")

    def search(words: str, club: str = "") -> str:
        page.select_option("#joined-club", club)
        page.fill("#joined-words", words)
        page.wait_for_function(
            "words => !words || document.getElementById('joined-count').textContent !== ''", arg=words
        )
        return page.locator("#joined-count").inner_text()

    assert search("hum 299") == "1 of 302 sets fit."
    assert search("maker") == "301 of 302 sets fit. The first 120 are shown."
    assert found.count() == 120
    assert search("maker", "2") == "1 of 302 sets fit."
    link = found.locator("a")
    assert (link.inner_text(), link.get_attribute("href")) == (
        f"Oddmaker {HOSTILE}",
        "https://c2.example/a/sets/set-0/",
    )
    assert search("testwell") == "1 of 302 sets fit."
    link.click()
    page.wait_for_url("**/sets/one/index.html")
    page.close()
    assert wrong == []


def test_the_lists_are_there_without_a_script(on_a_disk: Path, browser: Browser) -> None:
    page = browser.new_page(java_script_enabled=False)
    page.goto(on_a_disk.as_uri())
    assert not page.locator("#joined-search").is_visible()
    page.get_by_role("link", name="What failed, in all archives").click()
    assert page.locator("table caption").is_visible()
    assert page.locator("dd a").count() == MOST_ROWS - page.locator("tbody tr").count()
    page.close()


def test_an_index_without_others_says_nothing_of_them() -> None:
    assert leading_on("a<!-- joined archives -->b", Choices(), joined=False) == "ab"
