"""`published_circuits/`: circuits whose values and voltages somebody published, to hold worked-out voltages against.

Records as a restorer writes them, values and voltages under `sheet`. Makers are not named: what counts is the circuit.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import makers
from benchleaf.chapters.bench import Bench
from benchleaf.tubes import find

FILES = sorted((Path(__file__).parent / "published_circuits").glob("*.yml"))
OFF_AS_PRINTED = {
    ("guitar-1955-12ax7-6v6", "V1 triode 1"): 1.1,
    ("guitar-1958-6at6-6v6-pair", "V1"): 1.27,
    ("guitar-1958-6at6-6v6-pair", "V2 triode 1"): 0.779,
    ("guitar-1958-6at6-6v6-pair", "V2 triode 2"): 0.886,
    ("guitar-1961-12ax7-6v6-pair", "V2 triode 1"): 0.893,
}
"""Stages whose printed plate and cathode do not go with their resistors within 10 %: plate current over cathode's.

The charts allow 20 % at each place. Any other is a slip in the transcription.
"""


def record_of(path: Path, *, as_read: bool = False) -> Bench:
    """The circuit; ``as_read`` with its printed voltages as if somebody had read them on one."""
    text = path.read_text(encoding="utf-8")
    if as_read:
        text = text.replace("\n  sheet:\n    to", "\n  today:\n    to").replace("    tolerance: 20 %\n", "")
        assert "\n  today:" in text
    return makers.bench(text)


def test_there_are_eight_at_least_and_one_is_a_radio() -> None:
    assert len(FILES) >= 8
    assert any(path.stem.startswith("console") for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_it_says_where_it_was_published_and_has_voltages_at_places_of_its_circuit(path: Path) -> None:
    bench = record_of(path)
    record = bench.record
    (paper,) = record.papers.values()
    assert len(str(paper)) > 50
    assert all(find(str(tube.type)) for tube in record.tubes.values())
    (run,) = record.readings
    assert str(run) == "sheet"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_printed_plate_and_cathode_go_with_their_resistors(path: Path) -> None:
    """Kirchhoff: what the plate's resistor brings is what the cathode's takes away; of a triode nothing else does."""
    operating = makers.found("readings", record_of(path, as_read=True)).operating
    off = {(path.stem, name): point.sum_over_cathode for name, point in operating.items() if point.disagrees}
    assert off == {key: share for key, share in OFF_AS_PRINTED.items() if key[0] == path.stem}


def test_the_charts_tell_most_stages_currents() -> None:
    """Enough of the values meet a voltage at both ends for a solver to be held against."""
    told = [
        name
        for path in FILES
        for name, point in makers.found("readings", record_of(path, as_read=True)).operating.items()
        if point.plate_amps is not None
    ]
    assert len(told) >= 30


def test_a_bias_line_that_nothing_in_the_record_feeds_holds_its_grids() -> None:
    """-21 V, -32 V, -35 V and -50 V are printed; the grids were worked out at -1.2 V, plates of 430 V at 321 V."""
    for path in FILES:
        text = path.read_text(encoding="utf-8")
        if "bias line:" in text:
            printed = float(text.split("bias line:")[1].split()[0])
            places = {one.place: one for one in makers.found("readings", makers.bench(text)).worked_out}
            grids = [one for one in places.values() if one.place.endswith(" grid") and one.volts < -5]
            assert [one.volts for one in grids] == pytest.approx([printed] * 2)
            without = text.replace(f"    bias line: {printed:g}\n", "")
            assert without != text
            left = {one.place: one for one in makers.found("readings", makers.bench(without)).worked_out}
            assert all(left[one.place].volts > -3 for one in grids if one.place in left)
