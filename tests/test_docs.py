"""The written word keeps up with the program: every key, option and command is documented, every example is read."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

import makers
from benchleaf.cli.main import _parser
from benchleaf.mkdocs_plugin import Options
from benchleaf.record.model import Record
from benchleaf.record.section import Section
from sites import REPO

WRITING = REPO / "site_src" / "writing"
RECORD_PAGE = (WRITING / "record.md").read_text()
COMMANDS_PAGE = (WRITING / "commands.md").read_text()


def _sections() -> Iterator[type[Section]]:
    """Record and every section it is made of."""
    seen: set[type[Section]] = set()
    waiting: list[type] = [Section]
    while waiting:
        for section in waiting.pop().__subclasses__():
            if section not in seen:
                seen.add(section)
                waiting.append(section)
    # Band and touchable parts are read from one line only; their fields are no keys a writer types.
    yield from sorted(
        (s for s in seen if s.__name__ not in ("Band", "Reading", "Meter", "TouchablePart")), key=lambda s: s.__name__
    )


@pytest.mark.parametrize("section", list(_sections()), ids=lambda s: s.__name__)
def test_every_key_is_documented(section: type[Section]) -> None:
    undocumented = [key for key in section.names() if f"`{key}`" not in RECORD_PAGE]
    assert undocumented == [] or undocumented == ["none"]


def test_every_option_is_documented() -> None:
    options = [name for name, _ in Options._schema]
    assert options
    assert [name for name in options if f"### `{name}`" not in COMMANDS_PAGE] == []


def test_every_command_and_its_options_are_documented() -> None:
    (commands,) = (a.choices for a in _parser()._actions if isinstance(a.choices, dict))
    for name, parser in commands.items():
        assert f"### `benchleaf {name}" in COMMANDS_PAGE
        for action in parser._actions:
            for option in action.option_strings:
                assert option in ("-h", "--help") or option in COMMANDS_PAGE, (name, option)


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
