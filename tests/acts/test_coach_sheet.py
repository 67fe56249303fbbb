"""The coach's sheet: rows as Lane-side has them, what is logged for several at once, groups that can be undone."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from made_shop import STYLE, Clock, ball, came, opened

from arsenal.acts import balls, coach, groups, lane_side, logging, people, rules_now, undo
from arsenal.acts.shop import Shop
from arsenal.ledger import Ledger
from arsenal.trade.entries import Cleaned, Kind, Played, Saw, Seen, Wiped, effective
from arsenal.trade.errors import KnownError, NotFound, OutOfRange
from arsenal.trade.person import Person
from arsenal.trade.units import SHOTS_A_GAME

HOUSE, MIREL, TAVE = 1, 1, 2
ROOK, JAY, MOTH, GATE, LANTERN = 1, 2, 3, 4, 5


def standing(shop: Shop, ball_id: int, kind: type) -> list[object]:
    """Today's entries of one kind that were not taken back."""
    log = effective(shop.entries(ball_id))
    return [e.payload for e in log if isinstance(e.payload, kind) and e.on == shop.today()]


def test_a_row_counts_as_the_bowlers_own_lane_side_does(shop: Shop) -> None:
    row = coach.coach_row(shop, MIREL, HOUSE)
    own = lane_side.lane_side(shop, MIREL, HOUSE)
    assert row.hand is not None
    mine = next(r for r in own.order.rows if r.ball.id == row.hand.ball.id)
    assert row.hand.boards == pytest.approx(mine.boards)
    assert row.hand.trace.rolls_m == pytest.approx(mine.trace.rolls_m)


def test_the_strike_ball_thrown_last_is_in_hand_and_the_next_weaker_is_next_down(shop: Shop) -> None:
    row = coach.coach_row(shop, MIREL, HOUSE)
    assert row.side is not None
    order = [r.ball.id for r in row.side.order.rows]
    assert row.hand is not None
    assert row.hand.ball.id == JAY
    weaker = order[order.index(JAY) + 1 :]
    assert (row.down.ball.id if row.down else None) == (weaker[0] if weaker else None)


def test_where_nothing_was_thrown_yet_the_benchmark_is_in_hand(shop: Shop) -> None:
    owner = people.add_bowler(shop, Person(0, "Sunna Vik", style=STYLE)).changed[0].id
    cover = shop.ball(JAY).cover
    made = [balls.add_ball(shop, ball(name, "", owner, cover), came(grit)).changed for name, grit in
            (("Salt Veil", 500), ("Dusk Granary", 4000))]  # fmt: skip
    second = next(change.id for change in made[1] if change.what == "ball")
    people.set_benchmark(shop, owner, second)
    row = coach.coach_row(shop, owner, HOUSE)
    assert row.hand is not None
    assert row.hand.ball.name == "Dusk Granary"


def test_with_the_weakest_in_hand_there_is_no_ball_down(shop: Shop) -> None:
    order = coach.coach_row(shop, MIREL, HOUSE).side.order.rows  # type: ignore[union-attr]
    row = coach.coach_row(shop, MIREL, HOUSE, hand=order[-1].ball.id)
    assert row.hand == order[-1]
    assert row.down is None


def test_a_spare_ball_is_never_in_hand(shop: Shop) -> None:
    logging.thrown(shop, GATE, 4, HOUSE)
    row = coach.coach_row(shop, MIREL, HOUSE, hand=GATE)
    assert row.hand is not None
    assert row.hand.ball.id == JAY


def test_a_bowler_without_a_throw_or_without_balls_gets_a_row_that_says_so(shop: Shop) -> None:
    silent = people.add_bowler(shop, Person(0, "Bo Tillander")).changed[0].id
    empty = people.add_bowler(shop, Person(0, "Sunna Vik", style=STYLE)).changed[0].id
    sheet = coach.coach_sheet(shop, (MIREL, silent, empty), HOUSE)
    assert [row.side is None for row in sheet.rows] == [False, True, True]
    assert "throws is not known" in sheet.rows[1].missing
    assert "No strike ball" in sheet.rows[2].missing


def test_only_a_spare_ball_is_as_good_as_none(shop: Shop) -> None:
    empty = people.add_bowler(shop, Person(0, "Sunna Vik", style=STYLE)).changed[0].id
    balls.add_ball(shop, ball("Plain Moss", "moss", empty, shop.ball(GATE).cover, spare=True), came(4000))
    assert "No strike ball" in coach.coach_row(shop, empty, HOUSE).missing


