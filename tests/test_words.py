"""The words of the trade: one file a dialect, with a word for whatever a page says, and nothing typed elsewhere."""

from __future__ import annotations

import ast
import html
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

import pytest

import full_record
import makers
from benchleaf.chapters.order import CHAPTERS
from benchleaf.record.problems import Problem
from benchleaf.tubes.tables import read_table
from benchleaf.words import AMERICAN, BRITISH, DIALECTS, Words
from sites import DEMO, REPO

PACKAGE = REPO / "plugin" / "benchleaf"


def test_a_site_may_choose_american_or_british() -> None:
    assert set(DIALECTS) >= {"american", "british"}
    assert {name for name, words in DIALECTS.items() if words.dialect != name} == set()


@pytest.mark.parametrize("words", DIALECTS.values(), ids=DIALECTS)
def test_a_dialect_names_every_electrode_of_the_tube_table(words: Words) -> None:
    assert list(words.electrodes) == [(row["profile"], row["key"]) for row in read_table("words.csv")]
    assert "" not in words.electrodes.values()
    assert AMERICAN.electrodes.keys() == words.electrodes.keys()


@pytest.mark.parametrize(
    ("key", "american", "british"),
    [
        ("B- to chassis", "B- to chassis", "HT− to chassis"),
        ("three-pin with earth", "three-pin with ground", "three-pin with earth"),
        ("hot lead", "hot lead", "live lead"),
        ("grub screws", "set screws", "grub screws"),
        ("resistance cord", "resistance cord", "resistive mains lead"),
        ("semi-remote-cutoff pentode", "semi-remote cut-off pentode", "semi-vari-mu pentode"),
        ("line-connected", "line-connected", "mains-connected"),
        ("earphone socket", "earphone socket", "earphone socket"),
    ],
)
def test_what_is_named_by_a_records_key_is_said_in_the_dialect(key: str, american: str, british: str) -> None:
    assert (AMERICAN.of_key(key), BRITISH.of_key(key)) == (american, british)


def test_a_message_is_told_in_the_dialect_and_quotes_as_it_did() -> None:
    told = Problem("record.yml", 3, 5, "tubes.V1", "“tube”", "a type in the tube table", "a tube, “V1: tube”")
    assert str(told.in_dialect(BRITISH)) == (
        "record.yml:3:5: tubes.V1: found “tube”; expected a type in the valve table; a valve, “V1: tube”"
    )
    assert told.in_dialect(AMERICAN) == told


@pytest.mark.parametrize(
    ("written", "american", "british"),
    [
        ("HT1", "B+1", "HT1"),
        ("B+", "B+", "HT+"),
        ("HT FM", "B+ FM", "HT FM"),
        ("HT-", "B-", "HT−"),
        ("live", "hot", "live"),
        ("hot lead", "hot lead", "live lead"),
        ("mains", "line", "mains"),
        ("antenna socket", "antenna socket", "aerial socket"),
        ("B+ behind the choke", "B+ behind the choke", "B+ behind the choke"),
    ],
)
def test_a_place_is_named_in_the_dialect_and_the_writers_own_name_stays(
    written: str, american: str, british: str
) -> None:
    places = makers.circuit().places
    assert (places.said(written, AMERICAN), places.said(written, BRITISH)) == (american, british)
    assert {places.read(name).key for name in (american, british)} == {places.read(written).key}


# Nothing of them is typed elsewhere


SEVERAL_MEANINGS = frozenset({"line", "hot", "live", "filter", "smoothing", "outlet", "socket"})
"""Words that mean something else too (a line of text, a hot part): looked for on the pages below, not in the source."""

KEYS = frozenset(
    {*AMERICAN.electrodes.values(), "B- to chassis", "B- lead", "B-", "B+", "earth lead", "three-pin with earth",
     "resistance cord", "grub screws", "AVC line", "plate volts", "filter capacitors", "tubes and heaters",
     "pin of the earth wire", "earth wire", "aerial before oscillator", " to B-"}
)  # fmt: skip
"""By which places, choices, chapters and lacks are known inside the program."""

