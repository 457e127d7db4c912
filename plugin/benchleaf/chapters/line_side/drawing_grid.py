"""Places in the drawings of the line side, in units of the drawing, the same in each whatever it holds."""

from __future__ import annotations

RETURN_X, HOT_X = 1.6, 4.6
FUSE_Y, SWITCH_Y = (-2.0, -3.2), (-3.35, -4.55)
ACROSS_Y, LOAD_Y, BUS_Y, CHASSIS_Y, REACH_Y = -5.0, -6.9, -8.2, -10.9, -13.4
FIRST_CHAIN_X, SLOT = 0.5, 2.5
FIRST_PART_X = 1.7
EARTH_X, CHASSIS_X = -1.6, -0.5
PLUG_X, BLADE_Y = 0.9, 0.7
LINE_STEP = 0.36
"""From one line of words to the next."""
