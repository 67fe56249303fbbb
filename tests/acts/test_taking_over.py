"""A file goes from one machine to another and back, in every order somebody could do it in; nothing is lost."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from made_shop import Clock, opened

from arsenal.acts import files, logging, people, take_over
from arsenal.acts.shop import Shop
from arsenal.ledger import HandedOver, Ledger, ReadOnly, Relation, verify_file
from arsenal.trade.entries import Played
from arsenal.trade.errors import KnownError
from arsenal.trade.person import Person


class Two:
    """Two machines, each with its own folder and one shop file; the first has the shop."""

    def __init__(self, folder: Path, filled: Path, clock: Clock) -> None:
        self.clock, self.stick = clock, folder / "stick"
        self.first, self.second = folder / "first" / "shop.padbook", folder / "second" / "shop.padbook"
        for path in (self.first, self.second):
            path.parent.mkdir()
        shutil.copy(filled, self.first)

    def on(self, path: Path, work: Callable[[Shop], object]) -> object:
        with opened(path, self.clock) as shop:
            return work(shop)

    def give(self, path: Path, name: str) -> Path:
        """Hand the file over onto the stick."""
        self.on(path, lambda shop: take_over.hand_over(shop, self.stick / name, "Mirel"))
        return self.stick / name

    def take(self, copy: Path, onto: Path, *, anyway: bool = False) -> take_over.TakenOver:
        return take_over.take_over(copy, onto, "Tave", anyway=anyway, clock=self.clock)

    def games(self, path: Path) -> int:
        with opened(path, self.clock) as shop:
            return sum(isinstance(e.payload, Played) for e in shop.entries(1))

    def play(self, path: Path) -> None:
        self.on(path, lambda shop: logging.thrown(shop, 1, 14))


@pytest.fixture
def two(tmp_path: Path, filled: Path, clock: Clock) -> Two:
    return Two(tmp_path, filled, clock)


def test_a_file_goes_to_another_machine_is_worked_on_and_comes_back(two: Two) -> None:
    before = two.games(two.first)
    copy = two.give(two.first, "a.padbook")
    taken = two.take(copy, two.second)
    assert (taken.kept, taken.looked.relation, taken.marked) == (None, Relation.NONE_HERE, True)
    two.play(two.second)
    back = two.give(two.second, "b.padbook")
    taken = two.take(back, two.first)
    assert taken.looked.relation is Relation.FOLLOWS
    assert taken.kept is not None
    two.play(two.first)
    assert two.games(two.first) == before + 2
    for path in (two.first, two.second, copy, back, taken.kept):
        assert verify_file(path).ok


def test_a_file_that_was_handed_over_is_read_and_refuses_to_be_written_in_by_name(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    with opened(two.first, two.clock) as shop:
        assert len(shop.balls()) == 5
        assert take_over.standing(shop).startswith("shop.padbook was handed over on 2026-11-24 18:42 by Mirel on ")
        assert str(copy) in take_over.standing(shop)
        with pytest.raises(ReadOnly, match=r"was handed over on 2026-11-24 18:42 by Mirel.*take it back") as told:
            logging.thrown(shop, 1, 14)
        assert told.value.safe == "Nothing was changed."
        with pytest.raises(ReadOnly, match="handed over"):
            people.add_bowler(shop, Person(0, "Oda Penn"))
        with pytest.raises(ReadOnly, match="handed over"):
            take_over.hand_over(shop, two.stick / "again.padbook")
    assert not (two.stick / "again.padbook").exists()


def test_the_window_that_hands_over_writes_nothing_from_that_moment(two: Two) -> None:
    with opened(two.first, two.clock) as shop:
        take_over.hand_over(shop, two.stick / "a.padbook")
        with pytest.raises(ReadOnly, match="handed over"):
            logging.thrown(shop, 1, 14)
        assert Ledger.holder(two.first) is None
        take_over.take_back(shop)
        logging.thrown(shop, 1, 14)
        assert Ledger.holder(two.first) is not None


def test_the_copy_on_its_way_is_not_written_in_either(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    with opened(copy, two.clock) as shop:
        assert "to be taken over" in take_over.standing(shop)
        with pytest.raises(ReadOnly, match="Take it over first"):
            logging.thrown(shop, 1, 14)
        with pytest.raises(ReadOnly, match="nothing to take back"):
            take_over.take_back(shop)


def test_taken_back_it_goes_on_and_the_copy_is_an_older_one(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    two.on(two.first, take_over.take_back)
    two.play(two.first)
    games = two.games(two.first)
    with pytest.raises(KnownError, match="older than what is here: 1 change here is"):
        two.take(copy, two.first)
    assert two.games(two.first) == games
    assert take_over.look(copy, two.first).possible is not False


def test_both_worked_on_is_noticed_and_whichever_is_chosen_the_other_is_kept(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    two.take(copy, two.second)
    two.on(two.first, take_over.take_back)  # nobody told this machine
    two.play(two.first)
    two.on(two.second, lambda shop: people.add_bowler(shop, Person(0, "Oda Penn")))
    back = two.give(two.second, "b.padbook")
    with pytest.raises(KnownError, match="changes were made here after it was handed over"):
        two.take(back, two.first)
    games = two.games(two.first)
    taken = two.take(back, two.first, anyway=True)
    assert taken.looked.relation is Relation.FORKED
    assert taken.kept is not None
    assert two.games(two.first) == games - 1
    assert two.games(taken.kept) == games


def test_a_copy_taken_over_twice_is_noticed_by_the_second_machine(two: Two, tmp_path: Path) -> None:
    copy = two.give(two.first, "a.padbook")
    two.take(copy, two.second)
    third = tmp_path / "third" / "shop.padbook"
    with pytest.raises(KnownError, match="taken over already, on 2026-11-24 18:42 by Tave"):
        two.take(copy, third)
    assert not third.exists()
    assert two.take(copy, third, anyway=True).path == third


def test_an_older_copy_never_takes_the_place_of_a_newer_file_unasked(two: Two) -> None:
    first = two.give(two.first, "a.padbook")
    two.take(first, two.second)
    two.play(two.second)
    second = two.give(two.second, "b.padbook")
    two.take(second, two.first)
    with pytest.raises(KnownError, match="taken over already"):
        two.take(first, two.first)
    with closing(sqlite3.connect(first)) as conn:  # a second stick that was never marked
        conn.execute("UPDATE meta SET value = replace(value, 'on 2026', '') WHERE key = 'handing'")
    assert take_over.look(first, two.first).looked.relation is Relation.OLDER


def test_the_copy_comes_straight_back_to_where_it_was_made(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    assert take_over.look(copy, two.first).sentence.endswith("It holds exactly what is here.")
    two.take(copy, two.first)
    two.play(two.first)


@pytest.mark.parametrize("kind", ["backup", "away", "letter"])
def test_what_was_not_made_to_be_taken_over_is_not(two: Two, kind: str) -> None:
    path = two.stick / "odd.padbook"
    path.parent.mkdir()
    if kind == "backup":
        two.on(two.first, lambda shop: files.backup(shop, path))
    elif kind == "away":
        two.give(two.first, "a.padbook")
        path = two.first
    else:
        path.write_text("hello, I am a letter" * 40)
    with pytest.raises(KnownError):
        two.take(path, two.second, anyway=True)
    assert not two.second.exists()


def test_another_shop_is_never_replaced(two: Two, blank: Path) -> None:
    shutil.copy(blank, two.second)
    two.on(two.second, lambda shop: (shop.ledger.mark(), people.add_bowler(shop, Person(0, "Oda Penn"))))
    copy = two.give(two.first, "a.padbook")
    with pytest.raises(KnownError, match="another shop"):
        two.take(copy, two.second, anyway=True)
    assert not take_over.look(copy, two.second).possible


@pytest.mark.parametrize("worked_on", [False, True])
def test_a_copy_follows_an_old_one_of_the_same_shop_from_before_its_first_label(two: Two, worked_on: bool) -> None:
    """The mark on labels is made when it is first needed: a file carried over before has none, and is no other shop."""
    shutil.copy(two.first, two.second)
    with closing(sqlite3.connect(two.second)) as conn:
        conn.execute("DELETE FROM meta WHERE key = 'mark'")
        conn.commit()
    if worked_on:
        two.play(two.second)
    two.play(two.first)
    copy = two.give(two.first, "a.padbook")
    found = take_over.look(copy, two.second)
    assert found.looked.relation is (Relation.FORKED if worked_on else Relation.FOLLOWS)
    assert found.possible
    assert two.take(copy, two.second, anyway=worked_on).kept is not None


def test_a_backup_put_back_does_not_bring_a_handed_over_file_back_in_charge(two: Two) -> None:
    spare = two.stick / "spare.padbook"
    two.on(two.first, lambda shop: files.backup(shop, spare))
    two.give(two.first, "a.padbook")
    with pytest.raises(HandedOver):
        files.restore(spare, two.first)
    two.on(two.first, take_over.take_back)
    assert files.restore(spare, two.first) is not None


def test_an_open_file_is_not_replaced(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    two.on(two.first, take_over.take_back)
    with opened(two.first, two.clock), pytest.raises(KnownError, match="already open"):
        two.take(copy, two.first)


def test_a_copy_that_cannot_take_its_name_leaves_the_file_in_charge(two: Two, monkeypatch: pytest.MonkeyPatch) -> None:
    from arsenal.ledger import files as own_files  # noqa: PLC0415

    def full(made: Path, onto: Path) -> None:
        raise OSError(28, "No space left on device")

    with opened(two.first, two.clock) as shop:
        monkeypatch.setattr(own_files, "swap_in", full)
        with pytest.raises(KnownError, match="No space left"):
            take_over.hand_over(shop, two.stick / "a.padbook")
        monkeypatch.undo()
        assert take_over.standing(shop) == ""
        logging.thrown(shop, 1, 14)
    assert list(two.stick.iterdir()) == []


def test_a_copy_whose_folder_does_not_reach_the_disk_goes_again_so_that_only_one_is_in_charge(
    two: Two, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy has its name already when the folder's fsync fails (EIO, as POSIX has it)."""
    from arsenal.ledger import files as own_files  # noqa: PLC0415

    def fails(folder: Path) -> None:
        if folder == two.stick:
            raise OSError(5, "Input/output error")

    with opened(two.first, two.clock) as shop:
        monkeypatch.setattr(own_files, "sync_folder", fails)
        with pytest.raises(KnownError, match="Input/output error"):
            take_over.hand_over(shop, two.stick / "a.padbook")
        monkeypatch.undo()
        assert take_over.standing(shop) == ""
        logging.thrown(shop, 1, 14)
    assert list(two.stick.iterdir()) == []


