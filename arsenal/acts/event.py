"""An event's plan for one bowler: bag, finishes, prep sheet, registration and cards; kept, and told what changed since.

Nothing here writes to a ball's log but `tick`, `log_block` and `clean_all_used`, each when somebody asks for it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from arsenal.acts import event_pair, event_prep, event_registration, event_rows, event_ticks, event_words, events, words
from arsenal.acts.event_changes import because, inputs_of
from arsenal.acts.event_offers import AS_IT_IS
from arsenal.acts.event_reckon import Progress, Reckoned, offers_now, reckon
from arsenal.acts.event_ticks import Going
from arsenal.acts.event_views import EventPlan
from arsenal.acts.rules_now import rule_state
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, RuleState
from arsenal.ledger import CodecError, from_plain, to_plain
from arsenal.order.records import Stamp
from arsenal.order.stamps import VERSION, ball_told, digest
from arsenal.plan.bag import BAG_VERSION
from arsenal.plan.stages import STAGES_VERSION, TITLES
from arsenal.trade.errors import NotFound
from arsenal.trade.lane import UnknownHouse

KIND = "event plan"
LOOK_BACK = 200


def event_plan(shop: Shop, event_id: int, bowler_id: int, progress: Progress | None = None) -> EventPlan:
    """The plan as it is now; `progress(what, done, of)` is told while paths are computed. Raises NotFound; KnownError
    where the throw is not known or no bag can be as asked, naming what to change.
    """
    made = reckon(shop, event_id, bowler_id, progress)
    event_rows.lines_ahead(shop, made, progress)
    going = going_of(shop, made)
    title = events.title(made.event)
    stays = sum(1 for b in made.names if all(o.ball_id != b for o in made.bag.taken))
    return EventPlan(
        0, made.event, made.entered.id, bowler_id, title, made.bowler.name, _lanes(made),
        f"{len(made.bag.taken)} of {len(made.names)} balls", "shots on your own side, best lines from your own gutter",
        _rule(shop, made), event_rows.heads(shop, made), event_rows.rows(shop, made), event_rows.covered(made),
        event_rows.at_least(made), event_rows.one_more(made), _sentences(made, stays), (),
        event_prep.prep_sheet(shop, going), event_registration.registration(shop, going, title),
        event_rows.cards(shop, made), stamp_of(made, shop), shop.now(), (), _notes(made),
    )  # fmt: skip


def going_of(shop: Shop, made: Reckoned) -> Going:
    """What goes along."""
    offers = tuple(made.offer(o.ball_id, o.finish) for o in made.bag.taken)
    spares = tuple(b for b, _ in shop.held(made.bowler.id) if b.spare)
    early = {
        o.ball_id: sum((3.0 - k) * float(o.counted(made.asked.doubt)[k]) * (o is made.bag.covers[k])
                       for k in range(min(2, len(made.stages))))
        for o in made.bag.taken
    }  # fmt: skip
    return Going(made.event, made.entered, offers, spares, early)


def _lanes(made: Reckoned) -> str:
    return made.lanes[0].name if len(made.lanes) == 1 else f"{len(made.lanes)} conditions"


def _rule(shop: Shop, made: Reckoned) -> RuleState:
    """What the event's own times say; the book's words on hover."""
    book = rule_state(shop, made.bowler.id)
    held = events.competition_of(made.event, made.entered)
    said = events.allowed_words(made.event, made.entered, shop.now())
    if held is None:
        return replace(book, sentence=said)
    allowed = "dry towel only" not in said.split(";")[0]
    now = shop.now()
    until = held.starts_at if now < held.starts_at else held.next_block(now) if now < held.over_at else None
    return replace(book, pads_allowed=allowed, sentence=said, until=until)


def _sentences(made: Reckoned, stays: int) -> tuple[str, ...]:
    said = []
    for stage, cover, room in zip(made.stages, made.bag.covers, made.bag.covered, strict=True):
        where = stage.title.lower()
        if cover is None:
            said.append(f"No ball reaches the pocket for sure: {where}.")
        else:
            name = made.names[cover.ball_id]
            said.append(f"{name} covers {where}: {event_rows.shots_of(room)} of 100 shots, doubt taken off.")
    if stays and len(made.bag.taken) < made.asked.most:
        said.append("A ball that stays home would cover nothing more, or would double another.")
    return tuple(said)


def _notes(made: Reckoned) -> tuple[str, ...]:
    said = [f"On the pair {event_pair.words(made.entered)}, {words.count(made.games, 'game')} on one oil."]
    if any(isinstance(lane.film, UnknownHouse) for lane in made.lanes):
        said.append("The house has not said what is out there: everything it may be counts, by its weight.")
    if len(made.lanes) > 1:
        said.append(f"All {len(made.lanes)} conditions count alike; shots and lines are told on {made.lanes[0].name}.")
    if made.event.balls_allowed is None:
        said.append("How many balls are allowed is not known: ask; all may go until then.")
    if not made.event.squads:
        said.append("No times yet: say when the blocks begin.")
    gone = [title.lower() for key, title in TITLES.items() if all(s.key != key for s in made.stages)]
    if gone:
        said.append(f"Not in twice the games of this set: {event_words.listed(gone)}.")
    said.append("How fast shots wear a lane is a rough guess. Believe which way it goes before how far.")
    return tuple(said)


def stamp_of(made: Reckoned, shop: Shop) -> Stamp:
    """What made it: every input a number depends on."""
    told = [repr((made.event, made.entered.chosen, made.entered.minutes, made.entered.spinner, made.entered.squad))]
    told += [repr(made.lanes), repr(made.games), repr((made.bowler.style, made.bowler.hooks_to_left))]
    told += [repr((made.entered.right_handers, made.entered.left_handers)), repr(shop.priors)]
    told += [ball_told(o.ball, o.state) for o in made.offers if o.name == AS_IT_IS]
    told += [repr(shop.pads(made.bowler.id)), repr(sorted(made.factors.items()))]
    version = f"{VERSION}.{STAGES_VERSION}.{BAG_VERSION}"
    return Stamp(version, shop.priors.version, 1, 1, digest([version, *told]))


# ---- kept


def keep_plan(shop: Shop, plan: EventPlan) -> EventPlan:
    """Keep a plan for good, with what made it; the same with its number."""
    kept: dict[str, Any] = {
        "plan": to_plain(replace(plan, id=0, changed_since=())), "event": plan.event.id, "bowler": plan.bowler_id,
        "head_seq": shop.ledger.head_seq, "inputs": inputs_of(shop, plan),
    }  # fmt: skip
    return replace(plan, id=shop.ledger.keep_result(KIND, kept))


def kept_plan(
    shop: Shop, event_id: int, bowler_id: int, *, now: EventPlan | None = None
) -> EventPlan | None:  # fmt: skip
    """The plan kept last, with the same numbers as then; with the plan as it is `now` also what changed since, and
    because of what. None where none was kept.
    """
    for result in shop.ledger.results(KIND, LOOK_BACK):
        if (result.data.get("event"), result.data.get("bowler")) != (event_id, bowler_id):
            continue
        try:
            plan: EventPlan = from_plain(EventPlan, result.data["plan"])
        except (CodecError, KeyError, TypeError):  # kept by another version
            continue
        plan = replace(plan, id=result.id)
        return replace(plan, changed_since=_changed(shop, plan, now, result.data)) if now else plan
    return None


def _changed(shop: Shop, kept: EventPlan, now: EventPlan, data: dict[str, Any]) -> tuple[str, ...]:
    """Why a kept plan is another one now, then what differs."""
    if kept.stamp.inputs_hash == now.stamp.inputs_hash:
        return ()
    was, rows = {r.ball_id: r for r in kept.rows}, {r.ball_id: r for r in now.rows}
    said = [because(shop, data.get("inputs", {}), now)]
    for ball_id, row in rows.items():
        old = was.get(ball_id)
        if old is None:
            said.append(f"{row.name} is new.")
        elif old.taken != row.taken:
            said.append(f"{row.name} {'is taken now' if row.taken else 'stays home now'}.")
        elif row.taken and old.finish != row.finish:
            said.append(f"{row.name}: {old.finish} → {row.finish}.")
    said += [f"{row.name} is no longer in the bag." for ball_id, row in was.items() if ball_id not in rows]
    there = {c.stage: c for c in now.covered}
    for before in kept.covered:
        after = there.get(before.stage)
        if after is not None and after.ball_id != before.ball_id:
            title = next(s.title for s in now.stages if s.key == after.stage)
            said.append(f"{title}: {before.name} → {after.name}.")
    if len(said) == 1:
        said.append("The choice is the same; its numbers moved a little.")
    return tuple(said)


# ---- what is done there


def tick(
    shop: Shop, event_id: int, bowler_id: int, key: str, *, done: bool = True, plan: EventPlan | None = None,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Tick one line of the prep sheet by its key, or take the tick back. Work, cleaning and inspection go into the
    ball's log as the Bench writes them. Raises NotFound, KnownError.
    """
    sheet = (plan or event_plan(shop, event_id, bowler_id)).prep
    line = next((line for part in sheet.parts for line in part.lines if line.key == key), None)
    if line is None:
        raise NotFound("There is no such line on the sheet any more.", next_step="Look at the sheet again.")
    offers, _ = offers_now(shop, events.event_of(shop, event_id), events.entered_of(shop, event_id, bowler_id))
    return event_ticks.tick(shop, event_id, bowler_id, line, offers, done=done, initiator=initiator)


def clean_all_used(shop: Shop, event_id: int, bowler_id: int, initiator: str = "desk") -> Changes:
    """Log a cleaning of every ball thrown there and not cleaned since; the same night where it was thrown today. Empty
    where nothing is to be cleaned. Raises NotFound.
    """
    event, entered = events.event_of(shop, event_id), events.entered_of(shop, event_id, bowler_id)
    return event_ticks.clean_all(shop, Going(event, entered, (), (), {}), initiator)
