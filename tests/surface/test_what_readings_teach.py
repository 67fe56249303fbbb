"""What readings teach beyond the finish of the day: paces of ball and house, hand and spinner, pads, instruments."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from surface_log import PRIORS, ball, hand, log, machine, new, played, sanded, scanner, used

from arsenal.surface import Estimate, Learned, SurfaceState, after_work, fold, foresee, learned, taught
from arsenal.surface.state import PadCut
from arsenal.trade.entries import DropTest, Entry, Kind, Quantity, Reading
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.units import GRAM_KG, INCH_M

FILM = FilmSummary(12.5, 25e-6, 8.0)
LANES = {i: Lane(i, f"condition {i}", FILM, house=h) for i, h in ((1, "Elm"), (2, " elm "), (3, "Ash"))}
S = PRIORS.surface


def pace(state: SurfaceState) -> float:
    return state.wear_pace.mean * state.house_pace.mean


def shone(games: float, after: float, lane: int = 1) -> list[Entry]:
    """Set at 500, read 500, played, read `after`: a pace in plain sight."""
    return log(new(machine(500)), scanner(500), played(games, lane=lane), scanner(after))


def of(ball_id: int, entries: list[Entry]) -> list[Entry]:
    return [replace(e, ball_id=ball_id) for e in entries]


# ---- the house


def test_one_ball_cannot_tell_its_own_pace_from_the_houses() -> None:
    state = fold(ball(), shone(6, 900), PRIORS, lanes=LANES)
    assert pace(state) > 1.3
    assert math.log(state.wear_pace.mean) > math.log(state.house_pace.mean) > 0
    share = math.log(state.house_pace.mean) / math.log(pace(state))
    assert share == pytest.approx((S.house_pace_ln_sd / S.tau_slow_ln_sd) ** 2, abs=0.02)
    assert state.house == "elm"


def told(ball_id: int, after: float, lane: int = 1) -> tuple:
    return replace(ball(), id=ball_id), of(ball_id, shone(6, after, lane))


def test_several_balls_that_shine_slowly_in_one_house_make_the_house_slow() -> None:
    balls = [told(n, 900, 1 + n % 2) for n in range(1, 7)]
    together = learned((taught(b, e, PRIORS, lanes=LANES) for b, e in balls), PRIORS)
    one = fold(ball(), shone(6, 900), PRIORS, lanes=LANES).house_pace
    assert set(together.houses) == {"elm"}  # two conditions of one house
    assert math.exp(together.houses["elm"].mean) > 1.1 * one.mean
    assert together.houses["elm"].sd < 0.85 * S.house_pace_ln_sd
    fresh = [log(new(machine(500)), played(6, lane=n)) for n in (1, 3)]
    there, elsewhere = (fold(ball(), e, PRIORS, lanes=LANES, learned=together) for e in fresh)
    assert there.grit < elsewhere.grit
    assert elsewhere.house_pace == Estimate(1.0, S.house_pace_ln_sd)


def test_balls_that_shine_each_their_own_way_leave_the_house_as_usual() -> None:
    usual = fold(ball(), shone(6, 900)[:3], PRIORS, lanes=LANES).grit
    balls = [told(n, usual * by) for n, by in enumerate((0.8, 0.8, 0.8, 1.25, 1.25, 1.25), start=1)]
    together = learned((taught(b, e, PRIORS, lanes=LANES) for b, e in balls), PRIORS)
    assert together.houses["elm"].mean == pytest.approx(0.0, abs=0.05)


def test_what_a_house_does_to_a_ball_is_taken_up_again_when_the_ball_comes_back() -> None:
    away = [*shone(6, 900), *log(new(), new(), new(), new(), played(3, lane=3), played(1, lane=1))[4:]]
    home, out = (fold(ball(), away[:n], PRIORS, lanes=LANES) for n in (6, 5))
    assert out.house == "ash"
    assert out.house_pace == Estimate(1.0, S.house_pace_ln_sd)
    assert home.house_pace.mean == pytest.approx(fold(ball(), away[:4], PRIORS, lanes=LANES).house_pace.mean)


def test_a_log_without_readings_teaches_nothing() -> None:
    silent = taught(ball(), log(new(machine(500)), played(6, lane=1), sanded(hand(500, pad_id=7))), PRIORS, lanes=LANES)
    assert not silent.houses
    assert not silent.pads
    assert learned([silent], PRIORS) == Learned()


def test_house_and_ball_together_are_as_doubtful_as_a_pace_always_was() -> None:
    state = fold(ball(), log(new(machine(500))), PRIORS)
    assert math.hypot(state.wear_pace.sd, state.house_pace.sd) == pytest.approx(S.tau_slow_ln_sd)


# ---- pads


def before_and_after(reads: float, pad_id: int = 7) -> list[Entry]:
    return log(used(), scanner(3000, sd=60), sanded(hand(500, pad_id=pad_id)), scanner(reads, sd=40))


@pytest.mark.parametrize(("reads", "quick"), [(1000, True), (2700, False)])
def test_readings_before_and_after_a_pad_teach_how_it_cuts(reads: float, quick: bool) -> None:
    state = fold(ball(), before_and_after(reads), PRIORS)
    (cut,) = state.pad_cuts
    assert cut.pad_id == 7
    assert (cut.ln_cut.mean > 0.05) is quick
    assert (cut.ln_cut.mean < -0.05) is not quick
    assert cut.ln_cut.sd < S.pad_cut_ln_sd


def test_a_pad_that_reads_as_expected_is_as_usual_and_one_nobody_read_is_not_known() -> None:
    plain = fold(ball(), log(used(), scanner(3000, sd=60), sanded(hand(500, pad_id=7))), PRIORS)
    assert plain.pad_cuts == (PadCut(7, Estimate(0.0, pytest.approx(S.pad_cut_ln_sd))),)
    usual = fold(ball(), before_and_after(plain.grit), PRIORS)
    assert usual.pad_cuts[0].ln_cut.mean == pytest.approx(0.0, abs=0.02)


def test_a_pad_that_cuts_more_does_more_on_the_next_ball() -> None:
    said = taught(ball(), before_and_after(1000), PRIORS)
    quick = learned([said] * 4, PRIORS)
    assert quick.pads[7].mean > 0.15
    other = replace(ball(), id=2)
    base, steps = of(2, log(new(machine(3000)))), (hand(500, pad_id=7),)
    state = fold(other, base, PRIORS, learned=quick)
    logged = fold(other, [*base, *of(2, log(new(), sanded(*steps)))[1:]], PRIORS, learned=quick)
    ahead, usual = after_work(other, state, steps, PRIORS), after_work(other, fold(other, base, PRIORS), steps, PRIORS)
    assert ahead.grit < 0.95 * usual.grit
    assert logged.ln_ra_m.mean == pytest.approx(ahead.ln_ra_m.mean)
    assert ahead.ln_ra_m.sd < usual.ln_ra_m.sd


def test_the_cut_of_a_pad_is_learned_as_weighing_draws_does() -> None:
    rng, n = np.random.default_rng(3), 400_000
    start = rng.normal(0.0, S.used_gap_sd, n) + S.used_gap  # ln grit below settled
    settled = rng.normal(math.log(4500), S.settled_ln_sd, n)
    offset, meter = rng.normal(0, S.ra_ln_sd, n), rng.normal(0, S.instrument_ln_sd, n)
    by_hand, cut = rng.normal(0, S.hand_ln_sd, n), rng.normal(0, S.pad_cut_ln_sd, n)
    level = math.log(S.ra_at_500_m) + 0.75 * math.log(500)
    before = level - 0.75 * (settled - start) + offset
    slope = -math.log1p(-S.light_pass) * (1 - S.light_pass)
    own = math.sqrt(S.light_pass_sd**2 - (slope * S.pad_cut_ln_sd) ** 2)
    share = -np.expm1(math.log1p(-S.light_pass) * np.exp(cut)) + rng.normal(0, own, n)
    gap = (1 - share) * start + share * (settled - rng.normal(math.log(500), S.pad_ln_sd, n))
    keeps = 1 - S.light_pass * S.offset_renewed
    after = level - 0.75 * (settled - gap) + keeps * offset + S.light_pass * by_hand
    after += rng.normal(0, S.ra_ln_sd * math.sqrt(1 - keeps**2), n)
    weight = np.zeros(n)
    for at, grit, sd in ((before, 3000, 60), (after, 1000, 40)):
        says = level - 0.75 * math.log(grit)
        weight -= 0.5 * ((at + meter - says) / (0.75 * sd / grit)) ** 2
    weight = np.exp(weight - weight.max())
    mean = float(np.average(cut, weights=weight))
    sd = math.sqrt(float(np.average((cut - mean) ** 2, weights=weight)))
    (found,) = fold(ball(), before_and_after(1000), PRIORS).pad_cuts
    assert found.ln_cut.mean == pytest.approx(mean, abs=0.05)
    assert found.ln_cut.sd == pytest.approx(sd, rel=0.1)


# ---- hand against spinner


def test_a_ball_that_reads_rougher_by_hand_is_expected_to_do_so_again() -> None:
    full_hand = hand(1000, sides=6, seconds=100.0)
    base = [new(machine(1000)), scanner(1000), sanded(full_hand)]
    expected = fold(ball(), log(*base), PRIORS).grit
    rough = fold(ball(), log(*base, scanner(0.75 * expected)), PRIORS)
    assert rough.hand_offset_ln.mean > 0.02
    assert rough.hand_offset_ln.sd < S.hand_ln_sd
    by_hand, spun = (after_work(ball(), rough, (step,), PRIORS) for step in (full_hand, machine(1000)))
    assert by_hand.grit < 0.97 * spun.grit


def test_a_spinners_finish_says_nothing_of_the_hands() -> None:
    state = fold(ball(), log(new(machine(1000)), scanner(700), sanded(machine(500)), scanner(600)), PRIORS)
    assert state.hand_offset_ln == Estimate(0.0, pytest.approx(S.hand_ln_sd))


# ---- instruments


def test_one_scanner_sees_a_change_better_than_two_do() -> None:
    told = [new(machine(500)), scanner(600, by="a"), played(6)]
    one, two = (fold(ball(), log(*told, scanner(1500, by=by)), PRIORS) for by in ("a", "b"))
    assert one.wear_pace.sd / one.wear_pace.mean < two.wear_pace.sd / two.wear_pace.mean
    assert two.ln_ra_m.sd < one.ln_ra_m.sd  # and two know better how rough it is


def test_readings_of_one_scanner_never_know_a_ball_better_than_the_scanner_is_known() -> None:
    entries = log(new(machine(500)), *[x for _ in range(12) for x in (played(1), scanner(1500, by="a"))])
    assert fold(ball(), entries, PRIORS).ln_ra_m.sd > 0.7 * S.instrument_ln_sd


def test_two_scanners_in_turn_know_no_more_than_two() -> None:
    def sd(names: str) -> float:
        return fold(ball(), log(used(), *[scanner(2000, by=by) for by in names], days=0), PRIORS).ln_ra_m.sd

    assert sd("ab" * 12) == pytest.approx(sd("a" * 12 + "b" * 12), rel=1e-6)
    two = S.instrument_ln_sd / math.sqrt(2.0)
    assert two * 0.9 < sd("ab" * 12) < sd("ab")


def test_going_to_and_fro_between_two_houses_counts_nothing_twice() -> None:
    def told(lanes: tuple[int, ...]) -> SurfaceState:
        games = [x for lane in lanes for x in (played(1e-3, lane=lane), scanner(900))]
        return fold(ball(), log(new(machine(500)), played(4, lane=1), scanner(900), *games), PRIORS, lanes=LANES)

    there, to_and_fro = told((1,) * 6), told((3, 1) * 3)
    assert to_and_fro.house_pace.sd / to_and_fro.house_pace.mean > 0.98 * there.house_pace.sd / there.house_pace.mean


def test_two_scanners_without_a_name_on_two_days_are_two() -> None:
    one, none = (fold(ball(), log(used(), *[scanner(2000, by=by)] * 4), PRIORS) for by in ("a", ""))
    assert none.ln_ra_m.sd < one.ln_ra_m.sd


# ---- weight, diameter, drop


def weigh(grams: float) -> tuple[Kind, Reading]:
    return Kind.READING, Reading(Quantity.MASS, grams * GRAM_KG, "scale")


def across(inches: float) -> tuple[Kind, Reading]:
    return Kind.READING, Reading(Quantity.DIAMETER, inches * INCH_M, "caliper")


def codes(state: SurfaceState) -> set[str]:
    return {f.code for f in state.findings}


def test_weighing_twice_over_says_nothing_of_the_oil_that_was_there() -> None:
    once, again = (fold(ball(), log(used(), *[weigh(6793)] * n, days=0), PRIORS) for n in (1, 3))
    assert again.oil_kg == once.oil_kg


def test_a_weight_the_log_cannot_explain_is_told_and_kept() -> None:
    base = [new(machine(1000)), weigh(6793), played(5)]
    odd = fold(ball(), log(*base, weigh(6873)), PRIORS)
    assert "weight-against-log" in codes(odd)
    assert odd.mass_kg == 6.873
    assert "weight-against-log" not in codes(fold(ball(), log(*base, weigh(6795)), PRIORS))


def test_a_diameter_the_log_cannot_explain_is_told_and_the_first_one_never_is() -> None:
    assert "diameter-against-log" not in codes(fold(ball(), log(new(), across(8.520)), PRIORS))
    odd = fold(ball(), log(new(), across(8.570), across(8.540)), PRIORS)
    assert "diameter-against-log" in codes(odd)
    assert 8.540 < 2 * odd.radius_m.mean / INCH_M < 8.570
    agreed = fold(ball(), log(new(), across(8.570), across(8.540), across(8.541)), PRIORS)
    assert next(f for f in agreed.findings if f.code == "diameter-against-log").weight.value == "note"


def test_a_gloss_the_log_cannot_explain_is_told() -> None:
    def gloss(value: float) -> tuple[Kind, Reading]:
        return Kind.READING, Reading(Quantity.GLOSS, value, "meter", gloss_angle_deg=85.0)

    odd = fold(ball(), log(new(machine(2000)), gloss(60), played(1), gloss(55), played(1), gloss(11)), PRIORS)
    assert "gloss-against-log" in codes(odd)


def test_diameters_before_and_after_correct_what_sanding_took() -> None:
    full = [sanded(machine(360), machine(500), machine(1000))] * 4
    guess = fold(ball(), log(new(), across(8.590), *full), PRIORS)
    usual_in = guess.cover_off_m.mean / INCH_M
    for times in (0.5, 2.0):
        last = across(8.590 - 2 * times * usual_in)
        read = fold(ball(), log(new(), across(8.590), *full, last), PRIORS)
        assert abs(read.cover_off_m.mean / INCH_M - times * usual_in) < 0.15 * abs(times - 1) * usual_in
        assert read.cover_off_m.sd < 0.5 * guess.cover_off_m.sd
        again = fold(ball(), log(new(), across(8.590), *full, last, *full), PRIORS)
        more = again.cover_off_m.mean - read.cover_off_m.mean
        assert (more > guess.cover_off_m.mean) is (times > 1)  # the next job takes as this ball's jobs do


def test_cover_off_and_radius_keep_their_sum_where_nobody_measures() -> None:
    state = fold(ball(), log(new(), *[sanded(machine(500), machine(1000))] * 5), PRIORS)
    assert state.radius_m.mean + state.cover_off_m.mean == pytest.approx(ball().radius_m)
    assert state.radius_m.sd == pytest.approx(math.hypot(S.radius_sd_m, state.cover_off_m.sd))


@pytest.mark.common_practice
def test_a_thousandth_of_an_inch_off_the_radius_is_about_four_grams() -> None:
    # volume of a shell of a ball 8.59 in across, 0.001 in thick, of resin of 1.05 to 1.25 g/cm³ (handbook values)
    volume_m3 = 4 * math.pi * (4.295 * INCH_M) ** 2 * 0.001 * INCH_M
    grams = PRIORS.oil.cover_mass_per_thou_kg / GRAM_KG
    assert 1000 * 1050 * volume_m3 < 1.05 * grams
    assert 1000 * 1250 * volume_m3 > 0.95 * grams


def test_a_drop_test_narrows_the_thirst_and_a_weighing_is_not_counted_twice() -> None:
    drop = (Kind.DROP_TEST, DropTest(3.0))
    base = [new(machine(1000)), weigh(6793), played(20)]
    plain, dropped = (fold(ball(), log(*base, *more), PRIORS) for more in ((), (drop,)))
    assert dropped.oil_kg.mean > 1.5 * plain.oil_kg.mean  # what it drank before is told along
    assert dropped.oil_kg.sd / dropped.oil_kg.mean < 0.8 * plain.oil_kg.sd / plain.oil_kg.mean
    weighed = fold(ball(), log(*base, weigh(6797.5)), PRIORS)
    both = fold(ball(), log(*base, weigh(6797.5), drop), PRIORS)
    thirst = [foresee(ball(), s, 1, PRIORS).oil_kg.mean - s.oil_kg.mean for s in (plain, weighed, both)]
    assert thirst[0] < thirst[1] < 1.3 * thirst[2]
    assert thirst[2] < 2.5 * thirst[0]
