"""People: bowlers, coaches' pupils, a shop's customers."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from arsenal.trade.release import Line, Style
from arsenal.trade.units import MPH_MPS

CONTACT = re.compile(r"\S+@\S+|\+?\d[\d ()/.-]{3,}")
"""A phone number or an address inside a line."""


def apart(guardian: str) -> tuple[str, str]:
    """(name, how to reach) out of one line, “Ama Halloran, 555 0100”; nothing to reach by where it holds neither
    a number nor an address.
    """
    said = " ".join(guardian.split())
    found = CONTACT.search(said)
    if found is None:
        return said, ""
    return said[: found.start()].rstrip(" ,;:"), found[0].strip(" ,;:")


class Hand(StrEnum):
    """The side a bowler's boards count from."""

    RIGHT = "right"
    LEFT = "left"


class ReadAt(StrEnum):
    """Where a speed was read."""

    HAND = "hand"
    DISPLAY = "display"
    AVERAGE = "average"
    PINS = "pins"


BELOW_HAND_MPS = {
    ReadAt.HAND: 0.0,
    ReadAt.DISPLAY: 1.0 * MPH_MPS,
    ReadAt.AVERAGE: 1.0 * MPH_MPS,
    ReadAt.PINS: 2.5 * MPH_MPS,
}
"""How much less is read there than at the hand where nobody measured it: 2–2.5 or 2.5–3 mph at the pins (coaching
press); display and average are common practice, no source."""


@dataclass(frozen=True, slots=True)
class SpeedReading:
    """A speed as it was read, and where; `house` for a display, which has an offset of its own."""

    at: ReadAt
    speed_mps: float
    house: str = ""

    def at_hand_mps(self, below_hand_mps: float | None = None) -> float:
        """Speed at the hand. `below_hand_mps` is what this house's display reads less, where it was measured."""
        usual = BELOW_HAND_MPS[self.at]
        measured = self.at is ReadAt.DISPLAY and below_hand_mps is not None
        return self.speed_mps + (below_hand_mps if measured and below_hand_mps is not None else usual)


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
    speed_reading: SpeedReading | None = None
    """The speed as it was read, where that was not at the hand; `style` holds it at the hand."""

    phone: str = ""
    email: str = ""
    reminders_consented_on: date | None = None
    """The day reminders were agreed to; None where nobody has."""
    minor: bool = False
    guardian: str = ""
    """Whom to speak to for a minor, with name and phone."""

    @property
    def hooks_to_left(self) -> bool:
        """True when the ball curves to the left as the bowler sees it."""
        return (self.hand is Hand.RIGHT) != self.back_up
