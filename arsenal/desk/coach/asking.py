"""What the coach's view asks of the shop, on the worker's thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from arsenal.desk.worker import Progress
from arsenal.trade.entries import Seen, Wiped
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.coach import CoachRow
    from arsenal.acts.groups import Group
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BagCard, Changes


@dataclass(frozen=True, slots=True)
class Frame:
    """What the sentence says and offers; the rows are read one by one after it."""

    bowlers: tuple[Person, ...]
    """One row each."""
    group: Group | None
    """None is every bowler whose throw is known."""
    groups: tuple[Group, ...]
    everybody: tuple[Person, ...]
    """Whom a group may hold."""
    left_over: int
    """Bowlers whose throw is known and who have no row, because there are too many."""
    lanes: tuple[Lane, ...]
    lane: Lane | None


def frame(group: str, bowler_id: int | None, lane_id: int | None) -> Callable[[Shop], Frame]:
    """A job that reads who has a row and on which condition (None: the usual one of the bowler in hand)."""

    def job(shop: Shop) -> Frame:
        from arsenal.acts import groups, reading  # noqa: PLC0415 - heavy

        chosen = groups.group(shop, group) if group else None
        known = groups.who_throws(shop)
        people = {person.id: person for person in shop.people()}
        bowlers = tuple(people[i] for i in chosen.bowler_ids) if chosen else known[: groups.MOST]
        lanes = reading.lanes(shop)
        by_id = {lane.id: lane for lane in lanes}
        holder = people.get(bowler_id) if bowler_id is not None else None
        wanted = (lane_id, *(p.usual_lane_id for p in (holder, *bowlers) if p is not None))
        lane = next((by_id[i] for i in wanted if i in by_id), lanes[0] if lanes else None)
        left_over = 0 if chosen else len(known) - len(bowlers)
        return Frame(bowlers, chosen, groups.groups(shop), reading.bowlers(shop), left_over, lanes, lane)

    return job


def row(bowler_id: int, lane_id: int, hand: int | None) -> Callable[[Shop], CoachRow]:
    """A job that reads one bowler's row."""

    def job(shop: Shop) -> CoachRow:
        from arsenal.acts import coach  # noqa: PLC0415 - heavy

        return coach.coach_row(shop, bowler_id, lane_id, hand=hand)

    return job


def saw(bowler_id: int, seen: Seen, ball_id: int, lane_id: int) -> Callable[[Shop], Changes]:
    """Log a shot."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import coach  # noqa: PLC0415 - heavy

        return coach.saw(shop, bowler_id, seen, ball_id=ball_id, lane_id=lane_id)

    return job


def all_threw(
    hands: Mapping[int, int], games: float, wiped: Wiped | None, *, cleaned: bool, lane_id: int
) -> Callable[[Shop], Changes]:
    """Log the games of everybody in `hands`, each with the ball in hand."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import coach  # noqa: PLC0415 - heavy

        return coach.all_threw(shop, tuple(hands), games, wiped, cleaned, hands=hands, lane_id=lane_id)

    return job


def bag_cards(
    bowler_ids: Sequence[int], lane_id: int, hands: Mapping[int, int]
) -> Callable[[Shop, Progress], tuple[BagCard, ...]]:
    """Write one card a bowler; may be stopped between two of them."""

    def job(shop: Shop, progress: Progress) -> tuple[BagCard, ...]:
        from arsenal.acts import coach  # noqa: PLC0415 - heavy

        return coach.bag_cards(shop, bowler_ids, lane_id, hands=hands, progress=progress)

    return job


def keep_group(name: str, bowler_ids: Sequence[int], was: str) -> Callable[[Shop], Changes]:
    """Keep a group, in place of the one called `was`."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import groups  # noqa: PLC0415 - heavy

        return groups.keep_group(shop, name, bowler_ids, was=was)

    return job


def drop_group(name: str) -> Callable[[Shop], Changes]:
    """Take a group away."""

    def job(shop: Shop) -> Changes:
        from arsenal.acts import groups  # noqa: PLC0415 - heavy

        return groups.drop_group(shop, name)

    return job
