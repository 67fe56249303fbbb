"""What the rule rows say of a ball as its record and its log know it; advice, never a block."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts.shop import Shop
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Drilled, effective
from arsenal.trade.findings import Finding
from arsenal.trade.rule_check import BallFacts, facts_of, findings


def facts(shop: Shop, ball: Ball, state: SurfaceState) -> BallFacts:
    """What was measured and drilled last, else what the record says."""
    known = replace(
        facts_of(ball),
        mass_kg=state.mass_kg or ball.mass_kg,
        radius_m=state.radius_m.mean or ball.radius_m,
        hardness_d=state.hardness_d,
    )
    drilled = [e.payload for e in effective(shop.entries(ball.id)) if isinstance(e.payload, Drilled)]
    if drilled:
        last = drilled[-1]
        palm = last.palm_mark or None  # the log cannot tell “no mark” from “not asked”
        known = replace(known, holes=last.holes, holes_used=last.holes_used, palm_mark=palm)
    return known


def of_ball(shop: Shop, ball: Ball, state: SurfaceState) -> tuple[Finding, ...]:
    """Rows the ball breaks today."""
    return findings(facts(shop, ball, state), shop.today())
