"""What is wanted of a ball, as people say it: “2 ft earlier”, “two boards more”, “between Rook and Jay”."""

from __future__ import annotations

import re

from arsenal.acts import reading
from arsenal.acts.shop import Shop
from arsenal.order.asked import Between, Earlier, More, Want
from arsenal.trade.errors import KnownError, NotUnderstood

NUMBERS = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0, "seven": 7.0,
    "eight": 8.0, "nine": 9.0, "ten": 10.0, "half": 0.5, "½": 0.5,
}  # fmt: skip
WAYS = {
    "earlier": 1.0, "sooner": 1.0, "later": -1.0,
    "more": 1.0, "stronger": 1.0, "less": -1.0, "fewer": -1.0, "weaker": -1.0,
}  # fmt: skip
READ_ONLY = ("earlier", "sooner", "later")
HOW = "Say it as in 2 ft earlier, two boards more, or between Rook and Jay."
_AMOUNT = re.compile(
    r"(?P<number>\d+(?:[.,]\d+)?½?|½|[a-z]+)\s*(?P<unit>ft|feet|foot|boards?)\s+(?P<way>[a-z]+)", re.IGNORECASE
)
_BETWEEN = re.compile(r"between\s+(?P<pair>.+)", re.IGNORECASE)


def want_of(shop: Shop, text: str, bowler_id: int) -> Want:
    """The want a text means; balls by name, nickname or beginning. Raises NotUnderstood, NotFound."""
    said = " ".join(text.split())
    if found := _BETWEEN.fullmatch(said):
        return _between(shop, found["pair"], bowler_id)
    amount = _AMOUNT.fullmatch(said)
    if amount is None:
        raise NotUnderstood(said, HOW)
    way, number = amount["way"].casefold(), _number(amount["number"])
    if number is None or way not in WAYS:
        raise NotUnderstood(amount["number"] if number is None else amount["way"], HOW)
    if amount["unit"].casefold().startswith("board"):
        if way in READ_ONLY:
            raise NotUnderstood(amount["way"], "Boards are more or less; feet are earlier or later.")
        return More(WAYS[way] * number)
    if way not in READ_ONLY:
        raise NotUnderstood(amount["way"], "Feet are earlier or later; boards are more or less.")
    return Earlier(WAYS[way] * number)


def _number(text: str) -> float | None:
    if text.casefold() in NUMBERS:
        return NUMBERS[text.casefold()]
    half = 0.5 if text.endswith("½") else 0.0
    try:
        return float(text.removesuffix("½").replace(",", ".")) + half
    except ValueError:
        return None


def _between(shop: Shop, pair: str, bowler_id: int) -> Between:
    """A name may hold an “and” of its own: every place to part the two is tried."""
    parts = re.split(r"\s+and\s+", pair, flags=re.IGNORECASE)
    problem: KnownError | None = None
    for i in range(1, len(parts)):
        names = " and ".join(parts[:i]), " and ".join(parts[i:])
        try:
            one, other = (reading.ball_named(shop, name, bowler_id) for name in names)
        except KnownError as error:
            problem = problem or error
        else:
            return Between(one.id, other.id)
    raise problem or NotUnderstood(pair, HOW)
