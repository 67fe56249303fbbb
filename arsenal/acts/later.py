"""Later in a set: who else is on the pair, and the lane as some games by all of them left it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from arsenal.acts import taught
from arsenal.acts.shop import Shop
from arsenal.acts.taught import Known
from arsenal.motion import reference
from arsenal.motion.pair import Player, Stage, Traffic
from arsenal.motion.traffic import MOST_GAMES, evolve
from arsenal.order import Order
from arsenal.order.later import order_on
from arsenal.order.ranking import Owned
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Recipe
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors
from arsenal.trade.release import Line

GAMES = (0, 1, 3, 6)
"""Games after which a lane is usually asked for; 0 is fresh."""
WORKED_OUT = (1, 3, 6, MOST_GAMES)
COUNTS = ("no more", "one more", "two more", "three more", "four more", "five more", "six more", "seven more")
KEPT = "on the pair"


def who(shop: Shop, bowler_id: int) -> tuple[int, ...]:
    """Who was last said to be on the pair with this bowler; empty where nobody said."""
    kept = shop.settings.kept.get(KEPT)
    found = kept.get(str(bowler_id), ()) if isinstance(kept, dict) else ()
    known = {person.id for person in shop.people() if person.style is not None}
    return tuple(i for i in found if i in known) if isinstance(found, list) else ()


def say_who(shop: Shop, bowler_id: int, with_ids: Sequence[int]) -> None:
    """Keep who is on the pair with this bowler, on this machine. Himself alone means nobody else; none at all means
    nobody said. Raises NotFound, KnownError as `traffic` does, and where the settings cannot be written.
    """
    _others(shop, shop.person(bowler_id), with_ids)
    kept = shop.settings.kept.get(KEPT)
    shop.settings.kept[KEPT] = {**(kept if isinstance(kept, dict) else {}), str(bowler_id): list(with_ids)}
    shop.settings.save()


def words(shop: Shop, bowler: Person, game: int, with_ids: Sequence[int] = ()) -> str:
    """“after 3 games by Mirel Oster and three more who throw alike”; empty for a fresh lane."""
    if not game:
        return ""
    games = "1 game" if game == 1 else f"{game} games"
    if not with_ids:
        more = COUNTS[min(shop.priors.traffic.bowlers - 1, len(COUNTS) - 1)]
        return f"after {games} by {bowler.name} and {more} who throw alike"
    named = [bowler.name, *(p.name for p in _others(shop, bowler, with_ids))]
    if len(named) == 1:
        return f"after {games} by {bowler.name} alone"
    return f"after {games} by {', '.join(named[:-1])} and {named[-1]}"


def traffic(shop: Shop, bowler: Person, lane: Lane, with_ids: Sequence[int] = ()) -> Traffic:
    """Everybody on the pair, the bowler first, each with the ball he would have in hand.

    Where nobody was named, three more like the bowler: one slower with more revs, one alike, one faster with fewer.
    Naming only the bowler himself means that he bowls alone. Raises NotFound, KnownError where somebody's throw is not
    known.
    """
    first = _player(shop, bowler, lane)
    if not with_ids:
        return Traffic((first, *_alike(first, shop.priors)))
    return Traffic((first, *(_player(shop, other, lane) for other in _others(shop, bowler, with_ids))))


def stage(shop: Shop, bowler: Person, lane: Lane, game: int, with_ids: Sequence[int] = (), seed: int = 1) -> Stage:
    """The lane after `game` games by everybody on the pair. Raises OutOfRange for games no set has."""
    if not 0 <= game <= MOST_GAMES:
        raise OutOfRange("games", game, f"0 to {MOST_GAMES}")
    pair = traffic(shop, bowler, lane, with_ids)
    games = next(g for g in WORKED_OUT if g >= game)
    made = shop.remembered(
        ("stages", lane, pair, games, seed), lambda: evolve(lane, pair, shop.priors, games, seed)
    )  # fmt: skip
    return made[game]


def order(
    shop: Shop, known: Known, had: Sequence[Owned], game: int, with_ids: Sequence[int], *,
    line: Line | None, seed: int, draws: int, rooms: bool, recipes: Sequence[Recipe],
) -> tuple[Stage, Order]:  # fmt: skip
    """The lane after `game` games, and the order of what the bowler had on it."""
    bowler, lane = known.bowler, known.lane
    pair = traffic(shop, bowler, lane, with_ids)
    at = stage(shop, bowler, lane, game, with_ids, seed)

    def make() -> Order:
        made = order_on(
            at, bowler, lane, had, known.priors, pair, line=line, seed=seed, draws=draws, rooms=rooms,
            recipes=recipes, pads=shop.pads_by_id(), taught=known.taught,
        )  # fmt: skip
        return taught.remarked(made, known)

    key = ("later", had, known.key, pair, game, line, seed, draws, rooms, recipes, shop.pads())
    return at, shop.remembered(key, make)


def _others(shop: Shop, bowler: Person, with_ids: Sequence[int]) -> tuple[Person, ...]:
    return tuple(shop.person(i) for i in dict.fromkeys(with_ids) if i != bowler.id)


def _player(shop: Shop, person: Person, lane: Lane) -> Player:
    if person.style is None:
        raise KnownError(
            f"How {person.name} throws is not known yet.", next_step="Say speed and revs, or leave them off the pair."
        )
    held = shop.held(person.id)
    strikes = [pair for pair in held if not pair[0].spare]
    own = [pair for pair in strikes if pair[0].id == person.benchmark_ball_id]
    middle = sorted(strikes, key=lambda pair: (pair[1].ln_ra_m.mean, pair[0].id))[len(strikes) // 2 :]
    ball, state = (*own, *middle, reference(shop.priors))[0]
    spare = next((pair for pair in held if pair[0].spare), None)
    line = dict(person.lines).get(lane.id)
    factors = taught.taught_of(shop, person.id).get(ball.id)
    return Player(
        person.style, person.hooks_to_left, ball, state, line=line, spare=spare, name=person.name, factors=factors
    )  # fmt: skip


def _alike(first: Player, priors: Priors) -> tuple[Player, ...]:
    p, style = priors.traffic, first.style
    made = []
    for i in range(p.bowlers - 1):
        step = (i + 2) % 3 - 1  # one faster, one slower, one alike, and so on
        speed, revs = style.speed_mps * (1.0 + step * p.like_speed), style.rev_rate_radps * (1.0 - step * p.like_revs)
        made.append(replace(first, style=replace(style, speed_mps=speed, rev_rate_radps=revs), line=None, name=""))
    return tuple(made)
