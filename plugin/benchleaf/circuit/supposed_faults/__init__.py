"""Everything that may be wrong with a set by itself: one fault at a time, with how often the trade meets it."""
