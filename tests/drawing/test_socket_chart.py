"""Socket charts: every pin and word present, no label over another, hostile text escaped."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from benchleaf.drawing import overlaps
from benchleaf.drawing.socket_chart import PinLabel, socket_chart
from benchleaf.tubes import PIN_COUNT, TOP_CAP
from benchleaf.tubes.sockets import socket

WITHOUT_POSITIONS = {"side-contact (P5)", "European 7-pin"}
"""Bases of which no print was found that says where their pins lie: a set with one shows its pins in a table only."""


def test_every_other_base_can_be_drawn() -> None:
    assert {base for base in PIN_COUNT if socket(base) is None} == WITHOUT_POSITIONS


@pytest.mark.parametrize("base", [base for base in PIN_COUNT if base not in WITHOUT_POSITIONS])
def test_a_full_chart_of_every_base_has_all_its_words_and_none_over_another(base: str) -> None:
    places = socket(base)
    assert places is not None
    labels = [PinLabel(p.pin, "screen grid", ("read 92.4 V", "exp. 90.8 V"), "low") for p in places.pins]
    chart = socket_chart(places, [*labels, PinLabel(TOP_CAP, "grid", ("read 0 V",))], name="s-1", title=f"V1, {base}")
    assert chart.width <= 328
    texts = ["".join(t.itertext()) for t in ET.fromstring(chart.svg).iter("{http://www.w3.org/2000/svg}text")]
    assert texts.count("low") == len(places.pins)
    assert {str(p.pin) for p in places.pins} <= set(texts)
    assert any(text.startswith("cap grid") for text in texts)
    assert "seen from below" in chart.description.lower()
    assert overlaps(chart.svg) == []


def test_what_is_off_is_marked_by_its_shape_too() -> None:
    places = socket("octal")
    assert places is not None
    chart = socket_chart(places, [PinLabel(3, "plate", ("read 20 V",), "low")], name="s-1", title="V1")
    assert chart.svg.count("<rect") == 1
    assert "pin 3 plate read 20 V low" in chart.description


def test_text_of_the_record_is_escaped() -> None:
    places = socket("octal")
    assert places is not None
    bad = '"><img onerror=x>'
    chart = socket_chart(places, [PinLabel(3, bad, ("<script>",))], name="s-1", title=bad)
    assert "<img" not in chart.svg
    assert "<script" not in chart.svg
    ET.fromstring(chart.svg)


def test_a_long_name_takes_two_lines_and_stays_out_of_the_socket() -> None:
    label = PinLabel(3, "not connected", ("read 0 V",))
    assert label.head == ("3 not", "connected")
    assert PinLabel(4, "heater").head == ("4 heater",)
    assert PinLabel(3, "unbreakablelongname").head[0].startswith("3 unbreakable")
