"""What the card inside the cabinet says beside the wiring: what was changed, the lamp, what was left original."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING
from urllib.parse import quote

from ..report.amount import Amount, Origin

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.heaters.findings import HeatersFindings
    from ..chapters.heaters.rated import RatedLamp
    from ..record.model import Record
    from .set_page import Choices

_CHANGED = (("replaced", "Replaced"), ("restuffed", "Restuffed"), ("added", "Added"), ("removed", "Removed"))


def changed(examined: Examined) -> list[tuple[str, str]]:
    """What is not as the set was built: parts by what was done with them, tubes, additions."""
    record = examined.record
    of_state = _by_state(examined)
    told = [(said, of_state.get(state, [])) for state, said in _CHANGED]
    told.append(("Exchanged", [str(place) for place in record.changed_tubes]))
    told.append(("Circuit", [_change(str(name), record) for name in record.changes]))
    return [(said, _in_a_row(names)) for said, names in told if names]


def _change(name: str, record: Record) -> str:
    change = next(c for n, c in record.changes.items() if str(n) == name)
    return f"{name} across {change.across}" if change.across else name


def _by_state(examined: Examined) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, part in (examined.findings["parts"] or {}).items():
        found.setdefault(part.state, []).append(name)
    return found


def left_original(examined: Examined) -> list[tuple[str, str]]:
    """The parts that were kept, and where the original of an exchanged one is."""
    kept = _by_state(examined)
    kept_names = [*kept.get("kept", []), *kept.get("reformed", [])]
    where: dict[str, list[str]] = {}
    for name, part in examined.record.parts.items():
        if part.original:
            where.setdefault(str(part.original), []).append(str(name))
    told = [("Kept", _in_a_row(kept_names))] if kept_names else []
    if where:
        told.append(("Old parts", "; ".join(f"{', '.join(names)} {place}" for place, names in where.items())))
    return told


def _in_a_row(names: Iterable[str]) -> str:
    return ", ".join(names)


def lamp(examined: Examined) -> tuple[str, str] | None:
    """The pilot lamp and where it sits, and what is to be done when it burns out; None where none is written."""
    found: HeatersFindings | None = examined.findings["heaters"]
    if found is None or found.lamp is None:
        return None
    return _lamp_and_place(found), _when_it_burns_out(found, examined.bench.words.line)


def _lamp_and_place(found: HeatersFindings) -> str:
    assert found.lamp is not None
    places = {
        "tap": f"across the tap of {found.lamp.at}",
        "series": "in the string",
        "heater": f"across {found.lamp.at}",
    }
    return ", ".join(filter(None, (_what_to_fit(found.lamp), places.get(found.lamp.place, ""))))


def _what_to_fit(lamp: RatedLamp) -> str:
    """The lamp by its type; by its ratings, as many as there are, where nothing but “lamp” is written."""
    if lamp.name or lamp.volts is None:
        return lamp.label
    several = f"{lamp.count} × " if lamp.count > 1 else ""
    return f"{several}{Amount(lamp.volts, 'V').text} {Amount(lamp.amps, 'A').text}"


def _when_it_burns_out(found: HeatersFindings, line: str) -> str:
    """What the computed string does without its lamp; empty where it does no harm or is not known to."""
    at_once = "Replace it at once if it burns out: "
    if found.string is not None and found.string.tapped:
        out = next((case for case in found.lamp_cases if not case.lamp), None)
        share = out.section_of_rated if out else None
        if share is None or share <= 1:
            return ""
        carried = Amount(share, "1", Origin.COMPUTED, digits=2).text
        return f"{at_once}the tap section of {found.string.tapped.tube} then carries {carried} of its rated current."
    if found.string is None or found.string.series_lamp is None:
        return ""
    if any("lamp" in shunt.over for shunt in found.string.shunts):
        return f"{at_once}its shunt then carries all of the string’s current."
    return f"If it burns out the set goes dark, and the {line} stands across its holder: pull the plug first."


def address(choices: Choices, name: str) -> str:
    """Where the record of the set ``name`` is published; empty where the site does not say where it is."""
    if not choices.sets_url:
        return ""
    ends = "" if choices.directory_urls else "index.html"
    return f"{choices.sets_url}{quote(name)}/{ends}"


def square_code(text: str) -> str:
    """A QR code (ISO/IEC 18004, error correction M) of a text as SVG, black on white with its quiet zone."""
    import segno

    made: str = segno.make_qr(text, error="m").svg_inline(
        omitsize=True, border=4, light="#fff", svgclass=None, lineclass=None
    )
    return made
