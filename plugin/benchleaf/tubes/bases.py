"""Names of tube bases: one vocabulary, how many pins each has, and the other names people write."""

from __future__ import annotations

from types import MappingProxyType

PIN_COUNT = MappingProxyType(
    {
        "octal": 8,
        "loctal (B8B)": 8,
        "loctal German key (B8G)": 8,
        "miniature 7-pin (B7G)": 7,
        "noval (B9A)": 9,
        "Rimlock (B8A)": 8,
        "side-contact (P8)": 8,
        "side-contact (P5)": 5,
        "steel-tube 8-pin (Y8A)": 8,
        "European 7-pin": 7,
        "Mazda octal": 8,
        "UX4": 4,
        "UX5": 5,
        "UX6": 6,
        "UX7": 7,
        "B4": 4,
        "B5": 5,
        "B7": 7,
        "B9": 9,
    }
)
"""Base name to number of base pins; a top cap is not counted."""

_OTHER_NAMES = {
    "international octal": "octal",
    "us octal": "octal",
    "loctal": "loctal (B8B)",
    "lock-in": "loctal (B8B)",
    "b8b": "loctal (B8B)",
    "b8g": "loctal German key (B8G)",
    "b7g": "miniature 7-pin (B7G)",
    "miniature": "miniature 7-pin (B7G)",
    "7-pin miniature": "miniature 7-pin (B7G)",
    "miniature 7-pin": "miniature 7-pin (B7G)",
    "b9a": "noval (B9A)",
    "noval": "noval (B9A)",
    "9-pin miniature": "noval (B9A)",
    "b8a": "Rimlock (B8A)",
    "rimlock": "Rimlock (B8A)",
    "p8": "side-contact (P8)",
    "ct8": "side-contact (P8)",
    "p5": "side-contact (P5)",
    "ct5": "side-contact (P5)",
    "side contact": "side-contact (P8)",
    "side-contact": "side-contact (P8)",
    "y8a": "steel-tube 8-pin (Y8A)",
    "us 4-pin": "UX4",
    "us 5-pin": "UX5",
    "us 6-pin": "UX6",
    "us 7-pin": "UX7",
    "british 4-pin": "B4",
    "british 5-pin": "B5",
    "british 7-pin": "B7",
    "british 9-pin": "B9",
}
_NAMES = {name.lower(): name for name in PIN_COUNT} | _OTHER_NAMES


def base_name(written: str) -> str | None:
    """The vocabulary's name for a base as written (`B9A`, `noval`), or None if it has none."""
    return _NAMES.get(" ".join(written.lower().split()))
