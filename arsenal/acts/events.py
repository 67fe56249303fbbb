"""Events and who plays in them: put, change, remove, enter, leave, settle by hand; and the competition that follows."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from arsenal.acts import event_checks, rules_now, writing
from arsenal.acts.event_checks import blocks_of, over_at
from arsenal.acts.event_views import EventName
from arsenal.acts.rules_now import Competition, when_words
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.ledger import Act
from arsenal.trade import days
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.event import BanFrom, Chosen, Entered, Event
from arsenal.trade.rules import Stage


def title(event: Event) -> str:
    """“Autumn singles, Sat 28 Nov”."""
    return f"{event.name}, {days.weekday_and_day(event.first_on)}"


def events(shop: Shop) -> tuple[EventName, ...]:
    """Every event, the next first, then those to come, then past ones from the newest back."""
    people = {person.id: person.name for person in shop.people()}
    who: dict[int, list[int]] = {}
    for one in shop.every(Entered):
        who.setdefault(one.event_id, []).append(one.bowler_id)
    made = []
    for event in shop.every(Event):
        ids = tuple(i for i in who.get(event.id, ()) if i in people)
        past = event_checks.last_day(event) < shop.today()
        made.append(
            EventName(event.id, event.name, title(event), event.first_on, past, ids, tuple(people[i] for i in ids))
        )
    made.sort(key=lambda e: (e.past, e.first_on.toordinal() * (-1 if e.past else 1), e.name.casefold()))
    return tuple(made)


def event_of(shop: Shop, event_id: int) -> Event:
    """Raises NotFound."""
    found = shop.ledger.one(Event, event_id)
    if found is None:
        raise NotFound("There is no such event in this file.")
    return found


def entered_of(shop: Shop, event_id: int, bowler_id: int) -> Entered:
    """Raises NotFound where the bowler is not in it."""
    for one in shop.every(Entered):
        if (one.event_id, one.bowler_id) == (event_id, bowler_id):
            return one
    raise NotFound(
        f"{shop.person(bowler_id).name} is not entered in {event_of(shop, event_id).name}.",
        next_step="Enter them first.",
    )


def put_event(shop: Shop, event: Event, initiator: str = "desk") -> Changes:
    """Keep an event: id 0 is a new one, whose id is `changed[0].id`. The competitions of those in it follow. Raises
    OutOfRange, KnownError, NotFound, naming what to change.
    """
    old = event_of(shop, event.id) if event.id else None
    event_checks.event(shop, event, old=old)
    inside = [one for one in shop.every(Entered) if event.id and one.event_id == event.id]
    follows = [one for one in inside if _follows(shop, one, old)]
    values = {one.bowler_id: competition_of(event, one) for one in follows}
    sentence = f"{'Changed' if old else 'Added'} the event {title(event)}"
    with writing.one_act(shop, sentence, initiator) as (act, outcome):
        act.put(event)
        for bowler_id, held in values.items():
            _set(act, bowler_id, held)
    return outcome.changes


def remove_event(shop: Shop, event_id: int, initiator: str = "desk") -> Changes:
    """Take an event out of sight with everybody's entry in it; what was logged stays. Raises NotFound."""
    old = event_of(shop, event_id)
    inside = [one for one in shop.every(Entered) if one.event_id == event_id]
    follows = [one.bowler_id for one in inside if _follows(shop, one, old)]
    with writing.one_act(shop, f"Removed the event {title(old)}", initiator) as (act, outcome):
        for one in inside:
            act.remove("entered", one.id)
        act.remove("event", event_id)
        for bowler_id in follows:
            _set(act, bowler_id, None)
    return outcome.changes


def enter(shop: Shop, entered: Entered, initiator: str = "desk") -> Changes:
    """Enter a bowler (id 0), or change an entry. Where the bowler has no other competition to come, the event becomes
    it: the ban on pads follows from the event. Raises OutOfRange, KnownError, NotFound.
    """
    event_checks.entered(shop, entered)
    event = event_of(shop, entered.event_id)
    person = shop.person(entered.bowler_id)
    same = [
        one for one in shop.every(Entered)
        if (one.event_id, one.bowler_id) == (entered.event_id, entered.bowler_id) and one.id != entered.id
    ]  # fmt: skip
    if same:
        raise KnownError(f"{person.name} is in {event.name} already.", next_step="Change that entry.")
    old = shop.ledger.one(Entered, entered.id) if entered.id else None
    held = rules_now.competition(shop, person.id)
    free = held is None or held.over_at <= shop.now() or (old is not None and _follows(shop, old, event))
    wanted = competition_of(event, entered)
    said = f"Changed {person.name}'s entry in {title(event)}" if old else f"Entered {person.name} in {title(event)}"
    with writing.one_act(shop, said, initiator) as (act, outcome):
        act.put(entered)
        if free and wanted is not None and wanted.over_at > shop.now():
            _set(act, person.id, wanted)
    return outcome.changes


