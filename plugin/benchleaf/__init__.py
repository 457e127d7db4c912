"""Benchleaf: the record of a valve-radio restoration, computed, drawn and published."""

__version__ = "0.1.0"
