"""A day in words."""

from __future__ import annotations

import calendar
import datetime


def day_in_words(day: datetime.date) -> str:
    """``28 March 2026``."""
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"
