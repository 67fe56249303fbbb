"""What the Bench asks of the shop, on the worker's thread."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from arsenal.trade import days
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Cleaned, Draft, Kind, SurfaceWork
from arsenal.trade.person import Person

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BallSheet, Changes, Meaning, PadOnBall
    from arsenal.surface.state import SurfaceState

HEAVY_WORK = ("refresh", "resurface", "deep oil", "inspect")
_WEIGHT = {"fine": 0, "soon": 1, "due": 2, "over": 3}


@dataclass(frozen=True, slots=True)
class BallLine:
    """A ball in the list at the left, with how near its work is."""

    ball: Ball
    state: SurfaceState
    due: str
    first_spare: bool = False


@dataclass(frozen=True, slots=True)
class View:
    """Everything but the pads: the bag, and the ball in hand on the day asked for."""

    bowler: Person | None
    lines: tuple[BallLine, ...]
    sheet: BallSheet | None
    day: date | None
    today: date


@dataclass(frozen=True, slots=True)
class Pads:
    """What takes longer: every pad in stock on this ball, and where it reads on the usual lane."""

    pads: tuple[PadOnBall, ...]
    first_read_m: float | None
    first_read_sd_m: float
    lane: str
    to_buy: tuple[str, ...] = ()
    """Grains of which no pad cuts any more."""
    order: tuple[tuple[int, str], ...] = ()
    """(id, name) of the set, strongest first."""


@dataclass(frozen=True, slots=True)
class Quick:
    """What the quick keys would log."""

    same: Meaning
    sanded: Meaning | None
    cleaned: Meaning
    drilled: tuple[str, str] = ("", "")
    """How it was drilled last and on which day; empty where nobody wrote it down."""


def view(shop: Shop, bowler_id: int | None, ball_id: int | None, day: date | None) -> View:
    """The bag of the bowler (of the ball's owner, where they differ) and the ball in hand."""
    from arsenal.acts import bench, jobs, reading  # noqa: PLC0415 - heavy

    known = {ball.id: ball for ball in shop.balls()}
    ball = known.get(ball_id) if ball_id is not None else None
    if ball is not None:
        bowler_id = ball.owner_id
    people = {person.id: person for person in reading.bowlers(shop)}
    if bowler_id not in people:
        bowler_id = next(iter(people), None)
    if bowler_id is None:
        return View(None, (), None, None, shop.today())
    bowler = people[bowler_id]
    owned = sorted(shop.balls(bowler_id), key=lambda b: b.spare)
    shop.read_ahead(owned)
    due = _due(jobs.of_bowler(shop, bowler))
    lines = tuple(
        BallLine(b, shop.state(b.id), due.get(b.id, "fine"), b.spare and (i == 0 or not owned[i - 1].spare))
        for i, b in enumerate(owned)
    )
    chosen = ball or (owned[0] if owned else None)
    sheet = bench.ball_sheet(shop, chosen.id, day=day) if chosen else None
    return View(bowler, lines, sheet, day, shop.today())


def _due(jobs: Sequence[object]) -> dict[int, str]:
    worst: dict[int, str] = {}
    for job in jobs:
        if job.work.value in HEAVY_WORK:  # type: ignore[attr-defined]
            before, now = worst.get(job.ball_id, "fine"), job.due.value  # type: ignore[attr-defined]
            worst[job.ball_id] = max(before, now, key=_WEIGHT.__getitem__)  # type: ignore[attr-defined]
    return worst


def pads(shop: Shop, ball_id: int) -> Pads:
    """Every pad in stock on this ball; where it reads now on the owner's usual lane, where that is known."""
    from arsenal.acts import bench, lane_side, upkeep  # noqa: PLC0415 - heavy
    from arsenal.trade.errors import KnownError  # noqa: PLC0415

    owner_id = shop.ball(ball_id).owner_id
    found, buy = bench.pads_on_ball(shop, ball_id), upkeep.upkeep(shop, owner_id).to_buy
    try:
        side = lane_side.lane_side(shop, owner_id, rooms=False)
    except KnownError:
        return Pads(found, None, math.nan, "", buy)
    order = tuple((row.ball.id, row.ball.name) for row in side.order.rows)
    rows = [row for row in (*side.order.rows, *side.order.spares) if row.ball.id == ball_id]
    if not rows:
        return Pads(found, None, math.nan, side.lane.name, buy, order)
    return Pads(found, rows[0].first_read_m, rows[0].first_read_sd_m, side.lane.name, buy, order)


def quick(shop: Shop, ball_id: int) -> Quick:
    """What was done last, again."""
    from arsenal.acts import logging, recipes  # noqa: PLC0415 - heavy

    state, today = shop.state(ball_id), shop.today()
    same = logging.same_as_last(shop, ball_id=ball_id)
    sanded = None
    if state.finish:
        steps = recipes.with_pads(shop, shop.ball(ball_id).owner_id, state.finish)
        shine = all(step.abrasive in (Abrasive.POLISH, Abrasive.COMPOUND) for step in steps)
        kind = Kind.POLISHED if shine else Kind.SANDED
        sanded = logging.meaning_of(shop, (Draft(ball_id, kind, today, SurfaceWork(steps)),))
    tonight = state.played_on in (None, today)
    cleaned = logging.meaning_of(shop, (Draft(ball_id, Kind.CLEANED, today, Cleaned(tonight)),))
    return Quick(same, sanded, cleaned, _drilled(shop, ball_id))


def _drilled(shop: Shop, ball_id: int) -> tuple[str, str]:
    """(“pin 4 1/2 in, no thumb”, “14 Mar 2026”) of the last drill record; without one, what the log says of the pin."""
    from arsenal.acts import fits  # noqa: PLC0415 - heavy
    from arsenal.exchange import lengths  # noqa: PLC0415

    metric = shop.settings.units == "metric"
    drills, state = fits.drills_of(shop, ball_id), shop.state(ball_id)
    pin = drills[0].pin_to_axis_m if drills and drills[0].pin_to_axis_m is not None else state.pin_to_axis_m
    told = [f"pin {lengths.with_unit(pin, metric=metric)}"] if pin is not None else []
    if not drills:
        return ", ".join(told), ""
    holes = drills[0].holes
    if holes:
        told.append("no thumb" if all(hole.finger != "thumb" for hole in holes) else f"{len(holes)} holes")
    return ", ".join(told) or "as written", days.day_and_year(drills[0].drilled_on)


def read_line(shop: Shop, text: str, bowler_id: int | None, ball_id: int | None) -> Meaning:
    """What Enter would log."""
    from arsenal.acts import logging  # noqa: PLC0415 - heavy

    return logging.read_line(shop, text, bowler_id=bowler_id, ball_id=ball_id)


def keep(shop: Shop, drafts: Sequence[Draft], *, confirmed: bool = False) -> Changes:
    """Keep entries."""
    from arsenal.acts import logging  # noqa: PLC0415 - heavy

    return logging.keep(shop, drafts, confirmed=confirmed)


def mark_used_up(shop: Shop, pad_id: int, *, used_up: bool) -> Changes:
    """Say a pad no longer cuts, or does again."""
    from arsenal.acts import pads as stock  # noqa: PLC0415 - heavy

    return stock.mark_used_up(shop, pad_id, used_up)
