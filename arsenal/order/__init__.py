"""Many balls on one condition: order with doubt, overlaps, gaps, what one pad would do."""
