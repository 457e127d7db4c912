"""Benchleaf: the record of a valve-radio restoration, computed, drawn and published.

What other programs may rely on is listed in ``PUBLIC``; all else may change with any release.
"""

__version__ = "0.1.0"

PUBLIC = {
    "benchleaf.record": ("read_record",),
    "benchleaf.record.problems": ("Problem",),
    "benchleaf.record.quantities": (
        "KINDS",
        "AmbiguousQuantity",
        "Quantity",
        "QuantityError",
        "UnreadableQuantity",
        "read_any",
        "read_quantity",
    ),
    "benchleaf.record.schema": ("record_schema",),
}
"""The names that stay, by the module they are imported from. A change of one raises the version."""
