"""What the tubes of a set are there for, read from the words that the trade has for it."""
