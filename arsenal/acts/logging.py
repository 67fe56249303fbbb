"""Log what happened: read a line into its meaning, keep it, repeat the last played day, one entry for several balls."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from arsenal.acts.shop import Shop
from arsenal.acts.views import Changes, Meaning
from arsenal.trade.entries import Draft, Wiped


def read_line(shop: Shop, text: str, *, bowler_id: int | None = None, ball_id: int | None = None) -> Meaning:
    """What a typed line would log, in words. `ball_id` is the ball meant when the line names none. Never raises on any
    text: what is unclear comes back as `problem`, `word` and `choices`, with no drafts.
    """
    raise NotImplementedError


def meaning_of(shop: Shop, drafts: Sequence[Draft]) -> Meaning:
    """The meaning of entries a form made: words, what the ball would play after, cautions."""
    raise NotImplementedError


def keep(
    shop: Shop, drafts: Sequence[Draft], initiator: str = "desk", sentence: str | None = None, confirmed: bool = False
) -> Changes:
    """Keep entries in one act, all or none; a sanding counts the use of its pads. Raises OutOfRange for what cannot be
    true and KnownError for what needs a confirmation it did not get.
    """
    raise NotImplementedError


def same_as_last(shop: Shop, *, bowler_id: int | None = None, ball_id: int | None = None) -> Meaning:
    """“Same as last Thursday”: the last played day of that bowler or ball again, today."""
    raise NotImplementedError


def thrown(
    shop: Shop, ball_id: int, shots: float, lane_id: int | None = None, wiped: Wiped | None = None,
    initiator: str = "desk",
) -> Changes:  # fmt: skip
    """Log shots thrown today."""
    raise NotImplementedError


def for_balls(
    shop: Shop, text: str, ball_ids: Sequence[int], *, leaving_out: Collection[int] = (),
    instead: Mapping[int, str] | None = None,
) -> Meaning:  # fmt: skip
    """One line (“3g wiped clean”, no ball named) for several balls, with exceptions: `instead` holds other words for
    some of them.
    """
    raise NotImplementedError


def for_bowlers(
    shop: Shop, text: str, bowler_ids: Sequence[int], *, leaving_out: Collection[int] = (),
    instead: Mapping[int, str] | None = None,
) -> Meaning:  # fmt: skip
    """One line for several bowlers, each with the ball in hand (`ball_in_hand`); exceptions by bowler id."""
    raise NotImplementedError


def ball_in_hand(shop: Shop, bowler_id: int) -> int | None:
    """The strike ball this bowler threw last, else the benchmark; None where there is neither."""
    raise NotImplementedError
