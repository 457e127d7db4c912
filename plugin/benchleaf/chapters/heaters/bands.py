"""How far a heater may be from its rating."""

from __future__ import annotations

BAND = (0.90, 1.10)
"""Share of rated volts. M. J. Darby, Valve Heater Voltages, The Radio Constructor, April 1962 (r-type.org): up to 10 %
either way should not seriously affect life and performance; British practice recommends 7 %.
By the law of the heater (current as volts to the power 0.6) it is 6 % of rated current."""

FILAMENT_BAND = (0.80, 1.14)
"""For directly heated battery filaments: a 1.4 V filament from 1.1 to 1.6 V. From memory."""
