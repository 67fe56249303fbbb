"""The Practice room: shots logged by one key, what they taught, and the next one worth throwing."""
