"""The finish a job on a ticket is to make: said when it is written down, or at the latest when the ball is ready.
Without it the ball's log would hold no more than a note, and everything worked out from it the old surface.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from arsenal.acts.shop import Shop
from arsenal.exchange.one_line.finish import read_recipe
from arsenal.trade.entries import Step, SurfaceWork, effective
from arsenal.trade.errors import KnownError, NotUnderstood
from arsenal.trade.pads import label
from arsenal.trade.ticket import Ticket

WRITE_SO = "Write the finish as 500/2000 m, 1000 s or polish."
MOST_KNOWN = 4
_BARE = re.compile(r"\s*\d+(?:[.,]\d+)?\s*", re.ASCII)


def read(text: str) -> tuple[Step, ...]:
    """“500/2000 m” as steps; none where nothing is said. A lone number is asked about: it may be by hand, on the
    spinner or by machine. Raises NotUnderstood, OutOfRange.
    """
    if not text.strip():
        return ()
    if _BARE.fullmatch(text):
        number = text.strip()
        raise NotUnderstood(
            number, f"Say how: {number} h by hand, {number} s on a spinner, {number} m by machine.",
            choices=tuple(f"{number} {tool}" for tool in "hsm"),
        )  # fmt: skip
    return read_recipe(text)


def said(found: Ticket, finishes: Mapping[tuple[int, int], str]) -> Ticket:
    """The ticket with finishes as typed, by ball and place. Raises NotUnderstood, OutOfRange."""
    read_of = {where: read(text) for where, text in finishes.items() if text.strip()}
    balls = tuple(
        replace(
            taken,
            jobs=tuple(
                replace(job, steps=read_of.get((at, place), job.steps)) for place, job in enumerate(taken.jobs)
            ),
        )
        for at, taken in enumerate(found.balls)
    )  # fmt: skip
    return replace(found, balls=balls)


def check_said(shop: Shop, found: Ticket) -> None:
    """Raises KnownError where the log could not be written."""
    if not found.unsaid:
        return
    at, place = found.unsaid[0]
    taken = found.balls[at]
    assert taken.ball_id is not None  # noqa: S101 - `unsaid` asks only of these
    name = shop.ball(taken.ball_id).name
    raise KnownError(f"What was put on {name}, {taken.jobs[place].name}?", next_step=WRITE_SO)


def known(shop: Shop, ball_id: int) -> tuple[str, ...]:
    """Finishes the ball has had, newest first, each once."""
    works = [e.payload for e in effective(shop.entries(ball_id)) if isinstance(e.payload, SurfaceWork)]
    return tuple(dict.fromkeys(label(work.steps) for work in reversed(works)))[:MOST_KNOWN]
