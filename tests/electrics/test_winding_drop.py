"""What a winding loses to its rectifier, held to a transformer, rectifier and reservoir in ngspice."""

from __future__ import annotations

import math

import pytest

import ngspice
from benchleaf.electrics.winding_drop import winding_drop_volts

_TRANSIENT = "50u 700m 600m 50u uic"


def _loaded_volts(amps: float, own: float, shared: float, way: str, hertz: float, perveance: float | None) -> float:
    """RMS of one half of the winding, in ngspice; tubes by the law of three halves, or diodes that drop 1 V."""

    def path(name: str, one: str, other: str) -> str:
        over = f"v({one},{other})"
        if perveance:
            return f"B{name} {one} {other} I={over}>0 ? {perveance}*pow({over},1.5) : 0"
        return f"B{name} {one} {other} I={over}>1 ? ({over}-1)/0.5 : 0"

    peak, farads = 340 * math.sqrt(2), 30e-6
    # One source has the turns of one half; what its resistance carries is the current of both, turned round in one.
    lines = [f"Ve e 0 sin(0 {peak} {hertz})", f"Rs e s {shared}", f"C1 b 0 {farads} ic={0.85 * peak}"]
    lines += [f"Iload b 0 {amps}"]
    if way == "halves":
        lines += ["Ea a 0 s 0 1", "Fa s 0 Ea -1", "Ec c 0 s 0 -1", "Fc s 0 Ec 1"]
        lines += [f"Ra a pa {own}", f"Rc c pc {own}", path("1", "pa", "b"), path("2", "pc", "b")]
        at = "v(pa)"
    elif way == "half-wave":
        lines += [f"Ra s pa {own}", path("1", "pa", "b")]
        at = "v(pa)"
    else:
        lines[2:] = [f"C1 b m {farads} ic={0.85 * peak}", f"Iload b m {amps}", "Rm m 0 1e6", f"Ra s pa {own}"]
        lines += [path("1", "pa", "b"), path("2", "0", "b"), path("3", "m", "pa"), path("4", "m", "0")]
        at = "v(pa)"
    found = ngspice.measured(lines, _TRANSIENT, {"volts": f"rms {at} from=600m to=700m"})
    return found["volts"]


@pytest.mark.parametrize(
    ("amps", "own", "shared", "way", "perveance"),
    [
        (0.07, 75.0, 75.0, "halves", 0.125 / 60**1.5),
        (0.085, 210.0, 49.0, "halves", 0.125 / 60**1.5),
        (0.09, 60.0, 60.0, "bridge", None),
        (0.04, 80.0, 60.0, "half-wave", None),
        (0.06, 100.0, 50.0, "halves", None),
    ],
)
@pytest.mark.parametrize("hertz", [50.0, 60.0])
def test_a_winding_at_work_loses_what_a_simulator_has(
    amps: float, own: float, shared: float, way: str, perveance: float | None, hertz: float
) -> None:
    lost = 340 - _loaded_volts(amps, own, shared, way, hertz, perveance)
    told = winding_drop_volts(amps, own, shared, halves=way == "halves")
    assert told == pytest.approx(lost, rel=0.06)


def test_a_doubler_draws_its_current_on_either_half_wave() -> None:
    one = winding_drop_volts(0.05, 40.0, 60.0, halves=False)
    assert winding_drop_volts(0.05, 40.0, 60.0, halves=False, doubled=True) == pytest.approx(2 * one)


@pytest.mark.parametrize("wrong", [(-1e-3, 1.0, 1.0), (1e-3, -1.0, 1.0), (1e-3, 1.0, -1.0)])
def test_nothing_below_zero(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="at least zero"):
        winding_drop_volts(*wrong, halves=True)
