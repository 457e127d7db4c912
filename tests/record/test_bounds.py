"""How much a record may hold: told at the first that is too many, and work that grows no faster than the record.

Nothing is timed here: counted are the solutions, sums and curves that a large record asks for.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from difflib import SequenceMatcher
from pathlib import Path

import pytest

import makers
from benchleaf.build import follow
from benchleaf.build.files import MOST_READ
from benchleaf.build.follow import look_over
from benchleaf.chapters.changes.findings import MOST_DRAWN
from benchleaf.chapters.readings import crosscheck, told_causes
from benchleaf.electrics import dc_stage
from benchleaf.record import line_meaning, spoken
from benchleaf.record.model import Record
from benchleaf.record.most_entries import MOST, MOST_LINE, MOST_OF_ANY, MOST_OF_RESULT, MOST_SLIPS
from benchleaf.record.problems import MOST_TOLD
from benchleaf.report import prose

NAMED: dict[str, tuple[str, Callable[[int], str]]] = {
    "tubes": ("tubes:\n", lambda n: f"  V{n}: 6K7\n"),
    "changed tubes": ("changed tubes:\n", lambda n: f"  V{n}: now 6K7\n"),
    "parts": ("parts:\n", lambda n: f"  R{n}: keep, 1 kohm\n"),
    "sections": ("parts:\n  C1:\n    sections:\n", lambda n: f"      s{n}: was 8 uF\n"),
    "wires": ("wires:\n", lambda n: f"  - chassis and W{n}\n"),
    "readings": ("readings:\n", lambda n: f"  list {n}:\n    B+1: 110\n"),
    "points": ("readings:\n  now:\n", lambda n: f"    B+{n}: 110\n"),
    "changes": ("changes:\n", lambda n: f"  X{n}: remove R1\n"),
    "faults": ("faults:\n", lambda n: f"  - complaint: hum {n}\n"),
    "results": ("results:\n", lambda n: f"  hum {n}: before 38 mV\n"),
    "log": ("log:\n", lambda n: f"  - cleaned {n}\n"),
    "steps": ("power-up:\n  - steps:\n", lambda n: f"      - line {n + 1} V\n"),
    "papers": ("papers:\n", lambda n: f"  p{n}: a sheet\n"),
    "bands": ("bands:\n", lambda n: f"  b{n}: 540-1620 kHz\n"),
}


def told(text: str) -> list[str]:
    return [str(p) for p in look_over(f"{makers.SET}{text}".encode(), Path("a-set"), "record.yml").problems]


@pytest.mark.parametrize("key", NAMED)
def test_one_too_many_is_told_where_it_stands_and_no_more_is_read(key: str) -> None:
    head, row = NAMED[key]
    most = MOST.get(key, MOST_OF_ANY)
    beyond = f"found more than {most} entries"
    assert not any(beyond in line for line in told(head + "".join(map(row, range(most)))))
    too_many = told(head + "".join(map(row, range(2 * most))) + "maker: again\n")
    (line,) = [line for line in too_many if beyond in line]
    rows = row(0).count("\n")
    assert line.startswith(f"record.yml:{3 + head.count(chr(10)) + most * rows}:")
    assert f"expected at most {most}; leave out what tells nothing new" in line
    assert "each name once" in " ".join(too_many), "what stands elsewhere is told too"


@pytest.mark.parametrize(
    ("line", "field", "most"),
    [
        ("heaters:\n  order: {}\n", "heaters.order", MOST_OF_ANY),
        ("line side:\n  before:\n    touchable: {}\n", "line side.before.touchable", 40),
    ],
)
def test_a_list_in_one_line_is_held_to_the_same(line: str, field: str, most: int) -> None:
    few, many = (", ".join(f"knob {n}" for n in range(count)) for count in (most, most + 1))
    assert not any("found more than" in said for said in told(line.format(few)))
    assert any(f"{field}: found more than {most} entries" in said for said in told(line.format(many)))


def test_components_joined_in_one_line_are_few() -> None:
    assert any(
        "found more than 12 entries" in said for said in told(f"parts:\n  C1: was {' and '.join(['8 uF'] * 13)}\n")
    )


def test_what_is_written_of_one_component_is_no_list() -> None:
    words = "value volts watts tolerance type condition measured leakage ESR ESL leads marked restuffed note"
    told_of = told("parts:\n  C1:\n    was:\n" + "".join(f"      {word}: x\n" for word in words.split()))
    assert told_of
    assert not any("found more than" in line for line in told_of)


def test_values_read_in_all_lists_are_bounded_together() -> None:
    row = "  {}:\n" + "".join(f"    B+{n}: 110\n" for n in range(100))
    lists = "".join(row.format(f"list {n}") for n in range(10))
    said = [line for line in told(f"readings:\n{lists}") if "in all lists together" in line]
    assert [line.split(": ")[1] for line in said] == ["readings.list 8", "readings.list 9"]
    assert f"found more than {MOST_READ} values read in all lists together; expected at most {MOST_READ}" in said[0]


def test_a_spreadsheet_counts_among_them(tmp_path: Path) -> None:
    rows = "".join(f"V{1 + n // 99},{1 + n % 99},90\n" for n in range(MOST_READ + 1))
    (tmp_path / "readings.csv").write_text(f"tube,electrode,volts\n{rows}")
    text = f"{makers.SET}readings:\n  now: table readings.csv\n"
    found = look_over(text.encode(), tmp_path, "record.yml")
    assert any("in all lists together" in str(problem) for problem in found.problems)
    assert found.references is not None
    assert not found.references.circuit.record.readings


def _set(stages: int, lists: int, off: float = 0) -> str:
    """A set of equal stages, each with its parts, and lists of readings that do not agree with the sheet."""
    numbers = range(1, stages + 1)
    tubes = "".join(f"  V{n}: 6K7\n" for n in numbers)
    parts = "".join(
        f"  R{n}: keep, 22 kohm 10 %, between V{n} plate and B+1\n"
        f"  R{n + 100}: keep, 1 kohm 10 %, between V{n} cathode and B-\n"
        f"  R{n + 200}: keep, 10 kohm 10 %, between V{n} screen and B+2\n"
        for n in numbers
    )
    runs = "".join(
        f"  {'sheet' if k == 0 else f'list {k}'}:\n    to: B-\n    B+1: 110\n    B+2: 95\n"
        + "".join(f"    V{n}: plate {90 + off * k}, screen {80 + k}, cathode 2.2\n" for n in numbers)
        for k in range(lists + 1)
    )
    return f"power: transformer\nline: 117 V 60 Hz\ntubes:\n{tubes}parts:\n{parts}readings:\n{runs}"


def _calls(monkeypatch: pytest.MonkeyPatch, module: object, name: str, text: str) -> int:
    """How often a function is called for the findings on the readings."""
    calls = 0
    real = getattr(module, name)

    def counted(*given: object, **more: object) -> object:
        nonlocal calls
        calls += 1
        return real(*given, **more)

    monkeypatch.setattr(module, name, counted)
    makers.findings("readings", text)
    monkeypatch.setattr(module, name, real)
    return calls


def test_a_stage_is_solved_once_however_many_lists_there_are(monkeypatch: pytest.MonkeyPatch) -> None:
    dc_stage._extremes.cache_clear()
    one = _calls(monkeypatch, dc_stage, "solve_stage", _set(3, 1))
    dc_stage._extremes.cache_clear()
    many = _calls(monkeypatch, dc_stage, "solve_stage", _set(3, 12))
    assert one > 0
    assert many == one


def test_the_cross_check_grows_no_faster_than_the_stages(monkeypatch: pytest.MonkeyPatch) -> None:
    few, many = (_calls(monkeypatch, crosscheck, "_residual", _set(n, 2, off=-20)) for n in (8, 32))
    assert few > 8
    assert many <= 4.5 * few


def test_bisection_ends_where_nothing_changes_any_more(monkeypatch: pytest.MonkeyPatch) -> None:
    stage = dc_stage.DcStage(supply_volts=200, load_ohms=1e5, cathode_ohms=1e3, mu=70, perveance=1e-3)
    calls = 0
    real = dc_stage._drive

    def counted(*given: object) -> float:
        nonlocal calls
        calls += 1
        return real(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(dc_stage, "_drive", counted)
    dc_stage.solve_stage(stage)
    assert calls <= 70, "a double has 53 bits"


def test_of_many_changes_a_few_are_drawn_and_the_page_says_so() -> None:
    row = "  X{0}: add 0.1 uF 250 V film, ESR 20 mohm, ESL 10 nH\n"
    text = "IF: 455 kHz\nchanges:\n" + "".join(row.format(n) for n in range(MOST_DRAWN + 2))
    assert len(makers.figures("changes", text)) == MOST_DRAWN
    page = makers.page("changes", text)
    assert page.count("Curves are drawn of the first 8 changes") == 2
    assert "of X9 there is the table" in page
    few = "IF: 455 kHz\nchanges:\n" + row.format(1)
    assert "Curves are drawn" not in makers.page("changes", few)


def test_faults_are_tried_in_sets_of_a_size_and_in_a_few_lists(monkeypatch: pytest.MonkeyPatch) -> None:
    console = makers.findings("readings", _set(24, 1))
    (told,) = console.causes
    assert (told.ranked, told.lead) == ((), told_causes.TOO_LARGE)
    assert "No faults were tried" in makers.page("readings", _set(24, 1))
    many = makers.findings("readings", _set(3, 20))
    assert told_causes.MOST_RUNS == 8
    assert "Of more than eight lists the first and the newest seven are tried" in makers.page("readings", _set(3, 1))
    assert [one.run for one in many.causes] == ["list 1", *(f"list {n}" for n in range(14, 21))]


def test_names_that_nobody_knows_are_seldom_held_against_all_others(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whole comparisons are for words that may be alike, and the names of a section are told over once."""
    compared, listed = [], []
    ratio, names = SequenceMatcher.ratio, Record.names
    monkeypatch.setattr(SequenceMatcher, "ratio", lambda self: compared.append(1) or ratio(self))
    monkeypatch.setattr(Record, "names", lambda *_: listed.append(1) or names())
    assert len(told("".join(f"qxzw{n}: x\n" for n in range(600)))) == MOST_TOLD
    assert len(compared) < 600
    assert len(listed) < 10


