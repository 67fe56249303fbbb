"""The fold as a whole: prefixes, looking ahead, undo, counters, oil, and that no log can stop it."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from surface_log import (
    DAY,
    POLISH,
    PRIORS,
    ball,
    cleaned,
    entry,
    hand,
    log,
    machine,
    new,
    played,
    read_ra,
    sanded,
    scanner,
    undo,
    used,
)  # fmt: skip

from arsenal.surface import Estimate, Holder, Learned, SettledIn, SurfaceState, after_work, fold, foresee, timeline
from arsenal.trade.ball import Cover
from arsenal.trade.entries import (
    Abrasive,
    Cleaned,
    Compared,
    Crack,
    Drilled,
    DropTest,
    Entry,
    Handed,
    Inspected,
    Kind,
    New,
    Note,
    OilDrawn,
    OilMethod,
    Played,
    Quantity,
    Reading,
    Repair,
    Scale,
    Shot,
    Step,
    SurfaceWork,
    Tool,
    Undo,
    Unknown,
    Wiped,
)  # fmt: skip
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.trial import Sighting, Word
from arsenal.trade.units import BOARD_M, INCH_M, MICROINCH_M

NUMBERS = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True), st.floats(-10, 5000), st.sampled_from([0.0, 1.0, 500.0, 1e300])
)
COUNTS = st.one_of(st.none(), st.integers(-3, 600))
STEPS = st.builds(
    Step, st.sampled_from(list(Abrasive)), st.one_of(st.none(), NUMBERS), st.sampled_from(list(Scale)),
    st.sampled_from(list(Tool)), st.booleans(), COUNTS, st.one_of(st.none(), NUMBERS), st.one_of(st.none(), st.just(3)),
    st.one_of(st.none(), NUMBERS),
)  # fmt: skip
SEVERAL = st.lists(STEPS, max_size=4).map(tuple)
PAYLOADS = st.one_of(
    st.builds(New, SEVERAL, st.booleans(), st.one_of(st.none(), NUMBERS)).map(lambda p: (Kind.NEW, p)),
    st.builds(Drilled, st.one_of(st.none(), NUMBERS)).map(lambda p: (Kind.DRILLED, p)),
    st.builds(SurfaceWork, SEVERAL, st.booleans(), st.booleans()).map(lambda p: (Kind.SANDED, p)),
    st.builds(
        Played, NUMBERS, NUMBERS, lane_id=st.sampled_from([None, 1, 2, 9]), wiped=st.sampled_from([None, *Wiped])
    ).map(lambda p: (Kind.PLAYED, p)),
    st.builds(Cleaned, st.booleans()).map(lambda p: (Kind.CLEANED, p)),
    st.builds(OilDrawn, st.sampled_from(list(OilMethod)), st.one_of(st.none(), NUMBERS), st.one_of(st.none(), NUMBERS),
              st.integers(-2, 30)).map(lambda p: (Kind.OIL_DRAWN, p)),
    st.builds(Reading, st.sampled_from(list(Quantity)), NUMBERS, st.just("x"), st.one_of(st.none(), NUMBERS),
              st.one_of(st.none(), st.sampled_from([20.0, 60.0, 85.0]))).map(lambda p: (Kind.READING, p)),
    st.builds(DropTest, NUMBERS).map(lambda p: (Kind.DROP_TEST, p)),
    st.builds(Inspected, st.text(max_size=3)).map(lambda p: (Kind.INSPECTED, p)),
    st.builds(Crack).map(lambda p: (Kind.CRACK, p)),
    st.builds(Repair, st.just("plug"), st.booleans(), st.booleans()).map(lambda p: (Kind.REPAIR, p)),
    st.tuples(st.sampled_from([Kind.LENT, Kind.RETURNED, Kind.SOLD, Kind.RETIRED]), st.builds(Handed)),
    st.just((Kind.COMPARED, Compared(2, 3.0))),
    st.builds(
        Shot, st.builds(Sighting, NUMBERS, NUMBERS), lane_id=st.sampled_from([None, 1, 2, 9]),
        wiped=st.sampled_from([None, True, False]),
    ).map(lambda p: (Kind.SHOT, p)),
    st.just((Kind.NOTE, Note("x"))),
    st.just((Kind.UNDO, Undo())),
    st.just(("a later kind", Unknown("{}"))),
)  # fmt: skip
HOUSES = {i: Lane(i, f"lane {i}", FilmSummary(12.5, 25e-6, 8.0), house=h) for i, h in ((1, "Elm"), (2, "Ash"))}
TOLD = Learned({"elm": Estimate(0.3, 0.1), "": Estimate(-0.1, 0.2)}, {3: Estimate(-0.4, 0.1)})
ANY_LOG = st.lists(st.tuples(PAYLOADS, st.integers(0, 3)), max_size=14)


def told(drawn: list[tuple[tuple[Kind | str, object], int]], late: bool = False) -> list[Entry]:
    out, day = [], DAY
    for i, ((kind, payload), days) in enumerate(drawn):
        day += timedelta(days=days)
        out.append(entry(i + 1, kind, payload, on=day, late=late))  # type: ignore[arg-type]
    return out


def same(a: SurfaceState, b: SurfaceState, *, but: tuple[str, ...] = ()) -> None:
    """Every number alike to rounding, everything else equal."""
    for field in fields(SurfaceState):
        if field.name not in but:
            left, right = flat(getattr(a, field.name)), flat(getattr(b, field.name))
            if isinstance(left, float) or (isinstance(left, tuple) and all(isinstance(v, float) for v in left)):
                right = pytest.approx(right, rel=1e-9, abs=1e-12)
            assert left == right, field.name


def flat(value: object) -> object:
    if isinstance(value, Estimate):
        return (value.mean, value.sd)
    if isinstance(value, SettledIn):
        return (
            value.ln_ra_m,
            value.oil_kg,
            value.games_since_resurface,
            value.lost_ln.mean,
            value.lost_ln.sd,
            value.ln_ra_sd or 0.0,
        )
    return value


def codes(state: SurfaceState) -> list[str]:
    return [f.code for f in state.findings]


# ---- no log can stop it


def test_an_empty_log_folds() -> None:
    state = fold(ball(), [], PRIORS)
    assert state.on is None
    assert state.finish == ()
    assert state.grit_low < state.grit < state.grit_high
    assert state.ln_ra_m.sd > 0.5
    assert codes(state) == ["no-beginning"]
    assert timeline(ball(), [], PRIORS) == ()


@given(ANY_LOG, st.sampled_from(list(Cover)), st.booleans())
@settings(max_examples=200, deadline=None)
def test_no_log_can_stop_the_fold_or_make_nonsense_of_the_state(drawn: list, cover: Cover, late: bool) -> None:
    entries = told(drawn, late)
    the_ball = ball(cover, bought_on=DAY + timedelta(days=2))
    state = fold(the_ball, entries, PRIORS, lanes=HOUSES, learned=TOLD)
    numbers = [state.ln_ra_m, state.games_on_finish, state.games_in_all, state.oil_kg, state.film_m, state.cover_off_m]
    assert all(math.isfinite(e.mean) and math.isfinite(e.sd) and e.sd >= 0 for e in numbers)
    assert 0 < state.grit_low <= state.grit <= state.grit_high < math.inf
    assert 0 <= state.oil_share <= 1
    assert all(math.isfinite(m) for m in state.memory)
    assert all(f.sentence.endswith((".", ".” ", "”")) or ":" in f.sentence for f in state.findings)
    assert len(timeline(the_ball, entries, PRIORS)) >= len({e.seq for e in entries if e.undoes is None})
    ahead = foresee(the_ball, state, 5, PRIORS)
    assert math.isfinite(ahead.grit)
    assert math.isfinite(after_work(the_ball, state, (hand(1000),), PRIORS).grit)


@given(ANY_LOG, st.integers(0, 20))
@settings(max_examples=100, deadline=None)
def test_a_prefix_of_the_log_gives_the_state_of_that_day(drawn: list, days: int) -> None:
    entries, day = told(drawn), DAY + timedelta(days=days)
    prefix = [e for e in entries if e.on <= day]
    assert fold(ball(), entries, PRIORS, until=day) == fold(ball(), prefix, PRIORS, until=day)


@given(ANY_LOG, PAYLOADS.filter(lambda p: p[0] != Kind.UNDO))
@settings(max_examples=100, deadline=None)
def test_an_undone_entry_was_never_logged(drawn: list, more: tuple) -> None:
    entries = told(drawn)
    day = entries[-1].on if entries else DAY
    extra = entry(90, more[0], more[1], on=day)
    assert fold(ball(), [*entries, extra, undo(91, 90, day)], PRIORS, until=day) == fold(
        ball(), entries, PRIORS, until=day
    )


def test_an_undone_undo_stands_again() -> None:
    base = log(new(machine(500)), played(6))
    again = [*base, undo(3, 2, base[-1].on), undo(4, 3, base[-1].on)]
    assert fold(ball(), again, PRIORS) == fold(ball(), base, PRIORS)


def test_entries_of_other_balls_say_nothing() -> None:
    base = log(new(machine(500)), played(6))
    others = [replace(e, seq=e.seq + 10, ball_id=2) for e in log(new(machine(4000)), sanded(machine(800)))]
    assert fold(ball(), base + others, PRIORS, until=date(2026, 4, 1)) == fold(
        ball(), base, PRIORS, until=date(2026, 4, 1)
    )


def test_the_order_in_which_entries_are_handed_over_does_not_matter() -> None:
    base = log(new(machine(500)), played(6), cleaned(), sanded(hand(1000)), played(3))
    assert fold(ball(), base[::-1], PRIORS) == fold(ball(), base, PRIORS)


# ---- looking ahead


@given(ANY_LOG, st.floats(0.1, 60), st.sampled_from(list(Wiped)), st.sampled_from(list(Cover)))
@settings(max_examples=100, deadline=None)
def test_foreseeing_games_is_logging_them_exactly(drawn: list, games: float, wiped: Wiped, cover: Cover) -> None:
    entries = told(drawn)
    state = fold(ball(cover), entries, PRIORS, lanes=HOUSES, learned=TOLD)
    day = (state.on or DAY) + timedelta(days=1)
    logged = [*entries, entry(95, *played(games, wiped=wiped), on=day)]
    ahead = foresee(ball(cover), state, games, PRIORS, wiped=wiped)
    then = fold(ball(cover), logged, PRIORS, lanes=HOUSES, learned=TOLD)
    same(ahead, then, but=("on", "played_on", "findings", "changed_ln", "memory"))


def test_foreseeing_no_games_changes_nothing() -> None:
    state = fold(ball(), log(new(machine(500)), played(6)), PRIORS)
    assert foresee(ball(), state, 0, PRIORS) is state
    assert foresee(ball(), state, math.nan, PRIORS) is state


@given(ANY_LOG)
@settings(max_examples=60, deadline=None)
def test_what_a_recipe_would_leave_is_what_logging_it_leaves(drawn: list) -> None:
    entries = told(drawn)
    state = fold(ball(), entries, PRIORS)
    steps = (machine(500, pad_id=13), machine(2000, pad_id=14), POLISH)
    day = state.on or DAY
    logged = fold(ball(), [*entries, entry(95, *sanded(*steps), on=day)], PRIORS)
    ahead = after_work(ball(), state, steps, PRIORS)
    assert ahead.ln_ra_m.mean == pytest.approx(logged.ln_ra_m.mean)
    assert ahead.ln_ra_m.sd == pytest.approx(logged.ln_ra_m.sd)
    assert ahead.cover_off_m.mean == pytest.approx(logged.cover_off_m.mean)
    assert ahead.games_since_resurface == logged.games_since_resurface == Estimate(0.0, 0.0)


NULL_WORK = [(), (hand(500, sides=0, seconds=30.0),), (machine(500, sides=4, seconds=0.0),), (hand(-500),)]


@pytest.mark.parametrize("steps", NULL_WORK)
def test_a_null_sanding_changes_no_future(steps: tuple[Step, ...]) -> None:
    base = log(new(machine(500)), played(6))
    nothing = entry(9, Kind.SANDED, SurfaceWork(steps), on=base[-1].on)
    with_it, without = (fold(ball(), e, PRIORS) for e in ([*base, nothing], base))
    same(with_it, without, but=("findings",))
    for games in (1, 10):
        same(foresee(ball(), with_it, games, PRIORS), foresee(ball(), without, games, PRIORS), but=("findings",))
    assert {"nothing-done"} <= set(codes(with_it))
    assert after_work(ball(), without, steps, PRIORS) is without


def test_a_state_without_memory_can_still_look_ahead() -> None:
    state = replace(fold(ball(), log(new(machine(500)), played(6)), PRIORS), memory=())
    ahead = foresee(ball(), state, 10, PRIORS)
    assert state.grit < ahead.grit < state.settled_grit
    assert after_work(ball(), state, (machine(500),), PRIORS).grit < state.grit


# ---- doubt


def test_about_and_exact_games_leave_the_same_finish_and_another_doubt() -> None:
    exact, about = (fold(ball(), log(new(machine(500)), played(4, sd=sd)), PRIORS) for sd in (0.0, 0.2))
    assert about.ln_ra_m.mean == exact.ln_ra_m.mean
    assert about.oil_kg.mean == exact.oil_kg.mean
    assert about.games_on_finish.mean == exact.games_on_finish.mean == 4
    assert about.ln_ra_m.sd > exact.ln_ra_m.sd
    assert about.oil_kg.sd > exact.oil_kg.sd
    assert about.games_on_finish == Estimate(4.0, pytest.approx(0.8))


def test_late_entries_widen_doubt() -> None:
    entries = log(new(machine(3000)), played(4), sanded(hand(500)))
    prompt, late = fold(ball(), entries, PRIORS), fold(ball(), [replace(e, late=True) for e in entries], PRIORS)
    assert late.ln_ra_m.mean == prompt.ln_ra_m.mean
    assert late.ln_ra_m.sd > prompt.ln_ra_m.sd


def test_not_saying_how_a_ball_was_wiped_is_wider_than_saying_sometimes() -> None:
    unsaid, sometimes = (fold(ball(), log(new(), played(4, wiped=w)), PRIORS) for w in (None, Wiped.SOMETIMES))
    assert (unsaid.oil_kg.mean, unsaid.film_m.mean) == (sometimes.oil_kg.mean, sometimes.film_m.mean)
    assert unsaid.oil_kg.sd > sometimes.oil_kg.sd
    assert unsaid.film_m.sd > sometimes.film_m.sd


def test_a_used_ball_is_wider_than_a_new_one_and_its_counters_say_so() -> None:
    known, unknown, bare = (fold(ball(), log(e), PRIORS) for e in (new(machine(500), machine(2000)), used(), new()))
    assert known.ln_ra_m.sd < bare.ln_ra_m.sd
    assert known.ln_ra_m.sd < unknown.ln_ra_m.sd
    assert known.games_in_all == Estimate(0.0, 0.0)
    assert unknown.games_in_all.sd > 20
    assert unknown.oil_kg.sd > 0
    assert known.oil_kg == Estimate(0.0, 0.0)


def test_a_used_balls_told_games_bound_what_was_done_among_them() -> None:
    state = fold(ball(), log(used(60)), PRIORS)
    assert state.games_in_all.mean == 60
    assert state.games_since_resurface == Estimate(30.0, pytest.approx(60 / math.sqrt(12)))  # uniform over the games


# ---- counters


def test_each_kind_of_work_resets_its_own_counter() -> None:
    full = sanded(machine(500), machine(1000), machine(2000))
    heat = (Kind.OIL_DRAWN, OilDrawn(OilMethod.HEAT, 52, 20))
    s = fold(ball(), log(new(machine(500)), played(10), full, played(5), heat, played(4), cleaned(), played(3),
                         sanded(hand(1000)), played(2)), PRIORS)  # fmt: skip
    counted = (s.games_on_finish, s.games_since_clean, s.games_since_deep_oil, s.games_since_resurface, s.games_in_all)
    assert [c.mean for c in counted] == pytest.approx([2, 5, 9, 14, 24])
    assert s.resurfaced_on == DAY + timedelta(days=2)
    assert s.deep_oil_on == DAY + timedelta(days=4)
    assert s.finish == (hand(1000),)


def test_sessions_are_days_and_an_inspection_starts_them_again() -> None:
    two_a_day = [*log(new(machine(500)), played(1), played(1), days=0), entry(9, *played(1), on=DAY + timedelta(1))]
    assert fold(ball(), two_a_day, PRIORS).sessions_since_inspection == 2
    looked = [*two_a_day, entry(10, Kind.INSPECTED, Inspected(), on=DAY + timedelta(1))]
    assert fold(ball(), looked, PRIORS).sessions_since_inspection == 0


# ---- the rest of what is kept


@pytest.mark.parametrize("wiped", [True, False])
@pytest.mark.parametrize("seen", [Sighting(words=(Word.FLUSH,)), Sighting(landing_m=44.0 * BOARD_M), Sighting()])
def test_a_game_of_practice_shots_wears_a_ball_as_a_game_does(wiped: bool, seen: Sighting) -> None:
    start = [entry(1, *new(hand(1000.0)))]
    how = Wiped.EACH if wiped else Wiped.NEVER
    one_by_one = [entry(2 + i, Kind.SHOT, Shot(seen, lane_id=1, wiped=wiped)) for i in range(11)]
    shots = fold(ball(), start + one_by_one, PRIORS, lanes=HOUSES)
    game = fold(ball(), [*start, entry(2, *played(1.0, wiped=how, lane=1))], PRIORS, lanes=HOUSES)
    same(shots, game, but=("memory", "oil_kg"))
    assert shots.oil_kg.mean == pytest.approx(game.oil_kg.mean, rel=1e-9)
    assert shots.sessions_since_inspection == 1


def test_a_practice_shot_with_a_ball_that_was_sold_is_named() -> None:
    sold = (Kind.SOLD, Handed("Juni"))
    state = fold(ball(), log(new(hand(1000.0)), sold, (Kind.SHOT, Shot(Sighting()))), PRIORS)
    assert codes(state) == ["after-gone"]


def test_lent_returned_sold_and_retired() -> None:
    lent = fold(ball(), log(new(), (Kind.LENT, Handed("Oster"))), PRIORS)
    assert (lent.holder, lent.holder_name) == (Holder.LENT, "Oster")
    back = fold(ball(), log(new(), (Kind.LENT, Handed("Oster")), (Kind.RETURNED, Handed())), PRIORS)
    assert (back.holder, back.holder_name) == (Holder.OWNED, "")
    assert fold(ball(), log(new(), (Kind.SOLD, Handed("Oster"))), PRIORS).holder is Holder.SOLD
    assert fold(ball(), log(new(), (Kind.RETIRED, Handed())), PRIORS).holder is Holder.RETIRED


def test_a_diameter_reading_beats_what_was_assumed() -> None:
    read = Reading(Quantity.DIAMETER, 8.552 * INCH_M, "caliper")
    state = fold(ball(), log(new(), (Kind.READING, read)), PRIORS)
    assert 2 * state.radius_m.mean == pytest.approx(8.552 * INCH_M, abs=0.002 * INCH_M)
    assert state.radius_m.sd < 0.0006 * INCH_M


def test_sanding_takes_cover_off_the_radius_with_doubt_and_polish_takes_none() -> None:
    s = fold(ball(), log(new(), sanded(machine(500), machine(1000))), PRIORS)
    assert s.radius_m.mean == pytest.approx(ball().radius_m - s.cover_off_m.mean)
    assert 0 < s.cover_off_m.sd < s.cover_off_m.mean
    assert fold(ball(), log(new(), sanded(POLISH)), PRIORS).cover_off_m.mean == 0


def test_gloss_compares_a_meter_with_itself_and_is_refused_on_rough_covers() -> None:
    def gloss(value: float, angle: float = 60) -> tuple[Kind, Reading]:
        return Kind.READING, Reading(Quantity.GLOSS, value, "meter", gloss_angle_deg=angle)

    # ISO 2813: 85° where the 60° value is low
    assert "gloss-rough" in codes(fold(ball(), log(new(machine(500)), gloss(4)), PRIORS))
    assert "gloss-rough" not in codes(fold(ball(), log(new(machine(500)), gloss(9, 85)), PRIORS))
    first = fold(ball(), log(new(machine(500), machine(4000)), gloss(20)), PRIORS)
    assert first.ln_ra_m == fold(ball(), log(new(machine(500), machine(4000))), PRIORS).ln_ra_m
    told = [new(machine(500), machine(2000)), gloss(30, 85), played(8)]
    plain, duller, shinier = (
        fold(ball(), log(*told, *more), PRIORS) for more in ((), (gloss(32, 85),), (gloss(70, 85),))
    )
    lost = [s.settled_in.lost_ln.mean for s in (duller, plain, shinier) if s.settled_in]
    assert lost == sorted(lost, reverse=True)
    assert duller.wear_pace.mean > plain.wear_pace.mean > shinier.wear_pace.mean


def test_gloss_twice_over_says_nothing_of_how_rough_a_ball_is() -> None:
    def gloss(by: str) -> tuple[Kind, Reading]:
        return Kind.READING, Reading(Quantity.GLOSS, 30.0, by, gloss_angle_deg=85.0)

    bare = fold(ball(), log(used()), PRIORS)
    for meters in ("aaa", "aba"):
        again = fold(ball(), log(used(), *map(gloss, meters), days=0), PRIORS)
        assert again.ln_ra_m.sd == pytest.approx(bare.ln_ra_m.sd, rel=1e-9)


# ---- the timeline


def test_the_timeline_has_a_moment_an_entry_and_one_before_each_surface_work() -> None:
    entries = log(new(machine(500), machine(2000)), played(3), cleaned(), sanded(hand(1000)), scanner(2400))
    moments = timeline(ball(), entries, PRIORS)
    assert [(m.kind, m.label) for m in moments] == [
        ("new", "500/2000 m"), ("played", "3"), ("cleaned", "cleaned"), ("sanded", ""), ("sanded", "1000 h"),
        ("reading", "2400"),
    ]  # fmt: skip
    assert moments[1].games == 3
    assert moments[4].grit < moments[3].grit
    read = moments[-1]
    assert read.reading_low is not None
    assert read.reading_high is not None
    assert read.reading_low < 2400 < read.reading_high
    assert read.reading_grit == pytest.approx(2400)
    assert moments[-1].grit == fold(ball(), entries, PRIORS).grit


def test_every_moment_is_the_state_of_that_prefix() -> None:
    entries = log(new(machine(500)), played(3), sanded(hand(1000)), played(2, sd=0.2), read_ra(20 * MICROINCH_M))
    moments = [m for m in timeline(ball(), entries, PRIORS) if m.label]
    for moment, last in zip(moments, entries, strict=True):
        state = fold(ball(), entries, PRIORS, until=last.on)
        assert (moment.grit, moment.grit_low, moment.grit_high) == (state.grit, state.grit_low, state.grit_high)


def test_a_ball_that_is_known_to_shine_more_slowly_is_foreseen_to_lose_less_and_more_surely() -> None:
    state = fold(ball(Cover.SOLID), log(new(machine(500)), played(1)), PRIORS)
    usual = foresee(ball(Cover.SOLID), state, 6.0, PRIORS)
    slow = foresee(ball(Cover.SOLID), state, 6.0, PRIORS, pace=(math.log(1.5), 0.05))
    quick = foresee(ball(Cover.SOLID), state, 6.0, PRIORS, pace=(-math.log(1.5), 0.05))
    assert quick.ln_ra_m.mean < usual.ln_ra_m.mean < slow.ln_ra_m.mean
    assert foresee(ball(Cover.SOLID), state, 6.0, PRIORS, pace=(0.0, 9.0)) == usual
    sure = foresee(ball(Cover.SOLID), state, 6.0, PRIORS, pace=(0.0, 0.05))
    assert sure.ln_ra_m.mean == pytest.approx(usual.ln_ra_m.mean)
    assert sure.changed_ln.sd < usual.changed_ln.sd
