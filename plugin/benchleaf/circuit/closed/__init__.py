"""A set's network closed for direct current: what is written, and what is taken for granted where nothing is."""
