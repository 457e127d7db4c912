"""Other plugins of MkDocs beside this one: each alone, then all that get on with each other, on one small site.

Its pages are made once and kept, so that a build costs the theme and the other plugin.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Browser

from sites import PHOTOGRAPHED, SMALL_RECORD, build, photographed, write_site

from .conftest import Strict, served

FIRST = (
    PHOTOGRAPHED.replace("Trial", "Trial & Sons")
    + "state: finished\nfinished: 2026-03-01\nserial: 998877\nlog:\n  - 2026-02-10 Found {{ 7*7 }} in a barn.\n"
)
CONFIG = "site_url: https://club.example/radios/\ndraft_docs: sets/draft/\ntheme: {name: material, font: false}\n"
INDEX = "# Home\n\n[[last finished]]\n\n[The first](sets/first/index.md)\n"
OURS = "another plugin|benchleaf"
I18N = (
    "i18n: {docs_structure: suffix, languages: [{locale: en, name: English, default: true, build: true},"
    " {locale: de, name: Deutsch, build: true}]}"
)
ONE_EACH = {
    "awesome-nav": "awesome-nav",
    "macros": "macros",
    "redirects": "redirects: {redirect_maps: {old.md: sets/first/index.md}}",
    "rss": "rss: {match_path: 'sets/.*'}",
    "static-i18n": I18N,
    "git": "git-revision-date-localized: {enable_creation_date: true}",
    "glightbox": "glightbox",
    "minify": "minify: {minify_html: true, minify_css: true, css_files: ['assets/benchleaf/*.css']}",
    "section-index": "section-index",
    "exclude": "exclude: {glob: ['sets/second/*']}",
    "tags": "tags",
    "blog": "blog",
    "offline": "offline",
    "privacy": "privacy: {assets_exclude: ['unpkg.com/*']}",
    "print-site": "print-site",
}
"""As few words of each as it takes. privacy would fetch what Material asks for only where a page has a diagram."""


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of a set with photos and “&” in its name, one without, and a draft; under git since the year 2020."""
    folder = tmp_path_factory.mktemp("plugins")
    second = SMALL_RECORD.replace("Trial", "Second")
    write_site(folder, {"second": second, "draft": SMALL_RECORD.replace("Trial", "Draft")}, CONFIG, index=INDEX)
    docs = folder / "docs"
    (photographed(docs / "sets/first") / "record.yml").write_text(FIRST, encoding="utf-8")
    (docs / "sets/first/story.md").write_text("A story of {{ 8*8 }} & more.\n", encoding="utf-8")
    (docs / "blog/posts").mkdir(parents=True)
    (docs / "blog/index.md").write_text("# Blog\n")
    (docs / "blog/posts/post.md").write_text("---\ndate: 2026-01-05\n---\n# Post\n\n[It](../../sets/first/index.md)\n")
    (docs / "tags.md").write_text("---\ntags: [meetings]\n---\n# Tags\n\n<!-- material/tags -->\n")
    (docs / ".nav.yml").write_text("nav:\n  - Our sets: sets\n  - '*'\n")
    day = {"GIT_AUTHOR_DATE": "2020-01-02T03:04:05Z", "GIT_COMMITTER_DATE": "2020-01-02T03:04:05Z"}
    who = ("-c", "user.name=x", "-c", "user.email=x@example.org")
    for command in (["init", "-q"], ["add", "docs"], [*who, "commit", "-q", "-m", "All"]):
        subprocess.run(["git", *command], cwd=folder, env={**os.environ, **day}, check=True)
    return folder


@pytest.fixture(scope="module")
def built(project: Path) -> Callable[..., Path]:
    """The site with other plugins before and behind ours, built once for each and strictly."""

    def build_with(name: str, *plugins: str, before: tuple[str, ...] = (), more: str = CONFIG) -> Path:
        site = project / "built" / name
        if not site.exists():
            result = build_as(project, name, [*before, "benchleaf", *plugins], more)
            assert result.returncode == 0, result.stderr
            assert not re.search(rf"WARNING.*({OURS})", result.stderr), result.stderr
            assert "Traceback" not in result.stderr
        return site

    return build_with


