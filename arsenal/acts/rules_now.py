"""What may be done to a ball now: the rules in force and when this bowler's competition starts and ends."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, RuleState


@dataclass(frozen=True, slots=True)
class Competition:
    """When the first scored ball falls and when it is over (None: not said)."""

    starts_at: datetime
    ends_at: datetime | None = None


def rule_state(shop: Shop, bowler_id: int, now: datetime | None = None) -> RuleState:
    """“pads allowed until the first scored ball, 19:00” or “dry towel only”; `hover` has the rule and its date."""
    raise NotImplementedError


def competition(shop: Shop, bowler_id: int) -> Competition | None:
    """The bowler's competition, where one is set."""
    raise NotImplementedError


def set_competition(shop: Shop, bowler_id: int, when: Competition | None, initiator: str = "desk") -> Changes:
    """When the bowler's competition starts and ends; None takes it away. Raises OutOfRange where it ends first."""
    raise NotImplementedError
