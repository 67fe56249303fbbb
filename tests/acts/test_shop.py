"""An open shop: states folded once, kept between starts, never staler than the log."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from made_shop import TODAY, Clock, opened

from arsenal.acts import files, folds, logging, places, undo
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.acts.teachings import Teachings
from arsenal.ledger import NO_BACKUPS, AlreadyOpen
from arsenal.surface import fold
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.priors import default_priors

LINES = ("rook 1000 h", "rook 3g wiped", "rook ~5g", "rook clean", "rook r 2400", "rook polish", "jay 2g", "undo")


def folded(shop: Shop, ball_id: int) -> object:
    log, balls, priors = shop.ledger.entries(ball_id), shop.balls(), default_priors()
    others = Teachings(None, priors).learned_by(
        shop.ball(ball_id), balls, {ball.id: 0 for ball in balls}, shop.lanes(),
        lambda wanted: {ball.id: shop.ledger.entries(ball.id) for ball in wanted},
    )  # fmt: skip
    return fold(shop.ball(ball_id), log, priors, until=shop.today(), lanes=shop.lanes(), learned=others)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(LINES), max_size=8))
def test_the_state_shown_is_always_the_fold_of_the_whole_log(shop: Shop, lines: list[str]) -> None:
    for line in lines:
        if line == "undo":
            undo.undo(shop)
        else:
            logging.keep(shop, logging.read_line(shop, line, bowler_id=1).drafts)
        for ball_id in (1, 2):
            assert shop.state(ball_id) == folded(shop, ball_id)


def test_a_state_kept_between_starts_is_the_state_that_was_folded(sample: Path, clock: Clock) -> None:
    with opened(sample, clock) as first:
        before = first.states(first.balls())
        assert any(len(first.entries(ball_id)) >= folds.WORTH_KEEPING for ball_id in before)
    with opened(sample, clock) as second:
        assert second.states(second.balls()) == before
        assert files.verify(second).ok
        busiest = max(before, key=lambda ball_id: len(second.entries(ball_id)))
        logging.thrown(second, busiest, 14)
        assert second.state(busiest) == folded(second, busiest)


def test_kept_states_are_used_and_dropping_them_loses_nothing(
    sample: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened(sample, clock) as first:
        busiest = max(first.balls(), key=lambda ball: len(first.entries(ball.id))).id
        before = first.state(busiest)
    with opened(sample, clock) as second, monkeypatch.context() as patch:
        patch.setattr(folds, "fold", lambda *_args, **_more: pytest.fail("folded again"))
        assert second.state(busiest) == before
    with opened(sample, clock) as third:
        third.ledger.drop_states()
        assert third.state(busiest) == before


@pytest.mark.common_practice
def test_film_on_a_reactive_ball_soaks_in_with_the_days_and_on_urethane_it_stays(shop: Shop, clock: Clock) -> None:
    logging.keep(shop, logging.read_line(shop, "jay 3g not wiped", bowler_id=1).drafts)
    logging.keep(shop, logging.read_line(shop, "rook 3g not wiped", bowler_id=1).drafts)
    jay, rook = shop.state(2).film_m.mean, shop.state(1).film_m.mean
    assert jay > 0.0
    clock.at += timedelta(days=3)
    assert shop.state(2).film_m.mean < 0.5 * jay
    assert shop.state(1).film_m.mean == rook
    assert {ball.id: state for ball, state in shop.held(1)}[2] == shop.state(2)
    assert shop.state(2, until=TODAY).film_m.mean == jay


def test_a_state_kept_on_one_day_is_not_the_state_of_another(sample: Path, clock: Clock) -> None:
    with opened(sample, clock) as first:
        busiest = max(first.balls(), key=lambda ball: len(first.entries(ball.id))).id
        assert len(first.entries(busiest)) >= folds.WORTH_KEEPING
        assert first.state(busiest).on == first.today()
    clock.at += timedelta(days=30)
    with opened(sample, clock) as second:
        assert second.state(busiest) == folded(second, busiest)
        assert second.state(busiest).on == second.today()


def test_an_entry_dated_ahead_of_a_clock_set_back_still_counts(shop: Shop, clock: Clock) -> None:
    logging.keep(shop, logging.read_line(shop, "rook 500 h", bowler_id=1).drafts)
    told = shop.state(1)
    clock.at -= timedelta(days=2)
    assert shop.state(1) == told
    undo.undo(shop)
    assert shop.state(1) == folded(shop, 1)


def test_what_another_program_wrote_is_seen(shop: Shop) -> None:
    """Through the ledger itself, as a second connection would."""
    shop.state(1)
    draft = logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts[0]
    with shop.ledger.act("elsewhere") as act:
        act.append(draft)
    assert shop.state(1) == folded(shop, 1)


def test_the_half_written_is_never_taken_for_what_is_so(shop: Shop) -> None:
    before = shop.state(1)
    draft = logging.read_line(shop, "rook 1000 h", bowler_id=1).drafts[0]

    def ask_inside() -> None:
        with shop.ledger.act("half") as act:
            act.append(draft)
            shop.state(1)

    with pytest.raises(RuntimeError, match="open act"):
        ask_inside()
    assert shop.state(1) == before
    assert not shop.ledger.acting


def test_a_file_open_for_writing_is_not_opened_twice(shop: Shop) -> None:
    with pytest.raises((AlreadyOpen, KnownError)):
        opened(shop.path, Clock()).close()


def test_a_missing_file_is_made_only_when_asked(tmp_path: Path, clock: Clock) -> None:
    with pytest.raises(KnownError):
        Shop.open(tmp_path / "none.padbook", clock=clock, create=False, settings=Settings(), backups=NO_BACKUPS)
    assert list(tmp_path.iterdir()) == []


def test_the_users_own_file_is_in_the_platforms_data_folder(clock: Clock) -> None:
    with Shop.open(clock=clock, settings=Settings(), backups=NO_BACKUPS) as own:
        assert own.path == places.shop_file()
        assert own.path.exists()


@pytest.mark.parametrize("what", ["ball", "person", "lane", "pad"])
def test_a_number_nobody_has_is_a_sentence(shop: Shop, what: str) -> None:
    with pytest.raises(NotFound, match="There is no such"):
        getattr(shop, what)(4711)
