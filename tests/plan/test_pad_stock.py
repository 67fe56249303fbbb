"""What to buy: planned uses against what the pads in stock have left."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from arsenal.order.pad_life import HARDLY_CUTS, uses_left
from arsenal.plan.pad_stock import Use, needs, planned
from arsenal.plan.records import Due, Job, Work
from arsenal.surface import cuts
from arsenal.trade.entries import Scale, Step, Tool
from arsenal.trade.pads import Pad
from arsenal.trade.priors import default_priors

PRIORS = default_priors()
TODAY = date(2026, 11, 24)
HAND = Step(number=1000.0)
SPUN = Step(number=1000.0, tool=Tool.SPINNER, wet=True)


def uses(n: int, step: Step = HAND) -> list[Use]:
    return [Use(step, TODAY + timedelta(days=i), 1) for i in range(n)]


def job(by: date | None, share: float = 0.5, work: Work = Work.REFRESH, steps: tuple[Step, ...] = (HAND,)) -> Job:
    return Job(1, work, Due.SOON, "1000 h", "", "", True, share, share, share, None, by, 3.0, steps=steps)


@pytest.mark.common_practice
def test_a_new_pad_does_as_many_balls_as_people_say() -> None:
    """8 to 15 by hand, 20 to 30 wet on a spinner (common practice, no source)."""
    assert 8.0 <= uses_left(Pad(1, 1000.0), Tool.HAND, PRIORS).mean <= 15.0
    assert 20.0 <= uses_left(Pad(1, 1000.0), Tool.SPINNER, PRIORS).mean <= 30.0


def test_a_pad_cuts_just_the_stated_share_when_its_uses_are_spent() -> None:
    pad = Pad(1, 1000.0, uses_hand=2.0, uses_spinner=5.0)
    left = uses_left(pad, Tool.HAND, PRIORS)
    worn = Pad(1, 1000.0, uses_hand=2.0 + left.mean, uses_spinner=5.0)
    assert cuts(worn, PRIORS) == pytest.approx(HARDLY_CUTS)
    assert uses_left(worn, Tool.HAND, PRIORS).mean == pytest.approx(0.0, abs=1e-9)
    assert uses_left(Pad(1, 1000.0, used_up=True), Tool.HAND, PRIORS).mean == 0.0


def test_nothing_is_to_buy_where_nothing_is_planned_and_everything_cuts() -> None:
    assert needs([], [Pad(1, 1000.0), Pad(2, 500.0)], PRIORS) == ()
    assert needs(uses(3), [], PRIORS) == ()  # nobody keeps a stock


def test_more_planned_than_a_pad_has_left_is_a_need_with_its_day() -> None:
    (need,) = needs(uses(20), [Pad(1, 1000.0)], PRIORS)
    assert need.sure
    assert need.uses == 20
    assert need.by == TODAY + timedelta(days=10)  # ln(1/0.35) · 10 = 10.5 uses
    assert need.cuts_then == pytest.approx(cuts(Pad(1, 1000.0, uses_hand=20.0), PRIORS))


def test_the_same_work_on_a_spinner_wears_it_less() -> None:
    assert needs(uses(15, SPUN), [Pad(1, 1000.0)], PRIORS) == ()
    assert needs(uses(15), [Pad(1, 1000.0)], PRIORS)


def test_a_second_pad_of_the_grain_and_no_other_scale_puts_it_off() -> None:
    assert needs(uses(12), [Pad(1, 1000.0), Pad(2, 1000.0)], PRIORS) == ()
    found = needs(uses(12), [Pad(1, 1000.0), Pad(2, 1000.0, Scale.JIS)], PRIORS)
    assert [n.grain[1] for n in found] == [Scale.PLAIN]


def test_a_pad_that_may_just_last_is_told_as_that() -> None:
    (need,) = needs(uses(9), [Pad(1, 1000.0)], PRIORS)
    assert not need.sure
    assert need.by is None


def test_a_grain_with_only_worn_out_pads_or_none_at_all_is_wanted() -> None:
    done = Pad(1, 2000.0, used_up=True)
    found = needs(uses(1), [done, Pad(2, 500.0)], PRIORS)
    assert {(n.grain[0], n.pad is None, n.by) for n in found} == {(2000.0, False, None), (1000.0, True, TODAY)}


def test_a_larger_share_asked_of_pads_never_asks_for_fewer() -> None:
    pads = [Pad(i, n, uses_hand=u) for i, (n, u) in enumerate(((500.0, 2.0), (1000.0, 6.0), (2000.0, 12.0)), 1)]
    plan = [Use(Step(number=n), TODAY, 1) for n in (500.0, 1000.0, 2000.0) for _ in range(3)]
    counts = [len(needs(plan, pads, PRIORS, share=s)) for s in (0.2, 0.35, 0.5, 0.8)]
    assert counts == sorted(counts)


def test_a_refresh_comes_again_and_a_resurfacing_once() -> None:
    end = TODAY + timedelta(days=28)
    by = TODAY + timedelta(days=7)
    again = planned([job(by)], TODAY, end, lambda _: 7.0)
    assert [use.on for use in again] == [TODAY + timedelta(days=d) for d in (7, 14, 21, 28)]
    once = planned([job(by, work=Work.RESURFACE, steps=(SPUN, HAND))], TODAY, end, lambda _: 7.0)
    assert [use.step for use in once] == [SPUN, HAND]


def test_what_is_over_due_is_done_today_and_what_comes_later_is_not_counted() -> None:
    late, far = job(TODAY - timedelta(days=30), 3.0), job(TODAY + timedelta(days=90))
    assert [use.on for use in planned([late, far], TODAY, TODAY, lambda _: None)] == [TODAY]
    assert planned([job(None, 0.2)], TODAY, TODAY + timedelta(days=28), lambda _: None) == ()
