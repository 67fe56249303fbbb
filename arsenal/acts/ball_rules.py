"""What the rule rows say of a ball as its record, its drilling and its log know it; advice, never a block."""

from __future__ import annotations

from dataclasses import replace

from arsenal.acts.shop import Shop
from arsenal.surface.state import SurfaceState
from arsenal.trade.ball import Ball
from arsenal.trade.entries import Drilled, effective
from arsenal.trade.findings import Finding
from arsenal.trade.fit import DrillRecord
from arsenal.trade.rule_check import BallFacts, facts_of, findings
from arsenal.trade.units import OUNCE_KG


def facts(shop: Shop, ball: Ball, state: SurfaceState) -> BallFacts:
    """What was measured and drilled last, else what the record says."""
    known = replace(
        facts_of(ball),
        mass_kg=state.mass_kg or ball.mass_kg,
        radius_m=state.radius_m.mean or ball.radius_m,
        hardness_d=state.hardness_d,
    )
    logged = [(e.on, e.payload) for e in effective(shop.entries(ball.id)) if isinstance(e.payload, Drilled)]
    own = [drill for drill in shop.every(DrillRecord) if drill.ball_id == ball.id]
    written = max(own, key=lambda drill: (drill.drilled_on, drill.id), default=None)
    if written is not None and all(on <= written.drilled_on for on, _ in logged):
        return drilled_so(known, written)
    if logged:
        _, last = logged[-1]
        palm = last.palm_mark or None  # the log cannot tell “no mark” from “not asked”
        known = replace(known, holes=last.holes, holes_used=last.holes_used, palm_mark=palm)
    return known


def drilled_so(known: BallFacts, drill: DrillRecord) -> BallFacts:
    """The same ball drilled as a record says; what the record does not tell stays not known."""
    statics = [abs(oz) for oz in (drill.side_oz, drill.top_oz, drill.thumb_oz) if oz is not None]
    told = replace(known, static_kg=max(statics) * OUNCE_KG if statics else None)
    if not drill.holes:
        return told
    thumb = next((hole for hole in drill.holes if hole.finger == "thumb"), None)
    return replace(
        told, holes=len(drill.holes), holes_used=sum(hole.used for hole in drill.holes), palm_mark=drill.palm_mark,
        thumb_used=thumb is not None and thumb.used,
    )  # fmt: skip


def of_ball(shop: Shop, ball: Ball, state: SurfaceState) -> tuple[Finding, ...]:
    """Rows the ball breaks today."""
    return findings(facts(shop, ball, state), shop.today())
