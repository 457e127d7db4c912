"""A line typed at the bench put where it belongs in a record's file, every other byte of which stays as it is."""
