"""What readings at a bench may be off by, and what a meter and a joint have, where nothing is written of them."""

from __future__ import annotations

READING_LIMIT = 0.02
"""What a reading may be off by, and two of one point by one meter from each other. Common practice, no source."""

ONE_POINT = 0.01
"""So near a rail's a reading is of that rail, beside others of the same list. Common practice, no source."""

THROUGH_A_WINDING = 0.15
"""An output transformer drops no more of the rail than this. Common practice, no source."""

NEAR_LINE = 0.15
"""How far, as a share of a line, another is that what was read there is still of it. Common practice, no source."""

METER_OHMS = 10e6
"""What a digital meter loads a place with. Common practice, no source."""

JOINED_OHMS = 1.0
"""Leads, joints and an ohmmeter's zero make less. Common practice, no source."""
