"""A set handed on as one file: what goes out, what stays at home, and that it comes back as it went."""

from __future__ import annotations

import io
import json
import os
import zipfile
from pathlib import Path

import pytest
from PIL import Image

import makers
from benchleaf.build.packed.plain_story import plain_story
from benchleaf.build.packed.plain_table import plain_table
from benchleaf.build.photos.bare import is_bare
from benchleaf.build.photos.originals import format_of
from benchleaf.build.photos.preparing import bare_copy
from benchleaf.cli import main
from benchleaf.pages.takeaway import json_text, parts_csv
from benchleaf.record.encoding import decode
from benchleaf.record.handed_on import NotHandedOnError, without_private_lines
from benchleaf.record.mapping import as_mapping
from benchleaf.record.spreadsheet import notes_in, read_spreadsheet
from photographs import BELONGS_TO_THE_PIXELS, exiftool, quarters
from secrets_of_sets import SECRET, with_position
from sites import DEMO, REPO

HIDDEN = SECRET.decode()
RECORD = f"""\
# yaml-language-server: $schema=../record.schema.json
maker: Testwell   # bought from {HIDDEN}
model: "Trial # 1"
owner: |
  {HIDDEN}

  of Somewhere
serial: '{HIDDEN} # 4711'
by: A. Restorer
licence: CC BY-SA 4.0
power: series string
chassis: line-connected
# {HIDDEN}
tubes:
  V1: 12BE6, frequency changer
  V2: 35W4, rectifier  # {HIDDEN}
heaters:
  dial lamp: #47, behind the dial # {HIDDEN}
summary: >-
  A set # with a sign

  and two paragraphs.
readings:
  sheet:
    table: readings.csv
photos:
  dial: photos/dial.jpg, the dial, licence CC0
  the schematic: photos/plan.png
  under: before photos/under.webp, after photos/after.gif
"""
STORY = f"How it went.\n\n<!-- {HIDDEN} -->\n[//]: # ({HIDDEN})\n\n```\n[//]: # (shown)\n```\n"
TABLE = f"{HIDDEN},,\ntube,electrode,volts,note\nV1,plate,90,steady\nV2,cathode,120,\n"


