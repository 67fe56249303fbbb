"""What the window asks the file for its own use: who is in it, and the right end of the last-act line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from arsenal.desk.rooms import Shared
from arsenal.trade import days

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop


@dataclass(frozen=True, slots=True)
class Present:
    """Ids in the file: bowlers in order, each one's balls, and lane conditions."""

    bowlers: tuple[int, ...]
    balls: dict[int, tuple[int, ...]]
    lanes: frozenset[int]


@dataclass(frozen=True, slots=True)
class Foot:
    """Words for the last-act line."""

    last: str
    """What was done last, by anybody."""
    undo_name: str | None
    saved: str
    backup: str


def who_is_there(shop: Shop) -> Present:
    """Read the ids (on the worker's thread)."""
    from arsenal.acts import reading  # noqa: PLC0415 - heavy

    balls: dict[int, list[int]] = {}
    for ball in reading.balls(shop):
        balls.setdefault(ball.owner_id, []).append(ball.id)
    return Present(
        tuple(person.id for person in reading.bowlers(shop)),
        {owner: tuple(ids) for owner, ids in balls.items()},
        frozenset(lane.id for lane in reading.lanes(shop)),
    )


def settle(shared: Shared, there: Present) -> tuple[int | None, int | None, int | None]:
    """Bowler, lane and ball to begin with: those held last where the file has them, else the bowler with most balls."""
    bowler = shared.bowler_id
    if bowler not in there.bowlers:
        bowler = max(there.bowlers, key=lambda b: len(there.balls.get(b, ())), default=None)
    lane = shared.lane_id if shared.lane_id in there.lanes else None
    owned = there.balls.get(bowler, ()) if bowler is not None else ()
    return bowler, lane, shared.ball_id if shared.ball_id in owned else None


def foot_of(shop: Shop) -> Foot:
    """What Undo would take back, when the last entry was kept, when the last backup was checked."""
    from arsenal.acts import files, take_over, undo  # noqa: PLC0415 - heavy

    if resting := take_over.standing(shop):
        return Foot(resting, None, "Only read", "")
    acts = shop.ledger.acts(1)
    saved = f"Saved {clock(acts[0].at, shop.now())}" if acts else ""
    made = files.backups(shop)
    backup = f"Backup checked {clock(made[0].at, shop.now())}" if made else "No backup yet"
    return Foot(acts[0].title if acts else "", undo.can_undo(shop), saved, backup)


def clock(at: datetime, now: datetime) -> str:
    """“18:42” today, “24 Nov” before, “24 Nov 2025” in another year."""
    local = at.astimezone(now.tzinfo)
    if local.date() == now.date():
        return f"{local:%H:%M}"
    return days.day_near(local, now)
