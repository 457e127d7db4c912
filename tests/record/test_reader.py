"""The reader: text stays text, everything knows its place, and nothing a person can type breaks it."""

from __future__ import annotations

import pytest

from benchleaf.record import read_record
from benchleaf.record.encoding import MAX_BYTES, decode
from benchleaf.record.reader import read_tree
from benchleaf.record.text import Entries, Listing, Text

HEAD = "maker: Larkfield\nmodel: Minuet 5\n"


def tree_of(text: str) -> Entries:
    tree, problems = read_tree(text, "record.yml")
    assert tree is not None
    assert problems == []
    return tree


SURPRISING = "no on null ~ true 1e3 0x10 0o17 12:30 2026-01-01 80 6E5 1_000 .inf ="


@pytest.mark.parametrize("written", SURPRISING.split())
def test_scalars_stay_what_was_typed(written: str) -> None:
    assert tree_of(f"a: {written}\n") == {"a": written}


def test_names_stay_what_was_typed() -> None:
    assert list(tree_of("on: a\nno: b\n80: c\n~: d\n6E5: e\n")) == ["on", "no", "80", "~", "6E5"]


def test_everything_knows_its_place() -> None:
    tree = tree_of("a: one\nb:\n  - two\n  -   three\nc:\n  d: 'four'\n")
    places = [key.place for key in tree]
    assert places == [(1, 1), (2, 1), (5, 1)]
    assert tree[Text("a")].place == (1, 4)
    listing = tree[Text("b")]
    assert isinstance(listing, Listing)
    assert [entry.place for entry in listing] == [(3, 5), (4, 7)]
    assert tree[Text("c")][Text("d")].place == (6, 7)


def test_a_place_inside_a_text_is_counted_where_it_stands_on_one_line() -> None:
    one = tree_of("a: 12BE6, job\n")[Text("a")]
    assert one.cut(7).place == (1, 11)
    folded = tree_of("a: 12BE6,\n  job\n")[Text("a")]
    assert folded == "12BE6, job"
    assert folded.cut(7).place == (1, 4)
    escaped = tree_of('a: "12\\u0042E6, job"\n')[Text("a")]
    assert escaped.cut(7).place == (1, 5)


def test_a_name_without_a_value_is_left_out_and_remembered() -> None:
    tree = tree_of("a:\nb: x\nc: ''\nd:\n  - \n  - y\n")
    assert tree == {"b": "x", "d": ["y"]}
    assert tree.empty == ["a", "c"]


def test_blocks_and_folded_lines_are_text() -> None:
    tree = tree_of("a: |\n  one\n  two\nb: >\n  one\n  two\nc: one\n  two\n")
    assert tree == {"a": "one\ntwo\n", "b": "one two\n", "c": "one two"}


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"\xef\xbb\xbfmaker: A\nmodel: B\n", id="a mark of the encoding"),
        pytest.param(b"maker: A\r\nmodel: B\r\n", id="line ends of two signs"),
        pytest.param(b"maker: A\rmodel: B", id="line ends of an old system"),
        pytest.param(b"---\nmaker: A\nmodel: B\n...\n", id="marks of a document"),
    ],
)
def test_spellings_of_a_file_that_mean_the_same(data: bytes) -> None:
    record, problems = read_record(data, "record.yml")
    assert problems == []
    assert record is not None
    assert (record.maker, record.model) == ("A", "B")


def test_a_comment_is_no_lost_text() -> None:
    text = "maker: A # a blank on both sides\nmodel: B\n#year: 1949\nnote: No.#5 is one word\n# x: y\nyear: ## 1949\n"
    assert tree_of(text) == {"maker": "A", "model": "B", "note": "No.#5 is one word"}


def test_reading_goes_on_after_a_line_that_breaks_the_rules() -> None:
    tree, problems = read_tree("a: x: y\nb: fine\nc: [1\nd: fine\n", "record.yml")
    assert [p.line for p in problems] == [1, 3]
    assert tree == {"b": "fine", "d": "fine"}
    assert not tree.whole


