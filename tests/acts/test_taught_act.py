"""What logged practice shots do to the order, the pads, the lane of the day and the bowler's scatter."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from made_shop import TODAY, Clock, opened

from arsenal.acts import lane_side, lanes, logging, moves, people, taught, whatif
from arsenal.acts.shop import Shop
from arsenal.motion import bed
from arsenal.practice import posterior
from arsenal.trade import Lane, Line, UnknownHouse
from arsenal.trade.entries import Compared, Draft, Kind, Saw, Seen, Shot
from arsenal.trade.trial import Sighting
from arsenal.trade.units import BOARD_M, DEGREE_RAD, FOOT_M, board_to_lateral_m

MIREL, ROOK, JAY, MOTH, HOUSE = 1, 1, 2, 3, 1
LINE = Line(board_to_lateral_m(17.0), -1.5 * DEGREE_RAD)


def log(shop: Shop, *payloads: tuple[int, object], day: int = 0) -> None:
    kinds = {Shot: Kind.SHOT, Compared: Kind.COMPARED, Saw: Kind.SAW}
    on = TODAY.fromordinal(TODAY.toordinal() - day)
    drafts = tuple(Draft(ball, kinds[type(of)], on, of) for ball, of in payloads)  # type: ignore[index, arg-type]
    assert logging.keep(shop, drafts).act_id is not None


def lined(shop: Shop) -> None:
    """The bowler plays one line here, so that nothing moves it."""
    mirel = shop.person(MIREL)
    people.edit_bowler(shop, replace(mirel, lines=((HOUSE, LINE), (3, LINE))))


def boards(shop: Shop, ball: int) -> tuple[float, float]:
    row = next(r for r in lane_side.lane_side(shop, MIREL, HOUSE, rooms=False).order.rows if r.ball.id == ball)
    return row.boards, row.boards_sd


def landing(shop: Shop, ball: int, lane: int = HOUSE) -> float:
    side = lane_side.lane_side(shop, MIREL, lane, rooms=False)
    return next(r.trace.landing_m for r in side.order.rows if r.ball.id == ball)


def shot(at_m: float, by_boards: float = 0.0, **more: object) -> Shot:
    return Shot(Sighting(landing_m=at_m + by_boards * BOARD_M, by_sensor=True), **more)  # type: ignore[arg-type]


def test_five_shots_back_to_back_three_boards_stronger_move_the_order_by_about_that(shop: Shop) -> None:
    lined(shop)
    before, sd = boards(shop, MOTH)
    log(shop, *[(MOTH, Compared(JAY, before + 3.0))] * 5)
    after, narrower = boards(shop, MOTH)
    assert after - before == pytest.approx(3.0, abs=1.0)
    assert narrower < 0.75 * sd


def test_single_shots_move_it_the_same_way_with_a_smaller_doubt(shop: Shop) -> None:
    lined(shop)
    before, sd = boards(shop, MOTH)
    at = {ball: landing(shop, ball) for ball in (JAY, MOTH)}
    log(shop, *[(ball, shot(at[ball], 3.0 if ball == MOTH else 0.0)) for ball in (JAY, MOTH) for _ in range(5)], day=7)
    after, narrower = boards(shop, MOTH)
    assert 1.0 < after - before < 3.5
    assert narrower < 0.85 * sd


def test_without_a_practice_shot_nothing_is_learned_and_nothing_folded_for_it(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(posterior, "learn", lambda *_, **__: pytest.fail("nothing to learn from"))
    monkeypatch.setattr(taught, "cases_of", lambda *_, **__: pytest.fail("nothing to look at"))
    side = lane_side.lane_side(shop, MIREL, HOUSE)
    assert side.known is not None
    assert side.known.bowler is side.bowler
    assert side.known.lane is side.lane
    assert side.known.priors is shop.priors
    assert taught.taught_of(shop, MIREL) == {}
    assert taught.posterior_of(shop, MIREL) is None
    assert taught.outing_of(shop, MIREL, HOUSE) is None
    assert side.order.stamp.taught == ""


def test_a_bare_word_for_a_shot_on_an_unknown_line_teaches_nothing(shop: Shop) -> None:
    before = boards(shop, JAY)
    log(shop, *[(JAY, Saw(Seen.HIGH, HOUSE))] * 3)
    assert taught.posterior_of(shop, MIREL) is None
    assert boards(shop, JAY) == before


def test_an_undone_shot_is_unlearned(shop: Shop) -> None:
    lined(shop)
    before = boards(shop, MOTH)
    log(shop, *[(MOTH, Compared(JAY, before[0] + 3.0))] * 3)
    assert boards(shop, MOTH) != before
    shop.ledger.undo()
    assert boards(shop, MOTH) == before


def test_the_order_is_reckoned_once_while_nothing_new_is_logged(shop: Shop) -> None:
    lined(shop)
    log(shop, (MOTH, shot(landing(shop, MOTH))))
    first, again = (lane_side.lane_side(shop, MIREL, HOUSE).order for _ in range(2))
    assert first is again


def test_pads_moves_and_wishes_are_reckoned_on_what_was_taught(shop: Shop) -> None:
    lined(shop)
    log(shop, *[(MOTH, Compared(JAY, boards(shop, MOTH)[0] + 3.0))] * 5)
    side = lane_side.lane_side(shop, MIREL, HOUSE)
    row = next(r for r in side.order.rows if r.ball.id == MOTH)
    sheet = whatif.what_if(shop, MIREL, MOTH, HOUSE, side=side)
    # a pad on it starts from where the ball now stands
    for result in sheet.results:
        moved = (result.trace.landing_m - row.trace.landing_m) / BOARD_M
        assert moved == pytest.approx(result.boards_change.mean, abs=1e-6)
    assert moves.moves(shop, side, MOTH, saw="high").corrections


def test_two_benchmark_shots_narrow_an_unknown_house_for_that_day_alone(shop: Shop, clock: Clock) -> None:
    lined(shop)
    lanes.add_lane(shop, Lane(0, "a house that tells nothing", UnknownHouse()))
    lane_id = max(shop.lanes())
    at = landing(shop, JAY, lane_id)
    told = lane_side.lane_side(shop, MIREL, lane_id, rooms=False)
    log(shop, *[(JAY, shot(at, -5.0, lane_id=lane_id))] * 3)
    seen = lane_side.lane_side(shop, MIREL, lane_id, rooms=False)
    assert isinstance(seen.lane_now.film, UnknownHouse)
    assert isinstance(told.lane_now.film, UnknownHouse)
    assert seen.lane == shop.lane(lane_id)
    assert seen.lane_now.film.lane_boards_sd < 5.5 * math.log(30 / 18) / math.sqrt(12.0) + 3.0
    assert seen.order.rows[0].first_read_sd_m < told.order.rows[0].first_read_sd_m
    said = [r for r in seen.order.remarks if r.title == "The lane as 3 shots of the day have shown it"]
    assert len(said) == 1
    assert "more oil than it was said to hold" in said[0].detail
    oil = [bed(of.lane_now, True, shop.priors).volume_m3[0] for of in (told, seen)]
    assert oil[1] > oil[0]  # it ended light: there is more out there
    clock.at = clock.at.replace(day=clock.at.day + 1)
    assert lane_side.lane_side(shop, MIREL, lane_id, rooms=False).lane_now == shop.lane(lane_id)


def test_shots_that_spread_wide_make_the_bowler_scatter_wider_and_the_room_smaller(shop: Shop) -> None:
    lined(shop)
    before = lane_side.lane_side(shop, MIREL, HOUSE)
    at = landing(shop, JAY)
    spread = [-9.0, 8.0, -7.0, 9.0, -8.0, 7.0, -6.0, 8.0, 6.0, -9.0]
    log(shop, *[(JAY, shot(at, by)) for by in spread], day=7)
    after = lane_side.lane_side(shop, MIREL, HOUSE)
    believed = taught.scatter_of(shop, MIREL)
    assert believed is not None
    assert believed.mean > 0.1
    assert after.known is not None
    assert after.known.bowler.style is not None
    assert after.bowler == before.bowler  # what is kept of him stays as he said it
    assert after.known.bowler.style.scatter.launch_rad > after.bowler.style.scatter.launch_rad  # type: ignore[union-attr]
    rooms = [next(r.room for r in side.order.rows if r.ball.id == JAY) for side in (before, after)]
    assert rooms[1] < rooms[0]


def test_shots_that_hardly_spread_make_him_surer(shop: Shop) -> None:
    lined(shop)
    at = landing(shop, JAY)
    log(shop, *[(JAY, shot(at, by)) for by in (0.1, -0.1, 0.2, 0.0, -0.2, 0.1, 0.0, -0.1, 0.1, 0.0)], day=7)
    believed = taught.scatter_of(shop, MIREL)
    assert believed is not None
    assert believed.mean < -0.25


def test_a_ball_its_log_does_not_explain_is_named_in_its_row(shop: Shop) -> None:
    lined(shop)
    side = lane_side.lane_side(shop, MIREL, HOUSE, rooms=False)
    known = {r.ball.id: r.trace for r in side.order.rows}

    def seen(ball: int, feet: float, more: float) -> Shot:
        trace = known[ball]
        assert trace.first_read_m is not None
        sight = Sighting(trace.landing_m + more * BOARD_M, trace.first_read_m + feet * FOOT_M, by_sensor=True)
        return Shot(sight)

    for day in (21, 14, 7):
        log(shop, *[(b, seen(b, -10.0 if b == MOTH else 0.0, 9.0 if b == MOTH else 0.0)) for b in (1, 2, 3)] * 2,
            day=day)  # fmt: skip
    row = next(r for r in lane_side.lane_side(shop, MIREL, HOUSE).order.rows if r.ball.id == MOTH)
    said = [f.sentence for f in row.findings if f.code == "practice.wrong-model"]
    assert len(said) == 1
    assert said[0].endswith("than anything its log explains: check the log.")
    assert any(f.code == "practice.wrong-model" for f in taught.findings_of(shop, MIREL))


def test_progress_may_stop_the_learning_and_nothing_half_done_is_kept(shop: Shop) -> None:
    class Stop(Exception):
        pass

    def stop(_: float) -> None:
        raise Stop

    log(shop, (JAY, shot(0.4)))
    with pytest.raises(Stop):
        taught.posterior_of(shop, MIREL, stop)
    told: list[float] = []
    assert taught.posterior_of(shop, MIREL, told.append) is not None
    assert told[-1] == 1.0


def test_a_file_opened_again_gives_the_same_numbers_and_learns_nothing_anew(
    filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "again.padbook"
    path.write_bytes(filled.read_bytes())
    with opened(path, Clock()) as shop:
        lined(shop)
        log(shop, *[(b, shot(landing(shop, b), 2.0)) for b in (ROOK, JAY, MOTH)])
        first = lane_side.lane_side(shop, MIREL, HOUSE).order
    monkeypatch.setattr(posterior, "learn", lambda *_, **__: pytest.fail("it was learned before"))
    with opened(path, Clock()) as shop:
        again = lane_side.lane_side(shop, MIREL, HOUSE).order
    assert again.stamp == first.stamp
    assert [r.boards for r in again.rows] == [r.boards for r in first.rows]
    assert [r.boards_sd for r in again.rows] == [r.boards_sd for r in first.rows]


def test_an_entry_that_is_no_shot_learns_nothing_anew(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    log(shop, (JAY, shot(0.4)), day=7)
    first = taught.posterior_of(shop, MIREL)
    monkeypatch.setattr(posterior, "learn", lambda *_, **__: pytest.fail("no shot was logged since"))
    logging.keep(shop, logging.read_line(shop, "moth 2g", bowler_id=MIREL).drafts)
    assert taught.posterior_of(shop, MIREL) is first
    assert taught.lesson_of(shop, MIREL) is not None


def test_a_shot_that_cannot_be_thrown_is_named_and_the_others_still_teach(shop: Shop) -> None:
    lined(shop)
    log(shop, *[(MOTH, Compared(JAY, boards(shop, MOTH)[0] + 3.0))] * 3)
    before = boards(shop, MOTH)
    with shop.ledger.act("a shot from another program", "test") as act:
        wild = Shot(Sighting(landing_m=0.45), line=Line(0.5, 1.5))
        act.append(Draft(JAY, Kind.SHOT, TODAY, wild))
    assert boards(shop, MOTH)[0] == pytest.approx(before[0], abs=0.3)
    said = [f for f in taught.findings_of(shop, MIREL) if f.code == "trial.cannot-be"]
    assert len(said) == 1
    assert said[0].seq == shop.ledger.head_seq


def test_an_odd_outing_is_told_beside_the_order_by_its_lane_and_day(shop: Shop) -> None:
    lined(shop)
    at = (ROOK, JAY, MOTH)
    seen = Shot(Sighting(board_to_lateral_m(17.5), 38.0 * FOOT_M, by_sensor=True))
    for day in (21, 14, 7):
        log(shop, *[(b, seen) for b in at] * 2, day=day)
    far = Shot(Sighting(board_to_lateral_m(6.0), 48.0 * FOOT_M, by_sensor=True))
    log(shop, *[(b, far) for b in at] * 3)
    said = [f.sentence for f in lane_side.lane_side(shop, MIREL, HOUSE, rooms=False).order.findings]
    assert any(s.startswith("The lane of 41 ft house, 25 mL on Tue 24 Nov played like far more oil") for s in said)
