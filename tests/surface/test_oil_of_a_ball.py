"""Oil in the cover and the film on it: uptake, removal, weighing; against the lab's findings and their own balance."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from surface_log import PRIORS, ball, cleaned, entry, log, machine, new, played, sanded

from arsenal.kernels.uptake import shot
from arsenal.surface import SurfaceState, fold, foresee
from arsenal.trade.ball import Cover
from arsenal.trade.entries import DropTest, Kind, OilDrawn, OilMethod, Quantity, Reading, Wiped
from arsenal.trade.lane import FilmGrid, FilmSummary, Lane, UnknownHouse
from arsenal.trade.units import BOARD_M, GRAM_KG, INCH_M

THOU_M = 0.001 * INCH_M


def oil(cover: Cover, *more: tuple, wiped: Wiped = Wiped.EACH) -> SurfaceState:
    return fold(ball(cover), log(new(machine(1000)), played(40, wiped=wiped), *more, days=0), PRIORS)


def test_urethane_and_polyester_take_up_nearly_nothing() -> None:
    # governing-body lab article on oil absorption
    solid = oil(Cover.SOLID).oil_kg.mean
    assert oil(Cover.URETHANE).oil_kg.mean < 0.12 * solid
    assert oil(Cover.POLYESTER).oil_kg.mean < 0.01 * solid


@pytest.mark.parametrize("cover", [Cover.SOLID, Cover.HYBRID, Cover.PEARL])
def test_reactive_covers_drink_fast_and_then_slowly(cover: Cover) -> None:
    # governing-body lab article on oil absorption
    grams = [foresee(ball(cover), fold(ball(cover), log(new()), PRIORS), n, PRIORS).oil_kg.mean for n in (30, 60, 90)]
    assert grams[0] > grams[1] - grams[0] > grams[2] - grams[1] > 0


@pytest.mark.common_practice
def test_wiping_keeps_oil_out_and_off() -> None:
    each, sometimes, never = (oil(Cover.SOLID, wiped=w) for w in (Wiped.EACH, Wiped.SOMETIMES, Wiped.NEVER))
    assert each.oil_kg.mean < sometimes.oil_kg.mean < never.oil_kg.mean
    assert each.film_m.mean < sometimes.film_m.mean < never.film_m.mean
    assert oil(Cover.URETHANE, wiped=Wiped.NEVER).film_m.mean > 2 * never.film_m.mean


@pytest.mark.parametrize("wiped", [Wiped.EACH, Wiped.NEVER])
def test_forty_games_shot_by_shot_lose_no_oil_and_leave_in_the_cover_what_the_fold_says(wiped: Wiped) -> None:
    o, length_m = PRIORS.oil, 41 * 0.3048
    height_m = 2.0 * o.reference_volume_m3 / (length_m * 39 * BOARD_M)  # a line through the heavier middle of a house
    lifted = o.lift_share * height_m * o.band_m * length_m * o.oil_density_kgpm3
    a_shot = (o.uptake_wiped_kg if wiped is Wiped.EACH else o.uptake_unwiped_kg)[Cover.SOLID] / 11
    full, most = o.capacity_kg[Cover.SOLID], 0.2e-6 * 0.05 * o.oil_density_kgpm3
    cover = film = towel = carrydown = 0.0
    for _ in range(40 * 11):
        b = shot(lifted, film, a_shot * (1 - cover / full), most, o.wipe_takes if wiped is Wiped.EACH else 0.0)
        cover, film, towel, carrydown = cover + b.cover, b.film, towel + b.towel, carrydown + b.carrydown
    assert cover + film + towel + carrydown == pytest.approx(40 * 11 * lifted, rel=1e-9)
    assert cover == pytest.approx(oil(Cover.SOLID, wiped=wiped).oil_kg.mean, rel=0.02)
    assert (towel > 0) is (wiped is Wiped.EACH)


def test_uptake_and_film_go_with_the_lanes_volume() -> None:
    lanes = {1: Lane(1, "heavy", FilmSummary(12.5, 50e-6, 8)), 2: Lane(2, "usual", FilmSummary(12.5, 25e-6, 8))}
    heavy, usual = (fold(ball(), log(new(), played(3, wiped=Wiped.NEVER, lane=i)), PRIORS, lanes=lanes) for i in (1, 2))
    assert heavy.oil_kg.mean == pytest.approx(2 * usual.oil_kg.mean, rel=0.05)
    assert heavy.film_m.mean == pytest.approx(2 * usual.film_m.mean)
    unsaid = fold(ball(), log(new(), played(3, wiped=Wiped.NEVER)), PRIORS, lanes=lanes)
    assert unsaid.oil_kg == usual.oil_kg


def test_a_measured_film_and_an_unknown_house_have_volumes_too() -> None:
    boards = tuple(0.5 + i for i in range(40))
    flat_grid = FilmGrid((0.0, 10.0), boards, ((2e-6,) * 40, (2e-6,) * 40))
    volume = 10.0 * 39 * BOARD_M * 2e-6
    lanes = {
        1: Lane(1, "measured", flat_grid),
        2: Lane(2, "same", FilmSummary(10.0, volume, 1)),
        3: Lane(3, "?", UnknownHouse(volume_low_m3=20e-6, volume_high_m3=30e-6)),
        4: Lane(4, "25", FilmSummary(12.0, 25e-6, 8)),
    }
    drunk = {i: fold(ball(), log(new(), played(3, lane=i)), PRIORS, lanes=lanes).oil_kg.mean for i in lanes}
    assert drunk[1] == pytest.approx(drunk[2])
    assert drunk[3] == pytest.approx(drunk[4])


def test_cleaning_the_same_night_takes_a_fifth_of_that_nights_oil_and_later_a_twentieth() -> None:
    base = log(new(machine(1000)), played(3))
    before = fold(ball(), base, PRIORS).oil_kg.mean
    soon = fold(ball(), [*base, entry(5, *cleaned(), on=base[-1].on)], PRIORS)
    late = fold(ball(), [*base, entry(5, *cleaned(same_night=False), on=base[-1].on + timedelta(1))], PRIORS)
    assert soon.oil_kg.mean == pytest.approx(0.80 * before)
    assert late.oil_kg.mean == pytest.approx(0.95 * before)
    assert soon.film_m.mean == late.film_m.mean == 0
    a_week_on = fold(ball(), [*base, entry(5, *cleaned(), on=base[-1].on + timedelta(7))], PRIORS)
    assert a_week_on.oil_kg.mean == pytest.approx(0.95 * before)
    twice = fold(ball(), [*base, *(entry(n, *cleaned(), on=base[-1].on) for n in (5, 6))], PRIORS)
    assert twice.oil_kg.mean == soon.oil_kg.mean


HEAT = (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, 52, 20))
BATH = (Kind.OIL_DRAWN, OilDrawn(OilMethod.BATH, 48))


def test_a_bath_or_a_pass_of_heat_takes_three_tenths() -> None:
    before = oil(Cover.SOLID).oil_kg.mean
    assert oil(Cover.SOLID, HEAT).oil_kg.mean == pytest.approx(0.7 * before)
    assert oil(Cover.SOLID, BATH).oil_kg.mean == pytest.approx(0.7 * before)


@given(st.lists(st.sampled_from([HEAT, BATH, cleaned(), sanded(machine(320), machine(500), machine(1000))]),
                min_size=1, max_size=20))  # fmt: skip
@settings(max_examples=50, deadline=None)
def test_one_visit_never_takes_over_85_percent_of_what_it_found(visit: list) -> None:
    found = oil(Cover.SOLID).oil_kg.mean
    assert oil(Cover.SOLID, *visit).oil_kg.mean >= 0.15 * found * (1 - 1e-9)


def test_resurfacing_takes_the_oil_of_the_layer_it_removes() -> None:
    before, after = oil(Cover.SOLID), oil(Cover.SOLID, sanded(machine(360), machine(500), machine(1000), machine(2000)))
    taken = after.cover_off_m.mean - before.cover_off_m.mean
    assert 0.5 * THOU_M < taken < 2 * THOU_M
    assert 0.03 < 1 - after.oil_kg.mean / before.oil_kg.mean < 0.25


def test_a_quick_drop_test_makes_a_thirsty_cover_within_a_factor_of_three() -> None:
    usual, quick, instant = (
        fold(ball(), log(new(), (Kind.DROP_TEST, DropTest(m)), played(3)), PRIORS).oil_kg.mean for m in (6, 3, 0.2)
    )
    assert quick == pytest.approx(2 * usual, rel=0.05)
    assert instant == pytest.approx(3 * usual, rel=0.05)


def test_weighing_clean_at_0_and_20_games_measures_the_oil_and_teaches_the_covers_thirst() -> None:
    def weigh(kg: float) -> tuple[Kind, Reading]:
        return Kind.READING, Reading(Quantity.MASS, kg, "scale")

    base = [new(machine(1000)), weigh(6.793), played(20)]
    guess = fold(ball(), log(*base), PRIORS)
    weighed = fold(ball(), log(*base, weigh(6.799)), PRIORS)
    assert guess.oil_kg.mean < 3 * GRAM_KG < weighed.oil_kg.mean < 6 * GRAM_KG
    assert weighed.oil_kg.sd < guess.oil_kg.sd
    assert weighed.mass_kg == 6.799
    later, unweighed = (foresee(ball(), s, 10, PRIORS).oil_kg.mean - s.oil_kg.mean for s in (weighed, guess))
    assert later > 1.2 * unweighed


@pytest.mark.parametrize(
    ("cover", "most_um"),
    [(Cover.SOLID, 0.2), (Cover.HYBRID, 0.2), (Cover.PEARL, 0.2), (Cover.URETHANE, 0.5), (Cover.POLYESTER, 0.3)],
)
@pytest.mark.parametrize("shots", [1, 4, 11])
def test_an_unwiped_ball_gathers_film_shot_by_shot_and_a_wiped_one_keeps_little(
    cover: Cover, most_um: float, shots: int
) -> None:
    # our own assumption: the most (1 − e^(−n/2)) unwiped, 0.05 μm wiped, on the same day
    unwiped, wiped = (
        fold(ball(cover), log(new(), played(shots / 11, wiped=w), days=0), PRIORS).film_m.mean
        for w in (Wiped.NEVER, Wiped.EACH)
    )
    assert unwiped == pytest.approx(most_um * 1e-6 * (1.0 - math.exp(-shots / 2.0)))
    assert wiped == pytest.approx(0.05e-6)


def test_reactive_covers_soak_the_film_overnight_and_urethane_keeps_it() -> None:
    base = log(new(machine(1000)), played(3, wiped=Wiped.NEVER))
    day = base[-1].on
    for cover, keeps in ((Cover.SOLID, False), (Cover.URETHANE, True)):
        same_day, next_day = (fold(ball(cover), base, PRIORS, until=day + timedelta(d)).film_m.mean for d in (0, 1))
        assert (next_day == same_day) is keeps
        assert keeps or next_day < 1e-9


def test_film_of_last_week_is_gone_from_a_reactive_cover_before_the_next_session() -> None:
    one = played(1 / 11, wiped=Wiped.NEVER)
    for cover, adds_up in ((Cover.PEARL, False), (Cover.URETHANE, True)):
        once, twice = (fold(ball(cover), log(new(), *[one] * n), PRIORS).film_m.mean for n in (1, 2))
        assert (twice > 1.2 * once) is adds_up
