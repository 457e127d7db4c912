"""Private lines that a slip has put anywhere: into sentences, lists and texts; and sentences that speak of such."""

from __future__ import annotations

import io
import re
import sqlite3
from collections.abc import Callable
from contextlib import redirect_stdout
from pathlib import Path

import pytest

from all_published import handed_on, page_of, published
from benchleaf.cli import main
from benchleaf.record import read_record
from freely_torn import freely_torn, says_what_it_is
from private_slips import BEFORE, shown
from sites import SMALL_RECORD, build, write_site

SECRETS = ("qvbxkdwgzh", "wzkqjxvbfd")
TOLD_BY_NAME = 0.97
"""The share of records of which nothing is seen: in the others a line without its name went into a sentence."""


@pytest.mark.parametrize("share", range(4))
def test_a_private_line_stays_private_wherever_a_slip_puts_it(
    share: int, tmp_path: Path, sampled: Callable[[int], int]
) -> None:
    numbers = range(share, 2_000, 4 * sampled(20))
    unknowable = 0
    for number in numbers:
        record, secrets = freely_torn(f"free-{number}")
        (tmp_path / "record.yml").write_bytes(record.encode())
        seen = shown(published(record, tmp_path) + handed_on(tmp_path), secrets)
        assert not (seen and says_what_it_is(record, seen)), f"{number}, {seen}:\n{record}"
        unknowable += bool(seen)
    assert unknowable <= max((1 - TOLD_BY_NAME) * len(numbers), 3)


def test_the_search_finds_what_is_told_at_home() -> None:
    """The naive control: the same records, with all that “check” tells."""
    found = 0
    for number in range(60):
        record, secrets = freely_torn(f"free-{number}")
        told = "\n".join(map(str, read_record(record.encode(), "record.yml")[1]))
        found += says_what_it_is(record, shown(told, secrets))
    assert found >= 10


CAME_AMONG_OTHERS = {
    "a name in a sentence": f"log:\n  - cleaned it, Owner： {SECRETS[0]}\n",
    "a name that a list takes for one of its own": f"log:\n  - swept the bench, owner: {SECRETS[0]}\n",
    "a sign of another kind": f"log:\n  - owner= '{SECRETS[0]}'\n",
    "no blank behind the colon": f"note: |\n  kept dry\n  OWNER:{{name: {SECRETS[0]}}}\n",
    "a slip in the name": f"note: |\n  kept dry; ownr: '{SECRETS[0]}'\n",
    "run into the word before it": f"model: Trialownr: [{SECRETS[0]}, {SECRETS[1]}]\n",
    "run into a line of a text": f"note: |\n  kept dryownr: {SECRETS[0]}\n  and warm\n",
    "an article": f"photos:\n  the owner: {SECRETS[0]}\n",
    "a hyphen": f"note: >\n  came and went Serial-No: {SECRETS[0]}\n",
    "the entry of a list in the text above": f"tubes:\n  V2: EL84, output\n   - Serial-No {SECRETS[0]}\n",
    "an entry that lost its dash": f"owner:\n- {SECRETS[1]}\nbefore power:\n  {SECRETS[0]}\n  - field coil 1185 ohms\n",
    "a part of a text that is quoted": f"owner: |\n  {SECRETS[1]}\nspeaker:\n  size: 8 in; - {SECRETS[0]}\n",
    "a name below the private one": f"owner:\n  town: {SECRETS[1]}\ncabinet: walnut\n  name: {SECRETS[0]}\n",
    "a second name in a line": f"log:\n  - 2020-01-01: cleaned ittown: {SECRETS[0]}\n",
    "a name that a bracket tore": f"cabinet: walnut; OWN[ER: {SECRETS[0]}, {SECRETS[1]}\n",
    "below a day": f"log:\n- did: cleaned\n  date: 2020-01-01\n   {SECRETS[0]}\n",
    "a bracket within the name": f"papers:\n  serial no}}.: {SECRETS[0]}\n",
    "a sign within the name": f"note: |\n  own#er: {SECRETS[0]}\n  kept dry\n",
    "a bracket between the words of a name": f"note: |\n  kept dry\n  Serial-[No: {SECRETS[0]}\n",
    "a name run into its number": f"photos:\n  serialno.: {SECRETS[0]}\n",
    "a comment behind the sign of a text": f"note: |# {SECRETS[0]} {SECRETS[1]}\n  kept dry\n",
    "behind a value": f"owner: >\n  {SECRETS[1]}\nline: 230 V 50 Hz{SECRETS[0]}tubes:\n  V1: ECH81\n",
}


@pytest.mark.parametrize("lines", CAME_AMONG_OTHERS.values(), ids=list(CAME_AMONG_OTHERS))
def test_what_says_that_it_is_private_is_asked(lines: str, tmp_path: Path) -> None:
    head = BEFORE if "model" not in lines else BEFORE.replace("model: Trial\n", "")
    assert page_of(head + lines, tmp_path).problems
    assert shown(published(head + lines, tmp_path), SECRETS) == []


