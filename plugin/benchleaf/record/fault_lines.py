"""A complaint at the first level of a record, with what was found and done: the fault that stands below ``faults``."""

from __future__ import annotations

from .text import Entries, Listing, Text

_OPENS = ("complaint", "complaints", "symptom", "symptoms", "fault")
_GOES_WITH = ("found", "ruled out", "cause", "cure")


def fault_lines_home(tree: Entries) -> None:
    """Take ``complaint``, and ``cause`` and ``cure`` beside it, to ``faults`` where the record has none, in place."""
    flat = {" ".join(name.split()).casefold(): name for name in (*tree, *tree.empty)}
    opening = next((flat[word] for word in _OPENS if word in flat), None)
    if opening is None or "faults" in flat or not isinstance(tree.get(opening), Text):
        return
    own = {opening: Text("complaint", opening.place)}
    beside = [word for word in _GOES_WITH if word in flat and isinstance(tree.get(flat[word]), Text)]
    own |= {flat[word]: Text(word, flat[word].place) for word in beside}
    fault = Entries(opening.place)
    for name, value in list(tree.items()):
        if name in own:
            told = "read as a fault, as those under “faults”"
            fault[own[name]] = value.taken_as(str(value), told) if name == opening else value
            del tree[name]
    faults = Listing(opening.place)
    faults.append(fault)
    tree[Text("faults", opening.place)] = faults
