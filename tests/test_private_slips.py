"""A slip on a private line stays private: what is published and logged says where it is and quotes nothing of it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, find, given, settings

from all_published import handed_on, page_of, published
from benchleaf.cli import main
from benchleaf.record import read_record
from benchleaf.record.private import marked
from benchleaf.record.problems import Problem
from private_slips import AFTER, BEFORE, FORMS, shown, slips
from sites import SMALL_RECORD, build, write_site
from torn_records import torn_record

SEEDED = settings(derandomize=True, database=None, suppress_health_check=list(HealthCheck))
SECRETS = ("qvbxkdwgzh", "wzkqjxvbfd")


@settings(SEEDED, max_examples=400)
@given(slip=slips())
def test_no_secret_is_published_or_logged(slip: tuple[str, tuple[str, str]], tmp_path: Path) -> None:
    record, secrets = slip
    assert shown(published(record, tmp_path), secrets) == [], record


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("key", ["owner", "serail"])
def test_each_slip_in_the_middle_of_a_record_stays_private(form: str, key: str, tmp_path: Path) -> None:
    slip = form.format(key=key, a=SECRETS[0], b=SECRETS[1])
    assert shown(published(BEFORE + slip + AFTER, tmp_path), SECRETS) == []


def test_the_search_finds_what_a_page_that_quotes_would_show() -> None:
    def quotes(slip: tuple[str, tuple[str, str]]) -> bool:
        return shown("\n".join(str(p) for p in read_record(slip[0].encode(), "record.yml")[1]), slip[1]) != []

    assert find(slips(), quotes, settings=SEEDED)


def test_the_search_finds_what_hiding_the_lines_that_begin_with_a_private_name_would_show() -> None:
    def still_quotes(slip: tuple[str, tuple[str, str]]) -> bool:
        lines = slip[0].split("\n")
        _, problems = read_record(slip[0].encode(), "record.yml")
        naive = (p for p in problems if not re.match(r"\s*(owner|serial)\b", lines[p.line - 1]))
        return shown("\n".join(map(str, naive)), slip[1]) != []

    assert find(slips(), still_quotes, settings=SEEDED)


def test_place_and_rule_are_told_in_public_and_the_line_by_check(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = f"{BEFORE}owner {SECRETS[0]} {SECRETS[1]}\n"
    (tmp_path / "record.yml").write_text(record)
    (problem,) = page_of(record, tmp_path).problems
    assert str(problem) == (
        f"sets/{tmp_path.name}/record.yml:4:1: found “…” without a colon, on a line that may be private and is not "
        "shown here; expected a name, a colon, a blank and a value; the command “benchleaf check” shows the line"
    )
    assert main(["check", str(tmp_path)]) == 1
    assert f"“owner {SECRETS[0]} {SECRETS[1]}” without a colon" in capsys.readouterr().out
    for command in ("export", "order"):
        main([command, str(tmp_path)])
        said = capsys.readouterr()
        assert "record.yml:4:1" in said.err
        assert shown(said.out + said.err, SECRETS) == []


def test_what_is_not_private_is_quoted_as_before(tmp_path: Path) -> None:
    record = f"{BEFORE}owner: {SECRETS[0]}\nmodle: x\n{AFTER}  V2: 12BA6,IF amplifier\n"
    told = [str(p) for p in page_of(record, tmp_path).problems]
    assert len(told) == 2
    assert "found the unknown name “modle”" in told[0]
    assert "write “12BA6, IF amplifier”" in told[1]


def test_a_site_that_publishes_private_lines_may_quote_them(tmp_path: Path) -> None:
    (problem,) = page_of(f"{BEFORE}owner {SECRETS[0]}\n", tmp_path, publish=True).problems
    assert SECRETS[0] in str(problem)


@pytest.mark.parametrize(
    ("wrong", "line"),
    [
        ("papers:\n  Owner: somebody\n", 5),
        ("results:\n  serail:\n    before: 1\n", 5),
        ("note: |\n  kept dry\n  owner: somebody\n", 6),
        ('cabinet: "walnut\nowner: somebody\nnote: a speaker of 5"\n', 5),
    ],
)
def test_a_private_name_where_it_would_be_published_is_a_problem(wrong: str, line: int) -> None:
    _, problems = read_record((BEFORE + wrong).encode(), "record.yml")
    assert (line, True) in {(p.line, p.private) for p in problems}


def test_names_that_only_look_like_private_ones_are_read() -> None:
    open_names = "photos:\n  aerial: aerial.jpg\n  lower back: back.jpg\nresults:\n  power: 2 W\n"
    record, problems = read_record((BEFORE + open_names).encode(), "record.yml")
    assert problems == []
    assert record is not None


def test_a_problem_that_quotes_nothing_private_is_its_own_public_form() -> None:
    (problem,) = read_record(b"maker: A\nmodle: B\n", "record.yml")[1]
    assert problem.public() is problem
    assert "modle" not in str(replace(problem, private=True).public())


def test_a_long_line_is_looked_through_quickly_enough_to_be_told(tmp_path: Path) -> None:
    record = BEFORE + "note: " + "a " * 9_000 + ": " + " " * 9_000 + "\n"
    assert page_of(record, tmp_path).problems


def test_a_built_site_of_torn_records_holds_no_secret(tmp_path: Path, sampled: Callable[[int], int]) -> None:
    """Search index, ``sets.json``, lists across sets and downloads too."""
    torn = {f"set-{number}": torn_record(f"built-{number}") for number in range(240 // sampled(10))}
    site = write_site(tmp_path, {**{name: record for name, (record, _) in torn.items()}, "good": SMALL_RECORD})
    result = build(site)
    assert result.returncode == 0, result.stderr
    secrets = [secret for _, both in torn.values() for secret in both]
    found = re.compile("|".join(half for one in secrets for half in (one[:6], one[-6:])), re.I)
    assert found.findall(result.stdout + result.stderr) == []
    for file in (site / "site").rglob("*"):
        if file.is_file():
            assert found.findall(file.read_bytes().decode("utf-8", errors="replace")) == [], file


def test_a_built_site_and_its_log_hold_no_secret(tmp_path: Path) -> None:
    records = {
        f"set-{number}": BEFORE + form.format(key="onwer", a=SECRETS[0], b=SECRETS[1]) + AFTER
        for number, form in enumerate(FORMS[::6])
    }
    site = write_site(tmp_path, {**records, "good": SMALL_RECORD})
    result = build(site)
    assert result.returncode == 0, result.stderr
    assert result.stderr.count("on a line that may be private") >= len(records) // 2
    assert shown(result.stdout + result.stderr, SECRETS) == []
    for file in (site / "site").rglob("*"):
        if file.is_file():
            assert shown(file.read_bytes().decode("utf-8", errors="replace"), SECRETS) == [], file


@pytest.mark.parametrize(
    "above",
    [
        "power-up:\n  - date: 2026-03-04\n    steps:\n      - line 80 V, 0.16 A\n",
        "parts:\n  C1:\n    job: aerial isolation\n",
    ],
)
def test_what_follows_a_word_of_the_trade_is_not_taken_for_private(above: str) -> None:
    """“power-up” and “job: aerial” are in letters not far from the private names; a slip below them costs its line."""
    text = f"maker: A\nmodel: B\n{above}line side:\n  before:\n    switch: one pole\n"
    assert [problem.private for problem in marked(read_record(text.encode(), "record.yml")[1], text, "record.yml")] == [
        False
    ]


@pytest.mark.parametrize(
    ("speaking", "told"),
    [
        ("papers:\n  schema: a sheet from the owner, coffee over the tone network\n", "parts.F1: found “2 A”"),
        ("owner: Anna Ampsel\nserial: 40 417\n", "parts.F1: found “2 A”"),
        ("faults:\n  - complaint: A hum (owner said so)\n    cure: x\n", "parts.F1: found “2 A”"),
        ("changes:\n  - what the owner {secret}\n", "on a line that may be private"),
    ],
)
def test_a_line_that_cannot_be_read_costs_the_set_only_where_it_may_tear_a_private_one(
    speaking: str, told: str, tmp_path: Path
) -> None:
    """“one” of “delete one of them” stands in “tone”, and an owner who is spoken of is no private line."""
    parts = "parts:\n  F1: 0.4 A, was 2 A, now 0.4 A\n  R1: 150 ohm\n"
    page = page_of(f"{BEFORE}{speaking.format(secret=SECRETS[0])}{parts}", tmp_path)
    assert any(told in str(problem) for problem in page.problems)
    assert page.card is not None
    assert "R1" in page.html
    assert shown(page.html, SECRETS) == []


TORN = [
    f"line: 120 V# {SECRETS[0]} {SECRETS[1]}\n",
    f"power: AC/DC#{SECRETS[0]} {SECRETS[1]}\n",
    f"- # {SECRETS[0]} {SECRETS[1]}\n",
    f"note: it hummed.# {SECRETS[0]} {SECRETS[1]}\n",
    f"called: the kitchen one# {SECRETS[0]}\nlog:\n  - cleaned# {SECRETS[1]}\n",
    f"tubes:\n  V1: 12BE6# from {SECRETS[0]}, {SECRETS[1]}\n",
    f"chassis: line-connectedowner: {SECRETS[0]} {SECRETS[1]}\n",
    f"chassis: isolatedSerial: {SECRETS[0]} {SECRETS[1]}\n",
]
"""A comment without a blank before it, which is text; two lines that were run together."""


@pytest.mark.parametrize("lines", TORN)
def test_what_a_slip_made_text_stays_private(lines: str, tmp_path: Path) -> None:
    record = f"{BEFORE}{lines}"
    assert any(problem.private for problem in page_of(record, tmp_path).problems)
    assert shown(published(record, tmp_path), SECRETS) == []


def test_a_comment_that_became_text_costs_its_line_and_the_record_as_typed(tmp_path: Path) -> None:
    page = page_of(f"{BEFORE}line: 120 V# {SECRETS[0]}\ntubes:\n  V1: 12BE6\n", tmp_path)
    assert "12BE6" in page.html
    assert "record.json" in {file.path for file in page.files}
    assert "record.yml" not in {file.path for file in page.files}


@pytest.mark.parametrize(
    ("found", "private"),
    [("“120 V# x”", True), ("“# x”", True), ("“#5 Elm Street”", True), ("“#47”", False)],
)
def test_the_number_of_a_lamp_is_no_comment(found: str, private: bool) -> None:
    (problem,) = marked([Problem.at("f", (1, 1), "", found, "another")], "maker: Testwell", "f")
    assert problem.private is private


@pytest.mark.parametrize(
    "line",
    ["part# B-70", "knob# 3", '"a# b"', "'a# b'", "lamp #47", "|\n  one# two\n", "a#b", "C# minor"],
)
def test_a_sign_that_is_no_comment_is_text(line: str, tmp_path: Path) -> None:
    found = read_record(f"{BEFORE}note: {line}\n".encode(), "record.yml")[1]
    assert [problem.found for problem in found] == (["“C# minor”, with no blank before “#”"] if line[0] == "C" else [])


@pytest.mark.parametrize(("owner", "private"), [("[Ann, Bob]", False), ("{name: Ann}", False), ("[Ann, Bob", True)])
def test_a_private_line_that_closes_what_it_opens_hides_no_line_behind_it(owner: str, private: bool) -> None:
    told = Problem("record.yml", 4, 7, "line.volts", "“9 kV”", "24 to 260 V", "check the unit")
    text = f"maker: A\nmodel: B\nowner: {owner}\nline: 9 kV\nnote: one] two] three}} four}}\n"
    assert [one.private for one in marked([told], text, "record.yml")] == [private]


@pytest.mark.parametrize("share", range(4))
def test_no_way_to_tear_a_file_publishes_a_secret(share: int, tmp_path: Path, sampled: Callable[[int], int]) -> None:
    for number in range(share, 2_000, 4 * sampled(10)):
        record, secrets = torn_record(f"a-{number}")
        (tmp_path / "record.yml").write_bytes(record.encode())
        assert shown(published(record, tmp_path) + handed_on(tmp_path), secrets) == [], f"{number}:\n{record}"


MOVED = {
    "a line that nothing names": f"tubes:\n  V1: 12BE6\n  {SECRETS[0]} {SECRETS[1]}\n",
    "below the model": f"serial: |\n  {SECRETS[0]}\nyear: 1950\n  {SECRETS[1]}\n",
    "in quotes": f'chassis number: "5\n  {SECRETS[0]}"\n',
    "a block that begins elsewhere": f"owner: |\nyear: 1950\nnote: |\n  {SECRETS[0]}\n  {SECRETS[1]}\n",
    "the next text": f"owner:\nnote: |\n  {SECRETS[0]}\n  kept dry\n",
    "a text further on": f"owner:\nyear: 1950\ncabinet: walnut\n  {SECRETS[0]}\n",
    "into the year": f"year: 1950 serial {SECRETS[0]}\n",
    "into the year without a blank": f"year: 1950serial {SECRETS[0]}\n",
    "into a text": f"note: |\n  kept dry\n  and warm serial no: {SECRETS[0]}\n",
    "a wide colon": f"note: |\n  kept dry\n  owner： {SECRETS[0]}\n",
    "a comment in a text": f"note: |\n  kept dry # {SECRETS[0]}\n  # {SECRETS[1]}\n",
    "a comment that begins with a number": f"cabinet: walnut#5 {SECRETS[0]}\n",
    "a comment without any blank": f"cabinet: walnut#{SECRETS[0]} {SECRETS[1]}\n",
}


@pytest.mark.parametrize("moved", MOVED.values(), ids=list(MOVED))
def test_what_came_under_another_name_stays_private(moved: str, tmp_path: Path) -> None:
    head = BEFORE if "year" not in moved else BEFORE.replace("year: 1950\n", "")
    assert any(problem.line > 1 for problem in page_of(head + moved, tmp_path).problems)
    assert shown(published(head + moved, tmp_path), SECRETS) == []


@pytest.mark.parametrize(
    "lines",
    [
        "owner:\n",
        "owner:\nnote: kept dry\n",
        "owner:\nserial:\ncabinet: walnut\nnote: |\n  kept dry\n  and warm\n",
        "owner: Ann\ncabinet: walnut, its veneer\n  glued\nnote: >\n  The owner was glad.\n  The serial is there.\n",
        "by: |\n  Ann\n  Bob\nowner: |\n  Ann\n  Bob\nnote: |\n  the owner asked for it: done\n",
        "called: the owner's choice\npapers: a sheet for serials 4000 and up\nnote: bought of the landowner\n",
        "note: coil#2 rewound\ncabinet: knob#3 new, https://a.example/x#part two\n",
        "note: |\n  page # 5\n  #47 lamp\n  C# minor\n",
    ],
)
def test_no_harmless_line_is_lost(lines: str) -> None:
    record, problems = read_record((BEFORE + lines).encode(), "record.yml")
    assert problems == []
    assert record is not None


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("line 120 V", "found “line 120 V” without a colon; expected"),
        ("tubes:\n  V3 12BA6, detector", "found “V3 12BA6, detector”; expected"),
        ("heaters:\n  note: in order\n  V3 12.6 V", "found “V3 12.6 V” without a colon; expected"),
        ("tubes:\n  Green Lane 5", "found “…”, on a line that may be private and is not shown here;"),
        ("Green Lane 5", "found “…” without a colon, on a line that may be private and is not shown here;"),
    ],
)
def test_a_broken_line_is_quoted_in_public_only_where_it_says_what_it_is(line: str, told: str, tmp_path: Path) -> None:
    page = page_of(f"{BEFORE}{line}\ncabinet: walnut\n", tmp_path)
    assert told in str(page.problems[0])
    assert "walnut" in page.html
