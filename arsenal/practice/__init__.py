"""What was seen on the lane against what was expected."""

from arsenal.practice.compared import ExpectedSeen, agreement, expected_against_seen

__all__ = ["ExpectedSeen", "agreement", "expected_against_seen"]
