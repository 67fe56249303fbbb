"""The upkeep plan: jobs placed into slots, kept for good where asked, and what moved since the one kept before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from datetime import date, timedelta

from arsenal.acts import calendar_words as say
from arsenal.acts.calendar_inputs import Inputs, Progress, gather, left_today
from arsenal.acts.calendar_views import Moved, PlanStamp, Relaxation, SlotItem, UpkeepPlan, WorkItem
from arsenal.acts.shop import Shop
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.plan import relax
from arsenal.plan.fitting import Closed, Fitted, Parameters, Session, fit, grain_of
from arsenal.plan.forecast import Falling
from arsenal.plan.records import Job, Work
from arsenal.plan.schedule import PAD_OUT_MIN, Placed, solve
from arsenal.trade import days
from arsenal.trade.entries import Abrasive
from arsenal.trade.errors import NotFound, OutOfRange

KIND = "upkeep plan"
VERSION = 1
WEEKS_BOWLER, WEEKS_SHOP, MOST_WEEKS = 17, 2, 53
LOOK_BACK = 400
LOOK_BACKS = (4, 40, LOOK_BACK)
"""How many kept plans are read at once: mostly the last few have it."""
TIME_LIMIT_S = 4.0
MOST_GIVES = 12


def plan_upkeep(
    shop: Shop, bowler_id: int | None = None, *, weeks: int | None = None, keep: bool = True,
    parameters: Parameters | None = None, progress: Progress | None = None,
) -> UpkeepPlan:  # fmt: skip
    """Plan a bowler's upkeep, or the shop's bench with None, for so many weeks from today (17, the shop 2). Jobs keep
    their places of the plan kept before where nothing speaks against it; `moved` says what did not and why. Kept for
    good unless `keep` is False; never writes to the log. Raises NotFound, OutOfRange.
    """
    long = weeks if weeks is not None else WEEKS_BOWLER if bowler_id is not None else WEEKS_SHOP
    if not 1 <= long <= MOST_WEEKS:
        raise OutOfRange("weeks of a plan", long, f"1 to {MOST_WEEKS}")
    chosen = parameters or Parameters()
    before = last_kept(shop, bowler_id)
    key = ("upkeep plan", shop.revision, shop.today(), left_today(shop, bowler_id), bowler_id, long, repr(chosen),
           before.id if before else 0)  # fmt: skip
    made = shop.remembered(key, lambda: _made(shop, bowler_id, long, chosen, before, progress))
    if progress is not None:
        progress(1.0)
    return _kept(shop, made) if keep else made


def stored(shop: Shop, plan_id: int) -> UpkeepPlan:
    """A plan as it was made: the same numbers, whatever was logged since. Raises NotFound."""
    for result in shop.ledger.results(KIND, LOOK_BACK):
        if result.id == plan_id:
            found: UpkeepPlan = from_plain(UpkeepPlan, result.data)
            return replace(found, id=result.id)
    raise NotFound("There is no such plan in this file.")


def last_kept(shop: Shop, bowler_id: int | None) -> UpkeepPlan | None:
    """The plan kept last for a bowler or for the shop."""
    for most in LOOK_BACKS:
        found = _newest(shop, bowler_id, most)
        if found is not None:
            return found
    return None


def _newest(shop: Shop, bowler_id: int | None, most: int) -> UpkeepPlan | None:
    for result in shop.ledger.results(KIND, most):
        if not isinstance(result.data, dict) or result.data.get("bowler_id") != bowler_id:
            continue
        try:
            found: UpkeepPlan = from_plain(UpkeepPlan, result.data)
        except (CodecError, KeyError, TypeError):  # kept by another version
            continue
        return replace(found, id=result.id)
    return None


def changed_since(shop: Shop, plan: UpkeepPlan) -> tuple[str, ...]:
    """What would stand elsewhere if it were planned now, and why; empty where nothing would."""
    weeks = max(1, -((plan.first_on - plan.last_on).days // 7))
    now = plan_upkeep(shop, plan.bowler_id, weeks=min(weeks, MOST_WEEKS), keep=False)
    return tuple(one.words for one in now.moved)


def _kept(shop: Shop, plan: UpkeepPlan) -> UpkeepPlan:
    if shop.ledger.read_only:
        return plan
    return replace(plan, id=shop.ledger.keep_result(KIND, to_plain(plan)))


def _made(
    shop: Shop, bowler_id: int | None, weeks: int, chosen: Parameters, before: UpkeepPlan | None,
    progress: Progress | None,
) -> UpkeepPlan:  # fmt: skip
    today = shop.today()
    until = today + timedelta(days=7 * weeks - 1 + 6 - today.weekday())
    was = {item.key: item.slot_key for item in before.items if item.slot_key} if before else {}
    inputs, fitted, placed = _placed(shop, bowler_id, until, was, chosen, progress)
    if progress is not None:
        progress(0.95)
    falling = {f.key: f for f in inputs.asked.falling}
    items = _items(inputs, fitted, placed, falling)
    lost = tuple(i for i in items if i.on is None)
    gives = _relaxations(inputs, fitted, falling) if lost else ()
    who = shop.person(bowler_id).name if bowler_id is not None else "the shop"
    stamp = PlanStamp(
        shop.now().isoformat(), shop.revision, VERSION, shop.priors.version, repr(asdict(chosen))
    )  # fmt: skip
    left = (*lost, *_blocked(inputs, today))
    plan = UpkeepPlan(
        0, bowler_id, who, today, until, items, inputs.play, _slots(fitted, items), (), left, gives,
        _remarks(inputs, fitted, placed), placed.exact, stamp,
    )  # fmt: skip
    return replace(plan, moved=_moved(before, plan, fitted, inputs)) if before else plan


def _placed(
    shop: Shop, bowler_id: int | None, until: date, was: Mapping[str, str], chosen: Parameters,
    progress: Progress | None,
) -> tuple[Inputs, Fitted, Placed]:  # fmt: skip
    """Jobs placed by when they fall due; then, where one stands on another day than that, once more with what follows
    it counted from there.
    """
    inputs = gather(shop, bowler_id, until, was, chosen, progress)
    fitted = fit(inputs.asked)
    if progress is not None:
        progress(0.85)
    if not _slots_set(fitted):
        return inputs, fitted, _each_on_its_day(fitted)
    placed = solve(fitted.problem, time_limit_s=TIME_LIMIT_S)
    followed = {f.before for f in inputs.asked.falling if f.round} | {
        f.key for f in inputs.asked.falling if f.work is Work.RESURFACE
    }  # fmt: skip
    due = {f.key: f.likely for f in inputs.asked.falling}
    stand = {key: fitted.sessions[room].on for key, room in placed.at.items() if room is not None}
    other = {key: on for key, on in stand.items() if key in followed and on != due[key]}
    if bowler_id is None or not other:
        return inputs, fitted, placed
    inputs = gather(shop, bowler_id, until, was, chosen, done_on=other)
    fitted = fit(inputs.asked)
    return inputs, fitted, solve(fitted.problem, time_limit_s=TIME_LIMIT_S)


def _slots_set(fitted: Fitted) -> bool:
    return any(not session.hand for session in fitted.sessions)


def _each_on_its_day(fitted: Fitted) -> Placed:
    """Where no time for work is known, jobs are not placed but stand on the day they fall due."""
    return Placed({task.key: None for task in fitted.problem.tasks}, 0.0)


def _items(
    inputs: Inputs, fitted: Fitted, placed: Placed, falling: Mapping[str, Falling]
) -> tuple[WorkItem, ...]:  # fmt: skip
    """What has a place by day, then what falls due and has none; what may wait past the plan is left out."""
    got_out: set[tuple[int, object]] = set()
    found = []
    for task in fitted.problem.tasks:
        f, room = falling[task.key], placed.at[task.key]
        session = fitted.sessions[room] if room is not None else None
        if session is None and not task.must:
            continue
        minutes = task.minutes
        for grain in task.grains:
            if room is None or (room, grain) not in got_out:
                minutes += PAD_OUT_MIN
            got_out.add((room if room is not None else -1, grain))
        on = session.on if session is not None else None
        meets = inputs.asked.meets.get(f.ball_id, ())
        remark = say.item_remark(f, session, inputs.asked.parameters, _against(inputs, f, session), meets)
        if not _slots_set(fitted):
            on = max(inputs.asked.pinned.get(f.key) or f.likely or inputs.asked.today, inputs.asked.today)
        elif session is None:
            remark = say.why_unplaced(f, fitted)
        found.append(_item(inputs, f, on, session, minutes, remark))
    return tuple(sorted(found, key=lambda i: (i.on is None, i.on or date.max, i.slot_key, i.ball, i.work)))


def _against(inputs: Inputs, falling: Falling, session: Session | None) -> Closed | None:
    """A rule that the user's own day goes against: said, not refused."""
    if session is None or falling.key not in inputs.asked.pinned:
        return None
    bare = replace(inputs.asked, falling=[falling], pinned={}, was={}, sessions=[replace(session, hand=False)])
    return next(iter(fit(bare).closed.values()), None)


