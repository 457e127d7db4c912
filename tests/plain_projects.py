"""A small project with all that a page has to bring through: hostile words, a story, photos, a draft, private lines."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path

from hostile_text import HOSTILE
from secrets_of_sets import SHORT_RECORD, secret_set
from sites import SMALL_RECORD

FULL = ("north/fog", "teal")
SETS = ("dawn", "dusk", "noon", *FULL, "umber")
"""The sets that are published: enough for the filter of the index, most of them with next to nothing on record."""
DRAFT, EXCLUDED = "draft", "kept-out"
FENCED = "```\n\n{{ site.secret }} {% include x %} {{< shortcode >}}\n\n# not a heading\n~~~\n\n<b>\n```\n"
"""What a story may quote, every line of which a generator would take for its own."""
STORY = f"""\
What was said of it {{{{ 7*'ax' }}}} `[[parts]]`.

## The {{% work %}}

See [the fog](../north/fog/index.md) and [the club](../../club.md).

{FENCED}
[[parts]]

--8<-- "record.yml"

More of {{{{< ref "x" >}}}} it.
"""
FRONT = "# Home\n\nWe mend.\n\n[[last finished]]\n\n[[look up]]\n\nSee [the club](club.md) and [all](sets/index.md).\n"
CONFIG = f"""\
site_name: Trial & Error
site_url: https://trial.example/
plugins:
  - search
  - benchleaf:
      dialect: british
      sets: ../sets
exclude_docs: |
  sets/{EXCLUDED}/
draft_docs: |
  sets/{DRAFT}/
"""


def write_project(folder: Path) -> Path:
    """The project with its sets beside ``docs``; the same records whoever builds them."""
    (folder / "docs").mkdir(parents=True)
    (folder / "docs" / "index.md").write_text(FRONT, encoding="utf-8")
    (folder / "docs" / "club.md").write_text("# Club\n", encoding="utf-8")
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    sets = folder / "sets"
    for name in (*SETS, DRAFT, EXCLUDED):
        text = SMALL_RECORD if name in FULL else SHORT_RECORD
        secret_set(sets / name, text=text.replace("Trial", f"Trial {name}"))
        (sets / name / "story.md").unlink()
    hostile = {"summary": HOSTILE, "note": f"{HOSTILE}\n\n    {{{{ x }}}}\n\n- [ ] {HOSTILE}", "by": HOSTILE[:60]}
    with (sets / "teal" / "record.yml").open("a", encoding="utf-8") as record:
        record.writelines(f"{name}: {json.dumps(text)}\n" for name, text in hostile.items())
    (sets / "teal" / "story.md").write_text(STORY, encoding="utf-8")
    return folder


class _Tokens(HTMLParser):
    """What a browser reads: tags with their attributes, and words; runs of spaces count as one outside ``pre``."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, ...]] = []
        self._words: list[str] = []
        self._pre = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._end_words()
        self.found.append(("<", tag, *(f"{name}={value or ''}" for name, value in sorted(attrs))))
        self._pre += tag == "pre"

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.found.append((">", tag))

    def handle_endtag(self, tag: str) -> None:
        self._end_words()
        self._pre -= tag == "pre"
        self.found.append((">", tag))

    def handle_data(self, data: str) -> None:
        self._words.append(data)

    def _end_words(self) -> None:
        text = "".join(self._words)
        self._words = []
        words = text if self._pre else " ".join(text.split())
        if words:
            self.found.append(("text", words))


def article(html: str, tag: str = "article", named: str = "bl-") -> list[tuple[str, ...]]:
    """The article of ours in a page, or another element, as a browser reads it. Fails where there is none."""
    start = html.index(f'<{tag} class="{named}')
    tokens = _Tokens()
    tokens.feed(html[start:])
    tokens.close()
    deep, end = 0, 0
    for number, token in enumerate(tokens.found):
        deep += (token[:2] == ("<", tag)) - (token[:2] == (">", tag))
        if deep == 0:
            end = number + 1
            break
    return tokens.found[:end]


def published(root: Path) -> dict[str, bytes]:
    """The files below the sets' address that are no pages of a generator: what is published as it is."""
    sets = root / "sets"
    pages = {"index.html", "index.md"}
    found = (p for p in sorted(sets.rglob("*")) if p.is_file() and p.name not in pages)
    return {p.relative_to(sets).as_posix(): p.read_bytes() for p in found}
