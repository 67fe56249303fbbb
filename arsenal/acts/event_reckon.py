"""The numbers behind an event's plan: stages, rooms of every finish at each, and the bag; each reckoned once."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from arsenal.acts import event_checks, event_offers, event_pair, event_ticks, events, taught
from arsenal.acts.event_offers import AS_IT_IS, Offer
from arsenal.acts.event_ticks import Going
from arsenal.acts.shop import Shop
from arsenal.motion import batch, body_of, grip, reference
from arsenal.motion.grips import Grip
from arsenal.motion.pair import Stage as Worn
from arsenal.motion.pair import Traffic
from arsenal.order import shot as shots
from arsenal.order.compare import Reaction
from arsenal.plan import bag as bags
from arsenal.plan import bag_rooms, stages
from arsenal.plan.bag import Asked, Bag, Option
from arsenal.plan.bag_rooms import Beds, Curve, Thrower
from arsenal.plan.own_lines import OwnLine
from arsenal.plan.stages import LaneStage
from arsenal.surface.state import Holder
from arsenal.trade.ball import Ball
from arsenal.trade.errors import KnownError
from arsenal.trade.event import Chosen, Entered, Event, Reoiled
from arsenal.trade.factors import BallFactors
from arsenal.trade.lane import Lane, UnknownHouse
from arsenal.trade.person import Person
from arsenal.trade.units import BOARD_M

UNKNOWN_GAMES = 6
"""Games of a set nobody has described (our own assumption)."""
UNKNOWN_HOUSE = Lane(0, "unknown house", UnknownHouse())
Progress = Callable[[str, int, int], None]
"""Told what is being reckoned, how much is done, of how much."""


STAGES_TO, ROOMS_TO, OF = 0.35, 0.85, 1000
"""Shares of the time it takes, about: the stages, the rooms; the rest are the balls' own lines."""


@dataclass(frozen=True, slots=True)
class Shares:
    """Tells how far a plan is, of `OF`."""

    progress: Progress | None

    def stages(self, share: float) -> None:
        """How much of the stages is told."""
        self._tell("the stages of the lane", STAGES_TO * share)

    def rooms(self, name: str, share: float) -> None:
        """How much of the rooms is there, and whose come next."""
        self._tell(name, STAGES_TO + (ROOMS_TO - STAGES_TO) * share)

    def lines(self, share: float) -> None:
        """How many of the balls' own lines are there."""
        self._tell("the balls' own lines", ROOMS_TO + (1.0 - ROOMS_TO) * share)

    def _tell(self, what: str, share: float) -> None:
        if self.progress:
            self.progress(what, round(OF * share), OF)


@dataclass(frozen=True, slots=True)
class Reckoned:
    """Everything a plan is made of. `lines` are the balls' own lines by (ball id, finish, stage)."""

    event: Event
    entered: Entered
    bowler: Person
    lanes: tuple[Lane, ...]
    traffic: Traffic
    games: int
    stages: tuple[LaneStage, ...]
    beds: tuple[Beds, ...]
    thrower: Thrower
    factors: Mapping[int, BallFactors]
    offers: tuple[Offer, ...]
    """Of balls in the bag, those to buy a pad for among them."""
    kinds: tuple[Offer, ...]
    options: tuple[Option, ...]
    """One for each of `offers`, then one for each of `kinds`."""
    asked: Asked
    bag: Bag
    names: Mapping[int, str]

    def offer(self, ball_id: int, finish: str) -> Offer:
        """The offer of that name."""
        return next(o for o in (*self.offers, *self.kinds) if (o.ball.id, o.name) == (ball_id, finish))

    def option(self, ball_id: int, finish: str) -> Option:
        """Its rooms."""
        return next(o for o in self.options if (o.ball_id, o.finish) == (ball_id, finish))

    @property
    def reachable(self) -> tuple[Option, ...]:
        """What pads in stock, time and the rules allow."""
        return tuple(
            option for offer, option in zip(self.offers, self.options, strict=False)
            if not offer.to_buy and not offer.why_not
        )  # fmt: skip


def games_of(event: Event, entered: Entered) -> int:
    """Games on one oil: of the longest block where each begins on fresh oil, else of all blocks together."""
    blocks = event_checks.blocks_of(event, entered.squad)
    if not blocks:
        return UNKNOWN_GAMES
    if event.reoiled is Reoiled.EACH:
        return max(b.games for b in blocks)
    return sum(b.games for b in blocks)


def lanes_of(shop: Shop, event: Event, entered: Entered) -> tuple[Lane, ...]:
    """Conditions it may be played on: the blocks' own, else the event's, else an unknown house."""
    own = [b.lane_id for b in event_checks.blocks_of(event, entered.squad) if b.lane_id is not None]
    ids = tuple(dict.fromkeys(own or event.lane_ids))
    return tuple(shop.lane(i) for i in ids) or (UNKNOWN_HOUSE,)


