"""Who is on the pair at an event: the bowler, and so many others by the side they wear."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts import later
from arsenal.acts.shop import Shop
from arsenal.motion.pair import Player, Traffic
from arsenal.trade.event import Entered
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person
from arsenal.trade.priors import Priors


def traffic(shop: Shop, bowler: Person, entered: Entered, lane: Lane) -> Traffic:
    """The bowler first; the others throw like him, some a little faster with fewer revs, some slower with more, those
    of the other side in the mirror. Raises KnownError where the bowler's throw is not known.
    """
    own = later.traffic(shop, bowler, lane, (bowler.id,)).players[0]
    left = (own.hooks_to_left, entered.right_handers), (not own.hooks_to_left, entered.left_handers)
    if not own.hooks_to_left:
        left = (own.hooks_to_left, entered.left_handers), (not own.hooks_to_left, entered.right_handers)
    sides = [side for side, count in left for _ in range(count)]
    return Traffic((own, *(_like(own, side, k, shop.priors) for k, side in enumerate(sides))))


def _like(first: Player, hooks_to_left: bool, k: int, priors: Priors) -> Player:
    p, style, step = priors.traffic, first.style, (k + 2) % 3 - 1
    speed, revs = style.speed_mps * (1.0 + step * p.like_speed), style.rev_rate_radps * (1.0 - step * p.like_revs)
    thrown = replace(style, speed_mps=speed, rev_rate_radps=revs)
    return replace(first, style=thrown, hooks_to_left=hooks_to_left, line=None, name="")


def words(entered: Entered) -> str:
    """“with 3 right-handers”, “with 2 right-handers and 1 left-hander”, “alone on the pair”."""
    named = ((entered.right_handers, "right-hander"), (entered.left_handers, "left-hander"))
    said = [f"{count} {who}{'' if count == 1 else 's'}" for count, who in named if count]
    return f"with {' and '.join(said)}" if said else "alone on the pair"
