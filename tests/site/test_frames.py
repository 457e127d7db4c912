"""The theme's frame around chapters' pages, filled in from two that were rendered: the same bytes as if all were."""

from __future__ import annotations

from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import jinja2
import pytest
from mkdocs.commands.build import build as build_with
from mkdocs.config import load_config

from benchleaf.mkdocs_side.frames import Frames
from sites import EPOCH, SMALL_RECORD, build, contents, write_site

_ADDRESS = "site_url: https://example.org/club/\nrepo_url: https://example.org/repo\nedit_uri: edit/main/docs/\n"
_NAVIGATION = "nav: [index.md, sets/index.md, {One: sets/plain-1/index.md}]\n"
_THEMES = {
    "material": f"theme: {{name: material, features: [content.action.edit, navigation.tabs]}}\n{_ADDRESS}{_NAVIGATION}",
    "mkdocs": f"theme: mkdocs\nuse_directory_urls: false\n{_ADDRESS}",
    "readthedocs": f"theme: readthedocs\n{_ADDRESS}",
}
_HOOK = "def on_page_context(context, **given):\n    return context\n"


def _records() -> dict[str, str]:
    """Sets whose chapters' pages are of a kind, one in the navigation, and some whose titles no theme leaves alone."""
    plain = {f"plain-{n}": SMALL_RECORD.replace("Trial", f"Trial {n} à la carte") for n in range(1, 5)}
    named = {"amp": "'Fish & <b>Chips</b>'", "quoted": 'Say "so" isn\'t'}
    odd = {name: SMALL_RECORD.replace("Trial", model) for name, model in named.items()}
    return {**plain, **odd, "draft": SMALL_RECORD}


@pytest.mark.parametrize("theme", _THEMES)
def test_frames_that_are_filled_in_are_those_that_the_theme_renders(tmp_path: Path, theme: str) -> None:
    site = write_site(tmp_path, _records(), f"draft_docs: sets/draft/\n{_THEMES[theme]}")
    found = []
    for hooks in ("", "hooks: [hook.py]\n"):
        (site / "hook.py").write_text(_HOOK, encoding="utf-8")
        with (site / "mkdocs.yml").open("a", encoding="utf-8") as config:
            config.write(hooks)
        result = build(site, SOURCE_DATE_EPOCH=EPOCH)
        assert result.returncode == 0, result.stderr
        found.append(contents(site / "site"))
    filled, rendered = found
    assert [name for name in rendered if filled.get(name) != rendered[name]] == []
    assert set(filled) == set(rendered)


@pytest.mark.parametrize(("config", "saved"), [("", True), ("theme: {name: material, custom_dir: own}\n", False)])
def test_two_pages_of_a_kind_are_rendered_and_no_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, config: str, saved: bool
) -> None:
    plain = {name: record for name, record in _records().items() if name.startswith("plain")}
    site = write_site(tmp_path, plain, config or "theme: {name: material}\n")
    (site / "own").mkdir()
    count, render = Counter[Any](), jinja2.Template.render

    def counted(self: jinja2.Template, *args: Any, **given: Any) -> str:
        page = next((one["page"] for one in args if isinstance(one, dict) and "page" in one), None)
        if page is not None and "benchleaf_frame" not in args[0]:
            count[page.url.rstrip("/").rpartition("/")[2]] += 1
        return render(self, *args, **given)

    monkeypatch.setattr(jinja2.Template, "render", counted)
    monkeypatch.chdir(site)
    loaded = load_config("mkdocs.yml")
    with ThreadPoolExecutor(1) as executor:
        loaded.plugins["benchleaf"].executor = executor  # type: ignore[attr-defined]
        build_with(loaded)
    assert count["parts"] == (2 if saved else len(plain))


def _page(number: int, **given: Any) -> Any:
    made = {
        "title": f"Parts {number}",
        "url": f"sets/{number}/parts/",
        "canonical_url": None,
        "edit_url": None,
        "abs_url": None,
        "parent": None,
        "previous_page": None,
        "next_page": None,
        "meta": {"title": f"Parts {number}", "description": f"Of set {number}."},
        "file": SimpleNamespace(src_uri=f"sets/{number}/parts.md", src_path=f"sets/{number}/parts.md"),
        **given,
    }
    return SimpleNamespace(**made)


def _shown_by(theme: Any, count: int = 6) -> tuple[list[str], list[str]]:
    """What is put out for some pages of a kind where ``theme`` renders one, and what it would have rendered."""
    from benchleaf.pages.set_page import WorkingPage

    pages = [_page(number) for number in range(count)]
    uris = [page.file.src_uri for page in pages]
    made = {uri: WorkingPage("parts", "Parts", "", "", (), ("top",)) for uri in uris}
    config = SimpleNamespace(
        theme=SimpleNamespace(name="mkdocs", custom_dir=None), hooks={}, plugins={"benchleaf": None}
    )
    env = SimpleNamespace(loader=jinja2.DictLoader({}))
    heads: Any = SimpleNamespace(pages=made, public=frozenset(uris))
    frames = Frames(config, env, dict(zip(uris, pages, strict=True)), heads)
    out = []
    for page in pages:
        context: dict[str, str] = {}
        frames.fill(context, page, SimpleNamespace(pages=[]), "|")
        out.append(context.get("benchleaf_frame") or theme(page))
        frames.learn(page, *out[-1].split("|"))
    return out, [theme(page) for page in pages]


def test_a_theme_that_shows_something_else_of_a_page_is_asked_for_each() -> None:
    said = {number: f"no. {number % 3}" for number in range(6)}
    out, rendered = _shown_by(lambda page: f"<h1>{page.title}</h1>|{said[int(page.title[-1])]}")
    assert out == rendered


def test_a_longer_field_is_not_taken_for_one_that_it_holds() -> None:
    out, rendered = _shown_by(lambda page: f"{page.file.src_path} {page.url}|{page.title}, {page.title} {page.meta}")
    assert out == rendered
