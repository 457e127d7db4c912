"""The chapters of a set, in the order in which the record tells them. A new chapter is a new folder and a line here."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Chapter:
    """One subject of the record.

    ``folder`` holds its files; ``title`` heads it; ``story_name`` is its name in a story, the id of its digest and the
    address of its own page. ``needs`` names the chapters whose findings it is given. ``also`` are names that a story
    may have it by too, whose ids lead to it. ``within`` names the chapter that it is told with where the story does not
    place it.
    """

    folder: str
    title: str
    story_name: str
    needs: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    within: str = ""

    @property
    def short(self) -> str:
        """Its title among the names of the set's pages."""
        return self.story_name[:1].upper() + self.story_name[1:]

    @property
    def anchor(self) -> str:
        """The id of its digest, which is also the address of its page."""
        return as_anchor(self.story_name)


def as_anchor(story_name: str) -> str:
    """A name in a story as an id: ``line side`` is ``line-side``."""
    return story_name.replace(" ", "-")


CHAPTERS = (
    Chapter("line_side", "Line side", "line side", needs=("heaters",)),
    Chapter("readings", "Voltages", "voltages", needs=("parts",)),
    Chapter("parts", "Parts", "parts"),
    Chapter("heaters", "Tubes and heaters", "heaters", also=("heater supply",)),
    Chapter("line_up", "Tubes", "tubes", within="heaters"),
    Chapter("supply", "Rectifier and filter", "rectifier", needs=("parts", "heaters"), also=("rectifier and filter",)),
    Chapter("speaker", "Speaker", "speaker"),
    Chapter("changes", "Changes", "changes"),
    Chapter("faults", "Faults", "faults", needs=("parts",)),
    Chapter("results", "Results", "results"),
    Chapter("log", "Day by day", "log", needs=("line_up", "changes", "faults", "power_up", "alignment")),
    Chapter("power_up", "Power-up", "power-up", within="log"),
    Chapter("alignment", "Alignment", "alignment", within="log"),
    Chapter("photos", "Pictures", "photos"),
)