KEYED = frozenset(
    {
        "chapters/line_side/single_faults.py",
        "chapters/log/kinds_of_work.py",
        "chapters/readings/ranked_causes.py",
    }
)
"""Files whose texts are names that others say (``wording``, the template), or patterns."""


def only_in(dialect: Words) -> frozenset[str]:
    """The words of a page that one dialect says and some other does not."""
    others = [other.by_name() for other in DIALECTS.values() if other is not dialect]
    return frozenset(
        word.removesuffix("{}")
        for name, word in dialect.by_name().items()
        if any(other[name] != word for other in others) and not any(word in other.values() for other in others)
    )


def pattern(words: Iterable[str]) -> re.Pattern[str]:
    """Any of ``words``, whole, with whatever number a rail has."""
    listed = "|".join(sorted(map(re.escape, words), key=len, reverse=True))
    return re.compile(rf"(?<![\w-])(?:{listed})\d*(?!\w)", re.I)


TYPED = pattern(word for words in DIALECTS.values() for word in only_in(words) - SEVERAL_MEANINGS)


def texts(source: str) -> Iterator[tuple[int, str]]:
    """The sentences of a Python file: texts of several words that are no docstring, key, pattern or comparison."""
    tree = ast.parse(source)
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    for node in ast.walk(tree):
        if not (isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value):
            continue
        if node.value not in KEYS and not known_by(node, parents):
            yield node.lineno, node.value


def known_by(node: ast.AST, parents: Mapping[ast.AST, ast.AST]) -> bool:
    """Whether a text is a docstring, a pattern, or something that a thing is known by."""
    while not isinstance(node, ast.stmt):
        parent = parents[node]
        key = (isinstance(parent, ast.Dict) and node in parent.keys) or isinstance(parent, ast.Compare | ast.Subscript)
        if key or (isinstance(parent, ast.Call) and ast.unparse(parent.func) == "re.compile"):
            return True
        node = parent
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def sayings(path: Path) -> Iterator[tuple[int, str]]:
    """What a file of the package could put on a page, with its lines."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        yield from texts(text)
        return
    if path.suffix == ".j2":
        text = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<style>.*?</style>", blank, text, flags=re.S)
        text = re.sub(r"<[^>]*>", lambda tag: " ".join(re.findall(r'aria-label="([^"]*)"', tag[0])), text)
    yield from enumerate(text.splitlines(), 1)


def blank(match: re.Match[str]) -> str:
    return "\n" * match[0].count("\n")


def spoken(rooms: Iterable[str]) -> Iterator[Path]:
    """The files of rooms in which pages are worded."""
    for room in rooms:
        yield from (p for p in sorted((PACKAGE / room).rglob("*")) if p.suffix in (".py", ".j2"))


def test_no_word_of_a_dialect_is_typed_where_a_page_is_worded() -> None:
    typed = [
        f"{path.relative_to(PACKAGE)}:{line}: {found[0]} in {said.strip()[:80]!r}"
        for path in spoken(("chapters", "pages", "archive", "report"))
        for line, said in sayings(path)
        if (found := TYPED.search(QUOTED.sub("", re.sub(r"\{.*?\}", "", said))))
        and path.relative_to(PACKAGE).as_posix() not in KEYED
    ]
    assert typed == []


def test_the_search_finds_what_is_typed(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text('"""A tube."""\nx = f"the {y} anode is"\nz = "plate" if w == "the plate" else ""\n')
    (tmp_path / "b.j2").write_text('{{ words.tube }}\n<p aria-label="B+ here">{% if valves %}{% endif %}</p>\n')
    found = [(path.name, line, said) for path in sorted(tmp_path.iterdir()) for line, said in sayings(path)]
    assert [(name, line) for name, line, said in found if TYPED.search(said)] == [("a.py", 2), ("b.j2", 2)]


# Pages in either dialect

RECORDS = {
    **{path.parent.name: path.read_text(encoding="utf-8") for path in sorted(DEMO.glob("sets/*/record.yml"))},
    "all that can be said": full_record.FULL,
}
QUOTED = re.compile(
    r"[Hh]ot (?:heater|one|part|resistance|check)s?|runs hot|still hot|KiCad tube|tube table|Valve Heater"
    r"|receiving tubes"
    r"|Line-up|AVC line|heavy line|line (?:ends|beside)|makes it live|be live|not earthed"
    r"|[Vv]acuum tube|tube (?:symbol|ratings)"
    r"|straight lines?|its hot ohms|[Dd]ummy [Aa]ntenna|A line counts|a line for each kind"
    r"|KiCad symbol library [\d.]+, Valve|Winding HT"
    r"|valve (?:stock|tester)|battery valves|Valve\.pretty|Tube table"
)
"""Titles of sources, quotations of standards, and what is no word of the trade here."""


def shown(name: str, dialect: str) -> Iterator[tuple[str, str]]:
    """The texts of a set's pages, sheets and figures, each with where it stands."""
    examined = makers.examined(RECORDS[name], words=DIALECTS[dialect])
    page = makers.set_page(RECORDS[name], dialect=dialect, found=examined)
    yield "record", page.html
    yield from ((working.name, working.html) for working in page.workings)
    yield from ((file.path, file.text or "") for file in page.files if file.path.endswith(".html"))
    for chapter in CHAPTERS:
        if examined.findings[chapter.folder] is not None:
            yield from ((chapter.folder, figure.svg) for figure in makers.draw(examined, chapter))


