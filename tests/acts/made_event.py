"""An event on the small shop of made_shop: Saturday, two blocks of two games, Mirel entered alone on his pair."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from made_shop import NOW

from arsenal.acts import events
from arsenal.acts.shop import Shop
from arsenal.trade.event import BanFrom, Block, Entered, Event, Reoiled, Squad

SATURDAY = date(2026, 11, 28)
NINE = datetime(2026, 11, 28, 9, 0, tzinfo=NOW.tzinfo)
BLOCKS = (
    Block(NINE, 2, NINE + timedelta(hours=1)),
    Block(NINE + timedelta(hours=2), 2, NINE + timedelta(hours=3)),
)


def an_event(**changed: Any) -> Event:
    made: dict[str, Any] = {
        "id": 0, "name": "Autumn singles", "first_on": SATURDAY, "place": "Elm", "squads": (Squad("A", BLOCKS),),
        "lane_ids": (1,), "reoiled": Reoiled.FIRST, "balls_allowed": 2, "ban_from": BanFrom.FIRST_BALL,
        "registration_by": NINE - timedelta(minutes=30), "bags_locked_at": NINE - timedelta(minutes=5),
        "practice_min": 10.0,
    }  # fmt: skip
    return Event(**{**made, **changed})


def put(shop: Shop, **changed: Any) -> int:
    return events.put_event(shop, an_event(**changed)).changed[0].id


def put_in(shop: Shop, event_id: int, bowler_id: int = 1, **changed: Any) -> Entered:
    made: dict[str, Any] = {"squad": "A", "right_handers": 0, "left_handers": 0}
    events.enter(shop, Entered(0, event_id, bowler_id, **{**made, **changed}))
    return events.entered_of(shop, event_id, bowler_id)


def entered(shop: Shop, **changed: Any) -> int:
    """The event with Mirel in it; its id."""
    event_id = put(shop, **changed)
    put_in(shop, event_id)
    return event_id
