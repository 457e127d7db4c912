"""The chapters of a set, in the order in which the record tells them. A new chapter is a new folder and a line here."""

from __future__ import annotations

from dataclasses import dataclass

from ..words import Words


@dataclass(frozen=True, slots=True)
class Chapter:
    """One subject of the record.

    ``folder`` holds its files; ``key`` is what heads it, in the words of records; ``story_name`` is its name in a
    story, the id of its digest and the address of its own page. ``needs`` names the chapters whose findings it is
    given. ``also`` are names that a story may have it by too, whose ids lead to it. ``within`` names the chapter that
    it is told with where the story does not place it. ``apart`` is what tells the findings of others in another
    order: it has a page of its own alone, and a story places its drawing.
    """

    folder: str
    key: str
    story_name: str
    needs: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    within: str = ""
    apart: bool = False

    def title(self, words: Words) -> str:
        """What heads it."""
        return words.heading(self.key)

    def short(self, words: Words) -> str:
        """Its title among the names of the set's pages."""
        return words.heading(self.story_name)

    @property
    def anchor(self) -> str:
        """The id of its digest, which is also the address of its page."""
        return as_anchor(self.story_name)


def as_anchor(story_name: str) -> str:
    """A name in a story as an id: ``line side`` is ``line-side``."""
    return story_name.replace(" ", "-")


_DAYS = ("line_up", "changes", "faults", "power_up", "alignment", "readings", "line_side")
"""What stands at the days of the work."""
CHAPTERS = (
    Chapter("line_side", "line side", "line side", needs=("heaters", "parts")),
    Chapter("readings", "voltages", "voltages", needs=("parts",)),
    Chapter("eye", "tuning indicator", "tuning indicator", also=("magic eye",), within="readings"),
    Chapter("parts", "parts", "parts"),
    Chapter("heaters", "tubes and heaters", "heaters", also=("heater supply",)),
    Chapter("line_up", "tubes", "tubes", within="heaters"),
    Chapter(
        "supply",
        "rectifier and filter",
        "rectifier",
        needs=("parts", "heaters", "readings"),
        also=("rectifier and filter",),
    ),
    Chapter("speaker", "speaker", "speaker"),
    Chapter("tone", "tone and feedback", "tone", needs=("readings", "speaker"), within="readings"),
    Chapter("mechanics", "cabinet and mechanics", "mechanics"),
    Chapter("changes", "changes", "changes"),
    Chapter("faults", "faults", "faults", needs=("parts", "readings")),
    Chapter("results", "results", "results", needs=("readings", "power_up")),
    Chapter("log", "day by day", "log", needs=_DAYS),
    Chapter("power_up", "power-up", "power-up", needs=("parts", "heaters", "line_side"), within="log"),
    Chapter("alignment", "alignment", "alignment", needs=("readings",), within="log"),
    Chapter(
        "how_it_works",
        "how it works",
        "how it works",
        needs=("line_side", "readings", "faults", "alignment"),
        apart=True,
    ),
    Chapter("photos", "pictures", "photos"),
)
