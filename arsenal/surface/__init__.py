"""From a ball's log to what is on it now."""
