"""Everything that is published of a set, or handed on, as text: for tests that look for what must not be in it."""

from __future__ import annotations

import json
from dataclasses import asdict
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

from benchleaf.archive.page import archive_page
from benchleaf.build.cache import Cache
from benchleaf.build.one_set import make_page
from benchleaf.build.packed.packing import packed
from benchleaf.pages.set_page import Choices, SetPage
from benchleaf.record.inputs import Inputs


def page_of(record: str, folder: Path, *, publish: bool = False) -> SetPage:
    inputs = Inputs(folder, folder.name, f"sets/{folder.name}", record.encode(), ())
    return make_page(inputs, Choices(publish_private=publish), Cache(None))


def _whole(page: SetPage) -> str:
    """Everything that a page holds, as text."""
    return json.dumps(asdict(page), ensure_ascii=False)


def published(record: str, folder: Path) -> str:
    """Everything that is written or logged of a set, and of the archive it stands in."""
    page = page_of(record, folder)
    told = "\n".join(map(str, page.problems))
    return told + _whole(page) + _whole(archive_page([page], Choices()))


def handed_on(folder: Path) -> str:
    """Everything that a set made into one file holds, as text."""
    data = packed(folder, "x", Choices(), draft=False).data
    if not data:
        return ""
    with ZipFile(BytesIO(data)) as made:
        return "".join(made.read(name).decode("utf-8", errors="replace") for name in made.namelist())
