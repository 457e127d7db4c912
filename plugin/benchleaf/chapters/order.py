"""The chapters of a set's page, in the order of the work. A new chapter is a new folder and one line here."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Chapter:
    """One subject of the record.

    ``folder`` holds its four files; ``title`` heads it on the page; ``story_name`` is what a story calls it; ``needs``
    names the chapters whose findings it is given.
    """

    folder: str
    title: str
    story_name: str
    needs: tuple[str, ...] = ()

    @property
    def anchor(self) -> str:
        return self.story_name.replace(" ", "-")


CHAPTERS = (
    Chapter("line_up", "Tubes", "tubes"),
    Chapter("heaters", "Heater supply", "heater supply"),
    Chapter("readings", "Voltages", "voltages", needs=("parts",)),
    Chapter("line_side", "Line side", "line side", needs=("heaters",)),
    Chapter("parts", "Parts", "parts"),
    Chapter("supply", "Rectifier and filter", "rectifier and filter", needs=("parts", "heaters")),
    Chapter("speaker", "Speaker", "speaker"),
    Chapter("changes", "Changes", "changes"),
    Chapter("faults", "Faults", "faults", needs=("parts",)),
    Chapter("power_up", "Power-up", "power-up"),
    Chapter("alignment", "Alignment", "alignment"),
    Chapter("results", "Results", "results"),
    Chapter("log", "Log", "log"),
    Chapter("photos", "Photos", "photos"),
)
