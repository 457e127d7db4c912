"""What each formula takes of a value and what it refuses, just on both sides of its bound and without end."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import pytest

from benchleaf.electrics import dc_stage, droppers, impedance, loading, steady_state, tube_law
from benchleaf.electrics.barretters import Barretter
from benchleaf.electrics.bridges import Bridged
from benchleaf.electrics.dc_elements import DcBranch, DcNet, HeldNode
from benchleaf.electrics.dc_network import solve
from benchleaf.electrics.dried_out import steady_means
from benchleaf.electrics.filaments import Filament, SideBySide
from benchleaf.electrics.fuses import inrush
from benchleaf.electrics.heaters import HeaterElement, HeaterTap, Shunted, running_string
from benchleaf.electrics.nodal_analysis import Resistor, VoltageSource
from benchleaf.electrics.pairs import nearest_made
from benchleaf.electrics.preferred import nearest
from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.reservoir import Charging
from benchleaf.electrics.touch import loaded_volts
from benchleaf.electrics.warm_up import NtcResistor, warm_up
from benchleaf.electrics.working_slopes import WorkingSlopes, amplification

Bound = tuple[Callable[..., Any], Mapping[str, Any], str, Sequence[Any], Sequence[Any]]

INF, NAN = math.inf, math.nan
SMALL = 0.01
NOT_ABOVE_ZERO = (0.0, -SMALL, NAN)
NO_FINITE_ABOVE_ZERO = (0.0, -SMALL, NAN, INF)
SIX = HeaterElement(6.3, 0.3)
FED = (VoltageSource("hot", "earth", 120.0), Resistor("hot", "chassis", 1e6))
HELD = DcNet(3, (DcBranch("load", (1, 2), 1e3), DcBranch("bottom", (2, 0), 1e3)), (), (HeldNode("B+", 1, 250.0),))


def _held_at(node: int) -> object:
    return solve(DcNet(3, HELD.branches, (), (HeldNode("B+", node, 250.0),)))


def _between(end: int) -> object:
    return solve(DcNet(3, (DcBranch("load", (1, end), 1e3),), (), HELD.held))


def _tap(**values: Any) -> HeaterTap:
    return HeaterTap(**{"index": 0, "fraction": 0.2, "lamp": None, **values})


def _tapped(index: int) -> object:
    return running_string([SIX, SIX], 12.0, tap=_tap(index=index))


def _filter(**values: Any) -> object:
    taps = FilterTap(16e-6, load_amps=0.01), FilterTap(16e-6, **values)
    return steady_state.solve(Supply("half-wave", 170.0, 60.0, 30.0), Filter(taps))


BARRETTER = {"amps": 0.3, "low_volts": 95.0, "high_volts": 165.0}
FILAMENT = {"volts": 1.4, "amps": 0.05}
HEATER = {"volts": 6.3, "amps": 0.3, "exponent": 0.6}
STRING = {"heaters": [SIX], "line_volts": 6.3}
SUPPLY = {"kind": "half-wave", "peak_volts": 170.0, "hertz": 60.0, "ohms": 30.0}
NTC = {"cold_ohms": 5500.0, "hot_ohms": 40.0, "hot_amps": 0.1, "seconds": 40.0}
CONVERTER = {"plate_amps": 3e-3, "screen_amps": 7e-3, "screen_volts": 100.0, "plate_volts": 250.0}
POINT = {"plate_volts": 250.0, "plate_amps": 0.045, "grid_volts": -12.5, "screen_volts": 250.0, "screen_amps": 4.5e-3}
RESISTANCE = {"ohms": 1e4, "its_amps": 1e-3, "amps": 2e-3}
CHARGING = {"charging": Charging(1, 165.0, 30.0, 5e-4), "farads": [4e-6], "hertz": 60.0, "ohms": [3e3]}


def _through(**values: Any) -> object:
    return tube_law.through_point(tube_law.PublishedPoint(**values))


BOUNDS: list[Bound] = [
    (Barretter, BARRETTER, "amps", NO_FINITE_ABOVE_ZERO, (SMALL,)),
    (Barretter, BARRETTER, "low_volts", (-SMALL, 165.0, NAN), (0.0, 164.9)),
    (Barretter, BARRETTER, "high_volts", (95.0, INF, NAN), (95.1,)),
    (Bridged, {"heaters": (SIX,)}, "ohms", (0.0, -SMALL, NAN), (None, SMALL)),
    (SideBySide, {"heaters": (SIX,)}, "ohms", (0.0, -SMALL, NAN), (None, SMALL)),
    (SideBySide, {}, "heaters", ((),), ((SIX,),)),
    (Shunted, {"heater": SIX}, "ohms", NOT_ABOVE_ZERO, (SMALL,)),
    (Filament, FILAMENT, "volts", NO_FINITE_ABOVE_ZERO, (SMALL,)),
    (Filament, FILAMENT, "amps", NO_FINITE_ABOVE_ZERO, (SMALL,)),
    (Filament, FILAMENT, "cathode_amps", (-SMALL, INF, NAN), (0.0, SMALL)),
    *((HeaterElement, HEATER, name, NO_FINITE_ABOVE_ZERO, (SMALL,)) for name in HEATER),
    (_tap, {}, "fraction", (0.0, 1.0, -SMALL, NAN), (SMALL, 0.99)),
    (_tap, {}, "plate_amps", (-SMALL,), (0.0, SMALL)),
    (_tap, {}, "shunt_ohms", (0.0, -SMALL), (None, SMALL)),
    (_tapped, {}, "index", (-1, 2), (0, 1)),
    (running_string, STRING, "heaters", ([],), ([SIX],)),
    (running_string, STRING, "line_volts", (-SMALL, INF, NAN), (0.0, SMALL)),
    (running_string, STRING, "dropper_ohms", (-SMALL, INF, NAN), (0.0, SMALL)),
    (running_string, {**STRING, "frequency_hz": 60.0}, "capacitor_farads", (0.0, -1e-6), (None, 1e-6)),
    (running_string, {**STRING, "capacitor_farads": 1e-6}, "frequency_hz", (0.0, -50.0), (50.0,)),
    (_held_at, {}, "node", (0, 3, -1), (1, 2)),
    (_between, {}, "end", (3, -1), (0, 2)),
    (steady_means, CHARGING, "hertz", NOT_ABOVE_ZERO, (25.0,)),
    (steady_means, CHARGING, "farads", ([0.0], [-1e-6]), ([1e-6],)),
    (steady_means, CHARGING, "ohms", ([0.0], [-1.0]), ([1e3],)),
    (droppers.dropper_for, {"line_volts": 120.0, "rated_sum_volts": 80.0}, "amps", NOT_ABOVE_ZERO, (SMALL,)),
    (dc_stage.plate_resistance, {"plate_amps": 1e-3, "bias_share": 0.5}, "plate_volts", NOT_ABOVE_ZERO, (SMALL,)),
    (dc_stage.plate_resistance, {"plate_volts": 90.0, "bias_share": 0.5}, "plate_amps", NOT_ABOVE_ZERO, (SMALL,)),
    *((dc_stage.resistance_at, RESISTANCE, name, NOT_ABOVE_ZERO, (SMALL,)) for name in RESISTANCE),
    (impedance.capacitive_reactance, {"farads": 1e-8}, "frequency_hz", (-SMALL, NAN), (0.0, SMALL)),
    (impedance.frequency_for_reactance, {"farads": 1e-8}, "ohms", NO_FINITE_ABOVE_ZERO, (SMALL,)),
    (impedance.corner_frequency, {"farads": 1e-8}, "ohms", NO_FINITE_ABOVE_ZERO, (SMALL,)),
    (impedance.resonance, {"henries": 1e-3}, "farads", NO_FINITE_ABOVE_ZERO, (1e-9,)),
    (
        impedance.grid_offset_volts,
        {"plate_volts": 90.0, "grid_leak_ohms": 1e6},
        "leakage_ohms",
        (-1.0, NAN),
        (0.0, INF),
    ),
    (loading.in_parallel, {}, "*", ((), (-SMALL, 1.0), (NAN,)), ((0.0, 1.0), (INF, 1.0), (SMALL,))),
    (loading.meter_ohms, {"range_volts": 250.0}, "ohms_per_volt", NOT_ABOVE_ZERO, (1000.0,)),
    (loading.meter_ohms, {"ohms_per_volt": 1000.0}, "range_volts", NOT_ABOVE_ZERO, (SMALL,)),
    (loading.true_volts, {"reading": 90.0, "input_ohms": 1e6}, "source_ohms", (-SMALL, INF, NAN), (0.0, SMALL)),
    (loading.true_volts, {"reading": 90.0, "source_ohms": 1e5}, "input_ohms", NOT_ABOVE_ZERO, (SMALL, INF)),
    (inrush, {"seconds": [0.0, 1.0]}, "amps", ([], [1.0], [1.0] * 3), ([2.0, 1.0],)),
    (inrush, {"amps": [2.0, 1.0]}, "seconds", ([0.0, 0.0], [1.0, 0.0]), ([0.0, SMALL],)),
    (nearest_made, {"stock": [1.0], "capacitors": True}, "value", NOT_ABOVE_ZERO, (1.0,)),
    (nearest, {"series": "E12"}, "value", NO_FINITE_ABOVE_ZERO, (SMALL,)),
    (Rectifier.tube, {"amps": 0.1}, "drop_volts", NOT_ABOVE_ZERO, (SMALL,)),
    (Rectifier.tube, {"drop_volts": 20.0}, "amps", NOT_ABOVE_ZERO, (SMALL,)),
    (Supply, SUPPLY, "kind", ("quarter-wave",), ("full-wave",)),
    (Supply, SUPPLY, "peak_volts", NOT_ABOVE_ZERO, (SMALL,)),
    (Supply, SUPPLY, "hertz", NOT_ABOVE_ZERO, (SMALL,)),
    (Supply, SUPPLY, "ohms", (-SMALL, NAN), (0.0,)),
    (Supply, SUPPLY, "return_ohms", (-SMALL, NAN), (0.0, SMALL)),
    (Supply, SUPPLY, "return_farads", (-SMALL, NAN), (0.0, SMALL)),
    (Supply, {**SUPPLY, "kind": "cascade doubler"}, "return_ohms", (SMALL,), (0.0,)),
    (Supply, SUPPLY, "square_duty", (0.0, 1.01, NAN), (None, SMALL, 1.0)),
    (_filter, {}, "series_ohms", (0.0,), (1e3,)),
    (NtcResistor, NTC, "hot_ohms", (0.0, 5500.0, NAN), (SMALL, 5499.0)),
    (NtcResistor, NTC, "cold_ohms", (40.0, INF, NAN), (41.0,)),
    (NtcResistor, NTC, "hot_amps", NOT_ABOVE_ZERO, (SMALL,)),
    (NtcResistor, NTC, "seconds", NOT_ABOVE_ZERO, (SMALL,)),
    (warm_up, {"line_volts": 6.3}, "heaters", ([],), ()),
    *((tube_law.converter, CONVERTER, name, (0.0, -SMALL), (SMALL,)) for name in CONVERTER),
    (tube_law.oscillator_triode, {"plate_volts": 100.0}, "plate_amps", NOT_ABOVE_ZERO, (SMALL,)),
    (tube_law.oscillator_triode, {"plate_amps": 4e-3}, "plate_volts", NOT_ABOVE_ZERO, (SMALL,)),
    *((_through, POINT, name, NOT_ABOVE_ZERO, ()) for name in POINT if name != "grid_volts"),
    (_through, POINT, "grid_volts", (None, 0.0), (-12.5,)),
    (amplification, {"at": WorkingSlopes(1e-3, 1e-5, 0.0, 0.0)}, "load_ohms", NOT_ABOVE_ZERO, (SMALL,)),
    (loaded_volts, {"elements": FED, "part": "chassis", "frequency_hz": 60.0}, "ohms", (None, 0.0, -1.0), (1.5e3,)),
    (
        loaded_volts,
        {"elements": FED, "part": "chassis", "frequency_hz": 60.0, "ohms": None},
        "farads",
        (None, -1e-7),
        (1e-7,),
    ),
]


def _call(made: Callable[..., Any], known: Mapping[str, Any], name: str, value: Any) -> Any:
    return made(*value) if name == "*" else made(**{**known, name: value})


@pytest.mark.parametrize(
    ("made", "known", "name", "refused", "taken"),
    BOUNDS,
    ids=[f"{getattr(made, '__qualname__', made)} {name}" for made, _, name, _, _ in BOUNDS],
)
def test_a_value_beyond_its_bound_is_refused_and_one_within_is_not(
    made: Callable[..., Any], known: Mapping[str, Any], name: str, refused: Sequence[Any], taken: Sequence[Any]
) -> None:
    for value in refused:
        with pytest.raises(ValueError, match=r"\w{4}"):
            _call(made, known, name, value)
    for value in taken:
        _call(made, known, name, value)
