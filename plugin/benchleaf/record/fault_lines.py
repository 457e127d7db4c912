"""A complaint at the first level of a record, with what was found and done: the fault that stands below ``faults``."""

from __future__ import annotations

from .text import Entries, Listing, Text

_OPENS = ("complaint", "complaints", "symptom", "symptoms", "fault")
_GOES_WITH = ("found", "ruled out", "cause", "cure")


def fault_lines_home(tree: Entries) -> None:
    """Take ``complaint``, and ``cause`` and ``cure`` beside it, to ``faults`` where the record has none, in place.

    Where it has, its faults have complaints of their own, and this one is what was said of the set as it came in.
    """
    flat = {" ".join(name.split()).casefold(): name for name in (*tree, *tree.empty)}
    opening = next((flat[word] for word in _OPENS if word in flat), None)
    if opening is None or not isinstance(tree.get(opening), Text):
        return
    if "faults" in flat:
        _with_the_first(tree, opening, tree.get(flat["faults"]))
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


def _with_the_first(tree: Entries, opening: Text, faults: object) -> None:
    """The complaint as a note of the first fault, where that is a table that has none."""
    first = next(iter(faults), None) if isinstance(faults, Listing) else faults
    if not isinstance(first, Entries) or {"note", *_OPENS}.isdisjoint(flat := {str(name).casefold() for name in first}):
        return
    if "note" not in flat:
        said = tree.pop(opening)
        told = "kept as a note of the first fault, which has a complaint of its own"
        first[Text("note", said.place)] = said.taken_as(f"as it came in: {said}", told)
