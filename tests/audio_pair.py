"""A set of two audio tubes and a rectifier, whose coupling capacitor each test writes itself."""

HEAD = """line: 120 V 60 Hz
power: series string
tubes:
  V3: 12AV6
  V4: 50C5
  V5: 35W4
parts:
"""
BELOW_C7 = """  R5: keep, 470 k, between V3 plate and B+2
  R6: keep, 470 k, between V4 grid and B-
  R8: keep, 150 ohm, between V4 cathode and B-
  R9: keep, 1 k, between B+1 and B+2
  T3: keep, output transformer 200 ohm, between V4 plate and B+1
wires:
  - V5 cathode, B+1
  - V4 screen, B+2
"""
