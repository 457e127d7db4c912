"""A line added to a record: where it goes, what is refused, and that every other byte stays as it was."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.cli.added_lines import AddedLines, OfSet
from benchleaf.record import read_record
from benchleaf.record.adding.open_record import AskedError
from benchleaf.record.adding.tubes_typed import name_and_rest
from benchleaf.record.adding.typed_rows import TypedRow, typed_rows
from benchleaf.record.manner import AMERICAN_SITE
from benchleaf.record.mapping import as_mapping
from benchleaf.record.model import Record

DAY = datetime.date(2026, 3, 28)
HEAD = "maker: Larkfield\nmodel: Minuet 5\ntubes:\n  V3: 12AV6, detector\n  V4: 50C5\n"


@dataclass
class Case:
    """A file, the rows typed, what it is then, and what is said of rows that are refused."""

    before: str
    rows: list[TypedRow]
    after: str
    refused: list[str]


def added(data: bytes, rows: list[TypedRow]) -> AddedLines:
    """A record with rows put in, each by itself: one that is refused does not keep the others out."""
    lines = AddedLines(OfSet(Path("a-set"), "record.yml", (), AMERICAN_SITE), data)
    lines.add(rows, DAY)
    return lines


def _cases() -> Iterator[tuple[str, Case]]:
    text = (Path(__file__).parent / "added.txt").read_text(encoding="utf-8")
    for block in re.split(r"^== ", text, flags=re.M)[1:]:
        name, _, rest = block.partition("\n")
        before, _, after = rest.partition("\n---\n")
        told = [line for line in before.split("\n") if re.match(r"[+!]", line)]
        file = "\n".join(line for line in before.split("\n") if line not in told).rstrip("\n") + "\n"
        rows = [_row(line) for line in told if line[0] == "+"]
        yield name, Case(file, rows, after.rstrip("\n") + "\n" if after else file, [t[2:] for t in told if t[0] == "!"])


def _row(typed: str) -> TypedRow:
    named = re.match(r"\+run (?P<run>.*?) \| (?P<said>.*)", typed)
    return TypedRow("LINE", named["said"], run=named["run"]) if named else TypedRow("LINE", typed[2:])


CASES = dict(_cases())


@pytest.mark.parametrize("name", CASES)
def test_a_line_goes_where_it_belongs(name: str) -> None:
    case = CASES[name]
    lines = added((HEAD + case.before).encode(), case.rows)
    refused = [told.removeprefix("LINE: ") for told in lines.refused if "would be, in the file" not in told]
    assert refused == case.refused
    expected = HEAD + case.after
    if case.after.startswith("tubes V3: tested weak\n"):
        longer = "  V3: 12AV6, detector; tested weak\n  V4: 50C5\n  V5: 35W4, rectifier\n"
        expected = HEAD.partition("  V3")[0] + longer + case.after.partition("\n")[2]
    assert lines.data.decode() == expected


@pytest.mark.parametrize("typed", ["50C5 tested weak, 55 percent", "V4 tested weak, 55 percent"])
def test_how_a_tube_tested_is_no_reading(typed: str) -> None:
    lines = added(HEAD.encode(), [TypedRow("LINE", typed)])
    assert (lines.refused, lines.data.decode()) == ([], f"{HEAD[:-1]}; tested weak, 55 percent\n")


SECTIONS = {
    "readings": [
        "readings:\n",
        "readings: {}\n",
        "readings:\n    sheet:\n        V4: plate 110\n\n",
        "readings:\n  2026-03-28:\n    meter: 10 meg   # mine\n    V3: plate 44\n  # more\n",
        'readings: {sheet: {V4: "plate 110"}, 2026-03-28: {V3: "plate 44"}}\n',
        "",
    ],
    "parts": [
        "parts:   # all\n",
        "parts: {}\n",
        "parts:\n  C8: 'keep, 10 nF'\n  C7: \"was 10 nF 400 V paper\"  # old\n\n",
        "parts:\n  C7:\n    was: 10 nF 400 V paper\n    why: >\n      old and\n      leaky\n\n",
        'parts: {C7: "was 10 nF 400 V paper"}\n',
        "parts:\n  C7: was 10 nF 400 V paper; a note\n",
        "",
    ],
    "log": [
        "log:\n",
        "log: []\n",
        "log:\n- 2026-03-01, 1 h, a\n- |\n  b\n\n  c\n\n",
        "log:\n    - 2026-03-01, 1 h, ‘a’\n",
        "log: [a, b]\n",
        "",
    ],
    "results": ["results:\n  hum: before 38 mV\n", 'results: {hum: "before 38 mV"}\n', "results:\n", ""],
    "faults": ["faults:\n  - complaint: hum\n    # asked\n    found: age\n", "faults: [{complaint: hum}]\n", ""],
    "owner": ["owner: somebody\n", ""],
}
"""How a section may stand in a file."""

BETWEEN = ["", "\n", "# of what follows\n", "\n\n# a\n\n"]


def _reads(record: Record, tube: str, at: str) -> list[float | None]:
    return [
        reading.value.si
        for run in record.readings.values()
        for name, points in run.points.items()
        for reading in points
        if name == tube and reading.at == at and reading.value
    ]


TYPED = {
    "V4 grid 2.4": lambda r: 2.4 in _reads(r, "V4", "grid"),
    "grid V3 -0.7": lambda r: -0.7 in _reads(r, "V3", "grid"),
    "C7 now 10 nF 630 V film": lambda r: any(c.volts.si == 630 for n, p in r.parts.items() if n == "C7" for c in p.now),
    "R6 keep, 470 kohm, note it's: “so” #1": lambda r: any(str(p.note) == "it's: “so” #1" for p in r.parts.values()),
    "log 1.5 h, recapped": lambda r: r.log[-1].date == DAY and r.log[-1].time.si == 5400,
    "hum: after 3 mV": lambda r: any(str(n) == "hum" and x.after.si == 0.003 for n, x in r.results.items() if x.after),
    "fault dark dial, cause the lamp": lambda r: str(r.faults[-1].cause) == "the lamp",
    "1400 kHz, trimmer": lambda r: r.alignment[0].steps[0].frequency.si == 1_400_000,
}
"""Lines and whether a record says what each says."""


@st.composite
def files(draw: st.DrawFn) -> bytes:
    """A record in any order and notation, with its own line ends."""
    pieces = [draw(st.sampled_from(variants)) for variants in SECTIONS.values()]
    order = draw(st.permutations([HEAD, *pieces]))
    text = "".join(draw(st.sampled_from(BETWEEN)) + piece for piece in order)
    text = text.rstrip("\n") if draw(st.booleans()) else text
    ends = draw(st.sampled_from(["\n", "\r\n"]))
    return (b"\xef\xbb\xbf" if draw(st.booleans()) else b"") + text.replace("\n", ends).encode()


@settings(max_examples=20)
@given(data=files(), typed=st.sampled_from(sorted(TYPED)))
def test_nothing_but_the_line_is_new(data: bytes, typed: str) -> None:
    """What was said before is said still, and the bytes around the line are what they were."""
    before, problems = read_record(data, "record.yml")
    assert problems == []
    assert before is not None
    lines = added(data, [TypedRow("LINE", typed)])
    assert lines.refused == []
    after, problems = read_record(lines.data, "record.yml")
    assert problems == []
    assert after is not None
    assert TYPED[typed](after)
    _says_still(as_mapping(before), as_mapping(after))
    without_braces = [data[: m.start()] + data[m.end() :] for m in re.finditer(rb" (\{\}|\[\])", data)]
    assert any(_has_one_more_piece(one, lines.data) for one in (data, *without_braces))


def _says_still(before: object, after: object) -> None:
    if isinstance(before, dict):
        assert isinstance(after, dict)
        for key, value in before.items():
            _says_still(value, after[key])
    elif isinstance(before, list):
        assert isinstance(after, list)
        for old, new in zip(before, after, strict=False):
            _says_still(old, new)
    else:
        assert str(before).rstrip("\n") == str(after).rstrip("\n")


def _has_one_more_piece(before: bytes, after: bytes) -> bool:
    """Whether all of ``before`` stands in ``after``, with one piece put in somewhere."""
    same = next((n for n, (old, new) in enumerate(zip(before, after, strict=False)) if old != new), len(before))
    rest = len(before) - same
    return len(after) > len(before) and after[len(after) - rest :] == before[same:]


def test_a_heading_further_in_is_a_tube_and_never_a_list() -> None:
    """So the bench pad writes a tube with odd readings. Ohms below `resistance` would else be read as volts."""
    text = '  warm:\n    V4:\n      plate: "92 V"\n      "pin 2": <0.5\n    B+1: 121\n'
    text += "    resistance:\n      V4: plate 350\n"
    rows = list(typed_rows(text + "parts:\n  C7:\n    job: x\n", "<stdin>"))
    assert [(row.section, row.run, row.said) for row in rows] == [
        ("readings", "warm", "V4: plate 92 V"),
        ("readings", "warm", "V4: pin 2 <0.5"),
        ("readings", "warm", "B+1: 121"),
        ("readings", "warm", "resistance: V4 plate 350"),
        ("parts", "", "C7:"),
        ("parts", "", "job: x"),
    ]
    lines = added(HEAD.encode(), rows)
    told = "\n".join(lines.refused)
    assert "readings.warm.resistance: found “V4 plate 350”; expected names and values" in told
    assert "“C7:”" in told


def test_rows_stand_under_their_headings() -> None:
    text = '  2026-03-28 warm:\n    line: 118 V\n    "V4": "grid 2.4"\n\n# mine\nparts:\n  C7: keep\n- 2 h, a: b\n'
    rows = [(row.where, row.section, row.run, row.said) for row in typed_rows(text, "<stdin>")]
    assert rows == [
        ("<stdin>:2", "readings", "2026-03-28 warm", "line: 118 V"),
        ("<stdin>:3", "readings", "2026-03-28 warm", "V4: grid 2.4"),
        ("<stdin>:7", "parts", "", "C7: keep"),
        ("<stdin>:8", "parts", "", "2 h, a: b"),
    ]


def test_a_heading_in_quotes_is_the_name_in_them() -> None:
    rows = [(row.run, row.said) for row in typed_rows("'as found, cold':\n  V4: grid 2\n\"warm\":\n  V4: 3", "x")]
    assert rows == [("as found, cold", "V4: grid 2"), ("warm", "V4: 3")]


@pytest.mark.parametrize(
    ("typed", "told", "lines"),
    [
        ("V5: 80 rectifier", "", "  V5: 80 rectifier\n"),
        ("V5: 1234 rectifier", "readings.2026-03-28.V5: found “1234 rectifier”", ""),
        ("V5: 80 V", "readings.2026-03-28: found “V5”", ""),
    ],
)
def test_a_number_is_a_type_only_where_one_has_it_and_no_unit_follows(typed: str, told: str, lines: str) -> None:
    done = added(HEAD.encode(), [TypedRow("LINE", typed)])
    assert done.data.decode() == HEAD + lines
    assert told in "\n".join(done.refused)
    assert bool(done.refused) == bool(told)


@settings(max_examples=20)
@given(typed=st.text(max_size=60) | st.from_regex(r"(V4|C7|log|B\+1|fault|results?) [ -~]{0,20}", fullmatch=True))
def test_no_line_is_a_traceback_and_none_half_done(typed: str) -> None:
    data = (HEAD + "parts:\n  C7: was 10 nF 400 V paper\n").encode()
    lines = added(data, [TypedRow("LINE", typed)])
    assert bool(lines.refused) == (lines.data == data)
    if not lines.refused:
        assert read_record(lines.data, "record.yml")[1] == []


@pytest.mark.parametrize(
    ("line", "name", "rest"), [("V9: 6V6", "V9", "6V6"), ("V9  6V6  output ", "V9", "6V6  output")]
)
def test_a_line_begins_with_a_name_and_goes_on_with_what_is_said_of_it(line: str, name: str, rest: str) -> None:
    assert name_and_rest(line) == (name, rest)
    with pytest.raises(AskedError):
        name_and_rest(f"{name}: ")
