"""An event's plan as it is shown: the numbers it was kept with, its sheets as the log is now, what changed since."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import event, event_prep, event_registration
from arsenal.acts.event_offers import AS_IT_IS, Offer
from arsenal.acts.event_reckon import Progress, Reckoned, reckon
from arsenal.acts.event_ticks import Going
from arsenal.acts.event_views import BallLine, EventPlan
from arsenal.acts.shop import Shop


def shown(
    shop: Shop, event_id: int, bowler_id: int, *, anew: bool = False, progress: Progress | None = None
) -> EventPlan:  # fmt: skip
    """The plan kept last with the numbers it was kept with and what changed since; a new one, kept, where none is, or
    where the event or what was settled by hand is otherwise, or `anew`. Raises NotFound, KnownError as a new plan does.
    """
    now = event.event_plan(shop, event_id, bowler_id, progress)
    kept = None if anew else event.kept_plan(shop, event_id, bowler_id, now=now)
    if kept is None or not _asked_alike(kept, now):
        return event.keep_plan(shop, now) if not shop.ledger.read_only else now
    made = reckon(shop, event_id, bowler_id)
    going = _going(shop, made, kept)
    return replace(
        kept, rule=now.rule, problems=now.problems, prep=event_prep.prep_sheet(shop, going),
        registration=event_registration.registration(shop, going, kept.title),
    )  # fmt: skip


def _asked_alike(kept: EventPlan, now: EventPlan) -> bool:
    """Whether both are plans of the same event with the same things settled by hand."""
    return kept.event == now.event and _settled(kept) == _settled(now)


def _settled(plan: EventPlan) -> dict[int, tuple[bool | None, str | None]]:
    by_hand = {row.ball_id: (row.settled, row.finish_name if row.finish_settled else None) for row in plan.rows}
    return {ball: held for ball, held in by_hand.items() if held != (None, None)}


def _going(shop: Shop, made: Reckoned, kept: EventPlan) -> Going:
    """What goes along by the plan that was kept, with the finishes it asked for."""
    offers = tuple(_offer(made, row) for row in kept.rows if row.taken and not row.spare and row.ball_id in made.names)
    return replace(event.going_of(shop, made), offers=offers)


def _offer(made: Reckoned, row: BallLine) -> Offer:
    own = [offer for offer in made.offers if offer.ball.id == row.ball_id]
    same = next((offer for offer in own if offer.name == row.finish_name), None)
    return same or next(offer for offer in own if offer.name == AS_IT_IS)