def build_as(project: Path, name: str, plugins: list[str], more: str = CONFIG) -> subprocess.CompletedProcess[str]:
    listed = "".join(f"  - {plugin}\n" for plugin in ["search", *plugins])
    (project / f"{name}.yml").write_text(f"site_name: Trial\nplugins:\n{listed}{more}", encoding="utf-8")
    surroundings = {"GITHUB_ACTIONS": "", "GITLAB_CI": "", "CI": ""}  # by which the plugin for git asks for its history
    return build(project, "--strict", "-f", f"{name}.yml", "-d", str(project / "built" / name), **surroundings)


def read(site: Path, path: str) -> str:
    return (site / path).read_text(encoding="utf-8")


def dead_links(site: Path, below: str = "sets") -> list[str]:
    """Links, pictures, style and scripts of the pages below a folder that lead to no file of the site."""
    dead = []
    for page in sorted((site / below).rglob("*.html")):
        text = re.sub(r"<!--.*?-->", "", page.read_text(encoding="utf-8"), flags=re.S)
        ways = re.findall(r"""<(?:a|img|link|script)\b[^>]*?\s(?:href|src)=(?:"([^"]*)"|([^\s>"]+))""", text)
        for way in (html.unescape(quoted or bare) for quoted, bare in ways):
            parts = urlsplit(way)
            if parts.scheme or parts.netloc or not parts.path or parts.path.startswith("/"):
                continue
            target = (page.parent / unquote(parts.path)).resolve()
            if not (target.is_file() or (target / "index.html").is_file()):
                dead.append(f"{page.relative_to(site)}: {way}")
    return dead


@pytest.mark.parametrize("name", ONE_EACH)
def test_beside_each_the_sets_are_published_and_nothing_leads_nowhere(built: Callable[..., Path], name: str) -> None:
    site = built(name, ONE_EACH[name])
    page = read(site, "sets/first/index.html")
    assert len(re.findall(r"<h1\b", page)) == 1
    assert re.search(r"<title>Testwell Trial &amp; Sons \(1950\) - Trial", page)
    assert "Found in a barn" in page.replace("{{ 7*7 }} ", "")
    assert "benchleaf page" not in page
    assert re.search(r"id=.?tubes\b", page)
    assert '"@type": "TechArticle"' in page
    assert dead_links(site) == []
    everything = "".join(p.read_text("utf-8", "replace") for p in site.rglob("*") if p.suffix in {".html", ".xml"})
    assert "&amp;amp;" not in everything
    assert "998877" not in everything
    assert "Testwell Draft" not in everything


def test_awesome_nav_orders_the_sites_pages(built: Callable[..., Path]) -> None:
    page = read(built("awesome-nav", ONE_EACH["awesome-nav"]), "index.html")
    assert 0 < page.index("Our sets") < page.index("Blog")
    assert 'href="sets/first/" class="md-nav__link"' not in page


def test_awesome_nav_has_sets_where_its_files_name_them(built: Callable[..., Path], project: Path) -> None:
    named = project / "docs/sets/.nav.yml"
    named.write_text("nav:\n  - index.md\n  - The & first: first/index.md\n")
    page = read(built("awesome-sets", "awesome-nav"), "index.html")
    named.unlink()
    (link,) = re.findall(r'href="sets/first/" class="md-nav__link">(.*?)</a>', page, re.S)
    assert "The & first" in link
    assert 'href="sets/second/" class="md-nav__link"' not in page


def test_a_set_is_found_by_its_tags(built: Callable[..., Path]) -> None:
    listed = read(built("tags", ONE_EACH["tags"]), "tags/index.html")
    for tag in ("Testwell", "1950s", "meetings"):
        assert f'<span class="md-tag">{tag}</span>' in listed
    assert 'href="../sets/first/"' in listed
    assert "sets/draft" not in listed


def test_macros_leave_what_a_record_says_alone(built: Callable[..., Path]) -> None:
    site = built("macros", ONE_EACH["macros"])
    assert "{{ 7*7 }}" in read(site, "sets/first/index.html")
    assert "{{ 8*8 }}" in read(site, "sets/first/index.html")
    assert "{{ 8*8 }}" in read(site, "index.html")


