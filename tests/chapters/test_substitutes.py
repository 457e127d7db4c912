"""What is made today in place of an old value."""

from __future__ import annotations

import pytest

from lists_of_parts import part

_UF, _K, _PF = 1e-6, 1e3, 1e-12


@pytest.mark.parametrize(
    ("written", "one", "others", "pair"),
    [
        ("C1: to do, 25 uF 25 V electrolytic", 22 * _UF, (33 * _UF,), (10 * _UF, 15 * _UF)),
        ("C1: to do, 2 uF 400 V paper", 2.2 * _UF, (), ()),
        ("C1: to do, 0.05 uF 400 V paper", 0.047 * _UF, (), ()),
        ("C1: to do, 0.25 uF 400 V paper", 0.22 * _UF, (), (0.1 * _UF, 0.15 * _UF)),
        ("C1: to do, filter, 8 uF 450 V electrolytic", 10 * _UF, (6.8 * _UF,), (3.3 * _UF, 4.7 * _UF)),
        ("C1: to do, filter, 40 uF 150 V electrolytic", 47 * _UF, (33 * _UF,), (6.8 * _UF, 33 * _UF)),
        ("C1: to do, 25 uF 5 % electrolytic", None, (), (10 * _UF, 15 * _UF)),
        ("C1: to do, 39 pF 5 % mica", 39 * _PF, (), ()),
        ("C1: to do, 370 pF 3 % mica", 360 * _PF, (), ()),
        ("R1: to do, 500 kohm", 470 * _K, (), ()),
        ("R1: to do, 500 kohm 5 %", 510 * _K, (), ()),
        ("R1: to do, 250 kohm 10 %", 270 * _K, (), ()),
        ("R1: to do, 49.9 kohm 1 %", 49.9 * _K, (), ()),
    ],
)  # fmt: skip
def test_one_part_inside_the_old_tolerance_stands_for_an_odd_value(
    written: str, one: float | None, others: tuple[float, ...], pair: tuple[float, ...]
) -> None:
    """By hand from the members of E6, E12 and E24 as IEC 60063 prints them.

    Old bands as the page assumes them, ±20 % or of electrolytics -20 % to +50 %: 25 µF takes 20 to 37.5, so 22 or 33;
    2 µF of paper 1.6 to 2.4, so 2.2; 8 µF 6.4 to 12, and a filter rather more. 370 pF ±3 % takes 359 to 381: 360 of
    E24. No member of E6 lies from 23.75 to 26.25. 500 kΩ takes 400 to 600: 470 of E12, which is sold more widely
    than 510 of E24 (common practice, no source); with ±5 % 475 to 525, where E12 has none. 250 kΩ ±10 %: 225 to 275.
    """
    made = part(written).substitute
    assert made is not None
    assert (made.one.total if made.one else None) == (None if one is None else pytest.approx(one))
    assert made.others == pytest.approx(others)
    assert (made.pair.values if made.pair else ()) == pytest.approx(pair)


def test_what_stays_or_is_turned_by_hand_has_no_other_value() -> None:
    assert part("R1: to do, 500 kohm potentiometer").substitute is None
    assert part("C1: keep, 25 uF 25 V electrolytic").substitute is None
