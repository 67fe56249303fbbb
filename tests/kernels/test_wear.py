"""Grain, roughness, closure and shine against published tables and their own laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.kernels import wear

RA500, EXPONENT = 42 * 0.0254e-6, -0.75
GRITS = st.floats(60, 12000)


@pytest.mark.parametrize(
    ("number", "micrometres"),
    [  # FEPA 43 / ISO 6344-3, medians as secondary tables give them
        (240, 58.5), (320, 46.2), (360, 40.5), (400, 35.0), (500, 30.2), (600, 25.8), (800, 21.8), (1000, 18.3),
        (1200, 15.3), (1500, 12.6), (2000, 10.3), (2500, 8.4),
    ],
)  # fmt: skip
def test_the_p_scale_has_the_medians_of_the_standard(number: int, micrometres: float) -> None:
    assert wear.median_m(number, "P") == pytest.approx(micrometres * 1e-6, rel=1e-12)


@pytest.mark.parametrize(("number", "micrometres"), [(3000, 7.0), (4000, 5.0), (5000, 4.0)])
def test_finer_p_numbers_have_medians_from_memory(number: int, micrometres: float) -> None:
    assert wear.median_m(number, "P") == pytest.approx(micrometres * 1e-6)


def test_cami_400_lies_near_p800_as_published_charts_say() -> None:
    assert wear.median_m(400, "CAMI") == pytest.approx(23e-6)
    assert wear.p_equivalent(400, "CAMI") == pytest.approx(800, rel=0.1)


def test_other_cami_numbers_meet_their_p_neighbours_in_published_charts() -> None:
    for cami, p in ((320, 400), (500, 1000), (600, 1200)):
        assert wear.p_equivalent(cami, "CAMI") == pytest.approx(p, rel=0.06)


def test_jis_1000_is_eleven_and_a_half_micrometres() -> None:
    assert wear.median_m(1000, "JIS") == pytest.approx(11.5e-6)  # published table


def test_a_micron_number_is_its_own_median() -> None:
    assert wear.median_m(5, "micron") == pytest.approx(5e-6)
    assert wear.p_equivalent(5, "micron") == pytest.approx(4000)


def test_a_plain_number_is_read_on_the_p_scale() -> None:
    assert wear.p_equivalent(1000, "plain") == 1000
    assert wear.median_m(1000, "plain") == wear.median_m(1000, "P")


@given(GRITS, GRITS, st.sampled_from(["P", "CAMI", "JIS"]))
def test_a_larger_number_is_a_finer_grain_on_every_scale(a: float, b: float, scale: str) -> None:
    coarse, fine = sorted((a, b))
    if fine > coarse * (1 + 1e-9):
        assert wear.median_m(fine, scale) < wear.median_m(coarse, scale)


@given(GRITS)
def test_the_p_number_of_a_median_finds_its_way_back(number: float) -> None:
    assert wear.p_number(wear.median_m(number, "P")) == pytest.approx(number, rel=1e-9)


@pytest.mark.parametrize("number", [0.0, -5.0, math.nan])
def test_a_grain_number_that_cannot_be_is_refused(number: float) -> None:
    with pytest.raises(ValueError, match="positive"):
        wear.median_m(number, "P")
    with pytest.raises(ValueError, match="positive"):
        wear.p_number(number)


def test_a_scale_nobody_knows_is_refused() -> None:
    with pytest.raises(KeyError):
        wear.median_m(500, "furlong")


def test_the_reference_roughness_is_that_of_grit_2000() -> None:
    # 14.8 μin at grit 2000 on a solid cover; 1 μin is 0.0254 μm exactly (inch of 25.4 mm, 1959 agreement)
    assert wear.ra_m(2000, RA500, EXPONENT) == pytest.approx(14.8 * 0.0254e-6, rel=0.01)
    assert wear.ra_m(500, RA500, EXPONENT) == pytest.approx(1.0668e-6)


@given(GRITS)
def test_grit_equivalent_undoes_roughness(grit: float) -> None:
    assert wear.grit_equivalent(wear.ra_m(grit, RA500, EXPONENT), RA500, EXPONENT) == pytest.approx(grit)


@given(st.floats(1e-8, 5e-6))
def test_grit_equivalent_is_the_four_thirds_power_of_the_roughness_ratio(ra: float) -> None:
    assert wear.grit_equivalent(ra, RA500, EXPONENT) == pytest.approx(500 * (RA500 / ra) ** (4 / 3))


def test_one_measured_hand_pass_sets_the_closure_of_a_light_pass() -> None:
    # governing-body coaching blog, n = 1: reading 3000, one pass by hand with a 500 pad, reads 1651
    closed = math.log(3000 / 1651) / math.log(3000 / 500)
    assert closed == pytest.approx(0.33, abs=0.01)


@given(st.floats(0, 1000), st.floats(0, 1000), st.floats(10, 200), st.floats(0, 1))
def test_more_time_closes_more_and_never_more_than_the_pad_cuts(a: float, b: float, tau: float, cut: float) -> None:
    short, long = sorted((a, b))
    assert 0 <= wear.closure(short, tau, cut) <= wear.closure(long, tau, cut) <= cut


@given(st.floats(0, 300), st.floats(0, 300))
def test_two_passes_in_a_row_close_what_one_of_their_time_does(a: float, b: float) -> None:
    left = (1 - wear.closure(a, 107)) * (1 - wear.closure(b, 107))
    assert 1 - left == pytest.approx(wear.closure(a + b, 107), abs=1e-12)


def test_no_time_closes_nothing() -> None:
    assert wear.closure(0, 107) == 0
    assert wear.closure(-3, 107) == 0


@pytest.mark.common_practice
def test_a_pad_is_well_worn_after_ten_balls_by_hand_and_twenty_five_wet_on_a_spinner() -> None:
    assert wear.pad_wear(0, 0, 10, 25) == 1
    assert wear.pad_wear(10, 0, 10, 25) == pytest.approx(math.exp(-1))
    assert wear.pad_wear(0, 25, 10, 25) == pytest.approx(math.exp(-1))


def test_a_coarser_pad_is_reached_whole_and_a_much_finer_one_only_in_part() -> None:
    assert wear.reached(math.log(3000), math.log(500), 0.75) == (math.log(500), 0.0)
    assert wear.reached(math.log(1000), math.log(1900), 0.75) == (math.log(1900), 0.0)
    far, depends = wear.reached(math.log(500), math.log(4000), 0.75)
    assert far == pytest.approx(math.log(1000) + 0.75 * math.log(4))
    assert depends == 0.25


@given(st.floats(5, 9), st.floats(5, 9), st.floats(5, 9))
def test_a_coarser_pad_never_reaches_finer(now: float, a: float, b: float) -> None:
    coarse, fine = sorted((a, b))
    assert wear.reached(now, coarse, 0.75)[0] <= wear.reached(now, fine, 0.75)[0] + 1e-12


@given(st.floats(0, 1e-5))
def test_polish_smooths_a_rough_cover_and_dulls_a_smoother_one_toward_its_own_roughness(ra: float) -> None:
    polish = 4 * 0.0254e-6
    left = wear.polished_ra_m(ra, polish, 0.25)
    assert min(ra, polish) <= left * (1 + 1e-12)
    assert left <= max(ra, polish) * (1 + 1e-12)
    assert abs(left - polish) == pytest.approx(0.25 * abs(ra - polish), rel=1e-9, abs=1e-15)


GAPS = st.tuples(st.floats(-2, 3), st.floats(-2, 3))


@given(GAPS, st.floats(5, 9), st.floats(5, 9), st.floats(0, 1))
def test_a_sanding_moves_ln_grit_its_share_of_the_way(
    gaps: tuple[float, float], ln_settled: float, ln_pad: float, share: float
) -> None:
    before = ln_settled - sum(gaps)
    after = ln_settled - sum(wear.sanded(gaps, share, ln_settled, ln_pad, 0.45))
    assert after == pytest.approx(before + share * (ln_pad - before), abs=1e-9)


@given(GAPS, st.floats(5, 9), st.floats(5, 9))
def test_a_sanding_that_closes_nothing_changes_nothing(gaps: tuple[float, float], s: float, pad: float) -> None:
    assert wear.sanded(gaps, 0.0, s, pad, 0.45) == gaps


@given(GAPS, st.floats(0, 50), st.floats(0, 50))
def test_games_add_up(gaps: tuple[float, float], a: float, b: float) -> None:
    twice = wear.shone(wear.shone(gaps, a, 1.5, 15), b, 1.5, 15)
    assert twice == pytest.approx(wear.shone(gaps, a + b, 1.5, 15), abs=1e-12)


@given(GAPS, st.floats(0, 500))
def test_shine_never_passes_settled(gaps: tuple[float, float], games: float) -> None:
    after = wear.shone(gaps, games, 1.5, 15)
    for g0, g1 in zip(gaps, after, strict=True):
        assert abs(g1) <= abs(g0)
        assert g1 * g0 >= 0


def test_a_full_sequence_takes_about_a_thousandth_of_an_inch_off_the_radius() -> None:
    # our own assumption, in the order of size that resurfacing is told in
    full = sum(wear.cover_taken_m(wear.median_m(n), 1.0, 0.25) for n in (360, 500, 1000, 2000))
    assert full == pytest.approx(25.4e-6, rel=0.1)
