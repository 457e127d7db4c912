"""Which rail the rectifier's cathode is: what was taken for granted of it, and what is asked where it is not known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...circuit.first_rail import cathode_apart, rails_apart

if TYPE_CHECKING:
    from ...circuit.places import Place
    from ..bench import Bench


def taken_for_the_cathode(bench: Bench) -> tuple[str, ...]:
    """The rail that was taken for the rectifier's cathode, where the reservoir is written at the cathode itself."""
    first = bench.circuit.network.first_filter
    if first is None or not any(end == first[0] for one in bench.circuit.network.elements for end in one.ends):
        return ()
    cathode, rail = (at.name(bench.words) for at in first)
    return (f"{rail} is {cathode}: the {bench.words.reservoir} stands there, and nothing is written between the two",)


def rail_unknown(bench: Bench, first: Place) -> str:
    """What would say where a rail is fed from on which something hangs that the rectifier must give; empty where known.

    Its current would be left out of the load in silence.
    """
    network = bench.circuit.network
    apart = rails_apart(network, first) if cathode_apart(network) == first else ()
    if not apart:
        return ""
    cathode, rail = first.name(bench.words), apart[0].name(bench.words)
    return (
        f"whether {rail} is {cathode}, or what leads from one to the other: as they stand, what hangs on {rail} would "
        f"be left out; a line such as “wires: {cathode}, {rail}” says that they are one"
    )


def plates_that_charge(bench: Bench, position: str, first: Place, beside: int) -> tuple[str, ...]:
    """What was taken of a rectifier on the line that has several plates."""
    tube, mains, words = bench.tubes.get(position), bench.circuit.mains, bench.words
    plates = {row.electrode for row in tube.pin_rows if row.electrode[:1] == "a"} if tube else set()
    if len(plates) < 2 or not mains.straight_from_line or bench.circuit.doubling or bench.circuit.dry_rectifier:
        return ()
    rail = first.name(words)
    if beside == len(plates):
        return (f"the {words.plates} of {position} charge {rail} side by side",)
    return (f"one {words.plate} of {position} charges {rail}: the other cathode is not written to lead there",)