def test_a_redirect_leads_to_a_set(built: Callable[..., Path]) -> None:
    assert 'url=../sets/first/"' in read(built("redirects", ONE_EACH["redirects"]), "old/index.html")


def test_a_feed_has_the_sets_with_the_days_of_their_records(built: Callable[..., Path]) -> None:
    site = built("rss", ONE_EACH["rss"])
    for feed in ("created", "updated"):
        items = re.findall(r"<item>(.*?)</item>", read(site, f"feed_rss_{feed}.xml"), re.S)
        told = {
            re.findall("<link>(.*?)</link>", one)[0].removeprefix("https://club.example/radios/"): one for one in items
        }
        assert set(told) == {"sets/first/", "sets/second/"}
        assert "<title>Testwell Trial &amp; Sons (1950)</title>" in told["sets/first/"]
        assert "01 Mar 2026" in told["sets/first/"]
        assert "02 Jan 2020" in told["sets/second/"]  # that record has no day: its file's, by git
    told = {item["url"]: item["title"] for item in json.loads(read(site, "feed_json_created.json"))["items"]}
    assert told["https://club.example/radios/sets/first/"] == "Testwell Trial & Sons (1950)"


@pytest.mark.parametrize("place", ["date", "date.created"])
def test_a_feed_finds_the_day_wherever_it_looks(built: Callable[..., Path], place: str) -> None:
    feed = (
        f"rss: {{match_path: 'sets/.*', use_git: false, date_from_meta: {{as_creation: {place}, as_update: {place}}}}}"
    )
    item = read(built(f"rss-{place}", feed), "feed_rss_created.xml").partition("sets/first/</link>")[2]
    assert "01 Mar 2026" in item.partition("</item>")[0]


def test_a_site_in_two_languages_has_every_set_in_both(built: Callable[..., Path]) -> None:
    site = built("static-i18n", I18N)
    for way in ("", "de/"):
        page = read(site, f"{way}sets/first/index.html")
        assert f'<link rel="canonical" href="https://club.example/radios/{way}sets/first/">' in page
        assert f"https://club.example/radios/{way}sets/first/photos/front-64" in page
        assert f"https://club.example/radios/{way}sets/first/</loc>" in read(site, "sitemap.xml").replace("\n", "")
        assert (site / f"{way}sets/first/record.json").is_file()
    assert '<html lang="de"' in read(site, "de/sets/first/index.html")
    assert 'href="sets/first/"' in read(site, "de/index.html")
    assert dead_links(site, "de") == []


def test_nor_does_a_language_need_the_sets_among_the_documents(project: Path) -> None:
    shutil.copytree(project / "docs/sets", project / "shelf")
    shutil.copytree(project / "docs/sets", project / "kept-away")
    shutil.rmtree(project / "docs/sets")
    result = build_as(project, "outside", ["benchleaf: {sets: ../shelf}", I18N, "git-revision-date-localized"])
    shutil.move(project / "kept-away", project / "docs/sets")
    shutil.rmtree(project / "shelf")
    assert "Unhandled" not in result.stderr
    site = project / "built/outside"
    assert (site / "de/sets/first/index.html").is_file()
    assert dead_links(site) == dead_links(site, "de") == []
    assert "March 1, 2026" in read(site, "sets/first/index.html")


def test_the_day_on_a_page_is_the_records_not_that_of_the_build(built: Callable[..., Path]) -> None:
    site = built("git", ONE_EACH["git"])
    first, second = read(site, "sets/first/index.html"), read(site, "sets/second/index.html")
    dates = re.findall(r'git-revision-date-localized-plugin-date"[^>]*>(.*?)<', first)
    assert dates == ["March 1, 2026"]
    assert "git-revision-date-localized-plugin-date" not in second
    assert re.findall(r'plugin-date"[^>]*>(.*?)<', read(site, "sets/first/heaters/index.html")) == dates
    assert "January 2, 2020" in read(site, "index.html")


