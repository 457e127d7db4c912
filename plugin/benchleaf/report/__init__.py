"""What a chapter says, as data: statements that pages, sheets, the archive and record.json read."""
