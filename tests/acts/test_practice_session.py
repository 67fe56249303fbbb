"""A practice as the room is given it: shots logged in one act, forecasts from before them, what each ball taught."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from made_shop import NOW, TODAY, Clock

from arsenal.acts import lanes, logging, people, practice, rules_now, undo
from arsenal.acts.practice_views import AsSeen, ShotRow
from arsenal.acts.recipes import by_hand
from arsenal.acts.shop import Shop
from arsenal.trade.entries import Draft, Handed, Kind, Note, Shot, Wiped
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.lane import Lane, UnknownHouse
from arsenal.trade.release import Line
from arsenal.trade.units import BOARD_M

ROOK, JAY, MOTH, GATE = 1, 2, 3, 4


def shot(shop: Shop, ball_id: int, seen: AsSeen, **more: object) -> ShotRow:
    practice.log_shot(shop, 1, 1, ball_id, seen, **more)  # type: ignore[arg-type]
    return practice.session(shop, 1).shots[0]


def test_before_any_shot_the_room_has_a_ball_in_hand_and_bands_of_doubt(shop: Shop) -> None:
    found = practice.session(shop, 1)
    assert found.in_hand is not None
    assert found.in_hand.ball.id == JAY
    assert found.in_hand.counted == "shot 1, its 1st"
    assert found.in_hand.finish == "2000 h"
    assert found.in_hand.plays.startswith("plays about ")
    assert found.shots == ()
    assert found.outing_words == ""
    assert [row.ball_id for row in found.balls] == [ROOK, JAY, MOTH]  # the spare ball is left out
    for row in found.balls:
        assert row.now is None
        assert row.sentence == "not thrown yet"
        assert 0.3 < row.before_sd < 4.0
    assert next(row for row in found.balls if row.benchmark).ball_id == JAY


def test_a_shot_is_logged_in_one_act_and_its_forecast_is_then_there(shop: Shop) -> None:
    changes = practice.log_shot(shop, 1, 1, JAY, AsSeen("high", landing_board=19.0))
    assert changes.sentence == "Logged shot 1, Jay Quarry: 19, high"
    assert len(changes.changed) == 1
    row = practice.session(shop, 1).shots[0]
    assert (row.number, row.name, row.seen, row.seen_board) == (1, "Jay Quarry", "19, high", 19.0)
    assert row.expected_low is not None
    assert row.expected_board is not None
    assert row.expected_high is not None
    assert row.expected_low < row.expected_board < row.expected_high
    assert row.expected.startswith("expected ")
    assert (row.seen_low, row.seen_high) == (18.0, 20.5)
    assert row.time == "18:42"


def test_a_forecast_does_not_know_its_own_shot(shop: Shop, clock: Clock) -> None:
    first = shot(shop, JAY, AsSeen(landing_board=12.0))
    again = practice.session(shop, 1).shots[0]
    assert first == again
    undo.undo_entry(shop, first.seq)
    other = shot(shop, JAY, AsSeen(landing_board=20.0))
    assert other.expected_board == pytest.approx(first.expected_board, abs=0.35)
    assert other.outside is (not other.expected_low <= 20.0 <= other.expected_high)  # type: ignore[operator]
    assert clock() == NOW


def test_later_shots_are_expected_with_what_the_earlier_ones_taught(shop: Shop) -> None:
    rows = [shot(shop, JAY, AsSeen(landing_board=20.0, first_read_ft=34.0)) for _ in range(6)]
    first, last = rows[0], rows[-1]
    assert abs(last.expected_board - 20.0) < abs(first.expected_board - 20.0)  # type: ignore[operator]
    assert last.expected_high - last.expected_low < first.expected_high - first.expected_low  # type: ignore[operator]


def test_after_five_shots_there_is_something_to_say(shop: Shop) -> None:
    for ball_id, board in ((JAY, 17.0), (ROOK, 20.5), (JAY, 17.0), (ROOK, 21.0), (ROOK, 20.5)):
        practice.log_shot(shop, 1, 1, ball_id, AsSeen(landing_board=board))
    found = practice.session(shop, 1)
    rook = next(row for row in found.balls if row.ball_id == ROOK)
    assert rook.shots == 3
    assert rook.now is not None
    assert rook.now_sd is not None
    assert rook.now > 0.0
    assert rook.now_sd < rook.before_sd
    assert "stronger than its sheet" in rook.sentence
    assert found.outing_words.startswith("Tonight’s lane plays ")
    assert found.trials == 5
    moth = next(row for row in found.balls if row.ball_id == MOTH)
    assert moth.sentence == "not thrown yet"


def test_board_45_is_kept_shown_and_not_learned_from(shop: Shop) -> None:
    plain = shot(shop, JAY, AsSeen("flush"))
    odd = shot(shop, JAY, AsSeen(landing_board=45.0))
    assert odd.kept_out.endswith("a lane has 39. It is kept, and nothing is learned from it.")
    assert odd.expected_board is None
    assert not odd.outside
    found = practice.session(shop, 1)
    assert found.trials == 1
    assert any("board 45" in finding.sentence for finding in found.findings)
    assert found.shots[1] == plain


def test_flush_that_missed_the_pocket_is_named(shop: Shop) -> None:
    row = shot(shop, JAY, AsSeen("flush", landing_board=24.0))
    assert "was seen flush, and ended on board 24" in row.kept_out
    assert practice.session(shop, 1).trials == 0


def test_a_breakpoint_beyond_the_pins_is_named(shop: Shop) -> None:
    row = shot(shop, JAY, AsSeen(breakpoint_ft=64.0))
    assert "past the pins" in row.kept_out


def test_what_is_no_number_of_a_lane_at_all_is_refused(shop: Shop) -> None:
    with pytest.raises(OutOfRange):
        practice.log_shot(shop, 1, 1, JAY, AsSeen(landing_board=4500.0))
    with pytest.raises(OutOfRange):
        practice.log_shot(shop, 1, 1, JAY, AsSeen(landing_board=float("nan")))
    with pytest.raises(KnownError, match="Nothing was said"):
        practice.log_shot(shop, 1, 1, JAY, AsSeen())
    with pytest.raises(NotFound):
        practice.log_shot(shop, 1, 1, 99, AsSeen("flush"))
    assert practice.session(shop, 1).shots == ()


def test_everything_that_was_seen_is_kept(shop: Shop) -> None:
    seen = AsSeen("high, rolled out", 19.0, 33.0, 44.0, 8.5, 13.0, -0.5, (4, 6), by_sensor=True)
    with pytest.raises(ValueError, match="sideways"):
        practice.log_shot(shop, 1, 1, JAY, AsSeen("sideways"))
    row = shot(shop, JAY, seen)
    assert "cannot both be" in row.kept_out  # high and rolled out
    (said,) = (e.payload.seen for e in shop.entries(JAY) if isinstance(e.payload, Shot))
    assert said.pins_left == (4, 6)
    assert said.off_target_m == pytest.approx(-0.5 * BOARD_M)
    assert said.by_sensor
    assert "left 4-6" in row.more[0]


def test_a_pair_is_shown_in_words_and_cancels_what_both_share(shop: Shop) -> None:
    practice.log_pair(shop, 1, 1, ROOK, MOTH, 3.0)
    found = practice.session(shop, 1)
    row = found.shots[0]
    assert (row.number, row.other, row.seen) == (0, "Paper Moth", "3 ± 1½ stronger than Paper Moth")
    assert row.expected.startswith("expected ")
    rook, moth = (next(r for r in found.balls if r.ball_id == i) for i in (ROOK, MOTH))
    assert rook.now is not None
    assert moth.now is not None
    assert rook.now > moth.now
    with pytest.raises(KnownError, match="two balls"):
        practice.log_pair(shop, 1, 1, ROOK, ROOK, 1.0)
    with pytest.raises(NotFound):
        practice.log_pair(shop, 1, 1, ROOK, 99, 1.0)


def test_a_pad_between_two_shots_makes_another_ball_of_it(shop: Shop) -> None:
    before, *_ = (shot(shop, MOTH, AsSeen(landing_board=15.0, first_read_ft=39.0)) for _ in range(3))
    pad = next(p for p in shop.pads(1) if p.number == 500)
    changes = practice.log_pad(shop, MOTH, by_hand(500.0, pad))
    assert changes.sentence.startswith("Sanded Paper Moth, 500 h")
    after, *_ = (shot(shop, MOTH, AsSeen(landing_board=17.0, first_read_ft=37.0)) for _ in range(3))
    assert (before.finish, after.finish) == ("4000 h", "500 h")
    moth = next(r for r in practice.session(shop, 1).balls if r.ball_id == MOTH)
    (answer,) = moth.response
    assert answer.shots == 6
    assert answer.now_ft < answer.before_ft - 0.5  # seen two feet earlier after the pad
    assert "medium oil; 6 trials" in answer.sentence


@pytest.mark.common_practice
def test_wiping_and_pair_are_remembered_and_go_with_the_shot(shop: Shop, clock: Clock) -> None:
    said = practice.set_session(shop, 1, 1, pair=" pair 7  and 8 ", wiping=Wiped.NEVER)
    assert said.sentence == "Mirel Oster practises at pair 7 and 8 and wipes never"
    found = practice.session(shop, 1)
    assert (found.pair, found.wiping) == ("pair 7 and 8", Wiped.NEVER)
    row = shot(shop, JAY, AsSeen("flush"))
    assert row.wiped is False
    assert "pair 7 and 8" in practice.session(shop, 1).outing
    assert shot(shop, JAY, AsSeen("flush"), wiped=True).wiped is True
    clock.at += timedelta(days=1)
    tomorrow = practice.session(shop, 1)
    assert (tomorrow.pair, tomorrow.wiping) == ("", Wiped.NEVER)  # another evening is another pair
    assert tomorrow.shots == ()
    assert len(practice.session(shop, 1, day=TODAY).shots) == 2
    with pytest.raises(KnownError, match="too long"):
        practice.set_session(shop, 1, 1, pair="x" * 41)


def test_another_line_is_for_practice_alone_until_it_is_taken_back(shop: Shop) -> None:
    plain = practice.session(shop, 1)
    other = Line(20.0 * BOARD_M, -0.04)
    practice.set_session(shop, 1, 1, line=other)
    assert practice.session(shop, 1).line == other
    assert practice.session(shop, 1, 2).line != other
    assert shop.person(1).lines == ()
    practice.set_session(shop, 1, 1, line=None)
    assert practice.session(shop, 1).line == plain.line


def test_taking_a_shot_back_takes_back_what_it_taught(shop: Shop) -> None:
    before = practice.session(shop, 1)
    row = shot(shop, JAY, AsSeen(landing_board=20.0))
    undo.undo_entry(shop, row.seq)
    after = practice.session(shop, 1)
    assert after.shots == ()
    assert [r.now for r in after.balls] == [r.now for r in before.balls]


def test_a_shot_counts_as_one_shot_of_play(shop: Shop) -> None:
    before = shop.state(JAY).games_on_finish.mean
    practice.log_shot(shop, 1, 1, JAY, AsSeen("flush"))
    assert shop.state(JAY).games_on_finish.mean == pytest.approx(before + 1.0 / 11.0, rel=0.02)


def test_a_left_hander_counts_boards_from_the_own_gutter(shop: Shop) -> None:
    practice.log_shot(shop, 2, 1, 5, AsSeen(landing_board=17.5))
    row = practice.session(shop, 2, 1).shots[0]
    assert row.seen == "17½"
    assert 5.0 < row.expected_board < 30.0  # type: ignore[operator]


def test_a_back_up_ball_has_its_boards_mirrored(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(1), back_up=True))
    found = practice.session(shop, 1)
    light = next(key for key in found.keys if key.word == "light")
    assert light.low_board is not None
    assert light.high_board is not None
    assert light.low_board < light.high_board
    row = shot(shop, JAY, AsSeen(landing_board=22.0))
    assert row.seen_board == pytest.approx(22.0)
    assert row.seen == "22"


def test_nobody_practises_without_a_throw(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(1), style=None))
    with pytest.raises(KnownError, match="how Mirel Oster throws"):
        practice.session(shop, 1)


def test_two_bowlers_do_not_teach_each_other_of_their_balls(shop: Shop) -> None:
    practice.log_shot(shop, 1, 1, JAY, AsSeen(landing_board=21.0))
    assert practice.session(shop, 2).trials == 0
    assert practice.session(shop, 2).shots == ()


def test_the_same_log_gives_the_same_session(shop: Shop) -> None:
    practice.log_shot(shop, 1, 1, JAY, AsSeen("light"))
    first = practice.session(shop, 1)
    shop._made.clear()
    assert practice.session(shop, 1) == first


def test_a_bag_without_a_ball_has_nothing_in_hand(shop: Shop) -> None:
    for ball_id in (ROOK, JAY, MOTH, GATE):
        logging.keep(shop, (Draft(ball_id, Kind.SOLD, TODAY, Handed("somebody")),))
    found = practice.session(shop, 1)
    assert found.in_hand is None
    assert found.balls == ()


def test_the_rule_goes_with_the_session(shop: Shop, clock: Clock) -> None:
    starts = datetime.combine(TODAY, NOW.timetz()) + timedelta(minutes=20)
    rules_now.set_competition(shop, 1, rules_now.Competition(starts))
    assert practice.session(shop, 1).rule.pads_allowed
    clock.at += timedelta(minutes=30)
    assert not practice.session(shop, 1).rule.pads_allowed
    logging.keep(shop, (Draft(JAY, Kind.NOTE, TODAY, Note("towel only")),))


def test_two_or_three_benchmark_shots_narrow_an_unknown_house(shop: Shop) -> None:
    lanes.add_lane(shop, Lane(0, "unknown house", UnknownHouse()))
    rows = []
    for _ in range(3):
        practice.log_shot(shop, 1, 3, JAY, AsSeen(landing_board=15.0, first_read_ft=40.0))
        rows.append(practice.session(shop, 1, 3).shots[0])
    first, last = rows[0], rows[-1]
    assert last.expected_high - last.expected_low < 0.75 * (first.expected_high - first.expected_low)  # type: ignore[operator]
    assert "the middle of what it may be" in practice.session(shop, 1, 3).outing_words


def test_an_odd_outing_is_named_by_day_and_condition(shop: Shop, clock: Clock) -> None:
    for night in range(4):
        clock.at += timedelta(days=1)
        seen = AsSeen(landing_board=17.5, first_read_ft=38.0, by_sensor=True)
        if night == 3:
            seen = AsSeen(landing_board=6.0, first_read_ft=46.0, by_sensor=True)
        for ball_id in (ROOK, JAY, MOTH) * 2:
            practice.log_shot(shop, 1, 1, ball_id, seen)
    found = practice.session(shop, 1)
    (odd,) = (f for f in found.findings if f.code == "practice.odd-outing")
    assert odd.sentence.startswith("The lane of 41 ft house, 25 mL on Sat 28 Nov played like far more oil")
    assert "boards longer than it was said to" in found.outing_words


def test_a_ball_its_log_does_not_explain_is_named_in_its_row(shop: Shop, clock: Clock) -> None:
    for _ in range(4):
        clock.at += timedelta(days=1)
        for ball_id, board, feet in ((ROOK, 30.0, 24.0), (JAY, 17.0, 39.0), (MOTH, 15.0, 40.0)):
            practice.log_shot(shop, 1, 1, ball_id, AsSeen(landing_board=board, first_read_ft=feet, by_sensor=True))
    rook = next(row for row in practice.session(shop, 1).balls if row.ball_id == ROOK)
    assert rook.warning.startswith("Rook Hollow ")
    assert rook.warning.endswith("than anything its log explains: check the log.")
