"""Units against the definitions that fix them, and the lane's measures against the handbook."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from arsenal.trade import units as u

EXACT = {
    # International yard and pound agreement, 1 July 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg, both exactly.
    "INCH_M": Fraction(9144, 10000) / 36,
    "FOOT_M": Fraction(9144, 10000) / 3,
    "POUND_KG": Fraction(45359237, 100000000),
    "OUNCE_KG": Fraction(45359237, 100000000) / 16,
    "MPH_MPS": Fraction(9144, 10000) * 1760 / 3600,
    "MICROINCH_M": Fraction(9144, 10000) / 36 / 1_000_000,
    # SI brochure, 9th edition: hour 3600 s, minute 60 s, millilitre 10⁻⁶ m³, gram 10⁻³ kg.
    "KMH_MPS": Fraction(1000, 3600),
    "MINUTE_S": Fraction(60),
    "MILLILITRE_M3": Fraction(1, 1_000_000),
    "GRAM_KG": Fraction(1, 1000),
    "MICROMETRE_M": Fraction(1, 1_000_000),
    # 3rd CGPM, 1901: standard acceleration of gravity 9.80665 m/s².
    "GRAVITY_MPS2": Fraction(980665, 100000),
}


@pytest.mark.parametrize("name", EXACT)
def test_a_unit_is_what_its_definition_says(name: str) -> None:
    assert getattr(u, name) == pytest.approx(float(EXACT[name]), rel=1e-15)


def test_a_turn_is_two_pi() -> None:
    assert pytest.approx(2.0 * math.pi, rel=1e-15) == 60.0 * u.RPM_RADPS
    assert pytest.approx(2.0 * math.pi, rel=1e-15) == 360.0 * u.DEGREE_RAD
    assert pytest.approx(31.41592653589793, rel=1e-15) == 300.0 * u.RPM_RADPS


def test_a_microinch_is_0_0254_micrometres() -> None:
    """ISO 1302:1992 pairs N6 0.8 μm with 32 μin (31.5 rounded): 0.8/0.0254 = 31.496."""
    assert pytest.approx(31.496, abs=5e-4) == 0.8 * u.MICROMETRE_M / u.MICROINCH_M


def test_a_board_is_1_0641_inches() -> None:
    """USBC equipment manual: 39 boards, width 41 to 42 in; nominal 41½ in."""
    assert u.LANE_BOARDS == 39
    assert pytest.approx(1.0641, abs=5e-5) == u.BOARD_M / u.INCH_M
    assert 41.0 <= u.LANE_WIDTH_M / u.INCH_M <= 42.0
    assert pytest.approx(60.0, rel=1e-15) == u.LANE_LENGTH_M / u.FOOT_M


def test_the_twentieth_board_is_the_middle_from_either_side() -> None:
    assert u.board_to_lateral_m(20) == pytest.approx(u.LANE_WIDTH_M / 2)
    assert u.mirror_board(20) == 20
    assert u.mirror_board(u.POCKET_BOARD) == 22.5


def test_a_unit_of_oil_spread_on_a_square_foot_is_0_0167_millilitres() -> None:
    """From memory: 0.0167 mL/ft²; there is no one agreed unit. One litre per square metre is one millimetre high."""
    assert pytest.approx(0.0167, abs=5e-5) == u.OIL_UNIT_M * u.FOOT_M**2 / u.MILLILITRE_M3


def test_temperatures_at_the_fixed_points_of_both_scales() -> None:
    """0 °C = 32 °F, 100 °C = 212 °F, and both read −40 alike; 54 °C is 130 °F to the degree."""
    for celsius, fahrenheit in ((0.0, 32.0), (100.0, 212.0), (-40.0, -40.0)):
        assert u.f_from_c(celsius) == pytest.approx(fahrenheit)
        assert u.c_from_f(fahrenheit) == pytest.approx(celsius)
    assert round(u.c_from_f(130.0)) == 54


@given(st.floats(-1e6, 1e6))
def test_there_and_back_is_where_it_was(value: float) -> None:
    assert u.lateral_m_to_board(u.board_to_lateral_m(value)) == pytest.approx(value, abs=1e-6)
    assert u.c_from_f(u.f_from_c(value)) == pytest.approx(value, abs=1e-6)
    assert u.mirror_board(u.mirror_board(value)) == pytest.approx(value, abs=1e-6)


def test_four_sixteen_pound_balls_weigh_more_than_the_lifting_constant() -> None:
    """NIOSH lifting equation: load constant 51 lb, 23 kg."""
    assert 4 * 16.0 * u.POUND_KG > 23.0
    assert pytest.approx(23.0, abs=0.2) == 51.0 * u.POUND_KG
