"""How a hand fits and how a ball was drilled: dated, checked against the rule rows, copied for the next ball."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from arsenal.acts import ball_rules, fit_book, fits, people, undo
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Kind, effective
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.fit import DrillRecord, FitSheet, Hole
from arsenal.trade.units import INCH_M, POUND_KG

IN = INCH_M
HOLES = (
    Hole("thumb", 0.97 * IN, 2.5 * IN, forward_m=0.125 * IN, side_m=0.0, insert="slug"),
    Hole("middle", 0.9 * IN, span_m=4.375 * IN, forward_m=-0.25 * IN, side_m=0.125 * IN),
    Hole("ring", 0.9 * IN, span_m=4.5 * IN),
)
DRILL = DrillRecord(0, 2, date(2026, 3, 14), HOLES, 4.0 * IN, mass_after_kg=14.9 * POUND_KG, driller="Kell")


def test_a_drilling_is_kept_with_its_log_entry_in_one_act(shop: Shop) -> None:
    before = len(shop.entries(2))
    fits.keep_drill(shop, DRILL)
    (new,) = shop.entries(2)[before:]
    assert new.kind is Kind.DRILLED
    assert shop.state(2).pin_to_axis_m == 4.0 * IN
    assert [d.driller for d in fits.drills_of(shop, 2)] == ["Kell"]
    undo.undo(shop)
    assert fits.drills_of(shop, 2) == ()


def test_a_drilling_put_right_puts_the_log_right_and_one_undo_takes_it_back(shop: Shop) -> None:
    fits.keep_drill(shop, DRILL)
    before = len(shop.entries(2))
    (kept,) = fits.drills_of(shop, 2)
    fits.keep_drill(shop, replace(kept, note="weighed again", side_oz=0.5))
    assert len(shop.entries(2)) == before  # the log does not tell of these
    fits.keep_drill(shop, replace(kept, pin_to_axis_m=5.0 * IN))
    told = [e.payload for e in effective(shop.entries(2)) if e.kind is Kind.DRILLED]
    assert [drilled.pin_to_axis_m for drilled in told] == [5.0 * IN]
    assert shop.state(2).pin_to_axis_m == 5.0 * IN
    undo.undo(shop)
    assert shop.state(2).pin_to_axis_m == DRILL.pin_to_axis_m
    assert fits.drills_of(shop, 2)[0].pin_to_axis_m == DRILL.pin_to_axis_m


def test_drill_like_my_last_one_takes_the_fit_in_force(shop: Shop) -> None:
    with pytest.raises(NotFound, match="No ball of"):
        fits.like_the_last(shop, 3)
    fits.keep_drill(shop, DRILL)
    newer = (replace(HOLES[0], diameter_m=0.98 * IN), *HOLES[1:])
    fits.keep_fit(shop, FitSheet(0, 1, date(2026, 2, 1), HOLES))
    fits.keep_fit(shop, FitSheet(0, 1, date(2026, 10, 1), newer))
    made = fits.like_the_last(shop, 3)
    assert (made.record.ball_id, made.record.pin_to_axis_m, made.record.holes) == (3, 4.0 * IN, newer)
    assert made.record.mass_after_kg is None
    assert made.copied_from == "as Jay Quarry, 14 Mar"


def test_the_rule_rows_advise_and_never_block(shop: Shop) -> None:
    """USBC equipment rules from 1 Aug 2020 (secondhand): all holes used; no thumb used means a mark at the palm;
    statics within 3 oz over 10 lb.
    """
    thumbless = replace(DRILL, holes=(replace(HOLES[0], used=False), *HOLES[1:]), side_oz=3.5)
    said = " ".join(finding.sentence for finding in fits.advice(shop, thumbless))
    assert "static weight 3.5 oz" in said.lower()
    assert "unused holes" in said.lower()
    assert "palm" in said.lower()
    assert "Check" in said or "check yours" in said
    fits.keep_drill(shop, thumbless)
    assert fits.advice(shop, replace(DRILL, side_oz=2.9)) == ()


def test_a_drilling_of_earlier_years_is_held_against_the_rules_of_today(shop: Shop) -> None:
    """All gripping holes used, from 1 Aug 2020 (USBC, secondhand): a ball of 2018 is thrown today."""
    early = replace(DRILL, drilled_on=date(2018, 5, 1), holes=(replace(HOLES[0], used=False), *HOLES[1:]))
    assert "unused holes" in " ".join(finding.sentence for finding in fits.advice(shop, early)).lower()


def test_a_drilling_without_holes_written_down_says_nothing_of_them(shop: Shop) -> None:
    assert fits.advice(shop, DrillRecord(0, 2, date(2026, 3, 14), pin_to_axis_m=4.0 * IN)) == ()


def test_what_was_written_of_the_last_drilling_is_advised_on_the_bench_and_in_the_list(shop: Shop) -> None:
    """Any two halves of a ball over 10 lb within 3 oz, from 1 Aug 2020 (USBC, secondhand)."""
    fits.keep_drill(shop, replace(DRILL, side_oz=3.5))
    said = [f.sentence for f in ball_rules.of_ball(shop, shop.ball(2), shop.state(2))]
    assert any(sentence.startswith("Static weight 3.5 oz") for sentence in said)
    assert any(line.startswith("Static weight 3.5 oz") for line in fit_book.of_ball(shop, 2).rows[0].lines)
    fits.keep_drill(shop, replace(DRILL, drilled_on=date(2026, 3, 20), side_oz=0.5))  # plugged and drilled again
    assert ball_rules.of_ball(shop, shop.ball(2), shop.state(2)) == ()


@pytest.mark.parametrize(
    "wrong",
    [
        {"holes": (Hole("thumb", span_m=20.0),)}, {"holes": (Hole("toe"),)}, {"holes": HOLES * 3},
        {"pin_to_axis_m": 1.0}, {"side_oz": 99.0}, {"side_oz": float("nan")}, {"mass_after_kg": 90.0},
        {"drilled_on": date(2027, 1, 1)}, {"fit_id": 12}, {"drilled_on": date(1850, 1, 1)}, {"pin_to_axis_m": 7.0 * IN},
        {"driller": "x" * 10_000}, {"driller": "K\0M"}, {"holes": (Hole("thumb", insert="y" * 10_000),)},
    ],
)  # fmt: skip
def test_absurd_numbers_are_named(shop: Shop, wrong: dict[str, object]) -> None:
    with pytest.raises((OutOfRange, KnownError)):
        fits.keep_drill(shop, replace(DRILL, **wrong))  # type: ignore[arg-type]
    assert fits.drills_of(shop, 2) == ()


def test_distances_are_told_in_plain_words() -> None:
    told = dict(fits.words(replace(DRILL, side_oz=-0.5)))
    assert told["pin to axis point"] == "4 in"
    assert told["side weight"] == "−0.50 oz"
    assert told["thumb hole"] == "1/8 in forward, 0.97 in wide, 2 1/2 in deep, slug"
    assert told["middle hole"] == "span 4 3/8 in, 1/4 in reverse, 1/8 in right, 0.9 in wide"


def test_one_line_says_how_a_ball_was_drilled() -> None:
    assert fits.in_short(DRILL) == "pin 4 in from the axis point, 3 holes, all used"
    assert fits.in_short(replace(DRILL, holes=HOLES[1:], palm_mark=True), metric=True) == (
        "pin 101.6 mm from the axis point, 2 holes, all used, no thumb hole, palm marked"
    )
    assert fits.in_short(DrillRecord(0, 2, date(2026, 3, 14))) == ""


def test_the_axis_point_is_told_over_and_up() -> None:
    fit = FitSheet(0, 1, date(2026, 3, 14), axis_over_m=5 * IN, axis_up_m=-0.5 * IN)
    assert fits.axis_words(fit) == "axis point 5 in over, 1/2 in down"
    assert fits.axis_words(FitSheet(0, 1, date(2026, 3, 14))) == ""


def test_a_new_sheet_starts_from_the_fit_in_force_and_a_two_handers_without_a_thumb_hole(shop: Shop) -> None:
    """Two-handers often have no thumb hole (common practice, no source)."""
    assert fit_book.of_person(shop, 1).new_fit().holes == ()
    people.edit_bowler(shop, replace(shop.person(1), two_handed=True))
    assert [hole.finger for hole in fit_book.of_person(shop, 1).new_fit().holes] == ["middle", "ring"]
    fits.keep_fit(shop, FitSheet(0, 1, date(2026, 2, 1), HOLES, palm_mark=True))
    book = fit_book.of_ball(shop, 2)
    assert (book.new_fit().holes, book.new_fit().palm_mark, book.new_fit().id) == (HOLES, True, 0)
    assert book.new_drill(shop.ball(2)).fit_id == fits.fits_of(shop, 1)[0].id


def test_the_list_tells_both_by_day_with_the_newest_first(shop: Shop) -> None:
    fits.keep_fit(shop, FitSheet(0, 1, date(2026, 2, 1), HOLES, axis_over_m=5 * IN, measured_by="HM"))
    fits.keep_drill(shop, DRILL)
    first, second = fit_book.of_ball(shop, 2).rows
    assert first.title == "Jay Quarry drilled, 14 Mar 2026"
    assert first.beside == "pin 4 in from the axis point, 3 holes, all used, drilled by Kell"
    assert first.lines[0] == "weight after 14.90 lb"
    assert second.title == "Fit, 1 Feb 2026"
    assert second.beside == "in force, axis point 5 in over, measured by HM"
    assert "middle: span 4 3/8 in, 1/4 in reverse, 1/8 in right, 0.9 in wide" in second.lines
    assert fit_book.of_ball(shop, 3).rows == (second,)