def said_on(markup: str) -> str:
    """What is read or heard of a page, on one line."""
    heard = " ".join(re.findall(r'(?:aria-label|data-label|alt)="([^"]*)"', markup))
    text = re.sub(r"<style.*?</style>", " ", markup, flags=re.S)
    text = re.sub(r"</?(?:a|b|i|em|strong|small|sub|sup|code)\b[^>]*>", "", text)
    return " ".join(html.unescape(f"{re.sub(r'<[^>]+>', ' | ', text)} | {heard}").split())


def of_the_writers(text: str, match: re.Match[str], written: str) -> bool:
    """Whether a word stands with its neighbour as the record has it."""
    before = re.findall(r"[\w+−-]+", text[max(0, match.start() - 24) : match.start()])[-1:]
    after = re.findall(r"[\w+−-]+", text[match.end() : match.end() + 24])[:1]
    word = match[0].casefold()
    if any(" ".join(near).casefold() in written for near in ([*before, word], [word, *after]) if len(near) > 1):
        return True
    run = re.split(r"[|,;]", text[: match.start()])[-1] + re.split(r"[|,;]", text[match.start() :])[0]
    return any(f"{mark} {run.strip().casefold()}" in written for mark in (",", ":"))


@pytest.mark.parametrize("name", RECORDS)
@pytest.mark.parametrize(("dialect", "other"), [("british", AMERICAN), ("american", BRITISH)])
def test_a_page_says_no_word_of_the_other_dialect(name: str, dialect: str, other: Words) -> None:
    foreign = pattern(only_in(other))
    written = " ".join(RECORDS[name].casefold().split())
    told = []
    for where, markup in shown(name, dialect):
        text = QUOTED.sub("", said_on(markup))
        for match in foreign.finditer(text):
            if not of_the_writers(text, match, written):
                told.append(f"{where}: {text[max(0, match.start() - 40) : match.end() + 30]}")
    assert sorted(set(told)) == []


def test_what_is_said_in_british_words_has_no_article_of_american_ones() -> None:
    """“drop 20 V at 100 mA a anode” and “the mains’s volts” stood on a British page."""
    said = "".join(path.read_text(encoding="utf-8") for kind in ("*.py", "*.j2") for path in PACKAGE.rglob(kind))
    assert not re.findall(r"\ba \{\{? ?(?:bench\.)?words\.(?:plate|aerial|earth|b_plus)\b", said)
    assert not re.findall(r"words\.line ?\}\}?['’]s\b", said)
