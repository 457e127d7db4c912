"""Pages made of findings: a set's page, its sheets and cards, its story; templates and assets."""
