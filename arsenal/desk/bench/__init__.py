"""The Bench room: one ball's log, its finish over time, the pads in stock, and every kind of entry."""
