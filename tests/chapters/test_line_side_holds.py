"""What must hold of any line side."""

from __future__ import annotations

import cmath
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import makers
from benchleaf.chapters.line_side.findings import LineSideFindings
from benchleaf.electrics.limits import LIMITS
from benchleaf.report.findings import as_json
from benchleaf.words import BRITISH
from line_sides import FIVE_TUBE, at, body_ohms, found, one_state

SWITCHES = {"hot lead": "B- lead", "B- lead": "hot lead", "double-pole": "double-pole"}


CAPACITORS = st.floats(0.1, 100).map(lambda nano: f"{nano:.3f} nF")


@settings(max_examples=25)
@given(st.sampled_from(sorted(SWITCHES)), CAPACITORS, CAPACITORS, st.sampled_from(["120 V 60 Hz", "230 V 50 Hz"]))
def test_turning_the_plug_is_exchanging_the_leads(switch: str, one: str, other: str, line: str) -> None:
    """A transformer set turned in its outlet is the set with everything moved to the other lead."""

    def of(switch: str, hot: str, back: str) -> LineSideFindings:
        written = f"switch: {switch}\nline to chassis: {hot} hot lead, {back} return lead\ntouchable: chassis"
        return one_state(written, line=line, power="transformer", chassis="isolated")

    turned, exchanged = of(switch, one, other), of(SWITCHES[switch], other, one)
    for position in ("on", "off"):
        a, b = at(turned.after, "reversed", position), at(exchanged.after, "right", position)
        assert a.touch_amps_rms == pytest.approx(b.touch_amps_rms, rel=1e-9)
        assert a.no_load_volts == pytest.approx(b.no_load_volts, rel=1e-9)


@settings(max_examples=25)
@given(
    st.sampled_from([*SWITCHES, "none"]),
    st.sampled_from(["", "1 meg", "220 kohm, 0.1 uF", "10 nF", "wire"]),
    st.sampled_from(["line-connected", "through R and C", "isolated"]),
    st.sampled_from(["series string", "transformer", "autotransformer", "three-way"]),
    st.sampled_from(["110 V DC", "117 V 60 Hz", "240 V 50 Hz"]),
)
def test_no_path_no_current_and_never_more_than_a_hand_straight_on_the_line(
    switch: str, barrier: str, chassis: str, power: str, line: str
) -> None:
    between = f"B- to chassis: {barrier}\n" if barrier else ""
    findings = one_state(
        f"switch: {switch}\n{between}touchable: chassis, aerial socket through 470 pF", line, power, chassis
    )
    assert findings.after is not None
    volts, hertz = findings.line_volts, findings.line_hertz
    assert volts is not None
    assert hertz is not None
    straight = volts / (abs(body_ohms(hertz)[0]) if hertz else 2000)
    for state in findings.after.states:
        if state.no_load_volts is None and not state.short_circuit:
            assert (state.touch_amps_rms, state.over_limit) == (0, False)
        if not state.short_circuit:
            assert (state.body_amps or 0) <= straight * (1 + 1e-9)
            assert (state.no_load_volts or 0) <= volts * (1 + 1e-9)


def test_findings_are_plain_json_with_the_keys_of_the_contract() -> None:
    data = json.loads(json.dumps(as_json(found(FIVE_TUBE)), allow_nan=False))
    assert {"limit_amps", "limit_kind", "limit_source", "before", "after"} <= set(data)
    state = data["after"]["states"][0]
    assert list(state)[:8] == [
        "plug",
        "switch",
        "fault",
        "part",
        "no_load_volts",
        "touch_amps_rms",
        "touch_amps_peak",
        "over_limit",
    ]
    assert {s["plug"] for s in data["after"]["states"]} == {"right", "reversed"}
    assert {s["switch"] for s in data["after"]["states"]} == {"on", "off"}


def test_findings_come_out_the_same_twice() -> None:
    assert repr(found(FIVE_TUBE)) == repr(found(FIVE_TUBE))


@pytest.mark.parametrize(
    ("name", "word"),
    [("IEC 60065", "danger"), ("UL 1711", "danger"), ("UL 1492", "watch"), ("IEC 62368-1 ES1", "watch")],
)
def test_current_over_a_limit_from_memory_is_to_be_watched(name: str, word: str) -> None:
    side = FIVE_TUBE[: FIVE_TUBE.index("  after:")]
    bench = makers.bench(side, limit=LIMITS[name])
    (told,) = [s for s in makers.standouts("line_side", bench) if "over the limit" in s.text]
    assert told.verdict.word == word


def test_limit_the_site_has_chosen_is_the_one_that_counts() -> None:
    strict = found(FIVE_TUBE, limit=LIMITS["IEC 60335-1 class II"], words=BRITISH)
    assert (strict.limit_amps, strict.limit_kind) == (0.25e-3, "rms")
    assert at(strict.after, "reversed", "on").over_limit is False
    assert at(found(FIVE_TUBE).before, "reversed", "on", part="aerial socket").over_limit is False


WRITTEN = {
    "plug": ["two-pin", "three-pin with earth", "none"],
    "cord": ["two-core rubber", "three-core"],
    "switch": ["hot lead", "B- lead", "double-pole", "none"],
    "fuse": ["0.5 A", "1 A slow in both leads", "none", "fusible resistor in return lead"],
    "B- to chassis": ["wire", "1 meg, 3.3 nF Y1", "0 ohm", "0.1 uF shorted", "open", "paper", "10 uH", "none"],
    "across the line": ["10 nF", "10 nF X2", "0.1 uF shorted", "paper"],
    "line to chassis": ["10 nF", "10 nF, 10 nF, 10 nF in series", "1 nF both leads", "0 ohm", "shorted"],
    "earth lead": ["to the chassis", "none", "cut off"],
    "touchable": [
        "nothing",
        "chassis",
        "shafts, chassis, aerial socket through 500 pF",
        "aerial through the coil",
        "earth socket through 1 meg, speaker socket through 0 ohm",
        ", ".join(f"speaker socket through {n} nF" for n in range(1, 30)),
    ],
}


@settings(max_examples=60)
@given(
    st.fixed_dictionaries({}, optional={key: st.sampled_from(texts) for key, texts in WRITTEN.items()}),
    st.sampled_from(["", "120 V 60 Hz", "240 V", "220 V DC", "0.001 V 1 Hz"]),
    st.sampled_from(["", "transformer", "series string", "autotransformer", "battery"]),
    st.sampled_from(["", "earthed", "isolated", "line-connected", "through R and C"]),
)
def test_whatever_can_be_written_is_examined_without_raising(
    state: dict[str, str], line: str, power: str, chassis: str
) -> None:
    heads = {"line": line, "power": power, "chassis": chassis}
    text = "maker: A\nmodel: B\n" + "".join(f"{k}: {v}\n" for k, v in heads.items() if v)
    body = "".join(f"    {k}: {v}\n" for k, v in state.items()) or "    note: nothing\n"
    record = makers.record(f"{text}line side:\n  before:\n{body}  after:\n{body}")
    findings = makers.found("line_side", record)
    json.dumps(as_json(findings), allow_nan=False)
    makers.standouts("line_side", "", findings)
    for side in (findings.before, findings.after):
        for s in side.states if side else ():
            assert s.touch_amps_rms is None or cmath.isfinite(s.touch_amps_rms)
