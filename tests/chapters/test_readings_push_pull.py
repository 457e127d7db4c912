"""A pair in push-pull on one cathode resistor that nothing bypasses: it carries no signal, and takes no gain."""

from __future__ import annotations

import pytest

import makers
import ngspice
from circuits_written import FOLDER

PAIR = (FOLDER / "push-pull-unbypassed.yml").read_text(encoding="utf-8") + (
    "readings:\n  as found:\n    line: 117 V\n    V7: plate 320 AC\n    B+1: 330\n"
)


def _signal(text: str, name: str = "V5"):
    return next(one for one in makers.found("readings", text).signal if one.stage == name)


def test_the_shared_resistor_takes_no_gain_as_ngspice_finds_it_takes_none() -> None:
    """Both halves with slope, load and resistor as told, driven against each other: 11.7 was told, 20.5 it is."""
    one = _signal(PAIR)
    assert (one.pushes_with, one.bypassed) == ("V6", True)
    slope, load = one.slope_siemens.value, one.load_ohms
    lines = ["Vin in 0 0 ac 1", "Einv out 0 0 in 1", "Rk k 0 200"]
    for grid, plate in (("in", "a"), ("out", "b")):
        lines += [f"G{plate} {plate} k {grid} k {slope!r}", f"R{plate} {plate} 0 {load!r}"]
        if one.tube_ohms:
            lines.append(f"Rp{plate} {plate} k {one.tube_ohms!r}")
    gain = abs(ngspice.alternating(lines, 1000.0, ["v(a)"])["v(a)"])
    assert one.gain_times.value == pytest.approx(gain, rel=0.01)
    assert "In push-pull with V6" in makers.page("readings", PAIR)


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("V6: 6V6GT, output", "V6: 6F6GT, output"),
        ("  - V5 cathode, V6 cathode\n", ""),
        ("between V6 plate and B+1", "between V5 plate and B+1"),
    ],
    ids=["another type", "cathodes apart", "a plate without a winding"],
)
def test_what_is_no_pair_keeps_the_resistor_in_its_gain(was: str, now: str) -> None:
    assert was in PAIR
    one = _signal(PAIR.replace(was, now))
    assert (one.pushes_with, one.bypassed) == ("", False)


def test_tubes_side_by_side_are_no_pair() -> None:
    """Plates and grids joined: both draw more at once, and the resistor takes its part."""
    text = PAIR.replace("wires:\n", "wires:\n  - V5 plate, V6 plate\n  - V5 grid, V6 grid\n")
    assert all(one.pushes_with == "" for one in makers.found("readings", text).signal)
