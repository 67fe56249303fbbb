"""The Upkeep room: what is due on which ball, why, by when, and how it falls into the week."""
