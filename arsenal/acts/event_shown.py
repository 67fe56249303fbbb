"""An event's plan as it is shown: the numbers it was kept with, its sheets as the log is now, what changed since."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from arsenal.acts import event, event_prep, event_registration, event_ticks, events
from arsenal.acts.event_offers import AS_IT_IS, Offer
from arsenal.acts.event_reckon import Progress, offers_now
from arsenal.acts.event_ticks import Going
from arsenal.acts.event_views import BallLine, EventPlan
from arsenal.acts.shop import Shop


def kept(shop: Shop, event_id: int, bowler_id: int) -> EventPlan | None:
    """The plan kept last, with its sheets as the log is now: at once, because nothing is thrown for it. None where none
    was kept, or where the event is another by now. Raises NotFound.
    """
    found = event.kept_plan(shop, event_id, bowler_id)
    if found is None or found.event != events.event_of(shop, event_id):
        return None
    return _with_sheets(shop, found)


def shown(
    shop: Shop, event_id: int, bowler_id: int, *, anew: bool = False, progress: Progress | None = None
) -> EventPlan:  # fmt: skip
    """The plan kept last with the numbers it was kept with and what changed since; a new one, kept, where none is, or
    where the event or what was settled by hand is otherwise, or `anew`. Raises NotFound, KnownError as a new plan does.
    """
    now = event.event_plan(shop, event_id, bowler_id, progress)
    found = None if anew else event.kept_plan(shop, event_id, bowler_id, now=now)
    if found is None or not _asked_alike(found, now):
        return event.keep_plan(shop, now) if not shop.ledger.read_only else now
    return replace(_with_sheets(shop, found), rule=now.rule, problems=now.problems)


def _asked_alike(one: EventPlan, now: EventPlan) -> bool:
    """Whether both are plans of the same event with the same things settled by hand."""
    return one.event == now.event and _settled(one) == _settled(now)


def _settled(plan: EventPlan) -> dict[int, tuple[bool | None, str | None]]:
    by_hand = {row.ball_id: (row.settled, row.finish if row.finish_settled else None) for row in plan.rows}
    return {ball: held for ball, held in by_hand.items() if held != (None, None)}


def _with_sheets(shop: Shop, plan: EventPlan) -> EventPlan:
    going = _going(shop, plan)
    prep, registration = event_prep.prep_sheet(shop, going), event_registration.registration(shop, going, plan.title)
    return replace(plan, prep=prep, registration=registration)


def _going(shop: Shop, plan: EventPlan) -> Going:
    """What goes along by a plan that was kept, with the finishes it asked for."""
    entered = events.entered_of(shop, plan.event.id, plan.bowler_id)
    own, _ = offers_now(shop, plan.event, entered)
    there = {offer.ball.id for offer in own}
    rows = [row for row in plan.rows if row.taken and not row.spare and row.ball_id in there]
    spares = tuple(ball for ball, _ in shop.held(plan.bowler_id) if ball.spare)
    early = {row.ball_id: _early(plan, row) for row in rows}
    going = Going(plan.event, entered, (), spares, early)
    return replace(going, offers=tuple(_offer(own, row, done=_done(shop, going, plan, row)) for row in rows))


def _early(plan: EventPlan, row: BallLine) -> float:
    """How much of practice a ball is worth: what covers the first two stages, the first before the second."""
    told = enumerate(zip(plan.covered, row.cells, strict=False))
    return sum((3.0 - k) * cell.room for k, (foot, cell) in told if k < 2 and foot.ball_id == row.ball_id)


def _done(shop: Shop, going: Going, plan: EventPlan, row: BallLine) -> bool:
    """Whether the work this plan asked for was done after it was made."""
    entry = event_ticks.logged(shop, going, row.ball_id, f"work:{row.ball_id}:{row.finish}")
    return entry is not None and entry.at >= plan.made_at


def _offer(own: Sequence[Offer], row: BallLine, *, done: bool) -> Offer:
    """What is still to be put on a ball; as it is where that is done."""
    mine = [offer for offer in own if offer.ball.id == row.ball_id]
    same = None if done else next((offer for offer in mine if offer.name == row.finish_name), None)
    return same or next(offer for offer in mine if offer.name == AS_IT_IS)