@pytest.mark.parametrize(
    "line",
    [
        "changes:\n  lamp: {}\n",
        "log:\n  - {}\n",
        "tubes:\n  V1: 6K7\nreadings:\n  now:\n    V1: {}\n",
        "tubes:\n  V1: 6K7\nreadings:\n  now:\n    V1: {}, plate 5 V\n",
    ],
)
@pytest.mark.parametrize("slips", ["1 h 2 h 3 h, 1 k, ", "pin 3, "])
def test_of_a_line_full_of_slips_a_few_are_told_and_the_rest_is_not_read(line: str, slips: str) -> None:
    problems = told(line.format((slips * 400).strip(", ")))
    assert len(problems) <= MOST_SLIPS + 1
    assert len(problems) < MOST_SLIPS or any(f"more than {MOST_SLIPS} slips in one line" in one for one in problems)


@pytest.mark.parametrize(
    "line", ["parts:\n  C7: ", "changes:\n  C21: add 1 nF, ", "results:\n  hum: 2 mV, ", "speaker: "]
)
@pytest.mark.parametrize("words", ["leaky, ", "C1, C2 and ", "100 V ", "a "])
def test_a_line_without_end_is_not_read(line: str, words: str) -> None:
    """One of 19,000 characters took 35 s: what is looked for behind each word grows with the line."""
    (problem,) = told(f"{line}{(words * 1600).strip(', ')}\n")
    most = MOST_OF_RESULT if line.startswith("results") else MOST_LINE
    assert re.search(rf": found a line of [\d,]+ characters; expected at most {most:,}; say the values on it", problem)


