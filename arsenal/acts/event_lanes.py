"""At the lanes: how long pads are allowed, what was thrown, the stage to expect, the next ball; a block logged."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from arsenal.acts import event, event_checks, event_ticks, event_words, events, logging, words
from arsenal.acts.event_checks import hours, over_at
from arsenal.acts.event_reckon import lanes_of
from arsenal.acts.event_ticks import Going
from arsenal.acts.event_views import AtTheLanes, EventPlan, Thrown
from arsenal.acts.rules_now import when_words
from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes
from arsenal.motion import bed
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Draft, Entry, Kind, Played, Shot, Wiped, effective, shots_in
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.event import Block, Entered, Event, Reoiled
from arsenal.trade.units import SHOTS_A_GAME

HEAVY_M3 = 27e-6
"""Oil from which a ball is wiped before every shot whatever its cover (common practice, no source for the figure)."""
SOON = timedelta(days=2)


def at_the_lanes(
    shop: Shop, event_id: int, bowler_id: int, plan: EventPlan | None = None, now: datetime | None = None
) -> AtTheLanes:  # fmt: skip
    """What is wanted while it is played. `plan` is the plan to go by: the one kept last, else the one as it is now.
    Raises NotFound; KnownError as the plan does.
    """
    at = now or shop.now()
    found, entered = events.event_of(shop, event_id), events.entered_of(shop, event_id, bowler_id)
    by = plan or event.kept_plan(shop, event_id, bowler_id) or event.event_plan(shop, event_id, bowler_id)
    blocks = event_checks.blocks_of(found, entered.squad)
    number = _block_at(blocks, at)
    log = _thrown(shop, found, entered, at)
    shots = shots_on_pair(shop, found, entered, log, at)
    stage = _stage(by, shots)
    hand = _in_hand(by, log, stage)
    following, reason = _next(by, stage, hand)
    ban = events.ban_at(found, entered)
    going = Going(found, entered, (), (), {})
    logged = number is not None and _is_logged(shop, found, entered, number)
    return AtTheLanes(
        _countdown(found, entered, at), ban if ban is not None and at < ban else None, by.rule, _rows(shop, log), shots,
        stage, _stage_words(by, stage, shots), hand, following, reason, _wipe(shop, found, entered, hand),
        _block_words(blocks, number, at), _between(found, blocks, number, at), number, logged,
        event_ticks.clean_words(shop, going),
    )  # fmt: skip


def _countdown(found: Event, entered: Entered, at: datetime) -> str:
    held = events.competition_of(found, entered)
    if held is None:
        return "no times yet: ask when pads are barred"
    if at < held.starts_at:
        left = held.starts_at - at
        if left > SOON:
            return f"no pads from {when_words(held.starts_at, at)}"
        return f"no pads from now: {hours(left)}" if left >= timedelta(minutes=1) else "no pads from now"
    return events.allowed_words(found, entered, at)


def _block_at(blocks: tuple[Block, ...], at: datetime) -> int | None:
    """The block that is on, or the last one that is over; None before the first."""
    begun = [k for k, block in enumerate(blocks, 1) if block.starts_at <= at]
    return begun[-1] if begun else None


def _block_words(blocks: tuple[Block, ...], number: int | None, at: datetime) -> str:
    if not blocks:
        return "no blocks yet"
    if number is None:
        first = blocks[0]
        return f"block 1 of {len(blocks)}, {words.count(first.games, 'game')}, {when_words(first.starts_at, at)}"
    block = blocks[number - 1]
    said = f"block {number} of {len(blocks)}, {words.count(block.games, 'game')}"
    over = over_at(block) <= at
    return f"{said}, over" if over else f"{said}, since {event_words.clock(block.starts_at)}"


def _between(found: Event, blocks: tuple[Block, ...], number: int | None, at: datetime) -> str:
    """What holds until the next block; empty while one is on and after the last."""
    if number is None or number >= len(blocks) or at < over_at(blocks[number - 1]):
        return ""
    oil = {Reoiled.EACH: "re-oiled", Reoiled.FIRST: "not re-oiled", Reoiled.UNKNOWN: "re-oiled? ask"}[found.reoiled]
    may = "pads allowed" if found.between_allowed else "pads not allowed"
    return f"between blocks: {oil}, {may} until {when_words(blocks[number].starts_at, at)}"


def _thrown(shop: Shop, found: Event, entered: Entered, at: datetime) -> dict[int, list[Entry]]:
    """Today's shots by ball, at the event's days only."""
    made: dict[int, list[Entry]] = {}
    if not found.first_on <= at.date() <= event_checks.last_day(found):
        return made
    for ball in shop.balls(entered.bowler_id):
        own = [
            e for e in effective(shop.entries(ball.id))
            if e.on == at.date() and isinstance(e.payload, Played | Shot)
        ]  # fmt: skip
        if own:
            made[ball.id] = own
    return made


def _rows(shop: Shop, log: Mapping[int, list[Entry]]) -> tuple[Thrown, ...]:
    rows = []
    for ball_id, entries in log.items():
        shots = round(sum(shots_in(e.payload) for e in entries))
        wiped = {e.payload.wiped for e in entries if isinstance(e.payload, Played)}
        how = ", wiped every shot" if wiped == {Wiped.EACH} else ", not wiped" if wiped == {Wiped.NEVER} else ""
        rows.append(Thrown(ball_id, shop.ball(ball_id).name, f"{words.count(shots, 'shot')}{how}"))
    return tuple(rows)


def shots_on_pair(
    shop: Shop, found: Event, entered: Entered, log: Mapping[int, list[Entry]], at: datetime
) -> int:  # fmt: skip
    """Shots thrown by everybody on this oil: by the log where it is ahead, else by the clock."""
    p, people = shop.priors.traffic, 1 + entered.right_handers + entered.left_handers
    a_game = people * (p.strike_shots + p.spare_shots)
    games = _games_by_clock(found, entered, at)
    strikes = sum(shots_in(e.payload) for own in log.values() for e in own)
    if found.reoiled is not Reoiled.EACH:
        games = max(games, strikes / p.strike_shots)
    return round(people * p.warm_up_shots + games * a_game) if games > 0.0 or at.date() == found.first_on else 0


def _games_by_clock(found: Event, entered: Entered, at: datetime) -> float:
    games = 0.0
    for block in event_checks.blocks_of(found, entered.squad):
        if block.starts_at > at or (found.reoiled is not Reoiled.EACH and block.starts_at.date() != at.date()):
            continue
        share = min((at - block.starts_at) / (over_at(block) - block.starts_at), 1.0)
        games = share * block.games + (0.0 if found.reoiled is Reoiled.EACH else games)
    return games


def _stage(plan: EventPlan, shots: int) -> str:
    """Key of the stage this many shots on the pair lie in."""
    own = [s for s in plan.stages if not s.variant]
    here = next((s for s in own if s.to_shot is None or shots < s.to_shot), own[-1])
    return here.key


def _stage_words(plan: EventPlan, key: str, shots: int) -> str:
    title = next(s.title for s in plan.stages if s.key == key).lower()
    return f"{title}, about shot {5 * round(shots / 5)} on the pair" if shots else f"{title}, before the first shot"


def _in_hand(plan: EventPlan, log: Mapping[int, list[Entry]], stage: str) -> str:
    """The strike ball thrown last, else what covers the stage."""
    strikes = {row.ball_id: row.name for row in plan.rows if not row.spare}
    last = max(((e.seq, ball_id) for ball_id, own in log.items() for e in own if ball_id in strikes), default=None)
    if last is not None:
        return strikes[last[1]]
    covered = next((c for c in plan.covered if c.stage == stage), None)
    return covered.name if covered and covered.ball_id is not None else ""


def _next(plan: EventPlan, stage: str, hand: str) -> tuple[str, str]:
    """The next ball down and why: the first stage from here on that another ball covers better than the one in hand."""
    own = [s for s in plan.stages if not s.variant]
    here = next(k for k, s in enumerate(own) if s.key == stage)
    for k, head in enumerate(own[here:], here):
        cover = next((c for c in plan.covered if c.stage == head.key), None)
        if cover is None or cover.ball_id is None or cover.name == hand:
            continue
        rooms = {row.name: next(c for c in row.cells if c.stage == head.key) for row in plan.rows if row.cells}
        there, with_it = rooms.get(cover.name), rooms.get(hand)
        if there is None:
            continue
        when = "now" if k == here else f"from shot {head.from_shot}"
        share = f"{100 * there.room:.0f} ± {max(100 * there.room_sd, 1):.0f} of 100 in the pocket"
        against = f", {hand} {100 * with_it.room:.0f}" if with_it else ""
        return cover.name, f"{when}, {head.title.lower()}: {share}{against}"
    return hand, "nothing else covers what is to come better" if hand else ""


def _wipe(shop: Shop, found: Event, entered: Entered, hand: str) -> str:
    ball = next((b for b in shop.balls(entered.bowler_id) if b.name == hand), None)
    lane = lanes_of(shop, found, entered)[0]
    volume = float(bed(lane, True, shop.priors).volume_m3[0])
    if ball is not None and ball.cover is Cover.URETHANE:
        return "wipe every shot: urethane keeps its film"
    if volume >= HEAVY_M3:
        return f"wipe every shot: {volume * 1e6:.0f} mL is heavy oil"
    if ball is not None and ball.cover is Cover.POLYESTER:
        return "wipe when it looks oily"
    return "wipe every shot, so that the next one goes where this one went"


# ---- the block, logged in one action afterwards


def log_block(
    shop: Shop, event_id: int, bowler_id: int, number: int, games: Mapping[int, float], *,
    wiped: Wiped | None = Wiped.EACH, initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Log a block for the balls used, `games` each by ball id, in one act with one undo. Raises OutOfRange for a block
    there is not and for more games than it has; KnownError where it lies ahead or is logged already.
    """
    found, entered = events.event_of(shop, event_id), events.entered_of(shop, event_id, bowler_id)
    blocks = event_checks.blocks_of(found, entered.squad)
    if not 1 <= number <= len(blocks):
        raise OutOfRange("block", number, f"1 to {len(blocks)}" if blocks else "one of the event's; it has none yet")
    block = blocks[number - 1]
    on = block.starts_at.date()
    if on > shop.today():
        raise KnownError(f"Block {number} is still to come.", next_step="Log it once it was played.")
    if _is_logged(shop, found, entered, number):
        raise KnownError(f"Block {number} is logged already.", next_step="Take that back first, or log a line.")
    used = {ball_id: many for ball_id, many in games.items() if many > 0.0}
    if not used or any(many < 0.0 for many in games.values()):
        raise KnownError("No ball has any games.", next_step="Say how many games each ball was thrown.")
    strikes = sum(many for ball_id, many in used.items() if not shop.ball(ball_id).spare)
    if strikes > block.games + 1e-9:
        raise OutOfRange(
            "games of all strike balls together", f"{strikes:g}", f"at most {block.games}, as the block has"
        )
    lane = lanes_of(shop, found, entered)
    lane_id = block.lane_id or (lane[0].id if len(lane) == 1 and lane[0].id else None)
    typed = _block_name(found, number)
    drafts = [
        Draft(ball_id, Kind.PLAYED, on, Played(many * SHOTS_A_GAME, 0.0, many, lane_id, wiped), typed)
        for ball_id, many in used.items()
    ]
    names = event_words.listed([f"{shop.ball(i).name} {words.count(n, 'game')}" for i, n in used.items()])
    return logging.keep(shop, drafts, initiator, sentence=f"Logged block {number} of {found.name}: {names}")


def _block_name(found: Event, number: int) -> str:
    return f"{found.name}, {found.first_on.isoformat()}, block {number}"


def _is_logged(shop: Shop, found: Event, entered: Entered, number: int) -> bool:
    name = _block_name(found, number)
    return any(e.typed == name for ball in shop.balls(entered.bowler_id) for e in effective(shop.entries(ball.id)))
