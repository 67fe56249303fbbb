"""An open shop: its ledger, priors, clock and settings, and every ball's state folded once for each change of its log.

Not thread-safe: one worker owns it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from arsenal.acts.settings import Settings
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Entry
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors

Clock = Callable[[], datetime]


def system() -> datetime:
    """Now, with this machine's offset."""
    return datetime.now().astimezone()


def default_file() -> Path:
    """Where the shop lives when nobody says otherwise."""
    raise NotImplementedError


class Shop:
    """An open file. Reading acts ask it for records and states; writing acts go through `ledger`."""

    ledger: Any
    priors: Priors
    settings: Settings
    path: Path
    clock: Clock

    @classmethod
    def open(
        cls, path: Path | None = None, *, clock: Clock = system, create: bool = True, read_only: bool = False,
        priors: Priors | None = None, settings: Settings | None = None,
    ) -> Shop:  # fmt: skip
        """Open `path` (the default file when None). Raises KnownError for a foreign, damaged or missing file."""
        raise NotImplementedError

    def close(self) -> None:
        """Keep the cache of states and close the file."""
        raise NotImplementedError

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    @property
    def revision(self) -> int:
        """Changes with each act."""
        raise NotImplementedError

    def now(self) -> datetime:
        """The clock, with its offset."""
        return self.clock()

    def today(self) -> date:
        """The local day."""
        return self.clock().date()

    def ball(self, ball_id: int) -> Ball:
        """Raises NotFound."""
        raise NotImplementedError

    def person(self, person_id: int) -> Person:
        """Raises NotFound."""
        raise NotImplementedError

    def lane(self, lane_id: int) -> Lane:
        """Raises NotFound."""
        raise NotImplementedError

    def lanes(self) -> dict[int, Lane]:
        """Every condition by id."""
        raise NotImplementedError

    def pads(self, bowler_id: int | None = None) -> tuple[Pad, ...]:
        """Pads in stock: the bowler's own and the shop's; with None, all."""
        raise NotImplementedError

    def entries(self, ball_id: int) -> tuple[Entry, ...]:
        """A ball's log in the order it was written, undone entries included."""
        raise NotImplementedError

    def state(self, ball_id: int, *, until: date | None = None) -> SurfaceState:
        """What is on the ball, today or at the end of a past day."""
        raise NotImplementedError

    def held(self, bowler_id: int, *, until: date | None = None) -> tuple[tuple[Ball, SurfaceState], ...]:
        """The bowler's balls in the bag, with their states: not sold, retired or lent out."""
        raise NotImplementedError

    def states(self, balls: Iterable[Ball]) -> dict[int, SurfaceState]:
        """States by ball id."""
        return {ball.id: self.state(ball.id) for ball in balls}
