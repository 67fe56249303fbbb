"""The finish: what sanding leaves, what shine takes, what readings say; against published figures and a sampler."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from surface_log import (
    COMPOUND,
    POLISH,
    PRIORS,
    ball,
    hand,
    log,
    machine,
    new,
    played,
    sanded,
    scanner,
    used,
)  # fmt: skip

from arsenal.surface import SurfaceState, after_work, cuts, fold, foresee, is_resurface, minutes
from arsenal.surface.work import closure
from arsenal.trade.ball import Cover
from arsenal.trade.entries import Abrasive, Scale, Step, SurfaceWork, Tool
from arsenal.trade.pads import Pad
from arsenal.trade.units import MICROINCH_M

COVERS = st.sampled_from(list(Cover))
REACTIVE = (Cover.SOLID, Cover.HYBRID, Cover.PEARL)


def set_at(number: float, cover: Cover = Cover.SOLID) -> SurfaceState:
    return fold(ball(cover), log(new(machine(number))), PRIORS)


def ra(state: SurfaceState) -> float:
    return math.exp(state.ln_ra_m.mean)


def ra_lost(number: float, games: float, cover: Cover = Cover.SOLID) -> float:
    start = set_at(number, cover)
    return 1.0 - ra(foresee(ball(cover), start, games, PRIORS)) / ra(start)


# ---- sanding


def test_the_one_measured_hand_pass_lies_in_the_80_percent_band() -> None:
    # governing-body coaching blog, n = 1: a ball that reads 3000, one hand pass with a 500 pad, reads 1651
    state = fold(ball(), log(used(), scanner(3000, sd=100), sanded(hand(500))), PRIORS)
    assert state.grit_low < 1651 < state.grit_high
    assert state.grit == pytest.approx(1651, rel=0.15)


def test_a_solid_sanded_at_500_has_the_prior_roughness_of_42_microinches() -> None:
    state = set_at(500)
    assert ra(state) == pytest.approx(42 * MICROINCH_M, rel=0.01)
    assert state.ln_ra_m.sd > 0.30


def test_a_pad_number_is_not_the_finish() -> None:
    state = fold(ball(), log(new(machine(3000)), sanded(hand(500))), PRIORS)
    assert 1000 < state.grit < 2400


@given(st.floats(200, 5000), st.floats(200, 5000), st.floats(0, 60), COVERS, st.booleans())
@settings(max_examples=60, deadline=None)
def test_a_coarser_pad_never_leaves_a_smoother_ball(
    a: float, b: float, games: float, cover: Cover, by_hand: bool
) -> None:
    coarse, fine = sorted((a, b))
    before = foresee(ball(cover), set_at(2000, cover), games, PRIORS)
    step = hand if by_hand else machine
    left = [after_work(ball(cover), before, (step(n),), PRIORS).ln_ra_m.mean for n in (coarse, fine)]
    assert left[0] >= left[1] - 1e-12


def test_going_straight_to_a_fine_pad_is_not_going_there_by_steps() -> None:
    straight = fold(ball(), log(new(machine(500)), sanded(machine(4000))), PRIORS)
    by_steps = fold(ball(), log(new(machine(500)), sanded(machine(1000), machine(2000), machine(4000))), PRIORS)
    assert straight.grit < by_steps.grit


@pytest.mark.common_practice
def test_polish_smooths_and_leaves_some_of_what_lay_under_it() -> None:
    for under in (500, 1000, 2000):
        bare = set_at(under)
        polished = after_work(ball(), bare, (POLISH,), PRIORS)
        assert 4 * MICROINCH_M < ra(polished) < ra(bare)
    rough, smooth = (after_work(ball(), set_at(n), (POLISH,), PRIORS) for n in (500, 3000))
    assert ra(rough) > ra(smooth)


@pytest.mark.common_practice
def test_compound_leaves_more_than_polish() -> None:
    assert ra(after_work(ball(), set_at(1000), (COMPOUND,), PRIORS)) > ra(
        after_work(ball(), set_at(1000), (POLISH,), PRIORS)
    )


def test_a_worn_pad_moves_the_ball_less() -> None:
    start = set_at(3000)
    step = hand(500, pad_id=7)
    fresh, worn = (
        after_work(ball(), start, (step,), PRIORS, pads={7: Pad(7, 500, uses_hand=uses)}) for uses in (0, 20)
    )
    assert start.grit > worn.grit > fresh.grit
    assert cuts(Pad(7, 500, uses_hand=20), PRIORS) == pytest.approx(math.exp(-2))
    assert cuts(Pad(7, 500), PRIORS) == 1


def test_the_log_counts_a_pads_uses_and_an_entry_may_say_more() -> None:
    step = hand(500, pad_id=7)
    counted = fold(ball(), log(new(machine(3000)), *[sanded(step)] * 6), PRIORS)
    never_worn = fold(ball(), log(new(machine(3000)), *[sanded(hand(500))] * 6), PRIORS)
    told = fold(ball(), log(new(machine(3000)), sanded(hand(500, pad_id=7, uses_before=15.0))), PRIORS)
    fresh = fold(ball(), log(new(machine(3000)), sanded(step)), PRIORS)
    assert counted.grit > never_worn.grit
    assert told.grit > fresh.grit


def test_what_a_worn_pad_does_is_less_sure() -> None:
    fresh, worn = (closure(hand(500), (uses, 0), PRIORS.surface) for uses in (0, 15))
    assert worn.sd / worn.share > 1.2 * fresh.sd / fresh.share


def test_a_light_pass_and_a_timed_one_are_as_doubtful_as_their_priors_say() -> None:
    s, lasted = PRIORS.surface, 40.0 / PRIORS.surface.tau_hand_s
    timed_sd = lasted * math.exp(-lasted) * s.tau_sand_ln_sd
    for step, sd in ((hand(500), s.light_pass_sd), (hand(500, sides=2, seconds=20.0), timed_sd)):
        done = closure(step, (0, 0), s)
        assert math.hypot(done.sd, done.slope * s.pad_cut_ln_sd) == pytest.approx(sd)


def test_more_time_with_a_pad_comes_nearer_to_it() -> None:
    lefts = [
        fold(ball(), log(new(machine(3000)), sanded(hand(500, sides=4, seconds=s))), PRIORS).grit
        for s in (5, 15, 45, 120)
    ]
    assert lefts == sorted(lefts, reverse=True)


def test_a_plain_number_takes_the_p_scale_with_more_doubt() -> None:
    plain = machine(1000)
    plain = Step(number=1000, scale=Scale.PLAIN, tool=plain.tool, wet=True)
    p, sold_plain = (fold(ball(), log(new(machine(500)), sanded(s)), PRIORS) for s in (machine(1000), plain))
    assert sold_plain.grit == pytest.approx(p.grit)
    assert sold_plain.ln_ra_m.sd > p.ln_ra_m.sd


def test_a_cami_pad_is_finer_than_its_number_on_the_p_scale() -> None:
    cami = Step(number=400, scale=Scale.CAMI, tool=Tool.MACHINE)
    state = fold(ball(), log(new(machine(500)), sanded(cami)), PRIORS)
    assert state.grit == pytest.approx(fold(ball(), log(new(machine(500)), sanded(machine(780))), PRIORS).grit, rel=0.1)


def test_a_non_woven_pad_without_a_number_is_wide() -> None:
    woven = Step(Abrasive.NONWOVEN, tool=Tool.MACHINE)
    state = fold(ball(), log(new(machine(500)), sanded(woven)), PRIORS)
    assert state.ln_ra_m.sd > fold(ball(), log(new(machine(500)), sanded(machine(1500))), PRIORS).ln_ra_m.sd


# ---- shine


def test_a_solid_at_1000_has_lost_about_half_its_roughness_by_15_games() -> None:
    # a coaching source says half; 45 to 65 % is the band allowed
    assert 0.45 <= ra_lost(1000, 15) <= 0.65


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("cover", "within"), [(Cover.SOLID, 0.10), (Cover.HYBRID, 0.10), (Cover.URETHANE, 0.10), (Cover.PEARL, 0.12)]
)
def test_a_ball_is_near_its_settled_grit_at_40_games(cover: Cover, within: float) -> None:
    # a tenth is said of solids; a pearl takes a little longer
    state = foresee(ball(cover), set_at(1000, cover), 40, PRIORS)
    assert state.grit == pytest.approx(state.settled_grit, rel=within)


@pytest.mark.parametrize("cover", REACTIVE)
def test_the_first_three_games_take_over_half_of_the_first_fifteen(cover: Cover) -> None:
    assert ra_lost(1000, 3, cover) > 0.5 * ra_lost(1000, 15, cover)


@pytest.mark.parametrize("cover", list(Cover))
def test_rough_finishes_move_most(cover: Cover) -> None:
    # press citing the governing body: rough finishes change most, in the first games
    lost = [ra_lost(number, 3, cover) for number in (500, 1000, 2000, 3000)]
    assert lost == sorted(lost, reverse=True)


@pytest.mark.common_practice
def test_a_polished_ball_dulls_toward_settled() -> None:
    shiny = fold(ball(), log(new(machine(500), machine(4000), POLISH)), PRIORS)
    assert shiny.grit > shiny.settled_grit
    later = foresee(ball(), shiny, 30, PRIORS)
    assert later.settled_grit * 0.9 < later.grit < shiny.grit


@pytest.mark.common_practice
def test_shine_brings_a_rough_urethane_back_toward_settled_and_the_same_pad_restores_it() -> None:
    rough = set_at(500, Cover.URETHANE)
    shone = foresee(ball(Cover.URETHANE), rough, 9, PRIORS)
    assert rough.grit * 2 < shone.grit < rough.settled_grit
    again = after_work(ball(Cover.URETHANE), shone, (machine(500),), PRIORS)
    assert again.grit == pytest.approx(rough.grit, rel=0.1)


@pytest.mark.common_practice
def test_urethane_shines_faster_than_reactive() -> None:
    assert ra_lost(500, 6, Cover.URETHANE) > ra_lost(500, 6, Cover.SOLID)


@given(st.floats(0.1, 60), st.floats(0.1, 60), COVERS)
@settings(max_examples=40, deadline=None)
def test_games_add_up_whatever_the_sessions(a: float, b: float, cover: Cover) -> None:
    start = log(new(machine(1000)))
    once = fold(ball(cover), start + log(new(), played(a + b))[1:], PRIORS)
    twice = fold(ball(cover), start + log(new(), played(a), played(b))[1:], PRIORS)
    assert twice.ln_ra_m.mean == pytest.approx(once.ln_ra_m.mean, abs=1e-9)
    assert twice.ln_ra_m.sd == pytest.approx(once.ln_ra_m.sd, abs=1e-9)
    assert twice.oil_kg.mean == pytest.approx(once.oil_kg.mean, abs=1e-12)
    assert twice.settled_in is not None
    assert once.settled_in is not None
    assert twice.settled_in.ln_ra_m == pytest.approx(once.settled_in.ln_ra_m, abs=1e-9)


# ---- what the work is called


def test_one_pad_is_a_refresh_and_a_full_sequence_by_machine_a_resurface() -> None:
    assert not is_resurface(SurfaceWork((machine(500),)))
    assert not is_resurface(SurfaceWork((hand(500), hand(1000), hand(2000))))
    assert not is_resurface(SurfaceWork((machine(1500), machine(3000))))
    assert not is_resurface(SurfaceWork((machine(500), machine(1000), machine(2000)), whole=False))
    assert not is_resurface(SurfaceWork((POLISH,)))
    assert not is_resurface(SurfaceWork((machine(500), machine(-1))))
    assert is_resurface(SurfaceWork((machine(500), machine(2000))))
    assert is_resurface(SurfaceWork((machine(1000), machine(2000), machine(4000), POLISH)))


@pytest.mark.common_practice
def test_bench_minutes_lie_where_shops_say() -> None:
    full = tuple(machine(n) for n in (500, 1000, 2000, 4000))
    assert minutes(()) == 0
    assert 3 <= minutes((machine(1000),)) <= 6
    assert 3 <= minutes((POLISH,)) <= 5
    assert 2 <= minutes((hand(1000),)) <= 6
    assert 12 <= minutes(full) <= 20
