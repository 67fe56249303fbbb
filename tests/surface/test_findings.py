"""What is odd in a log becomes a sentence beside the ball, with the rule it rests on, and never stops anything."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest
from surface_log import DAY, PRIORS, ball, entry, hand, log, machine, new, played, sanded, scanner, undo

from arsenal.surface import SurfaceState, fold
from arsenal.trade.entries import (
    Crack,
    DropTest,
    Handed,
    Inspected,
    Kind,
    OilDrawn,
    OilMethod,
    Played,
    Quantity,
    Reading,
    Repair,
    Scale,
    Step,
    SurfaceWork,
    Tool,
    Unknown,
)  # fmt: skip
from arsenal.trade.findings import Finding, Weight
from arsenal.trade.rules import shipped_rules
from arsenal.trade.units import INCH_M, MICROINCH_M, POUND_KG


def found(state: SurfaceState, code: str) -> Finding:
    return next(f for f in state.findings if f.code == code)


def codes(state: SurfaceState) -> set[str]:
    return {f.code for f in state.findings}


def test_a_clean_log_has_no_findings() -> None:
    assert fold(ball(), log(new(machine(500), machine(2000)), played(3), sanded(hand(1000))), PRIORS).findings == ()


def test_sanding_only_the_track_is_recorded_and_flagged_with_the_rule() -> None:
    state = fold(ball(), log(new(machine(3000)), sanded(hand(1000), whole=False)), PRIORS)
    finding = found(state, "part-surface")
    assert finding.rule_id == "surface-whole"
    assert finding.weight is Weight.BAD
    assert finding.seq == 2
    assert state.finish == (hand(1000),)
    whole = fold(ball(), log(new(machine(3000)), sanded(hand(1000))), PRIORS)
    assert state.ln_ra_m.sd > whole.ln_ra_m.sd


def test_what_has_been_overtaken_stays_told_as_something_to_know() -> None:
    part = log(new(machine(3000)), sanded(hand(1000), whole=False), sanded(machine(500), machine(2000)))
    assert found(fold(ball(), part, PRIORS), "part-surface").weight is Weight.NOTE
    odd = [new(machine(500)), scanner(500), played(1), scanner(6000)]
    assert found(fold(ball(), log(*odd), PRIORS), "reading-against-log").weight is Weight.WARN
    agreed = fold(ball(), log(*odd, played(0.5), scanner(5500)), PRIORS)
    assert found(agreed, "reading-against-log").weight is Weight.NOTE


def test_only_the_last_inspection_is_told() -> None:
    looks = [(Kind.INSPECTED, Inspected(what)) for what in ("insert loose", "insert glued")]
    told = [f.sentence for f in fold(ball(), log(new(), *looks), PRIORS).findings]
    assert told == ["Inspection of 4 Mar 2026: insert glued."]
    assert "inspected" not in codes(fold(ball(), log(new(), *looks, (Kind.INSPECTED, Inspected())), PRIORS))


def test_surface_work_in_competition_is_kept_and_flagged_with_the_rule() -> None:
    state = fold(ball(), log(new(machine(3000)), sanded(hand(1000), in_competition=True)), PRIORS)
    assert found(state, "in-competition").rule_id == "surface-in-competition"
    assert state.grit < 3000


def test_every_rule_a_finding_rests_on_is_in_the_rule_table() -> None:
    known = {rule.id for rule in shipped_rules()}
    assert {"surface-whole", "surface-in-competition", "ball-diameter"} <= known


def test_an_entry_before_the_ball_was_bought_is_told_once_and_counted() -> None:
    entries = log(new(machine(500)), played(3), played(3))
    state = fold(ball(bought_on=DAY + timedelta(days=9)), entries, PRIORS)
    assert [f.code for f in state.findings].count("before-bought") == 1
    assert state.games_in_all.mean == 6


def test_a_ball_that_came_after_its_first_games_is_told() -> None:
    assert "before-new" in codes(fold(ball(), log(played(3), new(machine(500))), PRIORS))


def test_a_crack_stays_told_until_it_is_mended_and_work_on_it_is_told_too() -> None:
    crack = (Kind.CRACK, Crack("bridge"))
    state = fold(ball(), log(new(), crack, sanded(hand(1000)), (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT))), PRIORS)
    assert state.cracked
    assert "no heat" in found(state, "crack").sentence
    assert "bridge" in found(state, "crack").sentence
    assert [f.seq for f in state.findings if f.code == "crack-worked"] == [3, 4]
    mended = fold(ball(), log(new(), crack, (Kind.REPAIR, Repair("plug", plugged=True, mends_crack=True))), PRIORS)
    assert not mended.cracked
    assert mended.plugged
    assert "crack" not in codes(mended)


def test_heat_on_a_plugged_ball_is_told() -> None:
    plug = (Kind.REPAIR, Repair("thumb", plugged=True))
    assert "heat-plugged" in codes(fold(ball(), log(new(), plug, (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT))), PRIORS))


@pytest.mark.parametrize(("celsius", "told"), [(50.0, False), (54.4, False), (56.0, True), (80.0, True)])
def test_heat_above_54_degrees_is_cautioned(celsius: float, told: bool) -> None:
    drawn = (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, celsius, 20))
    assert ("too-hot" in codes(fold(ball(), log(new(), drawn), PRIORS))) is told


def test_an_oven_is_cautioned() -> None:
    state = fold(ball(), log(new(), (Kind.OIL_DRAWN, OilDrawn(OilMethod.OTHER))), PRIORS)
    assert "crack" in found(state, "other-heat").sentence


def test_a_reading_three_spreads_from_the_log_is_told_and_still_counts() -> None:
    base = [new(machine(500)), scanner(500), played(1)]
    state = fold(ball(), log(*base, scanner(6000)), PRIORS)
    before = fold(ball(), log(*base), PRIORS)
    assert found(state, "reading-against-log").seq == 4
    assert state.grit > 2 * before.grit
    plain = fold(ball(), log(*base, scanner(900)), PRIORS)
    assert "reading-against-log" not in codes(plain)
    assert state.ln_ra_m.sd > plain.ln_ra_m.sd


def test_games_after_the_ball_was_sold_or_retired_are_told() -> None:
    for kind in (Kind.SOLD, Kind.RETIRED):
        assert "after-gone" in codes(fold(ball(), log(new(), (kind, Handed()), played(3)), PRIORS))
    back = log(new(), (Kind.SOLD, Handed()), (Kind.RETURNED, Handed()), played(3))
    assert "after-gone" not in codes(fold(ball(), back, PRIORS))


def diameter(inches: float) -> tuple[Kind, Reading]:
    return Kind.READING, Reading(Quantity.DIAMETER, inches * INCH_M, "caliper")


@pytest.mark.parametrize(
    ("inches", "code"), [(8.550, None), (8.503, "diameter-near"), (8.490, "diameter"), (8.599, "diameter")]
)
def test_a_ball_of_13_pounds_near_or_outside_the_rule_books_diameters_is_told(inches: float, code: str | None) -> None:
    # USBC equipment manual: 8.500 to 8.595 in
    state = fold(ball(), log(new(), diameter(inches)), PRIORS)
    assert {c for c in codes(state) if c.startswith("diameter")} == ({code} if code else set())
    if code:
        assert found(state, code).rule_id == "ball-diameter"


def test_a_light_ball_has_no_least_diameter() -> None:
    light = ball(mass_kg=12 * POUND_KG)
    assert not any(c.startswith("diameter") for c in codes(fold(light, log(new(), diameter(8.490)), PRIORS)))


def test_a_ball_never_cleaned_is_told_once_it_has_played_enough() -> None:
    assert "never-cleaned" not in codes(fold(ball(), log(new(), played(20)), PRIORS))
    assert "never-cleaned" in codes(fold(ball(), log(new(), played(40)), PRIORS))


def test_an_unknown_kind_is_kept_and_told() -> None:
    state = fold(ball(), log(new(), ("telepathy", Unknown("{}"))), PRIORS)
    assert "telepathy" in found(state, "unknown-kind").sentence


def test_an_inspection_that_found_something_is_told() -> None:
    state = fold(ball(), log(new(), (Kind.INSPECTED, Inspected("insert loose"))), PRIORS)
    assert "insert loose" in found(state, "inspected").sentence


@pytest.mark.parametrize(
    ("found_it", "weight"),
    [("hairline at the bridge", Weight.WARN), ("no cracks, inserts tight", Weight.NOTE), ("insert loose", Weight.NOTE)],
)
def test_an_inspection_that_speaks_of_a_crack_asks_for_it_to_be_logged(found_it: str, weight: Weight) -> None:
    state = fold(ball(), log(new(), (Kind.INSPECTED, Inspected(found_it))), PRIORS)
    assert found(state, "inspected").weight is weight
    assert ("no heat" in found(state, "inspected").sentence) is (weight is Weight.WARN)


def test_a_ball_sanded_until_it_is_small_is_told_to_be_measured() -> None:
    full = sanded(machine(360), machine(500), machine(1000))
    assert "diameter-near" not in codes(fold(ball(), log(new(), full), PRIORS))
    worn = fold(ball(radius_m=4.253 * INCH_M), log(new(), full), PRIORS)
    assert "measure it before the next sanding" in found(worn, "diameter-near").sentence
    assert found(worn, "diameter-near").rule_id == "ball-diameter"
    assert "diameter-near" not in codes(fold(ball(radius_m=4.253 * INCH_M), log(new()), PRIORS))


def test_an_undo_of_nothing_is_told() -> None:
    bare = undo(5, 1)
    assert "loose-undo" in codes(fold(ball(), [*log(new()), entry(6, Kind.UNDO, bare.payload)], PRIORS))


IMPOSSIBLE = [
    (Kind.PLAYED, Played(-3)),
    (Kind.PLAYED, Played(math.nan)),
    (Kind.PLAYED, Played(1e9)),
    (Kind.PLAYED, Played(33, sd=-1)),
    (Kind.READING, Reading(Quantity.RA, -1e-6)),
    (Kind.READING, Reading(Quantity.RA, 900 * MICROINCH_M)),
    (Kind.READING, Reading(Quantity.SCANNER_GRIT, 0)),
    (Kind.READING, Reading(Quantity.SCANNER_GRIT, 2000, sd=math.nan)),
    (Kind.READING, Reading(Quantity.DIAMETER, 12 * INCH_M)),
    (Kind.READING, Reading(Quantity.MASS, 90)),
    (Kind.DROP_TEST, DropTest(0)),
    (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, 900)),
    (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, 50, -20)),
    (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, 50, 20, 0)),
    (Kind.SANDED, SurfaceWork((hand(1000, sides=500),))),
    (Kind.SANDED, SurfaceWork((Step(number=-1, tool=Tool.HAND),))),
    (Kind.SANDED, SurfaceWork((Step(number=0.01, scale=Scale.MICRON),))),
    (Kind.SANDED, SurfaceWork((Step(number=None),))),
]


@pytest.mark.parametrize("told", IMPOSSIBLE, ids=lambda t: str(t[0].value) if isinstance(t, tuple) else None)
def test_what_cannot_be_true_is_told_and_not_counted(told: tuple) -> None:
    base = log(new(machine(500)), played(3))
    odd = entry(9, *told, on=base[-1].on)
    state, without = (fold(ball(), e, PRIORS) for e in ([*base, odd], base))
    assert found(state, "impossible").seq == 9
    assert (state.ln_ra_m, state.oil_kg, state.games_in_all) == (without.ln_ra_m, without.oil_kg, without.games_in_all)
    assert (state.finish, state.mass_kg, state.radius_m) == (without.finish, without.mass_kg, without.radius_m)


def test_one_impossible_step_does_not_spoil_the_others() -> None:
    state = fold(ball(), log(new(machine(3000)), sanded(hand(-1), machine(1000))), PRIORS)
    assert "impossible" in codes(state)
    assert state.finish == (machine(1000),)
    assert state.grit == pytest.approx(1000, rel=0.1)
