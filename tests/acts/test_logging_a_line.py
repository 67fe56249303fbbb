"""Logging as a bowler does it: one line, its meaning first, then kept; several at once; the same again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from made_shop import TODAY, Clock, ball, came

from arsenal.acts import balls, logging, meaning, pads, rules_now, undo, words
from arsenal.acts.rules_now import Competition
from arsenal.acts.shop import Shop
from arsenal.surface import uses_as
from arsenal.trade import Cover
from arsenal.trade.entries import (
    Cleaned,
    Crack,
    Draft,
    Kind,
    OilDrawn,
    OilMethod,
    Played,
    Step,
    SurfaceWork,
    Tool,
    Wiped,
    effective,
)
from arsenal.trade.errors import KnownError, NotFound, OutOfRange


def text(said: meaning.Meaning) -> str:
    return "".join(part for part, _ in said.parts)


def log_of(shop: Shop, ball_id: int) -> list[str]:
    return [str(e.kind) for e in effective(shop.entries(ball_id))]


def test_a_rub_in_the_lap_is_one_line_with_its_meaning_first(shop: Shop) -> None:
    said = logging.read_line(shop, "rook 1000 h", bowler_id=1)
    assert text(said).startswith("Rook Hollow sanded today with 1000 by hand, dry, one light pass, whole ball")
    assert "pad’s 1st use" in text(said)
    assert said.after.startswith("Would play about ")
    assert "±" in said.after


def test_reading_a_line_keeps_nothing(shop: Shop) -> None:
    before = shop.revision
    logging.read_line(shop, "rook 1000 h", bowler_id=1)
    assert shop.revision == before


def test_keeping_a_sanding_counts_the_pads_use_and_undo_gives_it_back(shop: Shop) -> None:
    kept = logging.keep(shop, logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts)
    assert kept.sentence == "Sanded Rook Hollow, 1000 h"
    assert shop.pad(4).uses_hand == 1  # the bowler's own 1000 before the shop's
    assert shop.pad(2).uses_hand == 0
    assert undo.can_undo(shop) == "Sanded Rook Hollow, 1000 h"
    assert undo.undo(shop).sentence == "Took back: sanded Rook Hollow, 1000 h"
    assert shop.pad(4).uses_hand == 0
    assert log_of(shop, 1).count("sanded") == 0


def test_the_second_rub_with_a_pad_is_its_second_use_and_says_what_was_behind_it(shop: Shop) -> None:
    logging.keep(shop, logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts)
    said = logging.read_line(shop, "jay 1000 h", bowler_id=1)
    assert "pad’s 2nd use" in text(said)
    logging.keep(shop, said.drafts)
    work = [e.payload for e in shop.entries(2) if isinstance(e.payload, SurfaceWork)]
    assert work[-1].steps[0].uses_before == 1


def test_a_coarse_pad_makes_the_ball_play_coarser_at_once(shop: Shop) -> None:
    before = shop.state(1).grit
    logging.keep(shop, logging.read_line(shop, "rook 500 h", bowler_id=1).drafts)
    assert shop.state(1).grit < before


def test_what_a_line_foresees_is_what_the_ball_plays_once_it_is_kept(shop: Shop) -> None:
    said = logging.read_line(shop, "rook 500 h", bowler_id=1)
    logging.keep(shop, said.drafts)
    foreseen = float(said.after.removeprefix("Would play about ").split(" ")[0])
    assert shop.state(1).grit == pytest.approx(foreseen, rel=0.06)  # two figures are said


@pytest.mark.parametrize(
    ("line", "word"),
    [("rock 3g", "rock"), ("rook 1000", "1000"), ("rook frobnicate", "frobnicate"), ("rook 3g wipd", "wipd")],
)
def test_an_unclear_word_is_named_and_nothing_is_ready_to_keep(shop: Shop, line: str, word: str) -> None:
    said = logging.read_line(shop, line, bowler_id=1)
    assert not said.drafts
    assert said.word == word
    assert word in said.problem


def test_a_bare_number_is_asked_about_with_what_would_do(shop: Shop) -> None:
    assert "1000 h" in logging.read_line(shop, "rook 1000", bowler_id=1).choices


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=60))
def test_no_text_makes_the_line_reader_fail_or_keep_anything(shop: Shop, line: str) -> None:
    before = shop.revision
    said = logging.read_line(shop, line, bowler_id=1)
    assert bool(said.problem) != bool(said.drafts)
    assert shop.revision == before


def test_shots_thrown_are_one_key(shop: Shop) -> None:
    kept = logging.thrown(shop, 2, 14, 1, Wiped.EACH)
    assert kept.sentence == "Logged 14 shots on Jay Quarry, wiped every shot"
    assert [c.what for c in kept.changed] == ["entry"]


def test_no_entries_make_no_act(shop: Shop) -> None:
    before = shop.revision
    assert logging.keep(shop, ()).act_id is None
    assert shop.revision == before


def test_entries_are_kept_all_or_none(shop: Shop) -> None:
    good = Draft(1, Kind.PLAYED, TODAY, Played(11))
    bad = Draft(2, Kind.PLAYED, TODAY, Played(-3))
    before = shop.ledger.head_seq
    with pytest.raises(OutOfRange, match="shots is -3; it must be 1 to 4400"):
        logging.keep(shop, (good, bad))
    assert shop.ledger.head_seq == before


def test_a_day_before_the_ball_came_is_refused_with_the_allowed_range(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="2 March 2026, the day the ball came, or later"):
        logging.keep(shop, (Draft(1, Kind.PLAYED, date(2026, 3, 1), Played(11)),))


def test_a_day_to_come_is_refused(shop: Shop) -> None:
    with pytest.raises(OutOfRange, match="today, 24 November 2026, or earlier"):
        logging.keep(shop, (Draft(1, Kind.PLAYED, TODAY + timedelta(days=1), Played(11)),))


def test_a_ball_nobody_has_is_refused(shop: Shop) -> None:
    with pytest.raises(NotFound):
        logging.keep(shop, (Draft(99, Kind.PLAYED, TODAY, Played(11)),))


def test_a_missed_week_is_one_late_line_and_widens_the_doubt(shop: Shop) -> None:
    sure = shop.state(1).games_in_all
    logging.keep(shop, logging.read_line(shop, "rook ~20g yesterday", bowler_id=1).drafts)
    doubtful = shop.state(1).games_in_all
    assert doubtful.mean == pytest.approx(sure.mean + 20)
    assert doubtful.sd > sure.sd


def test_the_same_as_last_thursday_is_one_key(shop: Shop) -> None:
    said = logging.same_as_last(shop, bowler_id=1)
    assert said.parts[0] == ("Same as last Thursday", True)  # 19 November 2026 is a Thursday
    assert {(d.ball_id, type(d.payload)) for d in said.drafts} == {(b, k) for b in (1, 2) for k in (Played, Cleaned)}
    assert all(d.on == TODAY for d in said.drafts)
    assert {d.payload.games_typed for d in said.drafts if isinstance(d.payload, Played)} == {4}
    assert logging.keep(shop, said.drafts).act_id is not None


def test_the_same_again_for_one_ball_leaves_the_others_alone(shop: Shop) -> None:
    assert {d.ball_id for d in logging.same_as_last(shop, ball_id=2).drafts} == {2}


def test_a_ball_never_played_has_nothing_to_repeat(shop: Shop) -> None:
    said = logging.same_as_last(shop, ball_id=3)
    assert not said.drafts
    assert said.problem


def test_the_same_again_says_so_when_today_is_logged_already(shop: Shop) -> None:
    logging.keep(shop, logging.read_line(shop, "rook 3g", bowler_id=1).drafts)
    assert any("already" in caution for caution in logging.same_as_last(shop, bowler_id=1).cautions)


def test_one_line_goes_to_several_balls_with_exceptions(shop: Shop) -> None:
    said = logging.for_balls(shop, "3g wiped clean", (1, 2, 3), leaving_out={3}, instead={2: "1g"})
    assert [(d.ball_id, str(d.kind)) for d in said.drafts] == [(1, "played"), (1, "cleaned"), (2, "played")]
    assert logging.keep(shop, said.drafts).sentence == "Logged 3 entries for Rook Hollow and Jay Quarry"


def test_a_coach_logs_for_all_bowlers_each_with_the_ball_in_hand(shop: Shop) -> None:
    logging.keep(shop, logging.read_line(shop, "lantern 2g").drafts)
    said = logging.for_bowlers(shop, "3g wiped", (1, 2), instead={2: "2g"})
    games = {d.ball_id: d.payload.games_typed for d in said.drafts if isinstance(d.payload, Played)}
    assert set(games) == {logging.ball_in_hand(shop, 1), 5}
    assert games[5] == 2


def test_a_bowler_without_a_ball_in_hand_is_named(shop: Shop) -> None:
    said = logging.for_bowlers(shop, "3g", (1, 2))
    assert "Tave Lund has no ball in hand" in said.problem
    assert not said.drafts


def test_all_threw_three_games_is_a_line_for_a_bowlers_whole_set(shop: Shop) -> None:
    said = logging.read_line(shop, "all threw 3 games but not moth", bowler_id=1)
    assert {d.ball_id for d in said.drafts} == {1, 2}


def test_dry_sanding_and_the_spinner_carry_their_usual_cautions(shop: Shop) -> None:
    assert any("mask and eye protection" in c for c in logging.read_line(shop, "rook 1000 h", bowler_id=1).cautions)
    assert any("sleeves" in c for c in logging.read_line(shop, "rook 1000 s", bowler_id=1).cautions)
    assert not logging.read_line(shop, "rook 3g", bowler_id=1).cautions


def test_part_of_a_surface_is_kept_and_flagged_with_the_rule(shop: Shop) -> None:
    said = logging.read_line(shop, "rook 1000 h track only", bowler_id=1)
    assert any("whole ball" in caution for caution in said.cautions)
    logging.keep(shop, said.drafts)
    assert any(f.rule_id == "surface-whole" for f in shop.state(1).findings)


def test_pads_during_competition_are_cautioned_not_blocked(shop: Shop, clock: Clock) -> None:
    start = clock.at - timedelta(minutes=5)
    rules_now.set_competition(shop, 1, Competition(start, clock.at + timedelta(hours=3)))
    said = logging.read_line(shop, "rook 1000 h", bowler_id=1)
    assert any("dry towel" in caution for caution in said.cautions)
    assert said.drafts


def test_heat_over_the_usual_limit_is_kept_only_when_confirmed(shop: Shop) -> None:
    hot = (Draft(2, Kind.OIL_DRAWN, TODAY, OilDrawn(OilMethod.HEAT, temperature_c=60.0)),)
    assert logging.meaning_of(shop, hot).needs_confirmation
    with pytest.raises(KnownError, match="confirm"):
        logging.keep(shop, hot)
    logging.keep(shop, hot, confirmed=True)
    kept = shop.entries(2)[-1].payload
    assert isinstance(kept, OilDrawn)
    assert kept.confirmed


def test_54_degrees_is_the_edge_and_needs_no_confirmation(shop: Shop) -> None:
    edge = (Draft(2, Kind.OIL_DRAWN, TODAY, OilDrawn(OilMethod.HEAT, temperature_c=(130 - 32) / 1.8)),)
    assert not logging.meaning_of(shop, edge).needs_confirmation


def test_a_cracked_ball_gets_no_heat_without_confirming(shop: Shop) -> None:
    logging.keep(shop, (Draft(2, Kind.CRACK, TODAY, Crack("bridge")),))
    bath = (Draft(2, Kind.OIL_DRAWN, TODAY, OilDrawn(OilMethod.BATH)),)
    said = logging.meaning_of(shop, bath)
    assert said.needs_confirmation
    assert any("crack" in caution for caution in said.cautions)


def test_one_entry_of_the_history_is_taken_back_with_its_pad(shop: Shop) -> None:
    logging.keep(shop, logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts)
    seq = shop.entries(1)[-1].seq
    logging.thrown(shop, 1, 14)
    assert undo.undo_entry(shop, seq).sentence == "Took back: sanded Rook Hollow, 1000 h"
    assert "sanded" not in log_of(shop, 1)
    assert shop.pad(4).uses_hand == 0
    assert undo.undo_entry(shop, seq).act_id is None  # again does nothing
    undo.undo(shop)
    assert "sanded" in log_of(shop, 1)
    assert shop.pad(4).uses_hand == 1


def test_undo_and_redo_go_back_and_forth(shop: Shop) -> None:
    logging.thrown(shop, 1, 14)
    undo.undo(shop)
    assert undo.can_redo(shop) == "Logged 14 shots on Rook Hollow"
    assert undo.redo(shop).sentence == "Brought back: logged 14 shots on Rook Hollow"
    assert log_of(shop, 1).count("played") == 3


def test_undo_of_an_empty_file_does_nothing(empty: Shop) -> None:
    assert undo.can_undo(empty) is None
    assert undo.undo(empty).act_id is None


def test_taking_back_an_entry_nobody_wrote_is_refused(shop: Shop) -> None:
    with pytest.raises(NotFound):
        undo.undo_entry(shop, 10_000)


def test_two_bowlers_may_each_have_a_rook(shop: Shop) -> None:
    balls.add_ball(shop, ball("Rook Hollow", "rook", 2, Cover.PEARL), came(2000))
    assert logging.read_line(shop, "rook 3g", bowler_id=2).drafts[0].ball_id == 6
    unclear = logging.read_line(shop, "rook 3g")
    assert not unclear.drafts
    assert len(unclear.choices) == 2


@pytest.mark.parametrize("line", ["rook 900g", "rook ra 9000", "rook 3g 31 feb", "rook 25000 h"])
def test_absurd_numbers_get_a_sentence_and_nothing_to_keep(shop: Shop, line: str) -> None:
    said = logging.read_line(shop, line, bowler_id=1)
    assert said.problem
    assert not said.drafts


def test_a_pad_used_on_a_spinner_counts_for_more_when_it_is_used_by_hand(shop: Shop) -> None:
    """Uses before are told in uses of the tool in hand, as the fold reads them."""
    pads.edit_pad(shop, replace(shop.pad(2), uses_hand=2.0, uses_spinner=3.0))
    worn = shop.pad(2)
    for tool in (Tool.HAND, Tool.SPINNER):
        pads.edit_pad(shop, worn)
        work = SurfaceWork((Step(number=1000, tool=tool, pad_id=2),))
        logging.keep(shop, (Draft(1, Kind.SANDED, TODAY, work),))
        last = shop.entries(1)[-1].payload
        assert isinstance(last, SurfaceWork)
        assert last.steps[0].uses_before == pytest.approx(uses_as(worn, tool, shop.priors))
        assert last.steps[0].uses_before != pytest.approx(5.0)


def test_a_key_tells_in_few_words_what_it_would_log(shop: Shop) -> None:
    said = logging.for_balls(shop, "3g wiped clean", (1,))
    assert words.in_a_key(said.drafts) == "3 games, wiped, cleaned"
    alone = logging.for_balls(shop, "clean", (1,))
    assert words.in_a_key(alone.drafts).startswith("cleaned, ")