def test_an_unknown_bowler_or_condition_is_an_error(shop: Shop) -> None:
    with pytest.raises(NotFound):
        coach.coach_sheet(shop, (99,), HOUSE)
    with pytest.raises(NotFound):
        coach.coach_sheet(shop, (MIREL,), 99)


def test_last_seen_counts_the_same_word_in_a_row_and_grows_older(shop: Shop, clock: Clock) -> None:
    for word in (Seen.LIGHT, Seen.HIGH, Seen.HIGH):
        coach.saw(shop, MIREL, word, lane_id=HOUSE)
    clock.at += timedelta(minutes=4)
    saw = coach.last_seen(shop, MIREL)
    assert saw is not None
    assert (saw.seen, saw.times, saw.ball_id) == (Seen.HIGH, 2, JAY)
    assert saw.ago_s == pytest.approx(240.0, abs=1.0)


def test_what_was_seen_yesterday_is_not_what_was_last_seen(shop: Shop, clock: Clock) -> None:
    coach.saw(shop, MIREL, Seen.FLUSH)
    clock.at += timedelta(days=1)
    assert coach.last_seen(shop, MIREL) is None


def test_a_shot_taken_back_was_not_seen(shop: Shop) -> None:
    coach.saw(shop, MIREL, Seen.FLUSH)
    coach.saw(shop, MIREL, Seen.QUIT)
    undo.undo(shop)
    saw = coach.last_seen(shop, MIREL)
    assert saw is not None
    assert (saw.seen, saw.times) == (Seen.FLUSH, 1)


def test_a_logged_shot_names_word_bowler_and_ball_and_says_nothing_of_the_surface(shop: Shop) -> None:
    before = shop.state(ROOK)
    done = coach.saw(shop, MIREL, Seen.HIGH, ball_id=ROOK, lane_id=HOUSE)
    assert done.sentence == "Logged high, Mirel Oster, Rook Hollow"
    assert standing(shop, ROOK, Saw) == [Saw(Seen.HIGH, HOUSE)]
    assert shop.state(ROOK) == before


def test_the_ball_a_shot_was_seen_with_is_the_ball_in_hand(shop: Shop) -> None:
    coach.saw(shop, MIREL, Seen.LONG, ball_id=MOTH)
    row = coach.coach_row(shop, MIREL, HOUSE)
    assert row.hand is not None
    assert row.hand.ball.id == MOTH


def test_a_shot_with_somebody_elses_ball_is_refused(shop: Shop) -> None:
    with pytest.raises(NotFound, match="not a ball of Mirel"):
        coach.saw(shop, MIREL, Seen.HIGH, ball_id=LANTERN)


def test_all_threw_is_one_act_over_the_balls_in_hand_and_one_undo(shop: Shop) -> None:
    acts = len(shop.ledger.acts(1000))
    done = coach.all_threw(shop, (MIREL, TAVE), 3, Wiped.EACH, hands={MIREL: ROOK, TAVE: LANTERN}, lane_id=HOUSE)
    assert done.sentence == "Logged 3 games for 2 bowlers, wiped every shot, cleaned"
    assert len(shop.ledger.acts(1000)) == acts + 1
    for held in (ROOK, LANTERN):
        assert standing(shop, held, Played) == [Played(3 * SHOTS_A_GAME, 0.0, 3, HOUSE, Wiped.EACH)]
        assert len(standing(shop, held, Cleaned)) == 1
    undo.undo(shop)
    assert not standing(shop, ROOK, Played)
    assert not standing(shop, LANTERN, Cleaned)


def test_all_threw_leaves_out_who_is_not_named_and_may_leave_the_cleaning_out(shop: Shop) -> None:
    done = coach.all_threw(shop, (MIREL,), 2, None, cleaned=False, hands={MIREL: JAY})
    assert done.sentence == "Logged 2 games for Mirel Oster"
    assert not standing(shop, LANTERN, Played)
    assert [e.kind for e in shop.entries(JAY)][-1] == Kind.PLAYED


def test_all_threw_keeps_nothing_where_one_of_them_has_no_ball(shop: Shop) -> None:
    empty = people.add_bowler(shop, Person(0, "Sunna Vik", style=STYLE)).changed[0].id
    with pytest.raises(NotFound, match="Sunna Vik has no ball in hand"):
        coach.all_threw(shop, (MIREL, empty), 3, hands={MIREL: JAY})
    assert not standing(shop, JAY, Played)


@pytest.mark.parametrize("games", [-1.0, 0.0, float("nan"), float("inf"), 1e6])
def test_games_nobody_throws_are_refused(shop: Shop, games: float) -> None:
    with pytest.raises(OutOfRange):
        coach.all_threw(shop, (MIREL,), games, hands={MIREL: JAY})
    assert not standing(shop, JAY, Played)