def test_words_that_say_no_job_are_not_gone_through_from_each(monkeypatch: pytest.MonkeyPatch) -> None:
    count: list[int] = []
    asked = spoken._end_at
    monkeypatch.setattr(spoken, "_end_at", lambda *given: count.append(1) or asked(*given))
    told(f"parts:\n  C7: was 10 nF paper, now 10 nF 630 V film {'a ' * 100}\n")
    assert 100 < len(count) < 600


def test_what_is_told_in_sentences_may_be_long() -> None:
    assert told(f"log:\n  - 2026-03-04, 2 h, {'cleaned the chassis, ' * 300}dried\nnote: {'it hummed ' * 300}\n") == []
    assert told(f"parts:\n  C7: was 10 nF paper, now 10 nF 630 V film, {'left in the can, ' * 22}dried\n") == []


def test_a_line_is_looked_through_for_what_is_rated_in_amperes_once() -> None:
    line_meaning._says_amperes.cache_clear()
    told(f"parts:\n  F1: was {'1 x ' * 100}\n")
    assert 0 < line_meaning._says_amperes.cache_info().misses <= 4


def test_names_beside_slips_are_not_looked_up_where_no_more_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(follow, "read_beside_mistakes", None)
    full = "".join(f"  X{n}: {'1 k, 2 k, 3 k, 4 k'}\n" for n in range(60))
    assert len(told(f"changes:\n{full}")) > 0


def test_a_value_in_words_is_read_once_however_often_it_is_set() -> None:
    prose._quantity.cache_clear()
    for _ in range(3):
        prose.as_prose("1 h " * 100)
    assert prose._quantity.cache_info().misses == 1
