"""The same without a site: commands for a terminal."""

from .main import main

__all__ = ["main"]
