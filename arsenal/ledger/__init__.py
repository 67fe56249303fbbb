"""The file: an append-only log in SQLite, its records, search, backup and verify."""
