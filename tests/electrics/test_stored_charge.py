"""What a capacitor across the line holds after the plug is pulled, beside published worked values."""

from __future__ import annotations

import pytest

from benchleaf.electrics.stored_charge import most_ohms, seconds_to, volts_left


def test_a_time_constant_leaves_37_per_cent() -> None:
    """Handbook: a compliance forum (bbs.angui.org, thread 92324) works IEC 60950-1, 2.1.1.7: 240 V RMS, 340 V at the
    crest, are 125.8 V after one second; another (mzph.cn, 30104) takes 200 nF to 37 % in 1 s with 5 megohm."""
    assert volts_left(340, 1e6, 1e-6, 1.0) == pytest.approx(125.8, rel=0.01)
    assert most_ohms(200e-9) == pytest.approx(5e6)
    assert volts_left(1.0, most_ohms(200e-9), 200e-9, 1.0) == pytest.approx(0.37, rel=0.01)


def test_the_time_to_a_limit_leaves_the_limit() -> None:
    for ohms, farads in ((470e3, 0.1e-6), (1e6, 0.47e-6), (10e6, 47e-9)):
        until = seconds_to(60, 374, ohms, farads)
        assert volts_left(374, ohms, farads, until) == pytest.approx(60)
    assert seconds_to(60, 60, 1e6, 1e-6) == 0.0
    assert seconds_to(60, 12, 1e6, 1e-6) == 0.0
