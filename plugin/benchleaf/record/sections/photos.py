"""Photos as written: one picture, or a pair from before and after, with marks on what they show."""

from ..section import Section, form
from ..values import Ratio, Wording, choice

STAGES = ("before", "during", "after")


class PhotoMark(Section):
    """``C7, x 46 %, y 31 %, after``: a part or tube, how far from the left and the top it is, and on which picture."""

    FORM = form(["part", "x", "y", "stage"], words=dict.fromkeys(STAGES, "stage"), first=("part",))

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
