"""Log what happened: read a line into its meaning, keep it, repeat the last played day, one entry for several balls."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import date

from arsenal.acts import checks, meaning, rules_now, words, writing
from arsenal.acts.meaning import meaning_of
from arsenal.acts.rules_now import Inside
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, Meaning
from arsenal.ledger import Act, Record
from arsenal.surface import uses_as
from arsenal.trade.entries import (
    Abrasive,
    Cleaned,
    Draft,
    Kind,
    OilDrawn,
    Played,
    Saw,
    Shot,
    Step,
    SurfaceWork,
    Tool,
    Wiped,
    effective,
)
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.pads import NEW_PAD_ID, Pad
from arsenal.trade.priors import Priors

__all__ = [
    "ball_in_hand", "for_balls", "for_bowlers", "keep", "meaning_of", "read_line", "same_as_last", "thrown",
]  # fmt: skip


def read_line(
    shop: Shop, text: str, *, bowler_id: int | None = None, ball_id: int | None = None, thrower_id: int | None = None
) -> Meaning:  # fmt: skip
    """What a typed line would log, in words. `ball_id` is the ball meant when the line names none, `thrower_id` who
    threw a shot that names nobody (None: the ball's owner). Never raises on any text: what is unclear comes back as
    `problem`, `word` and `choices`, with no drafts.
    """
    in_hand = {} if bowler_id is not None else _in_hand(shop)
    return meaning.read(shop, text, bowler_id=bowler_id, ball_id=ball_id, in_hand=in_hand, thrower_id=thrower_id)


def keep(
    shop: Shop, drafts: Sequence[Draft], initiator: str = "desk", sentence: str | None = None, confirmed: bool = False,
    *, also: Sequence[Record] = (),
) -> Changes:  # fmt: skip
    """Keep entries in one act, all or none; a sanding counts the use of its pads. Records of `also` are kept in the
    same act. Raises OutOfRange for what cannot be true and KnownError for what needs a confirmation it did not get.
    """
    if not drafts:
        return Changes(None, "", initiator=initiator)
    balls = {ball.id: ball for ball in shop.balls()}
    for draft in drafts:
        _check(shop, draft)
    drafts = [_in_competition(shop, draft) for draft in drafts]
    if meaning.needs_confirmation(shop, drafts) and not confirmed:
        raise KnownError("This is kept only when you confirm it.", next_step=" ".join(meaning.cautions(shop, drafts)))
    stock = shop.pads_by_id()
    pads = dict(stock)
    wanted = [_late(_confirmed(draft, confirmed), shop.today()) for draft in drafts]
    for draft in drafts:
        if draft.undoes is not None:
            _give_back(shop, draft, pads)
    made: dict[Pad, Pad] = {}
    owners, today = {ball.id: ball.owner_id for ball in balls.values()}, shop.today()
    with writing.one_act(shop, sentence or words.done(drafts, balls), initiator) as (act, outcome):
        for draft in wanted:
            act.append(_counted(_with_new_pads(act, draft, owners, pads, made, today), pads, shop.priors))
        for record in (*(pad for pad_id, pad in pads.items() if pad != stock.get(pad_id)), *also):
            act.put(record)
    return outcome.changes


def thrown(
    shop: Shop, ball_id: int, shots: float, lane_id: int | None = None, wiped: Wiped | None = None,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Log shots thrown today."""
    shop.ball(ball_id)
    return keep(
        shop, (Draft(ball_id, Kind.PLAYED, shop.today(), Played(shots, lane_id=lane_id, wiped=wiped)),), initiator
    )


def same_as_last(shop: Shop, *, bowler_id: int | None = None, ball_id: int | None = None) -> Meaning:
    """“Same as last Thursday”: the last played day of that bowler or ball again, today. The first part is that title;
    with no played day there are no drafts and a `problem`.
    """
    today = shop.today()
    balls = [shop.ball(ball_id)] if ball_id is not None else list(shop.balls(bowler_id))
    shop.read_ahead(balls)
    logs = {ball.id: effective(shop.entries(ball.id)) for ball in balls}
    days = {e.on for log in logs.values() for e in log if isinstance(e.payload, Played) and e.on < today}
    if not days:
        return Meaning((), (), problem="There is no earlier played day to repeat.")
    last = max(days)
    held = {ball.id for ball in balls if shop.state(ball.id).holder.value == "in the bag"}
    drafts = tuple(
        Draft(e.ball_id, e.kind, today, e.payload)
        for ball in balls
        for e in logs[ball.id]
        if ball.id in held and e.on == last and isinstance(e.payload, Played | Cleaned)
    )
    if not drafts:
        return Meaning((), (), problem=f"What was played {words.as_last(last, today)} is no longer in the bag.")
    again = any(e.on == today and isinstance(e.payload, Played) for log in logs.values() for e in log)
    said = meaning_of(shop, drafts)
    extra = ("Today has play logged already; this comes on top.",) if again else ()
    title = f"Same as {words.as_last(last, today)}"
    return replace(said, parts=((title, True), (": ", False), *said.parts), cautions=(*extra, *said.cautions))


def for_balls(
    shop: Shop, text: str, ball_ids: Sequence[int], *, leaving_out: Collection[int] = (),
    instead: Mapping[int, str] | None = None,
) -> Meaning:  # fmt: skip
    """One line (“3g wiped clean”, no ball named) for several balls, with exceptions: `instead` holds other words for
    some of them.
    """
    other = instead or {}
    drafts: list[Draft] = []
    for ball_id in ball_ids:
        if ball_id in leaving_out:
            continue
        said = meaning.read(shop, other.get(ball_id, text), ball_id=ball_id, only_ball=True)
        if said.problem:
            return said
        drafts += said.drafts
    if not drafts:
        return Meaning((), (), problem="That leaves nobody to log for.")
    return meaning_of(shop, drafts)


def for_bowlers(
    shop: Shop, text: str, bowler_ids: Sequence[int], *, leaving_out: Collection[int] = (),
    instead: Mapping[int, str] | None = None,
) -> Meaning:  # fmt: skip
    """One line for several bowlers, each with the ball in hand (`ball_in_hand`); exceptions by bowler id."""
    hands: dict[int, int] = {}
    for bowler_id in bowler_ids:
        if bowler_id in leaving_out:
            continue
        ball_id = ball_in_hand(shop, bowler_id)
        if ball_id is None:
            name = shop.person(bowler_id).name
            return Meaning((), (), problem=f"{name} has no ball in hand: name the ball.", word=name)
        hands[bowler_id] = ball_id
    other = {hands[b]: line for b, line in (instead or {}).items() if b in hands}
    return for_balls(shop, text, tuple(hands.values()), instead=other)


def ball_in_hand(shop: Shop, bowler_id: int) -> int | None:
    """The strike ball this bowler threw last, else the benchmark; None where there is neither."""
    person = shop.person(bowler_id)
    last: tuple[date, int, int] | None = None
    balls = [ball for ball in shop.balls(bowler_id) if not ball.spare]
    shop.read_ahead(balls)
    for ball in balls:
        for entry in effective(shop.entries(ball.id)):
            if isinstance(entry.payload, Played | Saw | Shot) and (last is None or (entry.on, entry.seq) > last[:2]):
                last = (entry.on, entry.seq, ball.id)
    return last[2] if last else person.benchmark_ball_id


def _in_hand(shop: Shop) -> dict[int, int]:
    people = shop.people()
    if len(people) > meaning.MANY_PEOPLE:
        return {}
    found = {person.id: ball_in_hand(shop, person.id) for person in people}
    return {person_id: ball_id for person_id, ball_id in found.items() if ball_id is not None}


def _check(shop: Shop, draft: Draft) -> None:
    ball = shop.ball(draft.ball_id)
    came_on = ball.bought_on if draft.kind == Kind.NEW else shop.came_on(ball.id)
    checks.draft(draft, came_on, shop.today())
    payload = draft.payload
    if isinstance(payload, Played | Saw | Shot) and payload.lane_id is not None:
        shop.lane(payload.lane_id)
    if isinstance(payload, SurfaceWork):
        for step in payload.steps:
            if step.pad_id is not None and step.pad_id != NEW_PAD_ID:
                shop.pad(step.pad_id)
    if draft.undoes is not None and all(e.seq != draft.undoes for e in shop.entries(ball.id)):
        raise NotFound(f"{ball.name} has no such entry to take back.")


def _in_competition(shop: Shop, draft: Draft) -> Draft:
    """Surface work dated inside the owner's competition says so, whether it was typed or not: kept and flagged."""
    payload = draft.payload
    if not isinstance(payload, SurfaceWork) or payload.in_competition:
        return draft
    if rules_now.dated_inside(shop, shop.ball(draft.ball_id).owner_id, draft.on) is not Inside.INSIDE:
        return draft
    return replace(draft, payload=replace(payload, in_competition=True))


def _confirmed(draft: Draft, confirmed: bool) -> Draft:
    if confirmed and isinstance(draft.payload, OilDrawn):
        return replace(draft, payload=replace(draft.payload, confirmed=True))
    return draft


def _late(draft: Draft, today: date) -> Draft:
    return replace(draft, late=True) if draft.on < today and draft.undoes is None else draft


def _with_new_pads(
    act: Act, draft: Draft, owners: Mapping[int, int], pads: dict[int, Pad], made: dict[Pad, Pad], today: date
) -> Draft:  # fmt: skip
    """The draft with the pads it brings put into stock, the ball owner's: one of a grain an act; `pads` get them."""
    if not isinstance(draft.payload, SurfaceWork):
        return draft
    steps = []
    for step in draft.payload.steps:
        if step.pad_id == NEW_PAD_ID:
            kind = "foam" if step.abrasive is Abrasive.GRIT else step.abrasive.value
            wanted = Pad(0, step.number, step.scale, step.abrasive, kind, owners[draft.ball_id], bought_on=today)
            new = made.get(wanted) or act.put(wanted)
            made[wanted] = new
            pads.setdefault(new.id, new)
            step = replace(step, pad_id=new.id)  # noqa: PLW2901
        steps.append(step)
    return replace(draft, payload=replace(draft.payload, steps=tuple(steps)))


def _counted(draft: Draft, pads: dict[int, Pad], priors: Priors) -> Draft:
    """The draft with what each of its pads had behind it; `pads` get the use."""
    if not isinstance(draft.payload, SurfaceWork):
        return draft
    steps = tuple(_with_use(step, pads, priors) for step in draft.payload.steps)
    return replace(draft, payload=replace(draft.payload, steps=steps))


def _with_use(step: Step, pads: dict[int, Pad], priors: Priors) -> Step:
    if step.pad_id is None:
        return step
    pad = pads[step.pad_id]
    pads[pad.id] = used(pad, step.tool, 1.0)
    return replace(step, uses_before=uses_as(pad, step.tool, priors))


def used(pad: Pad, tool: Tool, times: float) -> Pad:
    """The pad with more (or less) use behind it; a machine counts as a spinner."""
    if tool is Tool.HAND:
        return replace(pad, uses_hand=max(pad.uses_hand + times, 0.0))
    return replace(pad, uses_spinner=max(pad.uses_spinner + times, 0.0))


def _give_back(shop: Shop, draft: Draft, pads: dict[int, Pad]) -> None:
    taken = [e for e in effective(shop.entries(draft.ball_id)) if e.seq == draft.undoes]
    for entry in taken:
        for step in entry.payload.steps if isinstance(entry.payload, SurfaceWork) else ():
            if step.pad_id in pads and step.pad_id is not None:
                pads[step.pad_id] = used(pads[step.pad_id], step.tool, -1.0)