def _item(
    inputs: Inputs, f: Falling, on: date | None, session: Session | None, minutes: float, remark: str
) -> WorkItem:  # fmt: skip
    ball, today = inputs.balls[f.ball_id], inputs.asked.today
    owner = inputs.owners[ball.owner_id]
    first = f.round == 0
    pads = ", ".join(say.grain_words(grain_of(s)) for s in f.job.steps if s.abrasive is Abrasive.GRIT)
    waits = f.work is Work.DEEP_OIL and minutes < f.job.minutes
    takes = say.minutes_words(minutes) + (f" of work, {say.minutes_words(f.job.minutes)} in all" if waits else "")
    return WorkItem(
        f.key, on, ball.id, ball.name, owner.id, owner.name, f.work.value, f.job.how, minutes,
        takes, say.mark(f, today), f.early, f.likely, f.late, say.due_words(f, today),
        f.job.why if first else "comes again", f.job.detail if first else f"round {f.round + 1} of this plan",
        session.key if session is not None and not session.hand else "", f.key in inputs.asked.pinned, f.round, remark,
        f.job if first else None, pads,
    )  # fmt: skip


def _blocked(inputs: Inputs, today: date) -> tuple[WorkItem, ...]:
    """Due, but somebody who knows has to see the ball first."""
    return tuple(_blocked_item(inputs, job, today) for job in inputs.blocked)


