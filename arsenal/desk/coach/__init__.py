"""Lane-side as a coach sees it: one row a bowler."""
