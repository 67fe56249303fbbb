"""A ball changes hands, a person gets their records, a person is erased."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path

import pytest

from arsenal.acts import (
    ball_paper,
    balls,
    counter,
    counter_draft,
    fits,
    hands,
    logging,
    people,
    person_records,
    tickets,
    undo,
)
from arsenal.acts.shop import Shop
from arsenal.ledger import BackupPolicy, backup
from arsenal.surface.state import Holder
from arsenal.trade.entries import Crack, Draft, Drilled, Kind, Note, Played
from arsenal.trade.errors import KnownError, NotFound
from arsenal.trade.fit import DrillRecord, FitSheet, Hole
from arsenal.trade.person import Person
from arsenal.trade.ticket import Job, Standing, TakenIn, Ticket, Work


def test_sold_inside_the_file_the_ball_and_its_log_are_the_buyers(shop: Shop) -> None:
    before = shop.state(2)
    hands.sell(shop, 2, "", person_id=2)
    assert {ball.id for ball, _ in shop.held(2)} == {2, 5}
    assert 2 not in {ball.id for ball, _ in shop.held(1)}
    assert shop.person(1).benchmark_ball_id is None
    assert shop.state(2).grit == before.grit
    assert shop.state(2).holder is Holder.OWNED
    undo.undo(shop)
    assert shop.ball(2).owner_id == 1
    assert shop.person(1).benchmark_ball_id == 2


def test_sold_to_somebody_else_it_leaves_the_bag(shop: Shop) -> None:
    hands.sell(shop, 3, "a neighbour")
    assert shop.state(3).holder is Holder.SOLD
    with pytest.raises(KnownError, match="sold"):
        hands.lend(shop, 3, "Kell")


def test_lent_and_back(shop: Shop) -> None:
    hands.lend(shop, 3, "", person_id=2)
    assert (shop.state(3).holder, shop.state(3).holder_name) == (Holder.LENT, "Tave Lund")
    with pytest.raises(KnownError, match="lent"):
        hands.sell(shop, 3, "Kell")
    hands.take_back(shop, 3)
    assert shop.state(3).holder is Holder.OWNED
    with pytest.raises(KnownError, match="not lent"):
        hands.take_back(shop, 3)


def test_it_is_said_in_plain_words_and_stands_on_the_card(shop: Shop) -> None:
    assert hands.lend(shop, 3, "Kell").sentence == "Lent Paper Moth to Kell"
    assert counter.ball_card(shop, 3).spec.startswith("lent to Kell, ")
    assert hands.take_back(shop, 3).sentence == "Took Paper Moth back"
    assert counter.ball_card(shop, 3).spec.startswith(str(shop.ball(3).cover))
    assert undo.undo(shop).sentence == "Took back: took Paper Moth back"
    assert undo.undo(shop).sentence == "Took back: lent Paper Moth to Kell"


def test_a_ball_in_the_shop_is_not_sold_from_under_its_ticket(shop: Shop) -> None:
    tickets.take_in(shop, replace(tickets.blank(shop), person_id=1, balls=(TakenIn(3, serial="1"),)))
    with pytest.raises(KnownError, match="on ticket 1"):
        hands.sell(shop, 3, "Kell")


def test_the_buyers_history_names_nobody(shop: Shop) -> None:
    day = shop.today()
    logging.keep(shop, (
        Draft(2, Kind.NOTE, day, Note("Mirel says it skids")),
        Draft(2, Kind.DRILLED, day, Drilled(0.1, driller="Hollis Marrow")),
        *logging.read_line(shop, "jay 500/2000 m").drafts,
    ))  # fmt: skip
    hands.lend(shop, 2, "Tave Lund")
    told = hands.buyers_history(shop, 2)
    text = " ".join(line.what for line in told.lines) + repr(told.ball)
    assert "500" in text
    for name in ("Mirel", "Oster", "Tave", "Hollis", "Marrow"):
        assert name not in text
    assert told.left_out == 2


def test_the_buyers_history_names_no_earlier_owner_and_nobody_else_of_the_file(shop: Shop) -> None:
    """Sold inside the file, the first owner stands in no line of the log; others may stand in what was typed."""
    people.add_bowler(shop, Person(0, "Isa Varnholt"))
    people.edit_bowler(shop, replace(shop.person(1), name="Mirel Brandt"))
    balls.edit_ball(shop, replace(shop.ball(2), colour="Oster blue"))
    lane = replace(shop.lane(1), house="Isa Varnholt's cellar, by Mirel Oster")
    with shop.ledger.act("A house", "test") as act:
        act.put(lane)
    hands.sell(shop, 2, "", person_id=2)
    logging.keep(shop, (
        Draft(2, Kind.CRACK, shop.today(), Crack("where Varnholt, Isa and Mirel Oster hit it")),
        Draft(2, Kind.PLAYED, shop.today(), Played(22.0, lane_id=1)),
    ), confirmed=True)  # fmt: skip
    told = ball_paper.paper(shop, 2, buyers=True)
    text = repr(told)
    assert "where somebody and the owner hit it" in text
    assert [name for name in ("Isa", "Varnholt", "Mirel", "Oster", "Brandt", "Tave", "Lund") if name in text] == []


def test_an_owner_with_a_name_of_the_trade_takes_no_words_along(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(1), name="Pearl Hand"))
    logging.keep(shop, logging.read_line(shop, "jay 1000 h").drafts)
    assert "by hand" in hands.buyers_history(shop, 2).lines[-1].what


def filled_in(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(1), phone="555 0162", note="=cmd()"))
    fits.keep_drill(shop, DrillRecord(0, 2, shop.today(), driller="Kell"))
    taken = TakenIn(3, serial="7K20977", jobs=(Job("Clean", Work.CLEAN, 350),))
    shop_ticket = Ticket(0, Standing.PARKED, shop.now(), 1, balls=(taken,), note="=1+1")
    tickets.take_in(shop, shop_ticket)
    tickets.ready(shop, 1)
    tickets.hand_over(shop, 1)


def test_a_person_gets_everything_the_file_holds_of_them_and_nothing_of_others(shop: Shop, tmp_path: Path) -> None:
    filled_in(shop)
    files = person_records.export(shop, 1, tmp_path / "out")
    whole = json.loads((tmp_path / "out" / "person.json").read_text("utf-8"))
    assert whole["person"]["phone"] == "555 0162"
    assert {ball["id"] for ball in whole["balls"]} == {1, 2, 3, 4}
    assert len(whole["log"]) == sum(len(shop.entries(i)) for i in (1, 2, 3, 4))
    assert len(whole["tickets"]) == len(whole["drill_records"]) == 1
    with (tmp_path / "out" / "tickets.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows[0]["note"] == "'=1+1"
    for path in files:
        assert b"Tave" not in path.read_bytes()


def test_what_is_given_out_holds_fits_drillings_and_kept_cards_and_only_their_own_houses(
    shop: Shop, tmp_path: Path
) -> None:
    filled_in(shop)
    fits.keep_fit(shop, FitSheet(0, 1, shop.today(), (Hole("thumb", 0.0254, forward_m=-0.003175),), note="=n"))
    shop.ledger.keep_result("bag card", {"bowler_id": 1, "rows": [1]})
    shop.ledger.keep_result("bag card", {"bowler_id": 2, "rows": [2]})
    cellar = replace(shop.lane(1), id=0, name="Tave's cellar")
    with shop.ledger.act("A house of somebody else", "test") as act:
        act.put(cellar)
    names = [path.name for path in person_records.export(shop, 1, tmp_path / "out")]
    assert {"fits.csv", "drillings.csv", "tickets.csv"} <= set(names)
    with (tmp_path / "out" / "fits.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["hole"], row["width_in"], row["pitch_forward_in"], row["note"]) == ("thumb", "1", "-0.125", "'=n")
    whole = json.loads((tmp_path / "out" / "person.json").read_text("utf-8"))
    assert [one["data"]["rows"] for one in whole["cards_and_plans"]] == [[1]]
    assert all(b"cellar" not in (tmp_path / "out" / name).read_bytes() for name in names)


def test_a_buyer_is_given_nothing_of_who_had_the_ball_before(shop: Shop, tmp_path: Path) -> None:
    logging.keep(shop, (Draft(2, Kind.NOTE, shop.today(), Note("Mirel says it skids"), typed="jay note for Oster"),))
    hands.sell(shop, 2, "", person_id=2)
    logging.keep(shop, (Draft(2, Kind.NOTE, shop.today(), Note("Tave likes it")),))
    names = person_records.export(shop, 2, tmp_path / "out")
    given = b"".join(path.read_bytes() for path in names)
    assert b"the owner says it skids" in given
    assert b"Tave likes it" in given
    assert [word for word in (b"Mirel", b"Oster") if word in given] == []


def test_an_erased_person_is_gone_and_the_balls_are_as_they_were(shop: Shop) -> None:
    filled_in(shop)
    before = shop.state(2)
    said = person_records.erase(shop, 1)
    assert said.still_there == ()
    assert shop.person(1).name == "erased 1"
    assert shop.state(2) == before
    assert shop.ledger.verify().ok
    assert b"Mirel" not in shop.path.read_bytes()
    with pytest.raises(NotFound):
        person_records.erase(shop, 99)


def test_who_is_left_without_a_guardian_is_named_after_an_erasure(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(2), minor=True, guardian="Mirel Oster, 555 0162"))
    assert "They were the guardian of Tave Lund: name another." in person_records.erase(shop, 1).sentence
    assert shop.person(2).guardian == ""


def test_a_person_whose_ticket_is_being_written_or_parked_is_not_erased(shop: Shop) -> None:
    counter_draft.keep(shop, replace(tickets.blank(shop), person_id=1))
    with pytest.raises(KnownError, match="being written"):
        person_records.erase(shop, 1)
    counter_draft.keep(shop, None)
    tickets.park(shop, replace(tickets.blank(shop), person_id=1, note="calls back"))
    with pytest.raises(KnownError, match="half written"):
        person_records.erase(shop, 1)
    tickets.call_off(shop, 1, "wants out")
    person_records.erase(shop, 1)
    assert shop.person(1).name == "erased 1"


@pytest.mark.parametrize("field", ["phone", "email", "guardian", "nickname"])
@pytest.mark.parametrize("text", ["x" * 10_000, "5\x000"])
def test_a_line_of_a_customer_is_one_line_of_what_can_be_shown(shop: Shop, field: str, text: str) -> None:
    before = shop.person(2)
    with pytest.raises(KnownError, match=r"characters long|cannot be shown"):
        people.edit_bowler(shop, replace(before, **{field: text}))
    assert shop.person(2) == before
    people.edit_bowler(shop, replace(before, **{field: " 555\t0100\n"}))
    assert getattr(shop.person(2), field) == "555 0100"


def test_a_name_that_shows_nothing_is_no_name(shop: Shop) -> None:
    with pytest.raises(KnownError, match="shows nothing"):
        people.add_bowler(shop, Person(0, "\u200b\u202e"))


def test_of_a_minors_ball_the_guardian_is_written_to(shop: Shop) -> None:
    people.edit_bowler(shop, replace(shop.person(1), minor=True, guardian="Ama Halloran, 555 0100", phone="555 0162"))
    tickets.take_in(shop, replace(tickets.blank(shop), person_id=1, balls=(TakenIn(3, serial="1"),)))
    tickets.ready(shop, 1)
    found = tickets.ticket(shop, 1)
    assert tickets.addressed(shop, found) == ("Ama Halloran", "555 0100")
    assert tickets.text_to_send(shop, found).startswith("Hello Ama, Paper Moth of Mirel Oster is ready")


def test_erased_with_no_room_for_a_backup_it_says_so_and_can_be_done_once_more(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = shop.person(1).name.encode()
    shop.ledger.backup_if_due()
    shop.close()
    with Shop.open(shop.path, clock=shop.clock, backups=BackupPolicy(at_open=False, at_close=False)) as again:
        kept = again.ledger.backup_if_due()
        assert kept is not None
        assert name in kept.read_bytes()
        with monkeypatch.context() as full:
            full.setattr(backup, "back_up_own", no_room)
            said = person_records.erase(again, 1)
        assert again.person(1).name == "erased 1"
        assert said.still_there == (kept,)
        assert "The disk is full. Traces may still lie" in said.sentence
        assert person_records.erase(again, 1).still_there == ()
        assert not kept.exists()


def no_room(*_told: object) -> Path:
    raise KnownError("The disk is full.")