def _blocked_item(inputs: Inputs, job: Job, today: date) -> WorkItem:
    ball = inputs.balls[job.ball_id]
    owner = inputs.owners[ball.owner_id]
    return WorkItem(
        f"{job.ball_id} {job.work} first", None, ball.id, ball.name, owner.id, owner.name, job.work.value, job.how,
        job.minutes, say.minutes_words(job.minutes), job.due.value, today, today, today, "due now", job.why, job.detail,
        "", False, 0, "not before a licensed or certified practitioner has seen it", job,
    )  # fmt: skip


def _slots(fitted: Fitted, items: Sequence[WorkItem]) -> tuple[SlotItem, ...]:
    found = []
    for session in fitted.sessions:
        if session.hand:
            continue
        taken = sum(item.minutes for item in items if item.slot_key == session.key)
        slot = SlotItem(
            session.key, session.slot_id, session.on, session.starts, session.place, session.minutes, taken, ""
        )  # fmt: skip
        found.append(replace(slot, words=say.slot_words(slot)))
    return tuple(found)


def _relaxations(inputs: Inputs, fitted: Fitted, falling: Mapping[str, Falling]) -> tuple[Relaxation, ...]:
    found = relax.least(fitted.problem, inputs.refill, time_limit_s=TIME_LIMIT_S)
    names = {i: ball.name for i, ball in inputs.balls.items()}
    said = say.relaxations(found[:MOST_GIVES], fitted, falling, names, inputs.asked.meets)
    more = len(found) - MOST_GIVES
    return (*said, Relaxation("slot", f"and {more} more of the kind")) if more > 0 else said


def _remarks(inputs: Inputs, fitted: Fitted, placed: Placed) -> tuple[str, ...]:
    found = []
    if not placed.exact:
        found.append("There is far more work than time: a good plan, but not proved to be the best.")
    if not _slots_set(fitted) and inputs.balls:
        found.append("No time for work is set: jobs stand on the day they fall due.")
    found += [f"{said}; nothing is planned there." for said in inputs.away]
    return tuple(found)


def _moved(before: UpkeepPlan, now: UpkeepPlan, fitted: Fitted, inputs: Inputs) -> tuple[Moved, ...]:
    """What stands on another day than in the plan kept before, and why. What has been done, or whose day is over, has
    not moved.
    """
    old = {item.key: item for item in before.items}
    rooms = {session.key: n for n, session in enumerate(fitted.sessions)}
    found = []
    for item in now.items:
        was = old.get(item.key)
        if was is None or (was.on, was.slot_key) == (item.on, item.slot_key) or was.on == item.on:
            continue
        why = _why_moved(was, item, now, before, fitted, rooms, inputs)
        said = f"{item.ball}, {item.work}: {_day(was.on)} to {_day(item.on)}, because {why}"
        found.append(Moved(item.key, item.ball, item.work, was.on, item.on, said))
    return tuple(found)


def _why_moved(
    was: WorkItem, item: WorkItem, now: UpkeepPlan, before: UpkeepPlan, fitted: Fitted, rooms: Mapping[str, int],
    inputs: Inputs,
) -> str:  # fmt: skip
    if item.by_hand:
        return "you moved it"
    if was.on is not None and was.on < now.first_on:
        return "that day is over and it was not logged as done"
    closed = _why_closed(was, item, fitted, rooms, inputs)
    if closed:
        return closed
    if item.on is None or was.by_hand:
        return item.remark if item.on is None else "you put it back into the plan"
    if was.likely != item.likely and item.likely is not None:
        way = "earlier" if was.likely is None or item.likely < was.likely else "later"
        return f"it now falls due {way}, about {days.weekday_near(item.likely, now.first_on)}"
    stood = {old.key for old in before.items if old.slot_key == was.slot_key}
    came = [i.ball for i in now.items if was.slot_key and i.slot_key == was.slot_key and i.key not in stood]
    return f"{came[0]} takes its place" if came else "that suits the other jobs better"


def _why_closed(was: WorkItem, item: WorkItem, fitted: Fitted, rooms: Mapping[str, int], inputs: Inputs) -> str:
    """Why it cannot stand where it stood; empty where it could."""
    if not was.slot_key:
        return ""
    if was.slot_key not in rooms:
        return "there is no time for work any more on that day"
    closed = fitted.closed.get((item.key, rooms[was.slot_key]))
    if closed is None:
        return ""
    meet = next(iter(inputs.asked.meets.get(item.ball_id, ())), None)
    named = closed in (Closed.EVENT, Closed.SETTLING, Closed.AWAY)
    return f"{closed.value}, {meet.name}" if named and meet is not None else closed.value


def _day(on: date | None) -> str:
    return days.weekday_and_day(on) if on is not None else "no day"
