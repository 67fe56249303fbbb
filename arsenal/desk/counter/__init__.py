"""The Counter room: find it, write its ticket, work on it, hand it over."""