def reckon(shop: Shop, event_id: int, bowler_id: int, progress: Progress | None = None) -> Reckoned:
    """Raises NotFound; KnownError where the throw is not known, and where no bag can be as asked, naming what to
    change.
    """
    event, entered = events.event_of(shop, event_id), events.entered_of(shop, event_id, bowler_id)
    bowler = shop.person(bowler_id)
    style = shots.style_of(bowler)
    _check_pins(shop, entered)
    lanes = lanes_of(shop, event, entered)
    thrower = Thrower(style, bowler.hooks_to_left)
    tell = Shares(progress)
    tell.stages(0.0)
    pair, games = event_pair.traffic(shop, bowler, entered, lanes[0]), min(games_of(event, entered), 10)
    told = shop.remembered(
        ("event stages", lanes, pair, games), lambda: _stages(shop, lanes, pair, games, tell)
    )  # fmt: skip
    tell.stages(1.0)
    beds = shop.remembered(
        ("event beds", lanes, pair, games, thrower), lambda: bag_rooms.ready(told, thrower, shop.priors)
    )  # fmt: skip
    found, had = offers_now(shop, event, entered)
    kinds = event_offers.not_owned(shop, bowler_id)
    factors = taught.taught_of(shop, bowler_id)
    curves = _curves(shop, beds, (*found, *kinds), thrower, factors, tell)
    options = _options(shop, bowler, told, beds, (*found, *kinds), thrower, factors, curves)
    asked = _asked(shop, event, entered, told, found, had)
    names = {ball.id: ball.name for ball in had}
    usable = tuple(o for offer, o in zip(found, options, strict=False) if not offer.to_buy)
    _check_finishes(entered, usable, names)
    chosen = shop.remembered(("event bag", usable, _told(asked)), lambda: bags.choose(usable, asked, names))
    return Reckoned(
        event, entered, bowler, lanes, pair, games, told, beds, thrower, factors, found, kinds, options, asked, chosen,
        names,
    )  # fmt: skip


def _stages(shop: Shop, lanes: tuple[Lane, ...], pair: Traffic, games: int, tell: Shares) -> tuple[LaneStage, ...]:
    """The lanes worn for it are remembered until all stages are told, so that what gives way goes on from there."""
    used: set[object] = set()

    def keep(key: object, make: Callable[[], tuple[Worn, ...]]) -> tuple[Worn, ...]:
        used.add(("event worn", hash(key)))
        return shop.latest(("event worn", hash(key)), key, make)

    told = stages.stages(lanes, pair, shop.priors, games=games, keep=keep, progress=tell.stages)
    for slot in used:
        shop.latest(slot, None, tuple)
    return told


def offers_now(shop: Shop, event: Event, entered: Entered) -> tuple[tuple[Offer, ...], list[Ball]]:
    """Every finish each ball in the bag can have by then, and those balls. Nothing is thrown for it."""
    barred = (at := events.ban_at(event, entered)) is not None and shop.now() >= at and not event.between_allowed
    had = [ball for ball, _ in shop.held(entered.bowler_id) if not ball.spare]
    return event_offers.offers(shop, entered.bowler_id, had, spinner=entered.spinner, barred=barred), had


def _told(asked: Asked) -> object:
    return repr(asked)


def _check_pins(shop: Shop, entered: Entered) -> None:
    for chosen in entered.chosen:
        ball, state = shop.ball(chosen.ball_id), shop.state(chosen.ball_id)
        if chosen.take and state.holder is not Holder.OWNED:
            where = f"{state.holder.value} to {state.holder_name}" if state.holder_name else state.holder.value
            raise KnownError(f"{ball.name} is pinned and is {where}.", next_step="Unpin it, or log that it is back.")
        if chosen.take and ball.spare:
            raise KnownError(f"{ball.name} is a spare ball: it goes along anyway.", next_step="Unpin it.")


def _check_finishes(entered: Entered, usable: Sequence[Option], names: Mapping[int, str]) -> None:
    have = {(o.ball_id, o.finish) for o in usable}
    for chosen in entered.chosen:
        wanted = chosen.finish is not None and chosen.ball_id in names and chosen.take is not False
        if wanted and (chosen.ball_id, chosen.finish) not in have:
            raise KnownError(
                f"{names[chosen.ball_id]} cannot have {chosen.finish} by then: a pad for it is not in stock, or no "
                f"pads are allowed any more.",
                next_step="Let go of that finish, or add the pad.",
            )


def _asked(
    shop: Shop, event: Event, entered: Entered, told: Sequence[LaneStage], found: Sequence[Offer], had: Sequence[Ball]
) -> Asked:  # fmt: skip
    known = {ball.id for ball in had}
    settled = {c.ball_id: c.take for c in entered.chosen if c.take is not None and c.ball_id in known}
    finishes = {
        c.ball_id: AS_IT_IS if _on_it(shop, event, entered, found, c) else c.finish
        for c in entered.chosen if c.finish is not None and c.ball_id in known
    }  # fmt: skip
    most = min(event.balls_allowed or len(had), max(len(had), 1))
    return Asked(most, entered.minutes, settled, finishes, tuple(s.likely for s in told))


