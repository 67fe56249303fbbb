"""Read what the file holds: bowlers, lanes, balls, and the search line."""

from __future__ import annotations

from arsenal.acts.shop import Shop
from arsenal.acts.views import Hit
from arsenal.trade.ball import Ball
from arsenal.trade.lane import Lane
from arsenal.trade.person import Person


def bowlers(shop: Shop) -> tuple[Person, ...]:
    """Everybody, by name."""
    raise NotImplementedError


def lanes(shop: Shop) -> tuple[Lane, ...]:
    """Every lane condition, by name."""
    raise NotImplementedError


def balls(shop: Shop, bowler_id: int | None = None) -> tuple[Ball, ...]:
    """One bowler's balls, or all; spare balls last."""
    raise NotImplementedError


def find(shop: Shop, text: str, limit: int = 20) -> tuple[Hit, ...]:
    """What the search line finds: balls, people, lanes, best first. Never raises on any text."""
    raise NotImplementedError


def bowler_named(shop: Shop, name: str | None) -> Person:
    """The bowler a name means: whole name, nickname or unique beginning, whatever the case; None where there is only
    one. Raises NotFound, listing the choices.
    """
    raise NotImplementedError


def lane_named(shop: Shop, name: str | None, bowler: Person | None = None) -> Lane:
    """The lane condition a name means; None is the bowler's usual one, or the only one. Raises NotFound."""
    raise NotImplementedError


def ball_named(shop: Shop, name: str, bowler_id: int | None = None) -> Ball:
    """The ball a name means. Raises NotFound."""
    raise NotImplementedError
