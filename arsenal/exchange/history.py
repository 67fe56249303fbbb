"""One sentence an entry, for the history list: every kind, those of a newer version included."""

from __future__ import annotations

from collections.abc import Sequence

from arsenal.exchange.one_line.spoken import clause, spaced
from arsenal.exchange.one_line.who import Scene
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Draft, Entry
from arsenal.trade.lane import Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person


def sentence(
    entry: Entry | Draft,
    balls: Sequence[Ball] = (),
    lanes: Sequence[Lane] = (),
    people: Sequence[Person] = (),
    pads: Sequence[Pad] = (),
) -> str:
    """“Sanded with 1000 by hand, dry, one light pass, whole ball”, without ball and day, which stand beside it."""
    scene = Scene(balls, entry.on, people, pads, lanes)
    said = clause(entry.kind, entry.payload, "", scene, entry.undoes, entry.ball_id)
    text = "".join(piece for piece, _ in spaced(said)).strip()
    return text[:1].upper() + text[1:]
