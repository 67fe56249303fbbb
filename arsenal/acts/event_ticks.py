"""Ticking a prep sheet: what it writes into the logs, and what of it the logs say is done already."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from arsenal.acts import event_checks, event_words, events, logging, recipes, writing
from arsenal.acts.event_offers import Offer
from arsenal.acts.event_views import PrepLine
from arsenal.acts.shop import Shop
from arsenal.acts.undo import undo_entry
from arsenal.acts.views import Changes
from arsenal.trade.ball import Ball
from arsenal.trade.entries import (
    Abrasive,
    Cleaned,
    Draft,
    Entry,
    Inspected,
    Kind,
    Played,
    Shot,
    SurfaceWork,
    effective,
)
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.event import Entered, Event
from arsenal.trade.pads import label

LOOKED_BACK = timedelta(days=3)
"""Care of the last days counts as done for this event (our own assumption)."""
CLEAN_ALL = "clean all"


@dataclass(frozen=True, slots=True)
class Going:
    """What the sheet is made of: what goes along with which finish, spare balls, what covers the first stages."""

    event: Event
    entered: Entered
    offers: tuple[Offer, ...]
    """Of the strike balls taken."""
    spares: tuple[Ball, ...]
    early: Mapping[int, float]
    """Weight of each strike ball in practice: what is thrown first."""


def tick(
    shop: Shop, event_id: int, bowler_id: int, line: PrepLine, offers: Sequence[Offer], *, done: bool = True,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """A line of the sheet is done, or is not after all. Work, cleaning and inspection go into the ball's log as the
    Bench would write them; taking the tick back takes that entry back. Raises NotFound, KnownError.
    """
    event, entered = events.event_of(shop, event_id), events.entered_of(shop, event_id, bowler_id)
    going = Going(event, entered, tuple(offers), (), {})
    if not line.can_tick:
        raise KnownError("This line is a time of the day, not work to be ticked.")
    if not line.logs:
        ticked = [k for k in entered.ticked if k != line.key]
        after = replace(entered, ticked=tuple(sorted([*ticked, line.key] if done else ticked)))
        said = f"{'Done' if done else 'Not done yet'}: {line.what}"
        return writing.put(shop, after, said, initiator)
    if line.key == CLEAN_ALL:
        if not done:
            raise KnownError("Take back the cleanings in the balls' own logs.", next_step="Press Ctrl+Z just after.")
        return clean_all(shop, going, initiator)
    assert line.ball_id is not None  # noqa: S101 -- every such line speaks of a ball
    entry = logged(shop, going, line.ball_id, line.key)
    if not done:
        return Changes(None, "", initiator=initiator) if entry is None else undo_entry(shop, entry.seq, initiator)
    if entry is not None:
        return Changes(None, "", initiator=initiator)
    return logging.keep(shop, (_draft(shop, line, offers),), initiator)


def _draft(shop: Shop, line: PrepLine, offers: Sequence[Offer]) -> Draft:
    assert line.ball_id is not None  # noqa: S101 -- every such line speaks of a ball
    what = line.key.split(":", 1)[0]
    if what == "clean":
        return Draft(
            line.ball_id, Kind.CLEANED, shop.today(), Cleaned(shop.state(line.ball_id).played_on == shop.today())
        )
    if what == "inspect":
        return Draft(line.ball_id, Kind.INSPECTED, shop.today(), Inspected())
    wanted = line.key.split(":", 2)[2]
    offer = next((o for o in offers if (o.ball.id, o.label) == (line.ball_id, wanted) and o.steps), None)
    if offer is None:
        raise NotFound("The plan has changed: this work is no longer in it.", next_step="Look at the sheet again.")
    steps = recipes.with_pads(shop, offer.ball.owner_id, offer.steps)
    shine = all(s.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for s in steps)
    return Draft(line.ball_id, Kind.POLISHED if shine else Kind.SANDED, shop.today(), SurfaceWork(steps))


def logged(shop: Shop, going: Going, ball_id: int, key: str) -> Entry | None:
    """The entry that says a line is done, of the last days before the event; None where it is still to do."""
    since = min(going.event.first_on, shop.today()) - LOOKED_BACK
    recent = [e for e in effective(shop.entries(ball_id)) if since <= e.on <= going.event.first_on]
    what, _, rest = key.partition(":")
    if what == "work":
        found = [
            e for e in recent
            if isinstance(e.payload, SurfaceWork) and f"{ball_id}:{label(e.payload.steps)}" == rest
        ]  # fmt: skip
        worked = [e for e in recent if isinstance(e.payload, SurfaceWork)]
        return found[-1] if found and found[-1] is worked[-1] else None
    wanted = Cleaned if what == "clean" else Inspected
    played = max((e.seq for e in recent if isinstance(e.payload, Played | Shot)), default=0)
    done = [e for e in recent if isinstance(e.payload, wanted) and (what == "inspect" or e.seq > played)]
    return done[-1] if done else None


def worked_lately(shop: Shop, going: Going, ball_id: int) -> SurfaceWork | None:
    """The last surface work of the last days: it stands on the sheet as done."""
    since = min(going.event.first_on, shop.today()) - LOOKED_BACK
    log = [e for e in effective(shop.entries(ball_id)) if since <= e.on <= going.event.first_on]
    worked = [e.payload for e in log if isinstance(e.payload, SurfaceWork)]
    return worked[-1] if worked else None


def used_on(shop: Shop, going: Going) -> tuple[Ball, ...]:
    """Balls of the bowler that were thrown at the event, spare balls too."""
    first, last = going.event.first_on, event_checks.last_day(going.event)

    def thrown(ball: Ball) -> bool:
        log = effective(shop.entries(ball.id))
        return any(isinstance(e.payload, Played | Shot) and first <= e.on <= last for e in log)

    return tuple(ball for ball in shop.balls(going.entered.bowler_id) if thrown(ball))


def cleaned_since(shop: Shop, going: Going, ball: Ball) -> bool:
    """Whether it was cleaned after it was last thrown there."""
    log = [e for e in effective(shop.entries(ball.id)) if e.on >= going.event.first_on]
    played = max((e.seq for e in log if isinstance(e.payload, Played | Shot)), default=0)
    return any(isinstance(e.payload, Cleaned) and e.seq > played for e in log)


def clean_all(shop: Shop, going: Going, initiator: str) -> Changes:
    """Every ball thrown there and not cleaned since, cleaned now: the same night where it was thrown today."""
    todo = [ball for ball in used_on(shop, going) if not cleaned_since(shop, going, ball)]
    drafts = [
        Draft(b.id, Kind.CLEANED, shop.today(), Cleaned(shop.state(b.id).played_on == shop.today())) for b in todo
    ]
    if not drafts:
        return Changes(None, "", initiator=initiator)
    names = event_words.listed([ball.name for ball in todo])
    night = "same night" if all(isinstance(d.payload, Cleaned) and d.payload.same_night for d in drafts) else "later"
    return logging.keep(shop, drafts, initiator, sentence=f"Cleaned {names}, {night}")


def clean_words(shop: Shop, going: Going) -> str:
    """“clean all used tonight: Slow Lantern, Paper Moth”; empty where nothing is to be cleaned."""
    todo = [ball.name for ball in used_on(shop, going) if not cleaned_since(shop, going, ball)]
    return f"clean all used tonight: {', '.join(todo)}" if todo else ""
