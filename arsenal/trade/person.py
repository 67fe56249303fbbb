"""People: bowlers, coaches' pupils, a shop's customers."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from arsenal.trade.release import Line, Style


class Hand(StrEnum):
    """The side a bowler's boards count from."""

    RIGHT = "right"
    LEFT = "left"


@dataclass(frozen=True, slots=True)
class Person:
    """A person who owns balls. `style` is None for a customer whose throw nobody has asked about."""

    id: int
    name: str
    nickname: str = ""
    hand: Hand = Hand.RIGHT
    two_handed: bool = False
    back_up: bool = False
    """Throws a back-up ball: hooks toward the own side, the mirror in sign."""
    style: Style | None = None
    benchmark_ball_id: int | None = None
    usual_lane_id: int | None = None
    games_a_week: float = 6.0
    lines: tuple[tuple[int, Line], ...] = ()
    """The bowler's own line on a condition, by lane id; else the best line of the reference ball is used."""
    note: str = ""
    stance_to_laydown_boards: float | None = None
    """Boards from where the sliding foot stands at the start to where the ball is laid down, drift walked and all,
    positive where the foot stands farther from the own gutter; None where nobody measured it. Moves are then told as
    changes only, from which a constant drift cancels. About 6–7 for a bowler who walks straight (common practice).
    """

    @property
    def hooks_to_left(self) -> bool:
        """True when the ball curves to the left as the bowler sees it."""
        return (self.hand is Hand.RIGHT) != self.back_up
