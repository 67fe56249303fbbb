"""The Bench: one ball's state, timeline and history, and what each pad in stock would do to it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from arsenal.acts import ball_rules, convergence, jobs, lane_side, readings, recipes, words
from arsenal.acts.shop import Shop
from arsenal.acts.views import BallSheet, PadOnBall
from arsenal.order.records import PadResult
from arsenal.practice import ExpectedSeen, expected_against_seen
from arsenal.surface import after_work, cuts, minutes, timeline
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Abrasive, Compared, Entry, Kind, Tool, effective
from arsenal.trade.errors import KnownError
from arsenal.trade.findings import Finding
from arsenal.trade.pads import Pad, Recipe, label
from arsenal.trade.units import FOOT_M

USED_UP = 0.2
"""A pad that cuts less than this share of its first cut is as good as used up (our own assumption)."""
SHINY = (Abrasive.COMPOUND, Abrasive.POLISH)


def ball_sheet(shop: Shop, ball_id: int, *, day: date | None = None) -> BallSheet:
    """Everything the Bench shows of a ball, today or at the end of a past day. Raises NotFound."""
    ball = shop.ball(ball_id)
    owner = shop.person(ball.owner_id)
    log = [entry for entry in shop.entries(ball_id) if day is None or entry.on <= day]
    standing = {entry.seq for entry in effective(log)}
    listed = [entry for entry in log if entry.kind != Kind.UNDO and entry.undoes is None]
    state = shop.state(ball_id, until=day)
    learned = shop.learned(ball_id)
    moments = shop.remembered(
        ("moments", ball, len(shop.entries(ball_id)), tuple(shop.lanes().values()), repr(learned)),
        lambda: timeline(ball, shop.entries(ball_id), shop.priors, lanes=shop.lanes(), learned=learned),
    )
    own_jobs = tuple(job for job in jobs.of_bowler(shop, owner) if job.ball_id == ball_id) if day is None else ()
    worth = readings.worth(shop, ball, state) if day is None else ()
    sheet = BallSheet(
        ball, owner, state,
        tuple(moment for moment in moments if day is None or moment.on <= day),
        tuple(sorted(listed, key=_newest_first)),
        frozenset(entry.seq for entry in listed if entry.seq not in standing),
        own_jobs, _once((*state.findings, *ball_rules.of_ball(shop, ball, state))),
        next_reading=worth[0].sentence if worth else "", readings=worth, learned=readings.learned(shop, state),
        cover_off=readings.cover_words(shop, state), cover_jobs=readings.cover_taken(shop, ball, day),
    )  # fmt: skip
    return sheet if day is not None else _on_usual_lane(shop, sheet)


def _once(found: Sequence[Finding]) -> tuple[Finding, ...]:
    """A rule row that the log's own finding rests on is not told a second time by the rule table."""
    told = {f.rule_id for f in found if f.code != "rule" and f.rule_id}
    return tuple(f for f in found if f.code != "rule" or f.rule_id not in told)


def _on_usual_lane(shop: Shop, sheet: BallSheet) -> BallSheet:
    """The sheet with what the ball has lost on its owner's usual condition, and the alarms that speak of it."""
    try:
        lost = convergence.lost(shop, sheet.owner.id).get(sheet.ball.id)
        alarms = convergence.alarms(shop, sheet.owner.id)
    except KnownError:
        return sheet
    return replace(sheet, lost=lost, alarms=tuple(r for r in alarms if sheet.ball.id in r.ball_ids))


def compared(shop: Shop, ball_id: int) -> tuple[ExpectedSeen, ...]:
    """Every “A ends n boards stronger than B” of the log in which this ball has a part, against what was expected that
    day, newest first. Empty where the owner's throw is not known. Takes a tenth of a second each.
    """
    owner = shop.person(shop.ball(ball_id).owner_id)
    balls = {ball.id: ball for ball in shop.balls(owner.id)}
    shop.read_ahead(balls.values())
    logs = {own_id: _only_compared(shop.entries(own_id), own_id, ball_id) for own_id in balls}
    logs = {own_id: log for own_id, log in logs.items() if log}
    if owner.style is None:
        return ()

    def make() -> tuple[ExpectedSeen, ...]:
        return expected_against_seen(owner, balls, logs, shop.lanes(), shop.priors)

    return shop.remembered(("compared", ball_id, owner, shop.revision), make)


def _only_compared(log: tuple[Entry, ...], own_id: int, ball_id: int) -> tuple[Entry, ...]:
    """A log with the comparisons that do not speak of `ball_id` left out; what the fold needs stays."""
    return tuple(
        e for e in log
        if not isinstance(e.payload, Compared) or ball_id in (own_id, e.payload.other_ball_id)
    )  # fmt: skip


def pads_on_ball(shop: Shop, ball_id: int) -> tuple[PadOnBall, ...]:
    """Every pad in stock on this ball: what it still cuts, what the ball would play, boards back on the usual lane.
    Boards and feet are NaN where the owner's throw or usual lane is not known, and for a spare ball.
    """
    ball = shop.ball(ball_id)
    stock = sorted(shop.pads(ball.owner_id), key=_roughest_first)
    listed = [(pad, _recipe(pad)) for pad in stock]
    found = _what_if(shop, ball, tuple(recipe for _, recipe in listed))
    return tuple(_row(shop, ball, pad, recipe, found.get(recipe)) for pad, recipe in listed)


def _roughest_first(pad: Pad) -> tuple[bool, bool, float, bool, int]:
    shiny = pad.abrasive in SHINY
    return (shiny, pad.number is None, pad.number or 0.0, pad.owner_id is None, pad.id)


def _recipe(pad: Pad) -> Recipe:
    step = replace(recipes.by_hand(pad.number or 0.0, pad).steps[0], abrasive=pad.abrasive)
    if pad.number is None:
        step = replace(step, number=None)
    if pad.abrasive in SHINY:
        step = replace(step, tool=Tool.SPINNER, wet=True)
    return Recipe(label((step,)), (step,))


def _what_if(shop: Shop, ball: Ball, asked: tuple[Recipe, ...]) -> dict[Recipe, PadResult]:
    if ball.spare or not asked:
        return {}
    try:
        side = lane_side.lane_side(shop, ball.owner_id, rooms=False)
        results = lane_side.pad_keys(shop, ball.owner_id, side.lane.id, ball.id, side, recipes=asked)
    except KnownError:
        return {}
    return {result.recipe: result for result in results}


def _row(shop: Shop, ball: Ball, pad: Pad, recipe: Recipe, result: PadResult | None) -> PadOnBall:
    state = result.state if result else after_work(ball, shop.state(ball.id), recipe.steps, shop.priors,
                                                   pads=shop.pads_by_id())  # fmt: skip
    share = cuts(pad, shop.priors)
    return PadOnBall(
        pad, recipe, share, state.grit, words.grit_sd(state.grit_low, state.grit_high),
        result.boards_change.mean if result else math.nan,
        result.boards_change.sd if result else math.nan,
        result.first_read_change_m.mean / FOOT_M if result else math.nan,
        result.rolls_out if result else False,
        minutes(recipe.steps),
        pad.used_up or share < USED_UP,
        result,
    )  # fmt: skip


def _newest_first(entry: Entry) -> tuple[int, int]:
    return (-entry.on.toordinal(), -entry.seq)