def test_no_second_that_passes_during_the_build_is_told_of_our_pages(project: Path) -> None:
    """The plugin dates generated pages by the clock, first change, then creation, and warns where that is later."""
    (project / "ticking.py").write_text(
        "from itertools import count\nfrom types import SimpleNamespace\n"
        "from mkdocs_git_revision_date_localized_plugin import plugin\n"
        "plugin.time = SimpleNamespace(time=count(1_800_000_000).__next__)\n"
    )
    result = build_as(project, "ticking", ["benchleaf", ONE_EACH["git"]], f"{CONFIG}hooks: [ticking.py]\n")
    assert result.returncode == 0, result.stderr
    assert "March 1, 2026" in read(project / "built/ticking", "sets/first/index.html")


def test_photos_open_in_the_viewer(built: Callable[..., Path], browser: Browser) -> None:
    plain, viewed = built("plain"), built("glightbox", "glightbox")
    tab = browser.new_page()
    said: list[str] = []
    tab.on("pageerror", lambda error: said.append(str(error)))
    seen = []
    for site in (plain, viewed):
        with served(site) as address:
            tab.goto(f"{address}sets/first/", wait_until="networkidle")
            seen.append(tab.evaluate("document.querySelector('article.bl-set').innerText"))
            if site == viewed:
                links = tab.locator("article.bl-set a.glightbox")
                assert links.count() == 3
                links.first.click()
                shown = tab.locator(".gslide.current img")
                shown.wait_for()
                assert "/sets/first/photos/front-64" in str(shown.get_attribute("src"))
    tab.close()
    assert said == []
    assert seen[0] == seen[1]
    assert 'class="glightbox"' not in read(viewed, "sets/index.html")


def test_a_viewer_for_chosen_pictures_leaves_the_others(built: Callable[..., Path]) -> None:
    assert 'class="glightbox"' not in read(
        built("glightbox-manual", "glightbox: {manual: true}"), "sets/first/index.html"
    )


def test_minified_pages_are_whole(built: Callable[..., Path], browser: Browser) -> None:
    plain, small = built("plain"), built("minify", ONE_EACH["minify"])
    looks = "e => [e.querySelectorAll('*').length, e.innerText.replace(/\\s+/g, ' ').trim()]"
    tab, seen = browser.new_page(), []
    for site in (plain, small):
        with served(site) as address:
            tab.goto(f"{address}sets/first/", wait_until="networkidle")
            seen.append(tab.locator("article.bl-set").evaluate(looks))
    tab.close()
    assert seen[0] == seen[1]
    (block,) = re.findall(r"ld\+json.?>(.*?)</script>", read(small, "sets/first/index.html"), re.S)
    assert json.loads(block)["headline"] == "Testwell Trial & Sons (1950)"
    assert (small / "assets/benchleaf/bench-pad.css").is_file()
    assert (small / "assets/benchleaf/bench-pad.min.css").is_file()


def test_minify_is_spared_a_file_that_it_would_not_find(project: Path) -> None:
    files = "css_files: [assets/benchleaf/benchleaf.css], js_files: assets/benchleaf/bench-pad.js"
    result = build_as(project, "safe", ["benchleaf", f"minify: {{minify_css: true, cache_safe: true, {files}}}"])
    assert result.stderr.count("WARNING") == 1, result.stderr
    assert (
        "the plugin minify cannot take assets/benchleaf/benchleaf.css, assets/benchleaf/bench-pad.js" in result.stderr
    )


def test_a_section_has_the_index_of_the_sets_as_its_page(built: Callable[..., Path]) -> None:
    nav = "nav:\n  - Home: index.md\n  - Our & radios:\n    - sets/index.md\n    - The first: sets/first/index.md\n"
    page = read(built("section", "section-index", more=CONFIG + nav), "index.html")
    (link,) = re.findall(r'<a href="sets/" class="md-nav__link[^>]*>(.*?)</a>', page, re.S)
    assert "Our & radios" in link
    assert "The first" in page


def test_a_set_that_is_excluded_leaves_no_link_behind(built: Callable[..., Path]) -> None:
    site = built("exclude", ONE_EACH["exclude"])
    assert not (site / "sets/second").exists()
    assert "Testwell Second" not in read(site, "sets/index.html")
    assert "Testwell Second" not in read(site, "search/search_index.json")


