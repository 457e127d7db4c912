"""The B+ supply has no section of its own: it is read from the parts, the readings and the tubes."""
