"""The written word keeps up with the program: every key, option and command is documented, every example is read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import get_args

import pytest

import makers
from benchleaf import __version__
from benchleaf.build.files import MOST_READ
from benchleaf.build.photos.originals import MOST_BYTES, MOST_PIXELS
from benchleaf.build.photos.weight import MOST_DECODED
from benchleaf.chapters.changes.findings import MOST_DRAWN
from benchleaf.cli.main import _parser
from benchleaf.mkdocs_plugin import Options
from benchleaf.record.model import Record
from benchleaf.record.most_entries import MOST, MOST_LINE, MOST_OF_ANY
from benchleaf.record.section import Section
from benchleaf.record.sections.wave_bands import BandEnds
from benchleaf.record.values import Reads
from sites import REPO, first_five_minutes

WRITING = REPO / "site_src" / "writing"
RECORD_PAGE = (WRITING / "record.md").read_text()
NAMES_PAGE = (WRITING / "names.md").read_text()
COMMANDS_PAGE = (WRITING / "commands.md").read_text()


READ_FROM_ONE_LINE = {"Band", "CurvePoint", "Meter", "Reading", "TouchablePart"}
"""Sections without a mapping form: their fields are no keys that a writer types."""


def _headed(page: str) -> dict[str, str]:
    """What stands below each heading of a page."""
    pieces = re.split(r"^## (.*)$", page, flags=re.M)
    return dict(zip(pieces[1::2], pieces[2::2], strict=True))


def _within(annotation: object) -> Iterator[type[Section]]:
    """The sections that a field may hold, and those they may hold."""
    for inner in get_args(annotation):
        yield from _within(inner)
    if isinstance(annotation, Reads):
        yield from _within(annotation.read.__annotations__.get("return"))
    if isinstance(annotation, type) and issubclass(annotation, Section):
        yield annotation
        for field in annotation.model_fields.values():
            yield from _within(field.annotation)
            for extra in field.metadata:
                yield from _within(extra)


def _told_with(section: type[Section]) -> set[str]:
    """The module of a section, and those whose sections stand nowhere else."""
    beside = {
        "benchleaf.record.sections.heaters": [
            "benchleaf.record.sections.dropper",
            "benchleaf.record.sections.pilot_lamp",
        ],
        "benchleaf.record.sections.parts": ["benchleaf.record.sections.leaked"],
        "benchleaf.record.sections.line_side": ["benchleaf.record.sections.line_measured"],
    }
    return {section.__module__, *beside.get(section.__module__, [])}


def _keys() -> dict[tuple[str, str], set[str]]:
    """Each class and key of the record with the headings one of which must tell of it.

    A key is told where the section stands to whose file it belongs: those of a component under `parts`, and what
    components of the line side know beyond them under `line side`. A section that needs no more than a sentence and an
    example for each of its keys has its heading on the page of all names.
    """
    told: dict[tuple[str, str], set[str]] = {}
    page = _headed(RECORD_PAGE)
    headings = [heading for heading in page if heading != "The set"]
    for name, field in Record.model_fields.items():
        key = field.alias or name.replace("_", " ")
        own = [heading for heading in headings if f"`{key}`" in heading]
        own = own or (["The set"] if f"`{key}`" in page["The set"] else [f"`{key}`"])
        told.setdefault(("Record", key), set()).update([*own])
        sections = list(dict.fromkeys(_within(field.annotation))) + [s for m in field.metadata for s in _within(m)]
        for section in sections:
            for key_ in section.names():
                owner = next(c for c in reversed(section.__mro__) if issubclass(c, Section) and key_ in c.names())
                if owner.__module__ in _told_with(sections[0]) and owner.__name__ not in READ_FROM_ONE_LINE:
                    told.setdefault((owner.__name__, key_), set()).update(own)
    told |= {("BandEnds", key): {"The set"} for key in BandEnds.names()}  # the mapping form of what is read as a Band
    return told


def test_every_section_is_found_from_the_record() -> None:
    """One that is not would need no documentation."""
    seen, waiting = set(), [Section]
    while waiting:
        for section in waiting.pop().__subclasses__():
            seen.add(section)
            waiting.append(section)
    shipped = {s.__name__ for s in seen if s.__module__.startswith("benchleaf.")}
    assert shipped - READ_FROM_ONE_LINE - {owner for owner, _ in _keys()} == set()


@pytest.mark.parametrize(("key", "headings"), list(_keys().items()), ids=lambda value: ":".join(value))
def test_every_key_is_documented_under_the_heading_of_its_section(key: tuple[str, str], headings: set[str]) -> None:
    below = {**_headed(NAMES_PAGE), **_headed(RECORD_PAGE)}
    assert [h for h in headings if f"`{key[1]}`" in h or f"`{key[1]}`" in below[h]] != []


def test_every_option_is_documented() -> None:
    options = [name for name, _ in Options._schema]
    assert options
    assert [name for name in options if f"### `{name}`" not in COMMANDS_PAGE] == []


def test_the_commands_and_options_that_are_documented_are_those_there_are() -> None:
    (commands,) = (a.choices for a in _parser()._actions if isinstance(a.choices, dict))
    pieces = re.split(r"^###? ", _headed(COMMANDS_PAGE)["Commands"], flags=re.M)[1:]
    told = {match[1]: piece for piece in pieces if (match := re.match(r"`benchleaf ([a-z-]+)", piece))}
    assert list(told) == list(commands)
    for name, parser in commands.items():
        there = {option for action in parser._actions for option in action.option_strings} - {"-h", "--help"}
        heading, _, below = told[name].partition("\n")
        assert set(re.findall(r"--[a-z-]+", heading)) == there
        assert set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", below)) <= there


def _examples() -> Iterator[object]:
    for page in sorted(WRITING.glob("*.md")):
        for number, block in enumerate(re.findall(r"```yaml\n(.*?)```", page.read_text(), re.S), 1):
            if not block.startswith("plugins:"):
                yield pytest.param(block, id=f"{page.stem}-{number}")


@pytest.mark.parametrize("example", list(_examples()))
def test_every_example_is_read(example: str) -> None:
    assert isinstance(makers.record(example), Record)


def test_the_readme_begins_with_the_two_commands() -> None:
    blocks = re.findall(r"```(\w+)\n(.*?)```", (REPO / "README.md").read_text(), re.S)
    assert [kind for kind, _ in blocks[:2]] == ["sh", "sh"]
    build, test = (text.strip() for _, text in blocks[:2])
    assert "\n" not in build
    assert "\n" not in test
    assert "mkdocs build" in build
    assert "pytest" in test


def test_the_first_five_minutes_are_the_same_wherever_they_are_told() -> None:
    assert first_five_minutes("README.md") == first_five_minutes("site_src/writing/index.md")


def test_the_first_record_is_the_sum_of_its_minutes_and_says_what_the_page_promises() -> None:
    blocks = re.findall(r"```(text|yaml)\n(.*?)```", (WRITING / "fifteen-minutes.md").read_text(), re.S)
    *minutes, (kind, whole) = blocks
    assert (kind, "\n".join(text for _, text in minutes)) == ("yaml", whole)
    made = makers.examined(makers.record(whole))
    assert made.findings["heaters"].rated_sum_volts == pytest.approx(122.8)
    assert next(row for row in made.findings["parts"].rows() if row.name == "C7").was_drift == pytest.approx(0.36)
    assert "C7 leaks" in made.findings["readings"].suggestions[0].cause


def test_the_release_is_in_the_changelog_and_pinned_by_its_number() -> None:
    changelog, stable = ((WRITING / name).read_text() for name in ("changelog.md", "stable.md"))
    assert re.findall(r"^## (.*)$", changelog, re.M)[0] == __version__
    assert f"`mkdocs-benchleaf=={__version__}`" in stable


def test_how_much_a_record_may_hold_is_what_is_held_to() -> None:
    written = _headed(RECORD_PAGE)["How much a record may hold"]
    rows = re.findall(r"^\| ([^|]+) \| (\d+) \|$", written, flags=re.M)
    most = {re.sub(r"^`([^`]+)`$", r"\1", name): number for name, number in rows}
    inside = {"sheet", "was", "now", "add"}
    assert {MOST[key] for key in inside} == {int(most.pop("components under `sheet`, `was`, `now` or `add`"))}
    assert int(most.pop("places in one list of readings")) == MOST["points"]
    assert int(most.pop("values read, in all lists and spreadsheets together")) == MOST_READ
    assert int(most.pop("any other list")) == MOST_OF_ANY
    assert int(most.pop("characters of a line that stands for several names")) == MOST_LINE
    assert {key: int(number) for key, number in most.items()} == {
        key: number for key, number in MOST.items() if key not in inside | {"points"}
    }
    assert f"the first {MOST_DRAWN} have a curve" in written
    assert f"may have {MOST_BYTES // 1_000_000} MB and {MOST_PIXELS // 1_000_000} megapixels" in written
    assert f"may take {MOST_DECODED // 1_000_000} MB of memory" in written
    assert f"a WebP up to {MOST_DECODED // 16 // 1_000_000} megapixels" in written