UNKNOWABLE = {
    "a line of a text, moved into another": f"owner: |\n  Ann\nnote: |\n  kept dry\n  {SECRETS[0]}\n",
    "entries, moved away from their name": f"owner:\nlog:\n  - cleaned it\n  - {SECRETS[0]}\n",
    "a part of a line, behind a sentence": f"serial: Ann\nlog:\n  - swept the bench, {SECRETS[0]}\n",
    "a name that lost its colon, in a sentence": f"note: |\n  kept dry\n  owner {SECRETS[0]}\n",
    "a name that was deleted": f"cabinet: walnut {SECRETS[0]}\n",
    "a comment that lost its sign": f"note: |\n  kept dry\n  {SECRETS[0]}\n",
}
"""The limit: each reads as a sentence of its writer's."""


@pytest.mark.parametrize("lines", UNKNOWABLE.values(), ids=list(UNKNOWABLE))
def test_what_reads_as_a_sentence_is_published(lines: str, tmp_path: Path) -> None:
    assert shown(published(BEFORE + lines, tmp_path), SECRETS) == [SECRETS[0]]
    assert not says_what_it_is(BEFORE + lines, [SECRETS[0]])


@pytest.mark.parametrize(
    "lines",
    [
        "note: The owner wanted it playing, serial number illegible.\n",
        "note: |\n  The owner wanted it playing.\n  Serial number illegible\n  Owner and shop agreed on it.\n",
        "summary: Its first owner bought it in 1950; the serial says so.\n",
        "log:\n  - 2020-01-01: the owner wanted it playing\n  - 2020-01-02, 1 h, told the owner what it takes\n",
        "faults:\n  - complaint: 'the owner said: no sound'\n    found: serial plate in the way of V2\n",
        "papers:\n  letter from the owner: one page\n  serial numbers: a list from the trade\n",
        "photos:\n  serial plate: plate.jpg\n  as the owner had it: front.jpg\n",
        "changes:\n  what the owner asked for: lamp added, 6.3 V\n",
        "cabinet: walnut, an industrial look\nadvice: |\n  imperial: 6 screws of BA\n  loaner: none\n",
        "note: 'material: walnut, power: good, lower: scratched'\n",
        "owner: |\n  Ann Ampsel\n  Mill Lane\nserial: 40 417\nnote: |\n  The owner wanted\n  it playing: so it plays\n",
        "owner:\n  name: Ann\n  town: Oakham\nlog:\n  - 2020-01-01: cleaned it\n",
    ],
)
def test_a_record_that_speaks_of_owners_and_serials_loses_nothing(lines: str) -> None:
    record, problems = read_record((BEFORE + lines).encode(), "record.yml")
    told = [str(problem) for problem in problems if "owner: found" not in str(problem)]
    assert told == []
    assert record is not None


def test_no_output_of_a_folder_of_such_records_holds_a_secret(tmp_path: Path, sampled: Callable[[int], int]) -> None:
    """Site, search index, feed, ``sets.json``, and what the commands write of the folder."""
    torn = {f"set-{number}": freely_torn(f"folder-{number}") for number in range(400 // sampled(40))}
    hidden = {name: both for name, both in torn.items() if not shown(published(both[0], tmp_path), both[1])}
    assert len(hidden) >= len(torn) - 2, "the others are beyond knowing"
    records = {"good": SMALL_RECORD} | {name: record for name, (record, _) in hidden.items()}
    feed = "plugins: [search, benchleaf, rss: {match_path: 'sets/.*', use_git: false}]\n"
    site = write_site(tmp_path, records, f"site_url: https://club.example/\n{feed}")
    result = build(site)
    assert result.returncode == 0, result.stderr
    assert "sets/good/" in (site / "site" / "feed_rss_created.xml").read_text(encoding="utf-8")
    sets, plain = site / "docs" / "sets", site / "plain"
    said = [result.stdout, result.stderr]
    for command in (
        *(["export", "--to", "csv", "--list", one] for one in ("sets", "parts", "readings")),
        ["export", "--to", "jsonl"],
        ["export", "--to", "sqlite", "--out", str(tmp_path / "all.db")],
        *(["order", "--to", to] for to in ("text", "csv", "json")),
    ):
        with redirect_stdout(io.StringIO()) as out:
            main([*command, str(sets)])
        said.append(out.getvalue())
    for more in ([], ["--site"]):
        main(["pages", str(plain / f"as{len(more)}"), "--from", str(sets), *more])
    said += sqlite3.connect(tmp_path / "all.db").iterdump()
    secrets = [secret for _, both in hidden.values() for secret in both]
    assert any(re.search(secrets[0], str(file.read_bytes()), re.I) for file in sets.rglob("record.yml"))
    found = re.compile("|".join(half for one in secrets for half in (one[:6], one[-6:])), re.I)
    assert found.findall("\n".join(said)) == []
    for file in (*(site / "site").rglob("*"), *plain.rglob("*")):
        if file.is_file():
            assert found.findall(file.read_bytes().decode("utf-8", errors="replace")) == [], file
