"""The resistance of copper at another temperature."""

from __future__ import annotations

__all__ = ["COPPER_PER_KELVIN", "TWENTY_CELSIUS", "ZERO_CELSIUS", "copper_at"]

COPPER_PER_KELVIN = 0.00393
"""What annealed copper gains a kelvin, as a share of its resistance at 20 °C (IEC 60028)."""

ZERO_CELSIUS = 273.15
"""In kelvins."""
TWENTY_CELSIUS = ZERO_CELSIUS + 20


def copper_at(ohms: float, from_kelvins: float, to_kelvins: float) -> float:
    """What a winding of ``ohms`` at one temperature has at another, R = R20 (1 + 0.00393 (t - 20 °C)) (IEC 60028).

    Temperatures are absolute. Raises ValueError below 100 K or above 500 K, where the straight line does not hold.
    """
    if not all(100.0 <= kelvins <= 500.0 for kelvins in (from_kelvins, to_kelvins)):
        raise ValueError(f"no winding is so cold or so hot: {from_kelvins} K, {to_kelvins} K")
    first, then = (1.0 + COPPER_PER_KELVIN * (kelvins - TWENTY_CELSIUS) for kelvins in (from_kelvins, to_kelvins))
    return ohms * then / first
