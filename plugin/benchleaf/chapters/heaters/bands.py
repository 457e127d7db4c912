"""How far a heater may be from its rating."""

from __future__ import annotations

from ...report.source import Source, Standing

BAND = (0.90, 1.10)
"""Share of rated volts. M. J. Darby, Valve Heater Voltages, The Radio Constructor, April 1962 (r-type.org): up to 10 %
either way should not seriously affect life and performance; British practice recommends 7 %.
By the law of the heater (current as volts to the power 0.6) it is 6 % of rated current."""

BAND_SOURCE = Source(Standing.READ, "M. J. Darby, Valve Heater Voltages, The Radio Constructor, April 1962")

RISEN_LINE = 125 / 110
"""How far a line may have risen since a set was built: from one end of the working band of 1927 to the other, 117.5 ±
7.5 V (AIEE Transactions 1927, pp. 161 to 215, as quoted by A. Douglas in the Mechanical Music Digest)."""

FILAMENT_BAND = (0.80, 1.14)
"""For directly heated battery filaments: a 1.4 V filament from 1.1 to 1.6 V. From memory."""

FILAMENT_SOURCE = Source(Standing.MEMORY, of="The band of battery filaments, a 1.4 V one from 1.1 V to 1.6 V")
