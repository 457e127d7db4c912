"""A club's own words beside its records, from the file to the remark."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchleaf.build.beside_sets import words_beside
from benchleaf.cli.main import main
from benchleaf.record import read_record
from benchleaf.record.manner import Manner
from benchleaf.record.own_words import MOST_WORDS, read_own_words

WORDS = b"word,means\nlytic,electrolytic\nopc,output coupling\niffy,leaky\nHT feed pt,B+1\ngone soft,leaky\n"
RECORD = """\
maker: Opc
model: Iffy 5
chassis: isolated
summary: an iffy opc
tubes:
  V1: 6V6
parts:
  C1: opc, was 10 nF 400 V waxie, iffy, now 10 nF 630 V film; the opc was iffy
  C2: {was: 10 uF lytic 450 V, between: [HT  feed pt, chassis], note: iffy}
  C3: was 8 uF LYTIC 450 V, gone soft, now 10 uF 450 V lytic
line side:
  before: {plug: iffy}
"""


def manner(words: bytes = WORDS) -> Manner:
    found, problems = read_own_words(words, "words.csv")
    assert problems == ()
    return Manner(american=True, own_words=found)


def test_own_words_are_read_in_sections_and_nowhere_else() -> None:
    record, problems = read_record(RECORD.encode(), "record.yml", manner())
    assert record is not None
    assert [(p.line, p.found) for p in problems] == [(12, "“iffy”")]
    c1, c2 = record.parts["C1"], record.parts["C2"]  # type: ignore[index]
    assert (str(record.maker), str(record.model), str(record.summary)) == ("Opc", "Iffy 5", "an iffy opc")
    assert (str(c1.job), str(c1.note)) == ("output coupling", "the opc was iffy")
    assert (str(c1.was[0].condition), str(c2.was[0].type), str(c2.note)) == ("leaky", "electrolytic", "iffy")
    assert [str(end) for end in c2.between] == ["B+1", "chassis"]


def test_each_word_is_told_with_how_often_it_stands_there() -> None:
    record, _ = read_record(RECORD.encode(), "record.yml", manner())
    assert record is not None
    assert sorted((one.word, one.means, len(one.places)) for one in record.own_words) == [
        ("gone soft", "leaky", 1), ("ht feed pt", "B+1", 1), ("iffy", "leaky", 1), ("lytic", "electrolytic", 3),
        ("opc", "output coupling", 1),
    ]  # fmt: skip
    lytic = next(one for one in record.own_words if one.word == "lytic")
    assert lytic.said == ("“lytic” read as “electrolytic”, as your list of words says, 3 times: line 9, line 10")


def test_without_the_list_the_words_are_not_known() -> None:
    record, _ = read_record(RECORD.encode(), "record.yml")
    assert record is not None
    assert record.own_words == ()
    assert str(record.parts["C1"].job or "") != "output coupling"  # type: ignore[index]


def test_a_part_of_a_word_is_no_word() -> None:
    text = "maker: A\nmodel: B\nparts:\n  C1: to do, 10 nF 400 V film, pre-opc stage, opcs, opc.2\n"
    record, _ = read_record(text.encode(), "record.yml", manner())
    assert record is not None
    assert record.own_words == ()


@pytest.mark.parametrize(
    ("line", "found", "expected"),
    [
        ("ok,leaky", "“ok”, which is known already", "keeps its meaning"),
        ("isolated,line-connected", "“isolated”, which is known already", "keeps its meaning"),
        ("lytic,paper", "“lytic”, which is known already", "keeps its meaning"),
        ("not,leaky", "“not”, which is known already", "keeps its meaning"),
        ("not leaky,leaky", "“not leaky”, which is known already", "keeps its meaning"),
        ("mfd,leaky", "“mfd”, which is known already", "keeps its meaning"),
        ("anode,cathode", "“anode”, which is known already", "keeps its meaning"),
        ("ht+,chassis", "“ht+”", "words of letters"),
        ("C7,paper", "“C7”", "no name of a part"),
        ("x,paper", "“x”", "no name of a part"),
        ("foo,elektrolytic", "“elektrolytic”", "did you mean “electrolytic”?"),
        ("foo,zzyzx", "“zzyzx”", "in words of a record"),
        ("mine,owner", "“owner” for “mine”", "none for whose a set is"),
        ('foo,"leaky, now 10 nF"', "“leaky, now 10 nF” for “foo”", "without commas or values"),
        ("foo,leaky: {a}", "“leaky: {a}” for “foo”", "without commas or values"),
        ("foo", "“foo”; expected what “foo” means", "in words of a record"),
        ("ground,B+", "“ground”, which is known already", "keeps its meaning"),
        ("Iffy,leaky", "“Iffy” a second time", "each word once"),
        ("foo,iffy leaky", "“iffy leaky” for “foo”", "known without it"),
        ("<script>,leaky", "“<script>”", "words of letters"),
        ("a" * 41 + ",leaky", "“aaaa", "words of letters"),
    ],
)
def test_what_is_no_word_of_ones_own_is_told_at_its_line(line: str, found: str, expected: str) -> None:
    words, problems = read_own_words(f"word,means\niffy,leaky\n{line}\n".encode(), "sets/words.csv")
    assert words == (("iffy", "leaky"),)
    assert len(problems) == 1
    assert str(problems[0]).startswith(f"sets/words.csv:3:1: words: found {found}")
    assert expected in str(problems[0])


def test_hostile_files_are_bounded() -> None:
    many = "word,means\n" + "".join(f"qz{chr(97 + n % 26) * (1 + n // 26)},leaky\n" for n in range(MOST_WORDS + 9))
    words, problems = read_own_words(many.encode(), "words.csv")
    assert len(words) == MOST_WORDS
    assert f"more than {MOST_WORDS} words" in str(problems[0])
    assert "headings word and means" in str(read_own_words(b"iffy,leaky\n", "words.csv")[1][0])
    assert read_own_words(b"", "words.csv")[1]
    assert read_own_words(b"\x00\xff", "words.csv")[1]


def test_check_and_order_read_with_the_words_above_a_set(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "sets" / "r-alder" / "one"
    folder.mkdir(parents=True)
    text = "maker: A\nmodel: B\nparts:\n  C1: to do, opc, 50 nF 400 V zwax\n"
    (folder / "record.yml").write_text(text, encoding="utf-8")
    (tmp_path / "sets" / "words.csv").write_text("word,means\nopc,output coupling\nzwax,wax paper\nok,leaky\n")
    assert main(["check", str(folder), str(folder)]) == 1
    shown = capsys.readouterr()
    assert shown.out.count("sets/words.csv:4:1: words: found “ok”") == 1
    assert shown.out.count("\n") == 1
    assert ":4:22: remark: " not in shown.out
    assert (
        "record.yml:4:14: remark: “opc” read as “output coupling”, as your list of words says, once: line 4"
        in shown.err
    )
    assert main(["order", str(folder)]) == 0
    assert "47 nF, 400 V at least, film" in capsys.readouterr().out
    assert main(["pack", str(folder), "--out", str(tmp_path / "one.zip")]) in (0, 1)
    assert "only your own list of words knows “opc” (output coupling) and “zwax” (wax paper)" in capsys.readouterr().err
    assert main(["pages", str(tmp_path / "out"), "--from", str(tmp_path / "sets")]) in (0, 1)
    shown = capsys.readouterr()
    assert "sets/words.csv:4:1: words: found “ok”" in shown.out + shown.err
    made = (tmp_path / "out" / "sets" / "r-alder" / "one" / "index.md").read_text(encoding="utf-8")
    assert "output coupling" in made
    assert main(["add", str(folder), "C2: to do, 10 nF 400 V zwax"]) == 0
    assert (folder / "record.yml").read_text().endswith("C2: to do, 10 nF 400 V zwax\n")


def test_a_link_to_another_file_is_not_followed(tmp_path: Path) -> None:
    folder = tmp_path / "sets" / "one"
    folder.mkdir(parents=True)
    (tmp_path / "secret.csv").write_text("word,means\niffy,leaky\n")
    (tmp_path / "sets" / "words.csv").symlink_to(tmp_path / "secret.csv")
    words, problems = words_beside(folder)
    assert words == ()
    assert "a link to somewhere outside" in problems[0].found