def test_a_name_that_is_taken_is_never_written_over(two: Two) -> None:
    two.stick.mkdir()
    (two.stick / "a.padbook").write_text("a letter")
    with pytest.raises(KnownError, match="there already"):
        two.give(two.first, "a.padbook")
    assert (two.stick / "a.padbook").read_text() == "a letter"
    two.play(two.first)


def test_a_damaged_copy_never_takes_the_files_place(two: Two) -> None:
    copy = two.give(two.first, "a.padbook")
    raw = copy.read_bytes()
    copy.write_bytes(raw[: len(raw) // 2])
    before = two.first.read_bytes()
    with pytest.raises(KnownError):
        two.take(copy, two.first)
    assert two.first.read_bytes() == before


KILLED = """
import os, sys
from pathlib import Path
from arsenal.acts import take_over
from arsenal.acts.shop import Shop
from arsenal.ledger import NO_BACKUPS, files
files.swap_in = lambda made, onto: os._exit(9)
with Shop.open(Path(sys.argv[1]), backups=NO_BACKUPS) as shop:
    take_over.hand_over(shop, Path(sys.argv[2]))
"""


def test_a_machine_that_dies_while_handing_over_never_leaves_two_in_charge(two: Two) -> None:
    """Killed at the last step, just before the copy takes its name."""
    copy, games = two.stick / "a.padbook", two.games(two.first)
    ended = subprocess.run([sys.executable, "-c", KILLED, str(two.first), str(copy)], check=False)  # noqa: S603
    assert ended.returncode == 9
    assert not copy.exists()
    with opened(two.first, two.clock) as shop:
        assert "was handed over" in take_over.standing(shop)
        take_over.take_back(shop)
        logging.thrown(shop, 1, 14)
    assert two.games(two.first) == games + 1
    assert verify_file(two.first).ok


def test_a_load_into_a_file_that_was_handed_over_leaves_no_stray_backup(two: Two, tmp_path: Path) -> None:
    two.give(two.first, "a.padbook")
    table = tmp_path / "b.csv"
    table.write_text("bowler,phone\n" + "".join(f"Somebody {n},555 {n}\n" for n in range(50)))
    with opened(two.first, two.clock) as shop, pytest.raises(ReadOnly, match="handed over"):
        files.load(shop, [table])
    assert not list(two.first.parent.glob("*before-load*"))
