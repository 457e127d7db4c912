"""How far a heater may be from its rating."""

from __future__ import annotations

BAND = (0.90, 1.10)
"""Share of rated volts. M. J. Darby, Valve Heater Voltages, The Radio Constructor, April 1962 (r-type.org): up to 10 %
either way should not seriously affect life and performance; British practice recommends 7 %."""

CURRENT_BAND = (0.90**0.6, 1.10**0.6)
"""The same band as a share of rated current: 6 %, by the law of the heater's current (exponent 0.6)."""

FILAMENT_BAND = (0.80, 1.14)
"""For directly heated battery filaments: a 1.4 V filament from 1.1 to 1.6 V. From memory."""
