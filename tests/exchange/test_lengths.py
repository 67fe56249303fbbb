"""Lengths as drillers write them. An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""

from __future__ import annotations

import pytest

from arsenal.exchange import lengths
from arsenal.trade.errors import NotUnderstood

INCH = 0.0254


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("4 3/8", 4.375), ("4-3/8", 4.375), ("4⅜", 4.375), ("⅜", 0.375), ("31/32", 0.96875), ("31/32 in", 0.96875),
        ('4 3/8"', 4.375), ("4.38", 4.38), ("4,38", 4.38), (".5", 0.5), ("4", 4.0), ("  4  ", 4.0), ("−1/8", -0.125),
        ("-1/8", -0.125), ("25.4 mm", 1.0), ("2.54cm", 1.0), ("4 in.", 4.0), ("0", 0.0),
    ],
)  # fmt: skip
def test_fractions_decimals_and_units_are_read(typed: str, inches: float) -> None:
    assert lengths.read(typed) == pytest.approx(inches * INCH, abs=1e-12)


@pytest.mark.parametrize(
    "typed",
    ["", "x", "4 3/0", "1/2/3", "4..5", "4.5.6", "<b>4</b>", "=4", "4 ft", "four", "4\x00", "\u202e4", "9" * 10_000],
)
def test_what_is_no_length_is_named_and_nothing_is_guessed(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="not understood"):
        lengths.read(typed)


def test_without_a_unit_it_is_what_the_setting_says_and_a_fraction_is_of_an_inch() -> None:
    assert lengths.read("111", metric=True) == pytest.approx(0.111)
    assert lengths.read("4 3/8", metric=True) == pytest.approx(4.375 * INCH)
    assert lengths.read("4.375 in", metric=True) == pytest.approx(4.375 * INCH)


def test_a_pitch_is_read_by_its_direction() -> None:
    assert lengths.read("1/8 F", ways=lengths.FORWARD) == pytest.approx(0.125 * INCH)
    assert lengths.read("1/4 rev", ways=lengths.FORWARD) == pytest.approx(-0.25 * INCH)
    assert lengths.read("1/8 R", ways=lengths.SIDE) == pytest.approx(0.125 * INCH)
    assert lengths.read("3/8l", ways=lengths.SIDE) == pytest.approx(-0.375 * INCH)
    assert lengths.read("3 mm r", ways=lengths.FORWARD) == pytest.approx(-0.003)
    with pytest.raises(NotUnderstood) as told:
        lengths.read("1/8 L", ways=lengths.FORWARD)
    assert "1/8 F or 1/8 R" in str(told.value)
    with pytest.raises(NotUnderstood):
        lengths.read("-1/8 F", ways=lengths.FORWARD)


@pytest.mark.parametrize(
    ("inches", "told"),
    [(4.375, "4 3/8"), (0.96875, "31/32"), (4.0, "4"), (0.97, "0.97"), (0.0, "0"), (-0.125, "−1/8"), (0.969, "31/32")],
)
def test_lengths_are_shown_as_they_are_said(inches: float, told: str) -> None:
    assert lengths.say(inches * INCH) == told


def test_every_64th_up_to_eight_inches_comes_back_as_it_was_written() -> None:
    for parts in range(1, 8 * 64 + 1):
        value = parts / 64 * INCH
        assert lengths.read(lengths.say(value)) == pytest.approx(value, abs=1e-12)


def test_millimetres_and_directions() -> None:
    assert lengths.say(0.1111, metric=True) == "111.1"
    assert lengths.with_unit(0.1, metric=True) == "100 mm"
    assert lengths.say_way(-0.25 * INCH, "F", "R") == "1/4 R"
    assert lengths.say_way(0.0, "F", "R") == "0"


def test_where_millimetres_are_meant_the_hint_says_so() -> None:
    with pytest.raises(NotUnderstood) as wrong:
        lengths.read("wide", metric=True)
    assert wrong.value.next_step == "Write it as 111, 4 3/8 or 4.38 in."
    assert lengths.read("4.38 in", metric=True) == pytest.approx(4.38 * 0.0254)
