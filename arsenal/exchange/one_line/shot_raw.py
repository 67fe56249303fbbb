"""A practice shot as it was typed, before anybody knows whose boards they are."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from arsenal.trade.entries import Shot
from arsenal.trade.errors import NotUnderstood
from arsenal.trade.own_boards import lateral_of
from arsenal.trade.person import Person
from arsenal.trade.release import Line, Measured
from arsenal.trade.trial import POCKET_M, Sighting, Word
from arsenal.trade.units import BOARD_M


class Place(NamedTuple):
    """A place across the lane: a board from the own gutter, boards high of the pocket, or motion's own metres."""

    value: float
    of: str = "board"

    def lateral_m(self, back_up: bool) -> float:
        """Where motion counts it."""
        if self.of == "high":
            return POCKET_M + self.value * BOARD_M
        return self.value if self.of == "m" else lateral_of(self.value, back_up=back_up)


def whose_board(feet: float, board: float) -> NotUnderstood:
    """“bp 43 9” may mean the board where it turned, or the one where it ended."""
    choices = (f"bp {feet:g}@{board:g}", f"bp {feet:g} board {board:g}")
    said = f"Write {choices[0]} for where it turned, or {choices[1]} for where it ended."
    return NotUnderstood(f"{board:g}", said, choices=choices)


@dataclass
class RawShot:
    """What has been read so far of one shot."""

    words: list[Word] = field(default_factory=list)
    landing: Place | None = None
    arrows: Place | None = None
    breakpoint_board: Place | None = None
    first_read_m: float | None = None
    breakpoint_m: float | None = None
    missed_right_m: float | None = None
    pins_left: list[int] = field(default_factory=list)
    by_sensor: bool = False
    measured: dict[str, float] = field(default_factory=dict)
    line: tuple[Place, float] | None = None
    minute: int | None = None
    outing: str = ""
    bowler_id: int | None = None
    wiped: bool | None = None

    def shot(self, bowler: Person | None, lane_id: int | None, wiped: bool | None) -> Shot:
        """The shot as `bowler` counts boards and sides; a bowler nobody knows is a right-hander."""
        back_up, to_left = (bowler.back_up, bowler.hooks_to_left) if bowler else (False, True)

        def lateral_m(place: Place | None) -> float | None:
            return None if place is None else place.lateral_m(back_up)

        toward_hook = -1.0 if to_left else 1.0
        off = None if self.missed_right_m is None else toward_hook * self.missed_right_m + 0.0
        seen = Sighting(
            lateral_m(self.landing), self.first_read_m, self.breakpoint_m, lateral_m(self.breakpoint_board),
            lateral_m(self.arrows), off, tuple(self.words), tuple(self.pins_left), self.by_sensor,
        )  # fmt: skip
        line = None if self.line is None else Line(self.line[0].lateral_m(back_up), self.line[1])
        return Shot(
            seen, self.bowler_id, lane_id, line, Measured(**self.measured) if self.measured else None,
            self.wiped if self.wiped is not None else wiped, self.minute, self.outing,
        )  # fmt: skip
