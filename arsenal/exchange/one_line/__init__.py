"""A ball's log as people type it, one line an entry: read, said in words, and written out again.

`read` makes drafts of a line; `words` says one draft in words; `typed_line` writes the line that reads back to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from arsenal.exchange.one_line import spoken, typed
from arsenal.exchange.one_line.reader import LineRead, read
from arsenal.exchange.one_line.spoken import Parts
from arsenal.exchange.one_line.who import Scene
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person

__all__ = ["LineRead", "Parts", "Scene", "read", "typed_line", "words"]


def words(
    draft: Draft,
    balls: Sequence[Ball],
    pads: Sequence[Pad] = (),
    lanes: Sequence[Lane] = (),
    people: Sequence[Person] = (),
    *,
    today: date | None = None,
) -> Parts:
    """The meaning of one draft as (text, strong) pieces of a sentence; without `today` its own day counts as today."""
    return spoken.words(draft, Scene(balls, today or draft.on, people, pads, lanes))


def typed_line(
    draft: Draft,
    balls: Sequence[Ball],
    pads: Sequence[Pad] = (),
    lanes: Sequence[Lane] = (),
    people: Sequence[Person] = (),
    *,
    today: date,
) -> str:
    """The line that reads back to `draft`. Raises NotUnderstood for an entry of an unknown kind."""
    return typed.typed_line(draft, Scene(balls, today, people, pads, lanes))
