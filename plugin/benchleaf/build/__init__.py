"""What an archive is built of: one set and all sets, from a cache where nothing changed; photos made ready."""
