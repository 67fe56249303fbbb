"""Which slot may take which job: rules of practice, each by its own small week."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from arsenal.plan.fitting import Asked, Closed, Meet, Parameters, Session, fit, grain_of
from arsenal.plan.forecast import Falling
from arsenal.plan.plays import BallPlay
from arsenal.plan.records import Due, Job, Work
from arsenal.plan.schedule import solve
from arsenal.trade.entries import Abrasive, Scale, Step, Tool

MON = date(2026, 11, 23)
HAND, SPIN = (Step(number=1000),), (Step(number=500, tool=Tool.SPINNER), Step(number=1000, tool=Tool.SPINNER))


def day(n: int) -> date:
    return MON + timedelta(days=n)


def falling(work: Work, due_in: int, steps: tuple[Step, ...] = (), ball: int = 1, number: int = 0) -> Falling:
    made = Job(ball, work, Due.DUE, "as said", "", "", False, 1.0, 1.0, 1.0, None, None,
               {Work.REFRESH: 3.0, Work.RESURFACE: 16.0, Work.DEEP_OIL: 40.0}.get(work, 4.0), steps=steps)  # fmt: skip
    chance = tuple(1.0 if n >= due_in else 0.0 for n in range(90))
    return Falling(ball, work, 0, MON, chance, made, number)


def slot(n: int, at: int = 18, **fields: object) -> Session:
    return Session(f"slot {n}", day(n), 60.0, time(at), **fields)  # type: ignore[arg-type]


BENCH = {"spinner": True, "heat_places": 2}


def asked(jobs: list[Falling], slots: list[Session], **fields: object) -> Asked:
    plays = {1: [BallPlay(day(7 * n + 1), 2.0, 0.0, time(19)) for n in range(12)]}
    return replace(Asked(jobs, slots, plays, {}, MON, day(28)), **fields)  # type: ignore[arg-type]


def stands(question: Asked) -> dict[str, date | None]:
    fitted = fit(question)
    at = solve(fitted.problem).at
    return {key: fitted.sessions[room].on if room is not None else None for key, room in at.items()}


def why(question: Asked) -> list[Closed]:
    return list(fit(question).closed.values())


def test_work_is_done_after_it_falls_due_and_before_the_ball_is_played_again() -> None:
    """Due after Tuesday's league, played again the Tuesday after: Thursday or Sunday are in time, early is waste."""
    found = stands(asked([falling(Work.REFRESH, 1, HAND)], [slot(0), slot(3), slot(6), slot(10)]))
    assert found == {"1 refresh 0": day(3)}


def test_what_is_late_goes_into_the_first_slot() -> None:
    assert stands(asked([falling(Work.REFRESH, 0, HAND)], [slot(2), slot(9)])) == {"1 refresh 0": day(2)}


def test_a_spinner_and_a_heat_cabinet_are_asked_for_where_the_work_needs_them() -> None:
    jobs = [falling(Work.RESURFACE, 0, SPIN), falling(Work.DEEP_OIL, 0)]
    assert set(stands(asked(jobs, [slot(2)])).values()) == {None}
    assert set(why(asked(jobs, [slot(2)]))) == {Closed.SPINNER, Closed.HEAT}
    assert None not in stands(asked(jobs, [slot(2, **BENCH), slot(12, **BENCH)])).values()


@pytest.mark.parametrize(("hour", "open_"), [(16, True), (17, True), (18, True), (19, False), (21, True)])
def test_a_ball_is_not_worked_on_while_it_is_thrown(hour: int, open_: bool) -> None:
    """An hour of work; two games from 19:00 take half an hour. 18 to 19 is still in time."""
    closed = why(asked([falling(Work.REFRESH, 0, HAND)], [slot(1, hour)]))
    assert closed == ([] if open_ else [Closed.THROWN])


def test_a_ball_from_the_heat_cabinet_is_not_thrown_while_it_cools() -> None:
    oil = [falling(Work.DEEP_OIL, 0)]
    assert why(asked(oil, [slot(1, 10, **BENCH)])) == [Closed.COOLS]
    assert why(asked(oil, [slot(0, 18, **BENCH)])) == []  # from 19:00 to 19:00 is a day
    assert why(asked(oil, [slot(1, 20, **BENCH)])) == []


