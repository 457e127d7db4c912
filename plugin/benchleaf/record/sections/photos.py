"""Photos as written: one picture, or a pair from before and after, with marks on what they show."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..section import Section, form
from ..text import Text
from ..values import Ratio, Wording, choice

STAGES = ("before", "during", "after")
_ACROSS_AND_DOWN = re.compile(r"(?P<part>[^,]+),\s*(?P<x>[.\d][.,\d]*\s?%),?\s*(?P<y>[.\d][.,\d]*\s?%)(?P<stage>.*)")
"""A mark without its two letters: across and then down, as they are written."""
_A_FILE = re.compile(r"\S\.\w{2,4}\Z|/")


class PhotoMark(Section):
    """``C7, x 46 %, y 31 %, after``: a part or tube, how far from the left and the top it is, and on which picture."""

    FORM = form(["part", "x", "y", "stage"], words=dict.fromkeys(STAGES, "stage"), first=("part",))

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        if isinstance(data, Text) and (bare := _ACROSS_AND_DOWN.fullmatch(data)):
            told = f"“{bare['x']}, {bare['y']}” read as from the left and from the top"
            data = data.taken_as(f"{bare['part']}, x {bare['x']}, y {bare['y']}{bare['stage']}", told)
        return super()._table(data, errors)

    part: Wording
    x: Ratio
    y: Ratio
    stage: choice(*STAGES) | None = None  # type: ignore[valid-type]


class Photo(Section):
    """``before photos/a.jpg, after photos/b.jpg``, or ``photos/dial.jpg, the reflector repainted, licence CC0``."""

    FORM = form(
        ["before", "during", "after", "picture", "caption", "licence"],
        values={"picture": "picture"},
        rest="caption",
        synonyms={"license": "licence"},
    )
    SYNONYMS = {"license": "licence"}

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Beside a picture ``before the polish`` is a caption, as no file stands behind its first word."""
        table = super()._table(data, errors)
        if not isinstance(data, Text) or not table or Text("picture") not in table:
            return table
        said = {key: value for key, value in table.items() if key in STAGES and not _A_FILE.search(str(value))}
        kept = {key: value for key, value in table.items() if key not in said}
        for stage, value in said.items():
            words = value.taken_as(f"{stage} {value}")
            caption = kept.get(Text("caption"))
            kept[Text("caption", value.place)] = caption.and_then(words) if isinstance(caption, Text) else words
        return kept

    picture: Wording | None = None
    before: Wording | None = None
    during: Wording | None = None
    after: Wording | None = None
    caption: Wording | None = None
    licence: Wording | None = None
    marks: tuple[PhotoMark, ...] = ()

    def files(self) -> dict[str, Wording]:
        """The files in the order of the work, each under what it shows ("" for a picture that stands alone)."""
        named = {"": self.picture, "before": self.before, "during": self.during, "after": self.after}
        return {name: file for name, file in named.items() if file}

    @property
    def legend(self) -> str:
        """What stands under the picture: its caption, and the licence it is under."""
        licence = f"licence: {self.licence}" if self.licence else ""
        return "; ".join(part for part in (str(self.caption or ""), licence) if part)
