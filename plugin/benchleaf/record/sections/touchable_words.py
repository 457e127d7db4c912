"""What a hand can reach, as it is said at the bench, each to the part it means."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..line_items import items
from ..text import Text

TOUCHABLE_PARTS = (
    "chassis", "shafts", "knob screws", "grub screws", "metal back", "metal cabinet", "aerial socket", "earth socket",
    "pick-up socket", "speaker socket", "earphone socket", "aerial", "escutcheon",
)  # fmt: skip
_SPELLINGS = (
    (r"\b(?:antenna|ant|aer)\b\.?", "aerial"),
    (r"\b(?:ground|gnd)\b", "earth"),
    (r"\b(?:phono|pickup|gramophone|gram|pu|p\.u\.)(?=\s|$)", "pick-up"),
    (r"\bheadphone\b", "earphone"),
    (r"\b(?:ext\.?|extension|external) (?:loud)?speaker\b|\bloudspeaker\b|\bls\b", "speaker"),
    (r"^antennenbuchse$", "aerial socket"),
    (r"^(aerial|earth) screws?$", r"\1 socket"),
    (r"(?<=\s)(?:binding )?(?:posts?|terminals?|jacks?|sockets)$", "socket"),
    (r"\b(?:knob )?(?:set|grub) ?screws?\b", "grub screws"),
    (r"\bknob shafts?\b", "shafts"),
    (r"\bknob screw\b", "knob screws"),
    (r"\bmetal chassis\b", "chassis"),
    (r"^chassis (?:screws?|bolts?)$", "chassis"),
    (r"\b(?:metal )?(?:control )?shafts?\b", "shafts"),
    (r"^earth$", "earth socket"),
)
_TWO_SOCKETS = re.compile(
    r"(?P<one>[\w.]+)\s+(?:and|&|\+)\s+(?P<two>[\w.]+)\s+(?P<kind>posts|terminals|sockets|jacks)", re.I
)
_APART = re.compile(
    r"\b(?:nylon|plastic|insulat\w+|sealed|covered|capped|filled|(?:bees)?wax\w*|wood\w*|putt(?:y|ied)|removed|gone|missing|disconnected|taped"
    r"|blanked|plugged|not (?:connected|used|fitted)|unconnected|unused)\b",
    re.I,
)
_COVERED = re.compile(
    r"(?:(?:all|now|both|well|deeply|the|their|in|with|holes?|heads?|are|were|(?:counter)?sunk|recessed|and|&)\s+)*"
    r"(?:(?:wax|putty|epoxy|glue|paint|varnish|rubber|beeswax)\s?-?)?"
    r"(?:covered|sealed|capped|filled|waxed|taped|insulated|plugged|puttied|stopped|wax|beeswax)\b",
    re.I,
)
"""What says by itself how the part before it is kept from a hand: ``sunk and filled with wax``."""
_SUNK = re.compile(r"(?:counter)?sunk|recessed", re.I)
_HOLES = re.compile(r"\b(?:holes?|heads?)\b", re.I)
_OWN_NOUN = re.compile(
    r"\b(?:(?:thumb|wing)?screws?|knobs?|back|cabinet|case|covers?|shafts?|spindles?|sockets?|aerial|antenna|chassis"
    r"|bolts?|nuts?|grill\w*|straps?|handles?|trim|lid|panels?|metal|feet|terminals?|posts?|jacks?|leads?|dial|rings?"
    r"|escutcheon|badge|plates?|buttons?|levers?|wires?|speaker|rods?|loops?|clips?|hinges?)\b",
    re.I,
)
_GONE = re.compile(
    r"\b(?:removed|gone|missing|blanked|sealed|plugged (?:up|off)|plugged\Z|disconnected"
    r"|not (?:connected|used|fitted)|unconnected)\b",
    re.I,
)
_CONTACTS = re.compile(r"\b(?:sockets?|posts?|terminals?|jacks?|aerial|antenna)\b", re.I)
"""What is there to be plugged into: only what is gone is out of reach."""
_STILL = re.compile(
    r"\b(?:not(?! (?:connected|used|fitted))|no|un(?!connected|used)\w+ed|without|was|were|partly|half|badly|to be"
    r"|(?:wax|putty|plugs?|tape|caps?|covers?|insulation) (?:\w+ )?"
    r"(?:gone|missing|lost|out|off|removed|broken|perished|cracked)"
    r"|(?:missing|lost|broken|cracked|perished) (?:wax|putty|plugs?|tape|caps?|covers?|insulation))\b",
    re.I,
)
_NOTHING = frozenset({"none", "nothing", "no", "-"})


def part_named(name: str) -> str | None:
    """The part that a name means, None where it is none of them."""
    spoken = " ".join(name.casefold().split())
    for form, ours in _SPELLINGS:
        spoken = re.sub(form, ours, spoken)
    return spoken if spoken in TOUCHABLE_PARTS else None


def opening_part(item: Text) -> tuple[Text, Text] | None:
    """The part that an item begins with and the words behind it, None where it begins with none."""
    ends = [word.end() for word in re.finditer(r"\S+", item)]
    for end in reversed(ends[:-1]):
        if part_named(item[:end]):
            return item.cut(0, end), item.cut(end)
    return None


def out_of_reach(item: str) -> bool:
    """Whether an item says that no metal is left for a hand: ``grub screws sealed with wax``, ``nylon screws``."""
    words = _GONE if _CONTACTS.search(item) else _APART
    return bool(words.search(item)) and not _STILL.search(item)


def whole_items(line: Text) -> Iterator[Text]:
    """The items of a line; what says that metal is covered belongs to the part before it: ``knob screws, waxed``."""
    found: list[Text] = []
    for item in (item for piece in _pieces(line) for item in items(piece)):
        sunk = [found.pop()] if len(found) > 1 and _SUNK.fullmatch(found[-1]) and _COVERED.match(item) else []
        if found and _covers(item, found[-1]):
            held = found.pop()
            item = held.cut(0, len(held)).taken_as(" ".join([held, *sunk, item]))
        else:
            found += sunk
        found.append(item)
    yield from found


def _covers(item: Text, held: Text) -> bool:
    """Whether an item says only how the part before it is kept from a hand; of holes and heads only screws have any."""
    covered = _COVERED.match(item)
    if covered is None or part_named(item) or opening_part(item) is not None:
        return False
    return _HOLES.search(covered[0]) is None or "screw" in held.casefold()


def _pieces(line: Text) -> Iterator[Text]:
    """A line parted at its semicolons too."""
    start = 0
    for mark in re.finditer(r";(?=\s|$)", line):
        yield line.cut(start, mark.start())
        start = mark.end()
    yield line.cut(start)


def each_socket(item: Text) -> Iterator[Text]:
    """The sockets of an item that names two: ``ant and gnd posts``."""
    two = _TWO_SOCKETS.fullmatch(item)
    if two is None or not all(part_named(f"{two[name]} {two['kind']}") for name in ("one", "two")):
        yield item
        return
    for name in ("one", "two"):
        yield item.cut(*two.span(name)).taken_as(f"{two[name]} {two['kind']}")


def not_computed(item: Text) -> Text:
    """An item that is no part a hand touches: a remark, told where it may be metal all the same."""
    if (out_of_reach(item) and _OWN_NOUN.search(item)) or item.casefold() in _NOTHING:
        return item
    return item.taken_as(str(item), f"“{item}” is none of the parts that are computed, and is kept as a remark")
