"""Photos as written: one picture, or a pair from before and after."""

from ..section import Section, form
from ..values import Wording


class Photo(Section):
    """``before photos/a.jpg, after photos/b.jpg``, or ``photos/dial.jpg, the reflector repainted``."""

    FORM = form(["before", "during", "after", "picture", "caption"], values={"picture": "picture"}, rest="caption")

    picture: Wording | None = None
    before: Wording | None = None
    during: Wording | None = None
    after: Wording | None = None
    caption: Wording | None = None

    def files(self) -> dict[str, Wording]:
        """The files in the order of the work, each under what it shows ("" for a picture that stands alone)."""
        named = {"": self.picture, "before": self.before, "during": self.during, "after": self.after}
        return {name: file for name, file in named.items() if file}
