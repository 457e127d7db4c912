"""Whatever is typed: no traceback, every problem at a place of the file, and a record that is read can be used."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import bad_records
from benchleaf.build.follow import look_over
from benchleaf.build.one_set import examined_record
from benchleaf.pages.set_page import Choices
from benchleaf.record import read_record
from benchleaf.record.mapping import as_mapping
from benchleaf.record.problems import MOST_TOLD

SETS = Path(__file__).parents[2] / "site_src" / "sets"
RECORDS = [path.read_text(encoding="utf-8") for path in sorted(SETS.glob("*/record.yml"))]
HOSTILE = [
    *(
        "\u202e",
        "\x00",
        "\x1b[31m",
        "\u2028",
        "\ufeff",
        "\t",
        "\n",
        "\r",
        "  ",
        "🎚",
        "١٢",
        "²",
        "ﬁ",
        "İ",
        "½",
        "−",
        "∞",
    ),
    *(
        "#",
        "#47",
        ":",
        ": ",
        "-",
        "- ",
        "?",
        "!",
        "!!x",
        "&a",
        "*a",
        "|",
        ">",
        "{",
        "}",
        "[",
        "]",
        ",",
        ", ",
        ",5",
        "<<",
    ),
    *('"', "'", "\\", "%", "@", "`", "<script>", '"><img src=x onerror=1>', "=1+1", "..", "...", "---", ";", "; "),
    *("1e999", "-0", "0x10", "NaN", "no", "null", "~", "x", "OL", "<0.1", "±", "1/0", "9" * 70, "a" * 130),
    *("V1", "C7", "1 M", "between", "and", "was", "now", "none"),
]
KEYS = ("tubes:\n  V1", "parts:\n  C1", "line", "readings:\n  a:\n    V1")
FOREIGN = re.compile(r"Input should|validation error|NoneType|\[type=|Traceback|<class|object at 0x|pydantic")
BOUNDED = settings(max_examples=150, derandomize=True, database=None, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return bad_records.make_sets(tmp_path_factory.mktemp("sets"))


@st.composite
def mistyped(draw: st.DrawFn) -> bytes:
    """A demo record after a few slips of the hand, or of an ill will."""
    lines = draw(st.sampled_from(RECORDS)).split("\n")
    for _ in range(draw(st.integers(1, 5))):
        lines = lines or [""]
        at = draw(st.integers(0, len(lines) - 1))
        line = lines[at]
        cut = draw(st.integers(0, len(line)))
        match draw(st.integers(0, 9)):
            case 0:
                del lines[at]
            case 1:
                lines.insert(at, draw(st.sampled_from(lines)))
            case 2:
                lines[at] = " " * draw(st.integers(0, 7)) + line.lstrip()
            case 3:
                lines[at] = line[:cut] + draw(st.sampled_from(HOSTILE)) + line[cut:]
            case 4:
                lines[at] = line[:cut] + line[draw(st.integers(cut, len(line))) :]
            case 5:
                lines[at] = line.partition(":")[0] + ": " + draw(st.sampled_from(HOSTILE))
            case 6:
                lines[at] = line.replace(", ", draw(st.sampled_from([",", " ", "; ", " and ", ",, "])))
            case 7:
                lines[at] = line.partition(":")[0] + ":"
            case 8:
                lines[at] = line.replace(":", draw(st.sampled_from(["", " ", "::", ": -", ": {", ": ["])), 1)
            case _:
                lines[at] = line[:cut] + draw(st.text(max_size=8)) + line[cut:]
    return "\n".join(lines).encode("utf-8", errors="replace")


def check(data: bytes, folder: Path) -> None:
    record, unread = read_record(data, "record.yml")
    assert record is not None or unread
    assert unread == sorted(unread)
    problems = look_over(data, folder, "record.yml").problems
    assert set(unread) <= set(problems) or len(problems) == MOST_TOLD
    if record is not None:
        json.dumps(as_mapping(record), allow_nan=False)
    most = data.count(b"\n") + data.count(b"\r") + 1
    for problem in problems:
        said = str(problem)
        assert not FOREIGN.search(said)
        assert "\n" not in said
        assert problem.found
        assert problem.expected
        if problem.file == "record.yml":
            assert 1 <= problem.line <= most
            assert problem.column >= 1


@settings(BOUNDED, max_examples=150)
@given(data=st.binary(max_size=300))
def test_any_bytes(data: bytes, folder: Path) -> None:
    check(data, folder)


@settings(BOUNDED, max_examples=150)
@given(
    value=st.text(max_size=60), key=st.sampled_from(["tubes:\n  V1", "parts:\n  C1", "line", "readings:\n  a:\n    V1"])
)
def test_any_text_for_a_value(value: str, key: str, folder: Path) -> None:
    check(f"maker: A\nmodel: B\n{key}: {value}\n".encode("utf-8", errors="replace"), folder)


def test_slips_of_the_hand(folder: Path, sampled: Callable[[int], int]) -> None:
    @settings(BOUNDED, max_examples=120 // sampled(4))
    @given(data=mistyped())
    def tried(data: bytes) -> None:
        check(data, folder)

    tried()


def test_what_can_be_read_can_be_examined(folder: Path, sampled: Callable[[int], int]) -> None:
    @settings(BOUNDED, max_examples=60 // sampled(4))
    @given(data=mistyped())
    def tried(data: bytes) -> None:
        examined, _ = examined_record(data, folder, "record.yml", Choices())
        if examined is not None:
            examined.standouts()

    tried()


NO_NUMBERS = (
    "5.4.3",
    "1,2,3",
    "1.2,3",
    "4.",
    ".",
    "1..2",
    "1,234.5.6",
    "9" * 400,
    "1e999",
    "-",
    "00",
    "٣",
    "1/0",
    "1_0",
)
_NUMBER = re.compile(r"\d+(?:[.,]\d+)*")


@pytest.mark.parametrize(
    "line", ["bands:\n  X: 5.4.3-6 kc\nalignment:\n  - steps:\n      - 600, osc\n", f"parts:\n  R1: {'9' * 400}\n"]
)
def test_a_number_that_is_none_or_without_end_is_told_and_nothing_raised(line: str, folder: Path) -> None:
    """Two points in a band's end, and a resistor of 400 nines, ended the check in a traceback."""
    check(f"maker: A\nmodel: B\n{line}".encode(), folder)


def test_many_numbers_of_a_record_that_are_none(sampled: Callable[[int], int]) -> None:
    for seed in range(0, 48, sampled(8)):
        chance = random.Random(seed)
        record = chance.choice(RECORDS)
        places = list(_NUMBER.finditer(record))
        for at in sorted(chance.sample(places, min(25, len(places))), key=lambda at: -at.start()):
            record = record[: at.start()] + chance.choice(NO_NUMBERS) + record[at.end() :]
        _, problems = read_record(record.encode(), "record.yml")
        assert problems
        assert all(1 <= problem.line <= record.count("\n") + 1 for problem in problems)