def test_files_that_are_excluded_one_by_one_are_told_once(project: Path) -> None:
    result = build_as(project, "some", ["benchleaf", "exclude: {glob: ['*.yml', '*.csv']}"])
    assert result.stderr.count("WARNING") == 1, result.stderr
    assert "another plugin has taken sets/first/parts.csv and 3 more off this site" in result.stderr
    assert "Testwell Second" in read(project / "built/some", "sets/index.html")


def test_an_offline_site_names_its_files(built: Callable[..., Path]) -> None:
    site = built("offline", "offline")
    page = read(site, "sets/first/index.html")
    assert 'href="heaters/index.html"' in page
    assert 'href="../index.html"' in page
    # What Material's search needs to work from a disk it fetches itself, where nobody has put a copy beside the site.
    asked = re.findall(r'<(?:script|link|img)[^>]*(?:src|href)="(?:https?:)?//([^"]*)"', page)
    assert [one for one in asked if "iframe-worker" not in one] == ["club.example/radios/sets/first/index.html"]


def test_privacy_has_nothing_to_fetch(built: Callable[..., Path]) -> None:
    site = built("privacy", ONE_EACH["privacy"])
    assert not (site / "assets/external").exists()


def test_the_print_of_the_site_has_every_set_whole(built: Callable[..., Path]) -> None:
    page = read(built("print-site", "print-site"), "print_page/index.html")
    assert re.findall(r'<section class="print-page" id="(sets[^"]*)"', page) == ["sets", "sets-first", "sets-second"]
    assert page.count('src="../sets/first/photos/front-64') >= 3
    assert "srcset" not in page
    assert "benchleaf page" not in page
    assert page.count('class="bl-set bl-record"') == 2


def test_all_that_get_on_with_each_other_build_together(built: Callable[..., Path]) -> None:
    """static-i18n refuses the pages that blog makes, section-index takes its own page from it; rss complains when it is
    asked for a second language. So there are two sites, one without these, one without those."""
    with_languages = [ONE_EACH[name] for name in ONE_EACH if name not in ("blog", "rss")]
    with_feeds = [ONE_EACH[name] for name in ONE_EACH if name not in ("static-i18n", "section-index")]
    for name, plugins, place in (("languages", with_languages, 0), ("feeds", with_feeds, len(with_feeds) - 1)):
        site = built(name, *plugins[place:], before=tuple(plugins[:place]))
        page = read(site, "sets/first/index.html")
        assert "Testwell Trial &amp; Sons (1950)" in page
        assert "{{ 7*7 }}" in page
        assert "March 1, 2026" in page
        assert "glightbox href=" in page
        assert not (site / "sets/second").exists()
        assert "Testwell Trial" in read(site, "print_page.html")
        assert dead_links(site) == []


@pytest.mark.parametrize("theme", ["mkdocs", "readthedocs"])
def test_a_theme_of_mkdocs_has_the_head_too(built: Callable[..., Path], theme: str) -> None:
    more = CONFIG.replace("material, font: false", f"{theme}, highlightjs: false")
    site = built(theme, more=more)
    for path in ("sets/", "sets/first/", "sets/first/heaters/"):
        head = read(site, f"{path}index.html").partition("</head>")[0]
        assert re.findall(r'<link rel="canonical" href="([^"]*)"', head) == [f"https://club.example/radios/{path}"]
        assert len(re.findall(r'<meta name="description" content="[^"]+">', head)) == 1
        assert head.count("og:title") == head.count("ld+json") == 1
    found = [entry["title"] for entry in json.loads(read(site, "search/search_index.json"))["docs"]]
    assert "Testwell Trial & Sons (1950)" in found


def test_the_block_of_data_stops_at_no_policy(built: Callable[..., Path], browser: Browser) -> None:
    tab = browser.new_page()
    tab.add_init_script(
        'document.addEventListener("securitypolicyviolation", event =>'
        " (window.stopped ||= []).push(event.target.outerHTML || ''), true)"
    )
    with served(built("plain"), Strict) as address:
        tab.goto(f"{address}sets/first/", wait_until="networkidle")
        stopped = tab.evaluate("window.stopped")
        assert tab.locator('script[type="application/ld+json"]').count() == 1
    tab.close()
    assert any(html.startswith("<script>") for html in stopped)  # the theme's own
    assert [html for html in stopped if "ld+json" in html] == []
