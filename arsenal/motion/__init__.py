"""One ball, one release, one lane: path, phases, skid left, best line."""
