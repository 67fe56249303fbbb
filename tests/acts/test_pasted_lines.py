"""Lines noted on a phone, pasted at once."""

from __future__ import annotations

import pytest

from arsenal.acts import balls, logging, pasted, taught, undo
from arsenal.acts.shop import Shop
from arsenal.trade import Ball, Cover
from arsenal.trade.entries import Compared, Draft, Kind, Shot, SurfaceWork, effective
from arsenal.trade.errors import KnownError, OutOfRange
from arsenal.trade.trial import Sighting, Word
from arsenal.trade.units import BOARD_M, board_to_lateral_m

PHONE = """
rook high
2 high wiped

1000 h
flush at 18:42
jay shot 15.5
> rook 2
""".splitlines()


def test_shots_and_the_pads_between_them_are_kept_in_their_order_and_taken_back_at_once(shop: Shop) -> None:
    before = {i: shop.entries(i) for i in (1, 2)}
    lines = pasted.read(shop, PHONE, bowler_id=1, ball_id=1, lane_id=2, outing="pair 7")
    assert [line.number for line in lines] == [2, 3, 5, 6, 7, 8]
    assert pasted.keep(shop, lines).sentence == "Logged 6 lines, 4 practice shots"
    fresh = [e for e in shop.entries(1) if e not in before[1]]
    assert [e.kind for e in fresh] == [Kind.SHOT, Kind.SHOT, Kind.SANDED, Kind.SHOT]
    assert isinstance(fresh[2].payload, SurfaceWork)
    shots = [e.payload for e in fresh if isinstance(e.payload, Shot)]
    assert [(p.lane_id, p.wiped, p.minute, p.outing) for p in shots] == [
        (2, None, None, "pair 7"), (2, True, None, "pair 7"), (2, None, 1122, "pair 7"),
    ]  # fmt: skip
    jay, pair = [e.payload for e in shop.entries(2) if e not in before[2]]
    assert isinstance(jay, Shot)
    assert jay.seen == Sighting(board_to_lateral_m(15.5))
    assert pair == Compared(1, 2.0, lane_id=2)
    undo.undo(shop)
    for ball_id, log in before.items():
        assert effective(shop.entries(ball_id)) == effective(log)


def test_a_line_that_says_where_it_was_thrown_keeps_its_own_condition(shop: Shop) -> None:
    (line,) = pasted.read(shop, ["rook flush on long"], lane_id=1)
    assert line.meaning.drafts[0].payload == Shot(Sighting(words=(Word.FLUSH,)), lane_id=2)


def test_one_line_that_is_not_clear_keeps_all_of_them_out(shop: Shop) -> None:
    lines = pasted.read(shop, ["rook flush", "rook strike"], bowler_id=1)
    assert lines[1].meaning.problem
    head = shop.ledger.head_seq
    with pytest.raises(KnownError, match="Line 2, “rook strike”, is not clear"):
        pasted.keep(shop, lines)
    assert shop.ledger.head_seq == head


def test_odd_shots_are_kept_with_a_caution_and_typing_errors_are_refused(shop: Shop) -> None:
    meaning = logging.read_line(shop, "rook shot 45", bowler_id=1)
    assert "nothing is learned from it: it has board 45" in meaning.cautions[0]
    logging.keep(shop, meaning.drafts)
    (kept,) = [e.payload for e in shop.entries(1) if isinstance(e.payload, Shot)]
    assert kept.seen.landing_m == board_to_lateral_m(45.0)
    assert "-20 to 99" in logging.read_line(shop, "rook shot 450", bowler_id=1).problem
    impossible = Shot(Sighting(landing_m=float("nan")))
    with pytest.raises(OutOfRange):
        logging.keep(shop, [Draft(1, Kind.SHOT, shop.today(), impossible)])


def test_practice_shots_are_play_of_the_day_they_were_thrown(shop: Shop) -> None:
    was = shop.state(1)
    for _ in range(11):
        logging.keep(shop, logging.read_line(shop, "rook flush wiped on 41", bowler_id=1).drafts)
    now = shop.state(1)
    assert now.games_in_all.mean == pytest.approx(was.games_in_all.mean + 1.0)
    assert now.sessions_since_inspection == was.sessions_since_inspection + 1
    assert now.played_on == shop.today()
    assert logging.ball_in_hand(shop, 1) == 1


def test_a_borrowed_ball_is_thrown_by_the_one_who_practises(shop: Shop) -> None:
    """Tave is left-handed: missed right is toward the hook side."""
    own, borrowed = pasted.read(shop, ["lantern missed right 1", "rook missed right 1"], bowler_id=2, lane_id=1)
    shots = [line.meaning.drafts[0].payload for line in (own, borrowed)]
    assert all(isinstance(shot, Shot) and shot.seen.off_target_m == BOARD_M for shot in shots)
    assert [shot.bowler_id for shot in shots if isinstance(shot, Shot)] == [None, 2]


def test_odd_entries_are_named_where_practice_is_looked_at(shop: Shop) -> None:
    owl = Ball(0, "Owl Barn", "owl", 1, Cover.SOLID)
    balls.add_ball(shop, owl)
    undo.undo_entry(shop, shop.entries(6)[0].seq)
    said = ("owl flush", "jay flush at 18:42", "jay 2 light at 18:40", "jay bp 65@9", "jay flush light")
    pasted.keep(shop, pasted.read(shop, said, bowler_id=1))
    found = {f.code: f.sentence for f in taught.practice_of(shop, 1).findings}
    assert set(found) == {"trial.no-log", "trial.time", "trial.impossible", "trial.contradictory"}
    assert "“owl flush”" in found["trial.no-log"]
    assert "breakpoint at 65 ft, past the pins" in found["trial.impossible"]
    learned = taught.posterior_of(shop, 1)
    assert learned is not None
    assert len(learned.cases) == 2
