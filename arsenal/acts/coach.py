"""The coach's sheet: one row a bowler on one condition, and what a coach logs for several at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from arsenal.acts import cards, lane_side, logging, rules_now, words
from arsenal.acts.shop import Shop
from arsenal.acts.views import BagCard, Changes, LaneSide, RuleState
from arsenal.order.records import OrderRow
from arsenal.plan.records import Due, Job
from arsenal.trade.entries import Cleaned, Draft, Kind, Played, Saw, Seen, Wiped, effective
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.person import Person
from arsenal.trade.units import SHOTS_A_GAME

_RANK = {Due.FINE: 0, Due.SOON: 1, Due.DUE: 2, Due.OVER: 3}
_WIPED = {Wiped.EACH: ", wiped every shot", Wiped.SOMETIMES: ", wiped sometimes", Wiped.NEVER: ", never wiped"}


@dataclass(frozen=True, slots=True)
class LastSeen:
    """What the bowler's last shot did today, and how often that word came in a row up to now."""

    seen: Seen
    times: int
    ago_s: float
    ball_id: int


@dataclass(frozen=True, slots=True)
class CoachRow:
    """One bowler. Where there is no order, `side` is None and `missing` says why in a sentence."""

    bowler: Person
    rule: RuleState
    side: LaneSide | None = None
    hand: OrderRow | None = None
    """The ball in hand."""
    down: OrderRow | None = None
    """The next weaker ball; None where the weakest is in hand."""
    saw: LastSeen | None = None
    due: Job | None = None
    """The worst job on the ball in hand, None where nothing is due."""
    missing: str = ""


@dataclass(frozen=True, slots=True)
class CoachSheet:
    """The rows in the order asked for; `lane_id` None is each bowler's usual condition."""

    rows: tuple[CoachRow, ...]
    lane_id: int | None


def coach_sheet(
    shop: Shop, bowler_ids: Sequence[int], lane_id: int | None = None, *, hands: Mapping[int, int] | None = None
) -> CoachSheet:
    """One row a bowler. `hands` is the ball in hand by bowler where somebody said so. Raises NotFound for a bowler or
    lane that is not in the file; a bowler without a throw or without balls gets a row that says so.
    """
    held = hands or {}
    return CoachSheet(tuple(coach_row(shop, i, lane_id, hand=held.get(i)) for i in bowler_ids), lane_id)


def coach_row(shop: Shop, bowler_id: int, lane_id: int | None = None, *, hand: int | None = None) -> CoachRow:
    """One bowler's row. `hand` is the ball in hand; None, or a ball that is not in the order: the strike ball thrown
    last, else the benchmark.
    """
    bowler = shop.person(bowler_id)
    if lane_id is not None:
        shop.lane(lane_id)
    rule = rules_now.rule_state(shop, bowler_id)
    if bowler.style is not None and not any(not ball.spare for ball, _ in shop.held(bowler_id)):
        return CoachRow(bowler, rule, missing="No strike ball in the bag yet.")
    try:
        side = lane_side.lane_side(shop, bowler_id, lane_id, rooms=False)
    except KnownError as error:
        return CoachRow(bowler, rule, missing=error.sentence)
    row, down = _in_hand(shop, side, hand)
    return CoachRow(bowler, rule, side, row, down, last_seen(shop, bowler_id), _worst(side, row))


def last_seen(shop: Shop, bowler_id: int) -> LastSeen | None:
    """The word logged last today for any ball of the bowler; None where there is none."""
    balls = shop.balls(bowler_id)
    shop.read_ahead(balls)
    today = shop.today()
    found = sorted(
        (e for ball in balls for e in effective(shop.entries(ball.id)) if e.on == today and isinstance(e.payload, Saw)),
        key=lambda entry: entry.seq, reverse=True,
    )  # fmt: skip
    if not found:
        return None
    seen = [e.payload.seen for e in found if isinstance(e.payload, Saw)]
    times = next((n for n, word in enumerate(seen) if word is not seen[0]), len(seen))
    ago_s = max(0.0, (shop.now() - found[0].at).total_seconds())
    return LastSeen(seen[0], times, ago_s, found[0].ball_id)


