"""What the room reads on the worker's thread: who and where there is, the order, the film's contours, the pads."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from arsenal.acts.views import LaneSide
from arsenal.desk.lane_side.film import FilmLines, film_lines
from arsenal.desk.lane_side.move_words import Saw
from arsenal.desk.parts.empty import Missing
from arsenal.order.records import PadResult
from arsenal.trade.errors import KnownError
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.moves import MovesSheet
    from arsenal.acts.shop import Shop


@dataclass(frozen=True, slots=True)
class Seen:
    """Everything the room shows but the pads. Exactly one of `side` and `missing` is there."""

    people: tuple[Person, ...]
    lanes: tuple[Lane, ...]
    person: Person | None
    lane: Lane | None
    side: LaneSide | None = None
    film: FilmLines | None = None
    missing: Missing | None = None
    game: int = 0
    """Games bowled on the lane before; 0 is fresh."""


NO_BOWLER = Missing(
    "bowler", "Nobody throws here yet", "Say who bowls and how: a rough guess of speed and revs will do.",
    "Add a bowler",
)  # fmt: skip
NO_LANE = Missing(
    "lane", "No lane condition yet", "Length and volume will do; a house that will not tell is fine too.",
    "Add a condition",
)  # fmt: skip


def look_at(bowler_id: int | None, lane_id: int | None, game: int = 0) -> Callable[[Shop], Seen]:
    """A job that reads the room for a bowler and a condition (None: the usual one) after some games on it."""

    def job(shop: Shop) -> Seen:
        from arsenal.acts import reading  # noqa: PLC0415 - heavy, on the worker's thread

        people, lanes = reading.bowlers(shop), reading.lanes(shop)
        person = next((p for p in people if p.id == bowler_id), people[0] if people else None)
        lane = lane_of(lanes, person, lane_id)
        missing = missing_of(shop, person, lane)
        if missing or person is None or lane is None:
            return Seen(people, lanes, person, lane, missing=missing, game=game)
        return _whole(shop, Seen(people, lanes, person, lane, game=game))

    return job


def lane_of(lanes: tuple[Lane, ...], person: Person | None, lane_id: int | None) -> Lane | None:
    """The condition asked for, else the bowler's usual one, else the first there is."""
    by_id = {lane.id: lane for lane in lanes}
    usual = person.usual_lane_id if person else None
    wanted = (by_id.get(i) for i in (lane_id, usual) if i is not None)
    return next((lane for lane in wanted if lane is not None), lanes[0] if lanes else None)


def missing_of(shop: Shop, person: Person | None, lane: Lane | None) -> Missing | None:
    """What must be there before a ball can be thrown; None where all of it is."""
    if person is None:
        return NO_BOWLER
    if person.style is None:
        return Missing(
            "throw", f"How {person.name} throws is not known", "Speed and revs make a path; a rough guess will do.",
            "Say how",
        )  # fmt: skip
    if lane is None:
        return NO_LANE
    if not shop.held(person.id):
        return Missing(
            "balls", f"No balls for {person.name} yet", "A ball is kept with its finish and every game on it.",
            "Add the first ball",
        )  # fmt: skip
    return None


def _whole(shop: Shop, seen: Seen) -> Seen:
    from arsenal.acts import lane_side, later  # noqa: PLC0415 - heavy, on the worker's thread

    assert seen.person is not None and seen.lane is not None  # noqa: S101, PT018 - looked at just before
    bowler, game = seen.person.id, seen.game
    beside = later.who(shop, bowler) if game else ()
    try:
        side = lane_side.lane_side(shop, bowler, seen.lane.id, game=game, with_ids=beside)
    except KnownError as error:
        kind, action = ("game", "Show the fresh lane") if game else ("trouble", "")
        return replace(seen, missing=Missing(kind, error.sentence, error.next_step, action))
    film = shop.remembered(
        ("film lines", side.lane_now, side.bowler.hooks_to_left, side.bowler.back_up),
        lambda: film_lines(side.contours, side.bowler, played=side.played is not None),
    )
    return replace(seen, side=side, film=film)


def pads_of(side: LaneSide, ball_id: int) -> Callable[[Shop], tuple[PadResult, ...]]:
    """A job that works out all pad keys of a ball at once, so that stepping them only swaps what is drawn."""

    def job(shop: Shop) -> tuple[PadResult, ...]:
        from arsenal.acts import lane_side  # noqa: PLC0415 - heavy, on the worker's thread

        return lane_side.pad_keys(shop, side.bowler.id, side.lane.id, ball_id, side)

    return job


def moves_of(side: LaneSide, ball_id: int, saws: Sequence[Saw]) -> Callable[[Shop], tuple[tuple[Saw, MovesSheet], ...]]:
    """A job that works out the moves of a ball for each way it may have ended."""

    def job(shop: Shop) -> tuple[tuple[Saw, MovesSheet], ...]:
        from arsenal.acts import moves  # noqa: PLC0415 - heavy, on the worker's thread

        return tuple(
            (saw, moves.moves(shop, side, ball_id, saw=saw.word, boards_off=saw.boards)) for saw in saws
        )  # fmt: skip

    return job