def _on_it(shop: Shop, event: Event, entered: Entered, found: Sequence[Offer], chosen: Chosen) -> bool:
    """Whether the finish asked for by hand was put on the ball in the last days: it is not put on twice."""
    offer = next((o for o in found if (o.ball.id, o.name) == (chosen.ball_id, chosen.finish) and o.steps), None)
    if offer is None:
        return False
    going = Going(event, entered, (), (), {})
    return event_ticks.logged(shop, going, chosen.ball_id, f"work:{chosen.ball_id}:{offer.label}") is not None


def _curves(
    shop: Shop, beds: Sequence[Beds], found: Sequence[Offer], thrower: Thrower, factors: Mapping[int, BallFactors],
    shares: Shares,
) -> dict[tuple[int, str], Curve]:  # fmt: skip
    by_ball: dict[int, list[Offer]] = {}
    for offer in found:
        by_ball.setdefault(offer.ball.id, []).append(offer)
    balls = [(own[0].ball, [o.state for o in own]) for own in by_ball.values()]
    names = [own[0].ball.name for own in by_ball.values()]

    def tell(done: int, of: int) -> None:
        share = done / of if of else 1.0
        shares.rooms(names[min(int(share * len(names)), len(names) - 1)] if names else "", share)

    return bag_rooms.curves(
        beds, balls, thrower, shop.priors, factors=factors, keep=shop.remembered, progress=tell
    )  # fmt: skip


def _options(
    shop: Shop, bowler: Person, told: Sequence[LaneStage], beds: Sequence[Beds], found: Sequence[Offer],
    thrower: Thrower, factors: Mapping[int, BallFactors], curves: Mapping[tuple[int, str], Curve],
) -> tuple[Option, ...]:  # fmt: skip
    stands = _stands(shop, bowler, told[0], beds[0], found, thrower, factors)
    made = []
    for offer, at in zip(found, stands, strict=True):
        own = factors_of(offer, factors)
        rooms = tuple(
            bag_rooms.room_of(curves[offer.ball.id, s.key], offer.state, shop.priors, own) for s in told
        )  # fmt: skip
        made.append(Option(offer.ball.id, offer.name, rooms, offer.minutes, at))
    return tuple(made)


def factors_of(offer: Offer, factors: Mapping[int, BallFactors]) -> BallFactors | None:
    """What practice has taught of the ball; of a finish it has not had, only what goes whatever is on it."""
    own = factors.get(offer.ball.id)
    return own.without_finish if own is not None and offer.steps else own


def _stands(
    shop: Shop, bowler: Person, first: LaneStage, on: Beds, found: Sequence[Offer], thrower: Thrower,
    factors: Mapping[int, BallFactors],
) -> list[Reaction]:  # fmt: skip
    """Every finish in the order of the first stage: boards against the benchmark as it is, on one shared shot."""
    priors, bed = shop.priors, on.beds[0]
    line, _, _ = shots.line_for(bowler, first.lane, bed, priors)
    ball, state = reference(priors)
    pieces = [(o.ball, o.state, factors_of(o, factors)) for o in found] + [(ball, state, None)]
    grips = [grip(b, s, priors, thrower.style, on.volume_m3, factors=f) for b, s, f in pieces]
    runs = batch(bed, [body_of(b, s) for b, s, _ in pieces], thrower.style.on(line), Grip.join(grips))
    bench = next((k for k, o in enumerate(found) if o.ball.id == bowler.benchmark_ball_id), len(found))
    zero = float(runs.landing_m[bench])
    return [
        Reaction(
            o.ball.id, (float(runs.landing_m[k]) - zero) / BOARD_M, _known(runs.first_read_m[k]),
            _known(runs.shape_m[k]),
        )
        for k, o in enumerate(found)
    ]  # fmt: skip


def _known(value: float) -> float | None:
    return float(value) if value == value else None  # noqa: PLR0124  (not a number is not itself)


def line_of(shop: Shop, made: Reckoned, offer: Offer, stage: int) -> OwnLine:
    """The ball's own best line at a stage, with the misses it stands."""
    own = factors_of(offer, made.factors)
    key = ("event line", made.lanes, made.traffic, made.games, made.stages[stage].key, offer, own, made.thrower)
    return shop.remembered(
        key, lambda: bag_rooms.own(made.beds[stage], offer.ball, offer.state, made.thrower, shop.priors, own)
    )  # fmt: skip


def without(made: Reckoned, ball_id: int) -> Bag:
    """What the stages would be covered with if this ball stayed home."""
    asked = replace(made.asked, settled={**made.asked.settled, ball_id: False})
    return bags.reach(made.reachable, asked)
