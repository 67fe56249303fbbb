"""Read what the file holds: bowlers, lanes, balls, and the search line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from arsenal.acts import codes, events
from arsenal.acts.event_views import EventName
from arsenal.acts.shop import Shop
from arsenal.acts.views import Hit
from arsenal.trade import code
from arsenal.trade.ball import Ball
from arsenal.trade.errors import NotFound
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person

T = TypeVar("T")
CHOICES_NAMED = 12


def bowlers(shop: Shop) -> tuple[Person, ...]:
    """Everybody, by name."""
    return tuple(sorted(shop.people(), key=lambda p: p.name.casefold()))


def lanes(shop: Shop) -> tuple[Lane, ...]:
    """Every lane condition, by name."""
    return tuple(sorted(shop.lanes().values(), key=lambda lane: lane.name.casefold()))


def balls(shop: Shop, bowler_id: int | None = None) -> tuple[Ball, ...]:
    """One bowler's balls, or all; spare balls last."""
    return tuple(sorted(shop.balls(bowler_id), key=lambda b: (b.spare, b.owner_id, b.name.casefold())))


def find(shop: Shop, text: str, limit: int = 20) -> tuple[Hit, ...]:
    """What the search line finds: balls, people, tickets, lanes, best first, and what a label's code names. Never
    raises on any text.
    """
    if not text.strip():
        return ()
    named_by_code = codes.typed(shop, text)
    if named_by_code is not None:
        return (named_by_code,)
    hits = [Hit(hit.kind, hit.id, hit.label, hit.detail) for hit in shop.ledger.search(text, limit)]
    named = fitting(lanes(shop), text, lambda lane: (lane.name, lane.house))
    hits += [Hit("lane", lane.id, lane.name, lane.house) for lane in named]
    return tuple(hits[:limit])


def find_any(shop: Shop, text: str, limit: int = 20) -> tuple[Hit, ...]:
    """The same, and what a label's code names. Raises WrongCode for a code that was changed or is another file's."""
    if code.read(text.strip()) is not None:
        return codes.meant(shop, text).hits
    return find(shop, text, limit)


def bowler_named(shop: Shop, name: str | None) -> Person:
    """The bowler a name means: whole name, nickname or unique beginning, whatever the case; None where there is only
    one. Raises NotFound, listing the choices.
    """
    return _named(bowlers(shop), name, "bowler", lambda p: (p.name, p.nickname), "--bowler")


def lane_named(shop: Shop, name: str | None, bowler: Person | None = None) -> Lane:
    """The lane condition a name means; None is the bowler's usual one, or the only one. Raises NotFound."""
    usual = bowler.usual_lane_id if bowler is not None else None
    if name is None and usual is not None and usual in shop.lanes():
        return shop.lanes()[usual]
    return _named(lanes(shop), name, "lane condition", lambda lane: (lane.name, lane.house), "--lane")


def ball_named(shop: Shop, name: str, bowler_id: int | None = None) -> Ball:
    """The ball a name means. Raises NotFound."""
    return _named(balls(shop, bowler_id), name, "ball", lambda b: (b.name, b.nickname), "--ball")


def event_named(shop: Shop, name: str) -> EventName:
    """The event a name means. Raises NotFound."""
    return _named(events.events(shop), name, "event", lambda e: (e.name,), "NAME")


def entered_named(shop: Shop, event: EventName, name: str | None) -> Person:
    """The bowler in an event that a name means; None where one alone is in it. Raises NotFound."""
    inside = [shop.person(i) for i in event.entered]
    if not inside:
        raise NotFound(f"Nobody is entered in {event.name}.", next_step="Enter a bowler in the desk's Event room.")
    return _named(inside, name, "bowler in it", lambda p: (p.name, p.nickname), "--bowler")


def fitting(things: Sequence[T], name: str, names: Callable[[T], Sequence[str]]) -> list[T]:
    """Everything `name` may mean: exactly one of its names, else what begins with it, else a word that does."""
    asked = " ".join(name.casefold().split())
    if not asked:
        return []
    spoken = [(thing, [" ".join(n.casefold().split()) for n in names(thing) if n]) for thing in things]
    tests: tuple[Callable[[str], bool], ...] = (
        lambda n: n == asked,
        lambda n: n.startswith(asked),
        lambda n: any(word.startswith(asked) for word in n.split()),
    )
    for test in tests:
        found = [thing for thing, all_names in spoken if any(test(n) for n in all_names)]
        if found:
            return found
    return []


def _named(things: Sequence[T], name: str | None, what: str, names: Callable[[T], Sequence[str]], option: str) -> T:
    if not things:
        raise NotFound(f"There is no {what} in this file yet.", next_step="Load some, or add one in the desk.")
    if name is None:
        if len(things) == 1:
            return things[0]
        raise NotFound(f"Which {what}? There are {_list(things, names)}.", next_step=f"Say which with {option}.")
    found = fitting(things, name, names)
    if len(found) == 1:
        return found[0]
    if found:
        raise NotFound(f"“{name}” fits {_list(found, names)}.", next_step="Type more of the name.")
    raise NotFound(f"There is no {what} “{name}”. There are {_list(things, names)}.", next_step="Choose one of them.")


def _list(things: Sequence[T], names: Callable[[T], Sequence[str]]) -> str:
    said = [names(thing)[0] for thing in things[:CHOICES_NAMED]]
    more = len(things) - len(said)
    return "; ".join(said) + (f" and {more} more" if more else "")
