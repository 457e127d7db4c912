"""Any text as a quantity: none gives a traceback or a wrong size, and none takes long."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.record.kinds import BY_NAME
from benchleaf.record.quantities import (
    KINDS,
    AmbiguousQuantity,
    Quantity,
    UnreadableQuantity,
    read_any,
    read_quantity,
)
from written_quantities import outcome, si


# Whatever is typed
@given(st.text(max_size=80), st.sampled_from(KINDS))
def test_any_text_gives_a_quantity_or_a_quantity_error(text: str, kind: str) -> None:
    outcome(text, kind)


@given(st.text(alphabet="0123456789.,/ -+±eEkKmMuµpnRΩVAFHzcs%°½~<>=?x", max_size=24), st.sampled_from(KINDS))
def test_any_heap_of_signs_gives_a_finite_value_or_none(text: str, kind: str) -> None:
    verdict, result = outcome(text, kind)
    if isinstance(result, Quantity):
        assert result.written == text
        assert result.unit == BY_NAME[kind].unit
        assert all(abs(v) <= 1e19 for v in (result.si, result.low, result.high) if v is not None)
        if result.qualifier == "range":
            assert result.low is not None
            assert result.high is not None
            assert result.low < result.high
    else:
        assert verdict in ("ask", "refuse")
    read = read_any_or_question(text)
    assert read is None or read.written == text


PIECES = [
    "1",
    "0",
    "47",
    "7",
    "000",
    ".",
    ",",
    "/",
    "-",
    "+",
    "±",
    "+/-",
    "<",
    ">",
    "~",
    "=",
    "?",
    "½",
    "1/2",
    "x",
    "to",
    "and",
    "e",
    "E",
    "k",
    "K",
    "M",
    "m",
    "u",
    "µ",
    "p",
    "n",
    "R",
    "F",
    "mfd",
    "V",
    "v",
    "A",
    "a",
    "W",
    "Hz",
    "mc",
    "ohm",
    "Ω",
    "meg",
    "%",
    "°",
    "C",
    "H",
    "h",
    "s",
    "min",
    "in",
    "ft",
    '"',
    "'",
    "AC",
    "dc",
    "pp",
    "rms",
    "O.L",
    "J",
    "mho",
]


@given(st.lists(st.sampled_from([*PIECES, " "]), max_size=7).map("".join), st.sampled_from(KINDS))
def test_any_heap_of_trade_signs(text: str, kind: str) -> None:
    verdict, result = outcome(text, kind)
    assert verdict != "accept" or isinstance(result, Quantity)
    read_any_or_question(text)


def read_any_or_question(text: str) -> Quantity | None:
    try:
        return read_any(text, KINDS)
    except AmbiguousQuantity:
        return None


@given(
    st.decimals(min_value="0.001", max_value="9999", places=4, allow_nan=False),
    st.sampled_from([("uF", "capacitance", 1e-6), ("kohm", "resistance", 1e3), ("mA", "current", 1e-3)]),
)
def test_every_decimal_comes_out_as_written(number: object, unit: tuple[str, str, float]) -> None:
    symbol, kind, factor = unit
    assert si(f"{number} {symbol}", kind) == pytest.approx(float(str(number)) * factor, rel=1e-12)
    assert si(f"{number}{symbol}".replace(".", ","), kind) == pytest.approx(float(str(number)) * factor, rel=1e-12)


LONG = [
    "1" + " 000" * 15,
    "1 " * 32,
    "1," * 31 + "1",
    ".1" * 32,
    "9" * 64,
    "-" * 64,
    "1V" + "." * 61,
    "1 " + "V." * 31,
    "1 V" + " p-p" * 15,
    "½" * 64,
    "1/" * 32,
    "1 V" + "~" * 60,
    " " * 63 + "1",
    "<" * 64,
    "1e" * 32,
]


@pytest.mark.parametrize("text", LONG)
def test_longest_text_takes_no_longer_than_its_length(text: str) -> None:
    assert len(text) <= 64
    for kind in ("voltage", "resistance", "duration"):
        assert cost(text, kind) < 0.002


def test_text_beyond_the_limit_is_not_looked_at() -> None:
    assert cost("1 " * 5_000_000, "voltage") < 0.001


def test_common_values_are_read_in_a_moment() -> None:
    values = [("0.01 mfd", "capacitance"), ("470 kohm", "resistance"), ("250 V AC", "voltage"), ("4k7", "resistance")]
    assert sum(cost(text, kind) for text, kind in values) / len(values) < 100e-6


def cost(text: str, kind: str) -> float:
    """CPU seconds of one reading: the best of five lots, so that other work on the machine counts little."""
    best = float("inf")
    for _ in range(5):
        start = time.process_time()
        for _ in range(20):
            outcome(text, kind)
        best = min(best, (time.process_time() - start) / 20)
    return best


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("5.6-", ("-5.6", "5.6")),
        ("5.6 -", ("-5.6", "5.6")),
        ("5.6−", ("-5.6", "5.6")),
        ("110 V-", ("-110 V", "110 V")),
        ("110 V -", ("-110 V", "110 V")),
        ("-5.6-", ("-5.6",)),
        ("5.6 V+", ("5.6 V",)),
        ("12- V", ("-12 V", "12 V")),
        ("1.5 − mV", ("-1.5 mV", "1.5 mV")),
    ],
)
def test_a_sign_behind_a_number_is_asked_about(text: str, readings: tuple[str, ...]) -> None:
    with pytest.raises(AmbiguousQuantity, match="its sign stands behind it") as asked:
        read_quantity(text, "voltage", bare="V")
    assert asked.value.readings == readings
    if "V" in text:
        with pytest.raises(AmbiguousQuantity, match="its sign stands behind it"):
            read_any(text, KINDS)
    else:
        assert read_any(text, KINDS) is None


def test_a_sign_behind_what_is_no_value_is_no_question() -> None:
    assert read_any("2 turns -", KINDS) is None
    with pytest.raises(UnreadableQuantity, match="is a unit of a current"):
        read_quantity("5 mA-", "voltage")
