"""What is so of one set, worked out once from its record and handed to every chapter."""
