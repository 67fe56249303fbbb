"""One small module per thing a user does; each returns what it changed. No widgets."""