def test_what_may_stand_in_a_broken_line_is_not_told_missing() -> None:
    _, problems = read_record(b"maker: %A\nmodel: B\n", "record.yml")
    assert [(p.line, p.found) for p in problems] == [(1, "“%” at the beginning of a value")]


def test_every_character_that_passes_decoding_can_be_read() -> None:
    planes = [range(0x10000), *(range(plane * 0x10000 + 0xFF00, (plane + 1) * 0x10000) for plane in range(1, 17))]
    for plane in planes:
        letters = "".join(chr(c) for c in plane if not 0xD800 <= c <= 0xDFFF)
        for start in range(0, len(letters), 5_000):
            some = letters[start : start + 5_000].replace("'", "")
            text, _ = decode(f"a: 'x{some}'".encode(), "record.yml")
            tree, problems = read_tree(text, "record.yml")
            assert tree is not None
            assert problems == []


HOSTILE = {
    "open brackets": "note: " + "[" * MAX_BYTES,
    "open braces": "note: " + "{a: " * (MAX_BYTES // 4),
    "ever deeper": "".join(f"{' ' * depth}a:\n" for depth in range(1_400)),
    "dashes": "log:\n" + "- " * (MAX_BYTES // 2),
    "names": "".join(f"k{n}: 1\n" for n in range(9_900)),
    "one name": "maker: x\n" * 100_000,
    "one word": "note: " + "x" * MAX_BYTES,
    "a long name": "x" * MAX_BYTES + ": 3",
    "commas": "line: 120 V" + "," * 19_000,
    "open quotes": "".join(f'k{n}: "x\n' for n in range(90_000)),
    "colons": "k: " + "a: " * 300_000,
    "tabs": "\t\n" * 300_000,
    "blank lines": "\n" * MAX_BYTES,
    "comments": "# x\n" * 240_000,
    "lost text": "".join(f"k{n}: #{n}\n" for n in range(80_000)),
    "anchors": "".join(f"k{n}: &a x\n" for n in range(70_000)),
    "braces in braces": "tubes: {" + "V1: a, " * 130_000,
    "components": "parts:\n  C1: now " + " ".join(f"{n}.5 nF" for n in range(1_000)),
    "numbers": "parts:\n  C1: now " + " ".join(f"{n}.5" for n in range(3_000)),
    "readings": "readings:\n  a:\n    V1: " + "a " * 9_000,
    "slips": "parts:\n" + "".join(f"  C{n}: {n} gribble{n}\n" for n in range(5_000)),
    "lists of choices": "line side:\n  measured:\n" + "".join(f"    - plug gribble{n}\n" for n in range(5_000)),
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_hostile_records_are_refused_in_few_words(text: str) -> None:
    _, problems = read_record((HEAD + text).encode()[:MAX_BYTES], "record.yml")
    assert len(problems) <= 200
    assert all(len(str(p)) < 700 for p in problems)


def test_depth_of_the_file_is_not_depth_of_the_program() -> None:
    import sys

    before = sys.getrecursionlimit()
    sys.setrecursionlimit(200 + _depth())
    try:
        for name in ("open brackets", "open braces", "ever deeper", "dashes"):
            read_tree(HEAD + HOSTILE[name][:50_000], "record.yml")
    finally:
        sys.setrecursionlimit(before)


def _depth() -> int:
    import inspect

    return len(inspect.stack())


@pytest.mark.parametrize(("nuls", "plain"), [(10, True), (11, False)])
def test_more_than_a_tenth_of_nul_characters_is_no_plain_text(nuls: int, plain: bool) -> None:
    """A few are slips of a program and are told where they stand; a file of them is another kind of file."""
    data = HEAD.encode() + b"\0" * nuls + b"a" * (100 - len(HEAD) - nuls)
    _, problems = read_record(data, "record.yml")
    assert problems
    assert any("no plain text" in problem.found for problem in problems) is not plain