def test_a_cooling_ball_blocks_no_bench_but_is_left_alone_and_heat_comes_before_the_pads() -> None:
    slots = [slot(2, 9, **BENCH), slot(2, 14, **BENCH), slot(3, 14, **BENCH)]
    slots[1] = replace(slots[1], key="afternoon")
    jobs = [falling(Work.DEEP_OIL, 0), falling(Work.RESURFACE, 0, SPIN), falling(Work.REFRESH, 0, HAND, ball=2)]
    fitted = fit(asked(jobs, slots))
    at = solve(fitted.problem).at
    begins = {key: fitted.sessions[room].begins for key, room in at.items() if room is not None}
    assert len(begins) == 3
    cooled = begins["1 deep oil 0"] + timedelta(hours=1 + Parameters().cool_hours)  # type: ignore[operator]
    assert begins["1 resurface 0"] >= cooled  # type: ignore[operator]
    assert begins["2 refresh 0"].date() == day(2)  # type: ignore[union-attr]


def event(n: int) -> dict[int, list[Meet]]:
    return {1: [Meet("Autumn singles", day(n), day(n + 1))]}


@pytest.mark.parametrize("days_before", range(6))
def test_nothing_heavy_in_the_last_days_before_an_event(days_before: int) -> None:
    question = asked([falling(Work.DEEP_OIL, 0)], [slot(12 - days_before, 10, **BENCH)], meets=event(12),
                     plays={1: []})  # fmt: skip
    assert why(question) == ([Closed.EVENT] if days_before <= 3 else [])
    more = replace(question, parameters=Parameters(heavy_days=5))
    assert why(more) == [Closed.EVENT]


def test_a_fresh_surface_gets_its_games_before_an_event() -> None:
    """Tuesday is the last league night before Saturday's event: work on Monday settles in, on Wednesday it cannot."""
    jobs = [falling(Work.REFRESH, 0, HAND)]
    assert why(asked(jobs, [slot(0)], meets=event(5))) == []
    assert why(asked(jobs, [slot(2)], meets=event(5))) == [Closed.SETTLING]
    fewer = Parameters(settle_games=0.0)
    assert why(asked(jobs, [slot(2)], meets=event(5), parameters=fewer)) == []
    assert why(asked([falling(Work.INSPECT, 0)], [slot(2)], meets=event(5))) == []


def test_an_event_that_lasts_is_not_worked_in() -> None:
    assert why(asked([falling(Work.REFRESH, 0, HAND)], [slot(6)], meets=event(5), plays={1: []})) == [Closed.AWAY]


def test_what_the_user_moved_stands_on_his_day_with_or_without_a_slot() -> None:
    jobs = [falling(Work.REFRESH, 0, HAND)]
    for chosen in (day(3), day(4)):
        found = stands(asked(jobs, [slot(0), slot(3)], pinned={"1 refresh 0": chosen}, meets=event(5)))
        assert found == {"1 refresh 0": chosen}
    in_slot = fit(asked(jobs, [slot(3)], pinned={"1 refresh 0": day(3)}))
    assert in_slot.sessions[solve(in_slot.problem).at["1 refresh 0"] or 0].key == "slot 3"


def test_pads_in_stock_are_not_used_beyond_their_last_use_until_more_can_be_bought() -> None:
    grain = grain_of(Step(number=1000))
    assert grain == (1000, Scale.PLAIN, Abrasive.GRIT)
    jobs = [falling(Work.REFRESH, 0, HAND, ball=n) for n in (1, 2)]
    scarce = asked(jobs, [slot(0, 9), slot(20, 9)], stock={grain: 1.0}, wear={Tool.HAND: 1.0}, plays={})
    assert sorted(on for on in stands(scarce).values() if on) == [day(0), day(20)]
    plenty = replace(scarce, stock={grain: 2.0})
    assert set(stands(plenty).values()) == {day(0)}


def test_jobs_of_one_grain_share_the_getting_out_of_the_pad() -> None:
    jobs = [falling(Work.REFRESH, 0, HAND, ball=n) for n in (1, 2, 3)]
    short = replace(slot(0, 9), minutes=7.0)  # 3 × 2 minutes and the pad once; 3 × 3 would not fit
    assert set(stands(asked(jobs, [short], plays={})).values()) == {day(0)}


def test_no_pad_is_put_on_a_ball_about_when_it_is_resurfaced() -> None:
    jobs = [falling(Work.RESURFACE, 0, SPIN), falling(Work.REFRESH, 0, HAND)]
    found = stands(asked(jobs, [slot(0, 9, **BENCH), slot(3, 9, **BENCH), slot(14, 9, **BENCH)], plays={}))
    assert None not in found.values()
    assert abs((found["1 resurface 0"] - found["1 refresh 0"]).days) > 10  # type: ignore[operator]