def test_nobody_ticked_logs_nothing(shop: Shop) -> None:
    with pytest.raises(KnownError, match="nobody"):
        coach.all_threw(shop, (), 3)


def test_one_card_a_bowler_with_the_ball_in_hand_on_it(shop: Shop) -> None:
    people.add_bowler(shop, Person(0, "Bo Tillander"))
    told: list[float] = []
    made = coach.bag_cards(shop, (MIREL, TAVE, 3), HOUSE, hands={MIREL: ROOK}, progress=told.append)
    assert [card.bowler for card in made] == ["Mirel Oster", "Tave Lund"]
    assert made[0].ball_in_hand == "Rook Hollow"
    assert told == sorted(told)
    with pytest.raises(KnownError, match="no order"):
        coach.bag_cards(shop, (3,), HOUSE)


def test_the_worst_job_on_the_ball_in_hand_is_what_is_due(sample: Path, clock: Clock) -> None:
    with opened(sample, clock) as shop:
        sheet = coach.coach_sheet(shop, [p.id for p in groups.who_throws(shop)])
        assert len(sheet.rows) == 8
        for row in sheet.rows:
            assert row.side is not None
            own = [job for job in row.side.jobs if row.hand is not None and job.ball_id == row.hand.ball.id]
            assert (row.due is None) == (not own)
            if row.due is not None and not any(job.damage for job in own):
                order = ("soon", "due", "over")
                assert order.index(row.due.due) == max(order.index(job.due) for job in own)


def test_each_row_has_its_own_rule(shop: Shop, clock: Clock) -> None:
    began = clock.at - timedelta(hours=1)
    rules_now.set_competition(shop, MIREL, rules_now.Competition(began))
    rows = coach.coach_sheet(shop, (MIREL, TAVE), HOUSE).rows
    assert [row.rule.pads_allowed for row in rows] == [False, True]


def test_a_group_is_kept_in_the_shop_named_once_and_taken_back(shop: Shop) -> None:
    done = groups.keep_group(shop, "  Thursday juniors ", (TAVE, MIREL))
    assert done.sentence == "Thursday juniors: 2 bowlers"
    assert groups.group(shop, "thursday JUNIORS") == groups.Group("Thursday juniors", (TAVE, MIREL))
    with pytest.raises(KnownError, match="already"):
        groups.keep_group(shop, "THURSDAY juniors", (MIREL,))
    undo.undo(shop)
    assert groups.groups(shop) == ()


def test_a_group_can_be_renamed_and_taken_away(shop: Shop) -> None:
    groups.keep_group(shop, "Juniors", (TAVE, MIREL))
    groups.keep_group(shop, "Seniors", (MIREL,), was="Juniors")
    assert groups.groups(shop) == (groups.Group("Seniors", (MIREL,)),)
    groups.drop_group(shop, "Seniors")
    assert groups.groups(shop) == ()
    undo.undo(shop)
    assert [one.name for one in groups.groups(shop)] == ["Seniors"]
    with pytest.raises(NotFound):
        groups.drop_group(shop, "Nobody")


def test_a_group_of_nobody_too_many_or_strangers_is_refused(shop: Shop) -> None:
    with pytest.raises(KnownError, match="Nobody is in"):
        groups.keep_group(shop, "Juniors", ())
    with pytest.raises(NotFound):
        groups.keep_group(shop, "Juniors", (99,))
    many = [people.add_bowler(shop, Person(0, f"Bowler {n}")).changed[0].id for n in range(groups.MOST + 1)]
    with pytest.raises(KnownError, match="too many"):
        groups.keep_group(shop, "Juniors", many)


def test_whoever_is_no_longer_in_the_file_is_left_out_of_the_group(shop: Shop) -> None:
    with shop.ledger.act("As another version kept it", "test") as act:
        act.set_setting(groups.KEY, [{"name": "Juniors", "bowler_ids": [MIREL, 99]}, "nonsense"])
    assert groups.groups(shop) == (groups.Group("Juniors", (MIREL,)),)
    assert isinstance(shop.ledger, Ledger)


def test_the_same_sheet_again_costs_no_new_order(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    first = coach.coach_sheet(shop, (MIREL, TAVE), HOUSE)

    def never(*_args: object, **_kwargs: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr(lane_side, "order", never)
    coach.saw(shop, MIREL, Seen.FLUSH, ball_id=JAY)
    again = coach.coach_sheet(shop, (MIREL, TAVE), HOUSE)
    assert [row.hand for row in again.rows] == [row.hand for row in first.rows]