@pytest.fixture
def set_(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A set in which all that may be private stands somewhere; the folder around it is the one commands are run in."""
    folder = tmp_path / "sets" / "trial"
    with_position(folder / "photos" / "dial.jpg")
    for name in ("plan.png", "under.webp", "after.gif"):
        quarters().save(folder / "photos" / name)
    exiftool("-q", "-overwrite_original", f"-Artist={HIDDEN}", folder / "photos" / "plan.png")
    (folder / "photos" / "unnamed.jpg").write_bytes(SECRET)
    (folder / "notes.txt").write_bytes(SECRET)
    (folder / "record.yml").write_text(RECORD, encoding="utf-8")
    (folder / "story.md").write_text(STORY, encoding="utf-8")
    (folder / "readings.csv").write_text(TABLE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return folder


def files_in(pack: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(pack) as zip_:
        return {name: zip_.read(name) for name in zip_.namelist()}


def test_what_goes_out_and_what_stays(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pack", "sets/trial"]) == 0
    told = capsys.readouterr()
    assert told.out == ""
    assert HIDDEN not in told.err
    files = files_in(Path("trial.benchleaf.zip"))
    pictures = {f"set/photos/{name}" for name in ("dial.jpg", "plan.png", "under.webp", "after.gif")}
    texts = {"set/record.yml", "set/story.md", "set/readings.csv", "data/record.json", "README.txt", "LICENCE.txt"}
    assert files.keys() == pictures | texts | {"benchleaf-set.json"}
    assert [name for name, content in files.items() if SECRET in content] == []
    text = files["set/record.yml"].decode()
    assert text.startswith('maker: Testwell\nmodel: "Trial # 1"\nby: A. Restorer\n')
    assert "owner" not in text
    assert "serial" not in text
    assert "  dial lamp: #47, behind the dial\nsummary: >-\n  A set # with a sign\n\n  and two paragraphs.\n" in text
    assert files["set/story.md"] == b"How it went.\n\n\n\n```\n[//]: # (shown)\n```\n"
    assert as_mapping(makers.record(text)) == as_mapping(makers.record((set_ / "record.yml").read_bytes()))


def test_pictures_hold_nothing_but_pixels(set_: Path, tmp_path: Path) -> None:
    main(["pack", "sets/trial"])
    for name, content in files_in(Path("trial.benchleaf.zip")).items():
        if name.startswith("set/photos/"):
            (file := tmp_path / Path(name).name).write_bytes(content)
            tags = json.loads(exiftool("-j", "-G1", file))[0]
            of_file = {key for key in tags if key.split(":")[0] not in ("System", "ExifTool")}
            found = {key.rpartition(":")[2] for key in of_file} - BELONGS_TO_THE_PIXELS
            kind = Path(name).suffix
            assert found <= {".png": {"BitDepth", "ColorType", "Compression", "Filter", "Interlace"},
                             ".gif": {"GIFVersion", "HasColorMap", "ColorResolutionDepth", "BitsPerPixel",
                                      "BackgroundColor"}}.get(kind, set()), (name, found)  # fmt: skip


def test_a_folder_called_as_what_lies_beside_the_sets_goes_out_by_another_name(set_: Path) -> None:
    for called, packed in (("tube-table", "set"), ("words.csv", "words-csv"), ("Record.yaml", "Record-yaml")):
        set_ = set_.rename(set_.parent / called)
        assert main(["pack", f"sets/{called}"]) == 0
        assert json.loads(files_in(Path(f"{packed}.benchleaf.zip"))["benchleaf-set.json"])["name"] == packed


def test_what_is_told_of_it(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = RECORD.replace("licence: CC BY-SA 4.0\n", "").replace("by: A. Restorer\n", f"by: {HIDDEN}\n")
    (set_ / "record.yml").write_text(text.replace(f"owner: |\n  {HIDDEN}\n\n  of Somewhere", f"owner: {HIDDEN}"))
    assert main(["pack", "sets/trial", "--out", "given.zip"]) == 0
    told = capsys.readouterr().err.splitlines()
    assert told[0].startswith("given.zip: written, ")
    assert told[1].startswith("photos.the schematic: named as a schematic or sheet; whoever drew it may hold the")
    assert told[2].startswith("no licence is stated for “photos/plan.png”, “photos/under.webp” and “photos/after.gif”;")
    assert told[3:] == ["record.yml:6: what stands on a private line of the record stands here too, and goes out"]
    manifest = json.loads(files_in(Path("given.zip"))["benchleaf-set.json"])
    assert (manifest["format"], manifest["version"], manifest["name"]) == ("benchleaf-set", 1, "trial")
    assert (manifest["licence"], manifest["pictures"]) == ("", {"photos/dial.jpg": "CC0"})


def test_a_private_word_in_the_name_of_a_file_or_folder_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (folder := tmp_path / "trial-Abel_Quint").joinpath("photos").mkdir(parents=True)
    quarters().save(folder / "photos" / "abel-quint-4711.jpg")
    photo = "licence: CC0\nphotos:\n  dial: photos/abel-quint-4711.jpg\n"
    (folder / "record.yml").write_text(f"maker: a\nmodel: b\nowner: Abel Quint\nserial: 47 11\n{photo}")
    assert main(["pack", folder.name]) == 0
    told = "what stands on a private line of the record stands"
    assert capsys.readouterr().err.splitlines()[1:] == [
        f"trial-Abel_Quint: {told} in the folder's name too, and goes out",
        f"record.yml:7: {told} here too, and goes out",
    ]


@pytest.mark.parametrize("name", ["larkfield-minuet-5", "oxbow-regent-six", "quillon-skylark"])
def test_the_round_is_the_same_byte_for_byte(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    source = DEMO / "sets" / name
    monkeypatch.chdir(tmp_path)
    assert main(["pack", str(source), "--out", "first.zip"]) == 0
    assert main(["unpack", "first.zip"]) == 0
    assert main(["pack", name, "--out", "second.zip"]) == 0
    assert Path("first.zip").read_bytes() == Path("second.zip").read_bytes()
    capsys.readouterr()
    assert main(["check", str(source)]) == main(["check", name]) == 0
    before, after = ((folder / "record.yml").read_bytes() for folder in (source, Path(name)))
    assert as_mapping(makers.record(after)) == as_mapping(makers.record(before))
    files, examined = files_in(Path("first.zip")), makers.examined(makers.record(before))
    assert files["data/record.json"].decode() == json_text(examined)
    assert files.get("data/parts.csv", b"").decode() == (parts_csv(examined) if examined.findings["parts"] else "")


def test_a_set_with_all_that_is_private_comes_back(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["pack", "sets/trial/record.yml"]) == main(["unpack", "trial.benchleaf.zip"]) == 0
    assert main(["pack", "trial", "--out", "again.zip"]) == 0
    assert Path("again.zip").read_bytes() == Path("trial.benchleaf.zip").read_bytes()
    capsys.readouterr()
    assert main(["check", "trial"]) == 0
    before, _ = read_spreadsheet((set_ / "readings.csv").read_bytes(), "")
    assert read_spreadsheet(Path("trial/readings.csv").read_bytes(), "") == (before, [])
    assert main(["start-from", "trial.benchleaf.zip", "another"]) == 0
    taken = Path("another/record.yml").read_text(encoding="utf-8")
    assert "V1: 12BE6" in taken
    assert "A. Restorer" not in taken


def test_nothing_is_written_over(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (out := Path("out.zip")).write_text("mine")
    assert main(["pack", "sets/trial", "--out", "out.zip"]) == 2
    assert main(["pack", "sets/trial", "--out", "out.zip", "--replace"]) == 2
    assert out.read_text() == "mine"
    assert main(["pack", "sets/trial"]) == main(["pack", "sets/trial"]) == 0
    (set_ / "story.md").write_text("Another story.\n")
    assert main(["pack", "sets/trial"]) == 2
    assert main(["pack", "sets/trial", "--replace"]) == 0
    assert files_in(Path("trial.benchleaf.zip"))["set/story.md"] == b"Another story.\n"
    assert main(["pack", "sets/nobody"]) == 2
    capsys.readouterr()
    assert sorted(path.name for path in Path().iterdir()) == ["out.zip", "sets", "trial.benchleaf.zip"]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (f"ownr: {HIDDEN}\n", "on a line that may be private and is not shown here"),
        (f"note:\n  owner: {HIDDEN}\n", "expected"),
        ("yeer: 1949\n", "found the unknown name “yeer”"),
        ("photos:\n  dial: photos/aux.jpg\n", "“aux.jpg”, which is a device on Windows"),
        ("photos:\n  dial: photos/nowhere.jpg\n", "no file “photos/nowhere.jpg”"),
        ("photos:\n  dial:\n    picture: photos/dial.exe\n", "which is not called as a picture is"),
    ],
)
def test_what_cannot_go_out(line: str, told: str, set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("aux.jpg", "dial.exe"):
        quarters().save(set_ / "photos" / name, "JPEG")
    (set_ / "record.yml").write_text(f"maker: Testwell\nmodel: Trial\n{line}")
    assert main(["pack", "sets/trial"]) == 1
    said = capsys.readouterr().err
    assert told in said
    assert HIDDEN not in said
    assert Path("trial.benchleaf.zip").exists() == line.startswith("photos")


def test_a_draft_stays_one(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    settings = "site_name: a\nplugins:\n  - benchleaf:\n      sets: ../sets\n      dialect: british\n"
    Path("mkdocs.yml").write_text(settings)
    for option in ("draft_docs", "exclude_docs"):
        Path("mkdocs.yml").write_text(f"{settings}{option}: |\n  /sets/trial/\n")
        assert main(["pack", "sets/trial", "--replace"]) == 0
        assert "this set is no page of its site yet: it is handed on as a draft\n" in capsys.readouterr().err
    Path("mkdocs.yml").unlink()
    assert main(["unpack", "trial.benchleaf.zip"]) == 0
    told = capsys.readouterr().err
    assert "write /sets/trial/ under draft_docs in mkdocs.yml" in told
    assert "its own site reads records with “dialect: british”" in told
    assert "its licence: CC BY-SA 4.0" in told


@pytest.mark.parametrize(
    "path", [*DEMO.glob("sets/*/record.yml"), *(REPO / "tests/published_circuits").glob("*.yml")], ids=lambda p: p.stem
)
def test_records_without_their_private_lines(path: Path) -> None:
    data = path.read_bytes()
    text = without_private_lines(data)
    assert without_private_lines(text.encode()) == text
    kept = iter(decode(data, "")[0].split("\n"))
    assert all(any(typed.startswith(line) for typed in kept) for line in text.rstrip("\n").split("\n"))


@pytest.mark.parametrize(
    ("typed", "left"),
    [
        ("maker: a # x\nmodel: 'b # c'\n", "maker: a\nmodel: 'b # c'\n"),
        ("maker: a#1\nmodel: b\n# x\n\nowner: >\n  x\n  # y\n\nby: c\n", "maker: a#1\nmodel: b\n\n\nby: c\n"),
        ("serial:\n  x\n  y\nmaker: a\nmodel: b", "maker: a\nmodel: b\n"),
        (
            "maker: a\nmodel: b\nSerial: \"x\n  y\"\nnote: |  # x\n  c # d\n\n  # e\n",
            "maker: a\nmodel: b\nnote: |\n  c # d\n\n  # e\n",
        ),
        ("\ufeffmaker: a\r\nmodel: b\r\nowner:\r\n", "maker: a\nmodel: b\n"),
        ("--- # x\n? owner\n: x\nmaker: a\nmodel: b\n", "---\nmaker: a\nmodel: b\n"),
        (
            "maker: a\nmodel: b\nheaters:\n  dial lamps: #46, old # x\n",
            "maker: a\nmodel: b\nheaters:\n  dial lamps: #46, old\n",
        ),
    ],
)  # fmt: skip
def test_lines_taken_out_by_their_place(typed: str, left: str) -> None:
    assert without_private_lines(typed.encode()) == left


def test_a_private_line_that_cannot_be_parted() -> None:
    with pytest.raises(NotHandedOnError) as refused:
        without_private_lines(b"{maker: a, model: b, owner: c}\n")
    assert (refused.value.place, "c}" in str(refused.value)) == ((1, 22), False)


def test_stories_without_their_comments() -> None:
    assert plain_story("a<!<!-- x -->-- y -->b\n") == ("ab\n", None)
    assert plain_story("\na <!-- b\nc") == ("a\n".replace("a", "a "), (2, 3))
    assert plain_story(plain_story(STORY)[0]) == plain_story(STORY)


@pytest.mark.parametrize(
    "data",
    [
        b"V1;plate;90,5\r\nV4;g1;-2,4 V\r\nB+;120\r\n",
        b'sep=;\nTube;Pin;Electrode;Measured volts;Remark\nV1;5;plate;90;"a ""b""; c"\nV2;7;;12;\n',
        "tube\telectrode\tvolts\nV1\tplate\t1 234\n".encode("utf-16"),
        b"owner: somebody\nplace,at,reading (mV)\nV4,grid,120\n",
    ],
)
def test_tables_without_what_is_not_read(data: bytes) -> None:
    made = plain_table(data, "r.csv")
    assert made is not None
    assert b"somebody" not in made
    assert read_spreadsheet(made, "")[0] == read_spreadsheet(data, "")[0]
    assert (notes_in(made, ""), plain_table(made, "r.csv")) == (notes_in(data, ""), made)


def test_a_table_that_is_none() -> None:
    assert plain_table(b"\0" * 2000, "r.csv") is None


@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP", "GIF"])
@pytest.mark.parametrize("size", [(640, 480), (2000, 1500), (3, 3)])
def test_a_bare_copy_of_a_copy_is_the_same(format: str, size: tuple[int, int]) -> None:
    exif = Image.Exif()
    exif[0x010E], exif[0x0112] = HIDDEN, 6
    typed = io.BytesIO()
    more = {"comment": SECRET} if format in ("JPEG", "GIF") else {}
    quarters(size).save(typed, format, **more, **({"exif": exif} if format != "GIF" else {}))
    made = bare_copy(typed.getvalue())
    assert isinstance(made, bytes)
    assert not is_bare(typed.getvalue(), format)
    assert is_bare(made, format)
    assert (format_of(made), SECRET in made, bare_copy(made)) == (format, False, made)
    shape = size if format == "GIF" else size[::-1]
    assert abs(Image.open(io.BytesIO(made)).size[0] - min(shape[0], 1600)) <= 1
    step = max(1, len(made) // 60)
    assert not any(is_bare(made[:cut], format) for cut in range(8, len(made), step))
    assert not is_bare(made + b"\0", format)


def test_packing_reads_no_link_to_elsewhere(set_: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (outside := Path("outside.jpg")).write_bytes(SECRET)
    (set_ / "photos" / "dial.jpg").unlink()
    os.symlink(outside.absolute(), set_ / "photos" / "dial.jpg")
    assert main(["pack", "sets/trial"]) == 1
    assert "a link to somewhere outside the set's folder" in capsys.readouterr().err
    assert "set/photos/dial.jpg" not in files_in(Path("trial.benchleaf.zip"))
