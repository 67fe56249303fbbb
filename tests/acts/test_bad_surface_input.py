"""What cannot be true of surface work and care is refused by name; what is risky waits for a second confirmation."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from made_shop import TODAY

from arsenal.acts import logging, upkeep
from arsenal.acts.shop import Shop
from arsenal.plan.records import Work
from arsenal.surface import fold
from arsenal.trade.entries import (
    Crack,
    Draft,
    Entry,
    Kind,
    OilDrawn,
    OilMethod,
    Payload,
    Repair,
    Scale,
    Step,
    SurfaceWork,
    Tool,
)  # fmt: skip
from arsenal.trade.errors import KnownError, OutOfRange

BOUGHT = date(2026, 3, 2)


def keep(shop: Shop, kind: Kind, payload: Payload, *, on: date = TODAY, confirmed: bool = False) -> Entry:
    logging.keep(shop, (Draft(2, kind, on, payload),), confirmed=confirmed)
    return shop.entries(2)[-1]


def heat(celsius: float | None = 50.0, method: OilMethod = OilMethod.HEAT) -> OilDrawn:
    return OilDrawn(method, celsius, 20.0)


@pytest.mark.parametrize(
    ("step", "named"),
    [
        (Step(number=1000, sides=4, seconds=0.0), "seconds"),
        (Step(number=1000, sides=500, seconds=30.0), "sides"),
        (Step(number=1000, sides=0, seconds=30.0), "sides"),
        (Step(number=1000, sides=4, seconds=6000.0), "seconds"),
        (Step(number=3), "grain number"),
        (Step(number=50_000), "grain number"),
    ],
)
def test_a_step_that_cannot_be_is_refused_with_its_field_and_range(shop: Shop, step: Step, named: str) -> None:
    before = shop.entries(2)
    with pytest.raises(OutOfRange) as refused:
        keep(shop, Kind.SANDED, SurfaceWork((step,)))
    assert named in refused.value.sentence
    assert " to " in refused.value.sentence
    assert shop.entries(2) == before


@pytest.mark.parametrize("line", ["jay 1000 h 0s", "jay 1000 m 500 sides", "jay 1000 m 4 sides x 0s"])
def test_a_line_that_cannot_be_comes_back_as_a_problem_with_nothing_to_keep(shop: Shop, line: str) -> None:
    said = logging.read_line(shop, line, bowler_id=1)
    assert said.problem
    assert said.drafts == ()


def test_a_sanding_before_the_ball_was_bought_is_refused_with_both_days(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="2 March 2026, the day the ball came"):
        keep(shop, Kind.SANDED, SurfaceWork((Step(number=1000),)), on=BOUGHT - timedelta(days=1))
    assert keep(shop, Kind.SANDED, SurfaceWork((Step(number=1000),)), on=BOUGHT).on == BOUGHT


def test_130_degrees_fahrenheit_is_kept_at_once_and_a_degree_more_only_when_confirmed(shop: Shop) -> None:
    assert keep(shop, Kind.OIL_DRAWN, heat((130.0 - 32.0) / 1.8)).kind == Kind.OIL_DRAWN
    hot = heat((131.0 - 32.0) / 1.8)
    with pytest.raises(KnownError) as asked:
        keep(shop, Kind.OIL_DRAWN, hot)
    assert "130 °F" in asked.value.next_step
    kept = keep(shop, Kind.OIL_DRAWN, hot, confirmed=True)
    assert isinstance(kept.payload, OilDrawn)
    assert kept.payload.confirmed
    assert "too-hot" in [f.code for f in shop.state(2).findings]


@pytest.mark.parametrize("word", ["oven", "microwave"])
def test_an_oven_or_a_microwave_brings_the_caution_and_waits_for_confirmation(shop: Shop, word: str) -> None:
    said = logging.read_line(shop, f"jay {word}", bowler_id=1)
    assert said.needs_confirmation
    assert any("microwave" in caution for caution in said.cautions)
    with pytest.raises(KnownError):
        logging.keep(shop, said.drafts)
    logging.keep(shop, said.drafts, confirmed=True)
    assert "other-heat" in [f.code for f in shop.state(2).findings]


@pytest.mark.parametrize(
    ("kind", "payload", "word"),
    [(Kind.CRACK, Crack("bridge"), "crack"), (Kind.REPAIR, Repair("thumb", True), "plugged")],
)
def test_a_cracked_or_plugged_ball_gets_no_heat_until_it_is_confirmed(
    shop: Shop, kind: Kind, payload: Payload, word: str
) -> None:
    keep(shop, kind, payload)
    said = logging.meaning_of(shop, (Draft(2, Kind.OIL_DRAWN, TODAY, heat()),))
    assert said.needs_confirmation
    assert any(word in caution and "licensed or certified" in caution for caution in said.cautions)
    with pytest.raises(KnownError):
        keep(shop, Kind.OIL_DRAWN, heat())
    assert keep(shop, Kind.OIL_DRAWN, heat(), confirmed=True).kind == Kind.OIL_DRAWN


def test_upkeep_logs_no_work_on_a_cracked_ball_and_no_heat_on_a_plugged_one(shop: Shop) -> None:
    def planned(work: Work) -> str:
        job = next(j for j in upkeep.upkeep(shop, 1).jobs if j.ball_id == 2 and j.work is work)
        return upkeep.as_planned(shop, job).problem

    assert not planned(Work.REFRESH)
    keep(shop, Kind.REPAIR, Repair("thumb", plugged=True))
    assert "plugged" in planned(Work.DEEP_OIL)
    assert not planned(Work.REFRESH)
    keep(shop, Kind.CRACK, Crack("bridge"))
    assert all("licensed or certified" in planned(w) for w in (Work.REFRESH, Work.RESURFACE, Work.DEEP_OIL))


def test_a_number_without_a_scale_is_a_plain_pad_with_more_doubt(shop: Shop) -> None:
    drafts = logging.read_line(shop, "jay 1000 m", bowler_id=1).drafts
    (step,) = drafts[0].payload.steps  # type: ignore[union-attr]
    assert step.scale is Scale.PLAIN
    logging.keep(shop, drafts)
    ball, log = shop.ball(2), shop.entries(2)
    named = replace(log[-1], payload=SurfaceWork((replace(step, scale=Scale.P),)))
    plain, known = (fold(ball, (*log[:-1], last), shop.priors, until=TODAY) for last in (log[-1], named))
    assert plain.grit == pytest.approx(known.grit)
    assert plain.ln_ra_m.sd > known.ln_ra_m.sd
    assert step.tool is Tool.MACHINE
