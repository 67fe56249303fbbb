"""Boards at the pins as one axis: which part of the lane is shown, and where a board stands on it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from arsenal.trade.units import POCKET_BOARD, mirror_board

if TYPE_CHECKING:
    from arsenal.acts.practice_views import ShotKey, ShotRow

LEAST, MOST = 6.5, 13.0
"""Boards to either side of the pocket that are always shown, and that are shown at most."""
STEPS = (2.5, 5.5, 8.5, 11.5)
"""Boards from the pocket that have a number."""
AIR = 0.5


@dataclass(frozen=True, slots=True)
class Scale:
    """The boards shown, so that what hooks more stands farther right. `mirrored` for a back-up ball, whose own boards
    count the other way.
    """

    low: float = POCKET_BOARD - LEAST
    high: float = POCKET_BOARD + LEAST
    pocket: tuple[float, float] = (17.0, 18.0)
    mirrored: bool = False

    @classmethod
    def of(cls, shots: Sequence[ShotRow], keys: Sequence[ShotKey] = (), *, mirrored: bool = False) -> Scale:
        """Wide enough for every whisker, number and band, within what tells something."""
        flush = next((k for k in keys if k.word == "flush"), None)
        pocket = cls().pocket
        if flush is not None and flush.low_board is not None and flush.high_board is not None:
            a, b = sorted(_turned(v, mirrored) for v in (flush.low_board, flush.high_board))
            pocket = (a, b)
        said = [
            _turned(value, mirrored)
            for row in shots
            if not row.kept_out
            for value in (row.expected_low, row.expected_high, row.seen_board, row.seen_low, row.seen_high)
            if value is not None
        ]
        low = min([POCKET_BOARD - LEAST, *(v - AIR for v in said)])
        high = max([POCKET_BOARD + LEAST, *(v + AIR for v in said)])
        return cls(max(low, POCKET_BOARD - MOST), min(high, POCKET_BOARD + MOST), pocket, mirrored)

    def at(self, board: float) -> float:
        """Share of the axis from its left end, 0 to 1; what lies outside stands at the end."""
        share = (_turned(board, self.mirrored) - self.low) / (self.high - self.low)
        return min(1.0, max(0.0, share))

    def pocket_at(self) -> tuple[float, float]:
        """The pocket's edges as shares."""
        a, b = (((v - self.low) / (self.high - self.low)) for v in self.pocket)
        return a, b

    def ticks(self) -> list[tuple[float, str]]:
        """(share, number as the bowler counts it), without the pocket."""
        boards = [POCKET_BOARD + way * step for step in STEPS for way in (-1, 1)]
        shown = sorted(b for b in boards if self.low <= b <= self.high)
        return [((b - self.low) / (self.high - self.low), f"{_turned(b, self.mirrored):.0f}") for b in shown]


def _turned(board: float, mirrored: bool) -> float:
    return mirror_board(board) if mirrored else board