def leave(shop: Shop, event_id: int, bowler_id: int, initiator: str = "desk") -> Changes:
    """Take a bowler out of an event; a competition that followed from it goes too. Raises NotFound."""
    old = entered_of(shop, event_id, bowler_id)
    event, name = event_of(shop, event_id), shop.person(bowler_id).name
    follows = _follows(shop, old, event)
    with writing.one_act(shop, f"Took {name} out of {title(event)}", initiator) as (act, outcome):
        act.remove("entered", old.id)
        if follows:
            _set(act, bowler_id, None)
    return outcome.changes


def set_as_competition(shop: Shop, event_id: int, bowler_id: int, initiator: str = "desk") -> Changes:
    """Let this event be what the bowler's ban on pads goes by, whatever was set before. Raises NotFound, KnownError
    where the event has no times yet.
    """
    event = event_of(shop, event_id)
    held = competition_of(event, entered_of(shop, event_id, bowler_id))
    if held is None:
        raise KnownError(f"{event.name} has no times yet.", next_step="Say when its first block begins.")
    return rules_now.set_competition(shop, bowler_id, held, initiator)


def choose(
    shop: Shop, event_id: int, bowler_id: int, ball_id: int, *, take: bool | None = None, finish: str | None = None,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Settle one ball by hand: taken (True), left at home (False) or as the plan says (None), and with which finish.
    Raises NotFound, KnownError.
    """
    entered, ball = entered_of(shop, event_id, bowler_id), shop.ball(ball_id)
    others = tuple(c for c in entered.chosen if c.ball_id != ball_id)
    own = () if take is None and finish is None else (Chosen(ball_id, take, finish),)
    changed = replace(entered, chosen=tuple(sorted((*others, *own), key=lambda c: c.ball_id)))
    event_checks.entered(shop, changed)
    what = {True: "is taken", False: "stays home", None: "goes as the plan says"}[take]
    said = f"{ball.name} {what}" + (f", {finish}" if finish is not None else "")
    return writing.put(shop, changed, f"{said}, for {title(event_of(shop, event_id))}", initiator)


def competition_of(event: Event, entered: Entered) -> Competition | None:
    """When pads are barred for this bowler, as the event words it; None where no time is known."""
    blocks = blocks_of(event, entered.squad)
    if not blocks:
        return None
    spans = [(b.starts_at, over_at(b)) for b in blocks]
    begins = spans[0][0]
    if event.ban_from is BanFrom.PRACTICE and event.practice_min:
        begins -= timedelta(minutes=event.practice_min)
        spans[0] = (begins, spans[0][1])
    return Competition(begins, spans[-1][1], tuple(spans), event.between_allowed)


def ban_at(event: Event, entered: Entered) -> datetime | None:
    """The moment from which no pad touches a ball."""
    held = competition_of(event, entered)
    return held.starts_at if held else None


def _follows(shop: Shop, entered: Entered, event: Event | None) -> bool:
    """Whether the bowler's competition is the one that this event gave."""
    return event is not None and rules_now.competition(shop, entered.bowler_id) == competition_of(event, entered)


def _set(act: Act, bowler_id: int, held: Competition | None) -> None:
    act.set_setting(*rules_now.kept_as(bowler_id, held))


def allowed_words(event: Event, entered: Entered, now: datetime) -> str:
    """What may touch a ball now, and between blocks, by the event's own times."""
    held = competition_of(event, entered)
    if held is None:
        return "no times yet: ask when pads are barred"
    stage = held.stage(now)
    between = "pads allowed between blocks" if event.between_allowed else "no pads between blocks"
    if stage is Stage.BEFORE:
        said = f"pads allowed until {when_words(held.starts_at, now)}, {event.ban_from.value}"
    elif stage is Stage.DURING:
        said = "dry towel only"
    elif stage is Stage.BETWEEN:
        may = "pads allowed" if event.between_allowed else "dry towel only"
        return f"between blocks, {may} until {when_words(held.next_block(now), now)}"
    else:
        return "pads allowed: it is over"
    return f"{said}; {between}" if len(held.blocks) > 1 else said
