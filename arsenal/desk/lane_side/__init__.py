"""The Lane-side room: a bowler's set in order on one condition, its paths, and what one pad would do."""
