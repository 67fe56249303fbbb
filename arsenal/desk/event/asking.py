"""What the Event room asks of the shop, on the worker's thread."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from arsenal.desk.parts.empty import Missing
from arsenal.trade.event import Event
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.event_views import AtTheLanes, EventName, EventPlan
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import Changes
    from arsenal.trade.entries import Wiped
    from arsenal.trade.event import Entered


@dataclass(frozen=True, slots=True)
class Found:
    """Who, which events and where, before anything is worked out."""

    events: tuple[EventName, ...]
    event: Event | None
    people: tuple[Person, ...]
    person: Person | None
    lanes: tuple[Lane, ...]
    missing: Missing | None = None
    by_hand: int = 0
    """Balls of which something was settled by hand."""


NO_EVENT = Missing(
    "event", "No event yet", "Its day, its first ball and how many balls it allows will do; the rest may wait.",
    "Add an event",
)  # fmt: skip
NO_BOWLER = Missing(
    "bowler", "Nobody bowls here yet", "A bag is planned for one bowler: say who, and roughly how the ball is thrown.",
    "Add a bowler",
)  # fmt: skip


def look_at(event_id: int | None, bowler_id: int | None) -> Callable[[Shop], Found]:
    """A job that reads who is there and which event it is about: the wanted one, else the next to come."""

    def job(shop: Shop) -> Found:
        from arsenal.acts import events, reading  # noqa: PLC0415 - heavy, on the worker's thread

        people, lanes, names = reading.bowlers(shop), reading.lanes(shop), events.events(shop)
        person = next((p for p in people if p.id == bowler_id), people[0] if people else None)
        known = {name.id: name for name in names}
        chosen = known.get(event_id or 0) or (names[0] if names else None)
        held = events.event_of(shop, chosen.id) if chosen else None
        mine = entered(shop, held.id, person.id) if held is not None and person is not None else None
        return Found(names, held, people, person, lanes, _missing(shop, person, held), len(mine.chosen) if mine else 0)

    return job


def _missing(shop: Shop, person: Person | None, held: Event | None) -> Missing | None:
    if person is None:
        return NO_BOWLER
    if held is None:
        return NO_EVENT
    if person.style is None:
        return Missing(
            "throw", f"How {person.name} throws is not known", "Speed and revs make a path; a rough guess will do.",
            "Say how",
        )  # fmt: skip
    if entered(shop, held.id, person.id) is None:
        return Missing(
            "enter", f"{person.name} is not in {held.name} yet",
            "Say which squad, who else is on the pair, and how many bags.", f"Enter {person.name}",
        )  # fmt: skip
    if not shop.held(person.id):
        return Missing(
            "balls", f"No balls for {person.name} yet", "A bag is chosen from balls and the finishes they can have.",
            "Add the first ball",
        )  # fmt: skip
    return None


def kept(event_id: int, bowler_id: int) -> Callable[[Shop], EventPlan | None]:
    """A job: the plan kept last, at once; None where there is none to go on with."""

    def job(shop: Shop) -> EventPlan | None:
        from arsenal.acts import event_shown  # noqa: PLC0415 - heavy, on the worker's thread

        return event_shown.kept(shop, event_id, bowler_id)

    return job


def plan(event_id: int, bowler_id: int, *, anew: bool = False) -> Callable[..., EventPlan]:
    """A job with progress: the plan kept for this bowler and event, or with `anew` one made and kept now."""

    def job(shop: Shop, progress: Callable[[float], None]) -> EventPlan:
        from arsenal.acts import event_shown  # noqa: PLC0415 - heavy, on the worker's thread

        def tell(_what: str, done: int, of: int) -> None:
            progress(done / of if of else 0.0)

        return event_shown.shown(shop, event_id, bowler_id, anew=anew, progress=tell)

    return job


def at_the_lanes(found: EventPlan) -> Callable[[Shop], AtTheLanes]:
    """A job: what is so while it is played."""

    def job(shop: Shop) -> AtTheLanes:
        from arsenal.acts import event_lanes  # noqa: PLC0415 - heavy, on the worker's thread

        return event_lanes.at_the_lanes(shop, found.event.id, found.bowler_id, found)

    return job


def choose(shop: Shop, found: EventPlan, ball_id: int, **settled: Any) -> Changes:
    """Settle by hand whether a ball goes (`take`) or what is on it (`finish`); None is as the plan says, and what is
    not named stays as it is.
    """
    from arsenal.acts import events  # noqa: PLC0415 - heavy, on the worker's thread

    chosen = events.entered_of(shop, found.event.id, found.bowler_id).chosen
    held = next((c for c in chosen if c.ball_id == ball_id), None)
    before = {"take": held.take, "finish": held.finish} if held else {}
    return events.choose(shop, found.event.id, found.bowler_id, ball_id, **{**before, **settled})


def let_go(shop: Shop, event_id: int, bowler_id: int) -> Changes:
    """Nothing is settled by hand any more."""
    from arsenal.acts import events  # noqa: PLC0415 - heavy, on the worker's thread

    return events.enter(shop, replace(events.entered_of(shop, event_id, bowler_id), chosen=()))


def tick(shop: Shop, found: EventPlan, key: str, *, done: bool) -> Changes:
    """Tick a line of the prep sheet, or take the tick back."""
    from arsenal.acts import event  # noqa: PLC0415 - heavy, on the worker's thread

    return event.tick(shop, found.event.id, found.bowler_id, key, done=done, plan=found)


def change_event(shop: Shop, event: Event, **fields: Any) -> Changes:
    """Change some fields of an event."""
    from arsenal.acts import events  # noqa: PLC0415 - heavy, on the worker's thread

    return events.put_event(shop, replace(event, **fields))


def keep_event(shop: Shop, made: Event, mine: Entered) -> Changes:
    """Keep an event (id 0: a new one), then how the bowler is entered in it."""
    from arsenal.acts import events  # noqa: PLC0415 - heavy, on the worker's thread

    first = events.put_event(shop, made)
    event_id = made.id or first.changed[0].id
    second = events.enter(shop, replace(mine, event_id=event_id))
    last = second if second.changed else first
    sentence = "; ".join(part for part in (first.sentence, second.sentence) if part)
    return replace(last, sentence=sentence, changed=(*first.changed, *second.changed))


def remove_event(shop: Shop, event_id: int) -> Changes:
    """Take an event away, with who is entered in it."""
    from arsenal.acts import events  # noqa: PLC0415 - heavy, on the worker's thread

    return events.remove_event(shop, event_id)


def log_block(shop: Shop, found: EventPlan, number: int, games: Mapping[int, float], wiped: Wiped | None) -> Changes:
    """Log a block: games of each ball, in one act."""
    from arsenal.acts import event_lanes  # noqa: PLC0415 - heavy, on the worker's thread

    return event_lanes.log_block(shop, found.event.id, found.bowler_id, number, games, wiped=wiped)


def clean_used(shop: Shop, found: EventPlan) -> Changes:
    """Log that every ball used there was cleaned."""
    from arsenal.acts import event  # noqa: PLC0415 - heavy, on the worker's thread

    return event.clean_all_used(shop, found.event.id, found.bowler_id)


def entered(shop: Shop, event_id: int, bowler_id: int) -> Entered | None:
    """How a bowler is entered in an event, where he is."""
    from arsenal.trade.event import Entered as Record  # noqa: PLC0415

    return next((e for e in shop.every(Record) if (e.event_id, e.bowler_id) == (event_id, bowler_id)), None)
