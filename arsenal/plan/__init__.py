"""What is due on which ball, why, and by when."""

from arsenal.plan.intervals import DEFAULT_INTERVALS, DEFAULT_ROWS, Interval, Intervals, intervals_of
from arsenal.plan.records import Due, Job, Work
from arsenal.plan.upkeep import upkeep

__all__ = [
    "DEFAULT_INTERVALS", "DEFAULT_ROWS", "Due", "Interval", "Intervals", "Job", "Work", "intervals_of", "upkeep",
]  # fmt: skip