def saw(
    shop: Shop, bowler_id: int, seen: Seen, *, ball_id: int | None = None, lane_id: int | None = None,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Log what a bowler's shot did. `ball_id` None is the ball in hand. Raises NotFound where there is none."""
    ball, bowler = _ball_of(shop, bowler_id, ball_id), shop.person(bowler_id)
    draft = Draft(ball, Kind.SAW, shop.today(), Saw(seen, lane_id))
    said = f"Logged {seen}, {bowler.name}, {shop.ball(ball).name}"
    return logging.keep(shop, (draft,), initiator, sentence=said)


def all_threw(
    shop: Shop, bowler_ids: Sequence[int], games: float, wiped: Wiped | None = None, cleaned: bool = True, *,
    hands: Mapping[int, int] | None = None, lane_id: int | None = None, initiator: str = "desk",
) -> Changes:  # fmt: skip
    """One act: each bowler threw that many games with the ball in hand today, wiped so, and cleaned it the same night.
    `hands` says what is in hand where it is not the ball thrown last; `lane_id` None is each bowler's usual condition.
    Raises KnownError where it leaves nobody, NotFound for a bowler without a ball, OutOfRange for the games.
    """
    held = hands or {}
    drafts: list[Draft] = []
    for bowler_id in dict.fromkeys(bowler_ids):
        ball = _ball_of(shop, bowler_id, held.get(bowler_id))
        lane = lane_id if lane_id is not None else shop.person(bowler_id).usual_lane_id
        played = Played(games * SHOTS_A_GAME, games_typed=games, lane_id=lane, wiped=wiped)
        drafts.append(Draft(ball, Kind.PLAYED, shop.today(), played))
        if cleaned:
            drafts.append(Draft(ball, Kind.CLEANED, shop.today(), Cleaned()))
    if not drafts:
        raise KnownError("That leaves nobody to log for.", next_step="Tick one bowler at least.")
    names = [shop.person(bowler_id).name for bowler_id in dict.fromkeys(bowler_ids)]
    whom = names[0] if len(names) == 1 else f"{len(names)} bowlers"
    said = f"Logged {words.count(games, 'game')} for {whom}{_WIPED[wiped] if wiped else ''}"
    return logging.keep(shop, drafts, initiator, sentence=said + (", cleaned" if cleaned else ""))


def bag_cards(
    shop: Shop, bowler_ids: Sequence[int], lane_id: int | None = None, *, hands: Mapping[int, int] | None = None,
    progress: Callable[[float], None] = lambda _share: None,
) -> tuple[BagCard, ...]:  # fmt: skip
    """A bag card of each bowler who has an order; the others are left out. Raises KnownError where nobody has one."""
    made: list[BagCard] = []
    for number, bowler_id in enumerate(bowler_ids):
        progress(number / len(bowler_ids))
        row = coach_row(shop, bowler_id, lane_id, hand=(hands or {}).get(bowler_id))
        if row.side is not None and row.side.order.rows:
            side = lane_side.lane_side(shop, bowler_id, row.side.lane.id)
            made.append(cards.bag_card(shop, side, in_hand=row.hand.ball.id if row.hand else None))
    if not made:
        raise KnownError("There is no order to print.", next_step="Say how somebody throws, and add balls.")
    return tuple(made)


def _in_hand(shop: Shop, side: LaneSide, hand: int | None) -> tuple[OrderRow | None, OrderRow | None]:
    rows = side.order.rows
    by_id = {row.ball.id: at for at, row in enumerate(rows)}
    wanted = (hand, logging.ball_in_hand(shop, side.bowler.id), side.order.benchmark_ball_id)
    at = next((by_id[ball] for ball in wanted if ball in by_id), 0)
    if not rows:
        return None, None
    return rows[at], rows[at + 1] if at + 1 < len(rows) else None


def _worst(side: LaneSide, row: OrderRow | None) -> Job | None:
    own = [job for job in side.jobs if row is not None and job.ball_id == row.ball.id]
    return max(own, key=lambda job: (job.damage, _RANK[job.due], job.share), default=None)


def _ball_of(shop: Shop, bowler_id: int, ball_id: int | None) -> int:
    """The ball meant for a bowler. Raises NotFound."""
    bowler = shop.person(bowler_id)
    found = ball_id if ball_id is not None else logging.ball_in_hand(shop, bowler_id)
    if found is None:
        raise NotFound(f"{bowler.name} has no ball in hand.", next_step="Add a ball, or leave this bowler out.")
    if shop.ball(found).owner_id != bowler_id:
        raise NotFound(f"{shop.ball(found).name} is not a ball of {bowler.name}.")
    return found
