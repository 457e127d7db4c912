"""Other archives' ``sets.json`` brought from the web: before a build and never during one."""
