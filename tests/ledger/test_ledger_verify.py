"""Going over a file finds what was changed behind its back."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from arsenal.ledger import NO_BACKUPS, Ledger, verify_file
from arsenal.trade.errors import KnownError


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory, filled: Path) -> Path:
    """A closed file with a good deal in it."""
    from arsenal.trade.entries import Draft, Kind, Note, Played  # noqa: PLC0415

    path = tmp_path_factory.mktemp("full") / "shop.db"
    shutil.copyfile(filled, path)
    with Ledger.open(path, backups=NO_BACKUPS) as ledger:
        day = ledger.acts(1)[0].at.date()
        for n in range(60):
            with ledger.act(f"Day {n}") as act:
                act.append(Draft(1, Kind.PLAYED, day, Played(11.0 * n + 1), typed=f"rook {n}g"))
                act.append(Draft(2, Kind.NOTE, day, Note(f"day {n} was long, and the left lane dried first")))
                act.set_setting(f"day {n}", n)
            ledger.keep_result("card", {"n": n, "order": list(range(n))})
    return path


@pytest.fixture
def copy(full: Path, tmp_path: Path) -> Path:
    path = tmp_path / "shop.db"
    shutil.copyfile(full, path)
    return path


def change(path: Path, script: str) -> None:
    """Change rows without the guards, then put the guards back as they were."""
    conn = sqlite3.connect(path)
    guards = conn.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    conn.executescript("PRAGMA foreign_keys = OFF;" + "".join(f"DROP TRIGGER {name};" for name, _ in guards) + script)
    conn.executescript("".join(f"{sql};" for _, sql in guards))
    conn.close()


TAMPERED = {
    "words of an entry": ("UPDATE log SET payload = replace(payload, '34', '35') WHERE seq = 7", "Entry 7|entry 7"),
    "what was typed": ("UPDATE log SET typed = 'rook 9g' WHERE seq = 7", "entry 7"),
    "the day of an entry": ("UPDATE log SET day = '2020-01-01' WHERE seq = 7", "Entry 7"),
    "the ball of an entry": ("UPDATE log SET ball_id = 2 WHERE seq = 7", "Entry 7"),
    "when it was written": ("UPDATE log SET at = '2020-01-01T00:00:00.000000Z' WHERE seq = 7", "Entry 7"),
    "an undo slipped in": ("UPDATE log SET undoes = 3 WHERE seq = 7", "Entry 7"),
    "an entry taken out": ("DELETE FROM log WHERE seq = 7", "Entry 7 is missing"),
    "the last entries taken out": ("DELETE FROM log WHERE seq > 100", "ends at entry 100"),
    "two entries changed places": (
        "UPDATE log SET seq = 9999 WHERE seq = 7; UPDATE log SET seq = 7 WHERE seq = 9; "
        "UPDATE log SET seq = 9 WHERE seq = 9999", "Entry 7",
    ),
    "a ball's weight": ("UPDATE balls SET data = replace(data, '6.80', '6.81') WHERE id = 1", "ball number 1"),
    "a ball's name beside its text": ("UPDATE balls SET name = 'Other' WHERE id = 1", "ball number 1"),
    "a person hidden": ("UPDATE people SET gone = 1", "person number 1"),
    "an act's title": ("UPDATE acts SET title = 'Other' WHERE id = 3", "Act number 3"),
    "an act marked undone": ("UPDATE acts SET undone_by = 2 WHERE id = 3", "Act number 3"),
    "a kept change": ("UPDATE act_changes SET after = 'null' WHERE id = 9", "Change number 9"),
    "a setting": ("UPDATE settings SET value = '99' WHERE key = 'day 3'", "setting “day 3”"),
    "a kept card": ("UPDATE results SET data = replace(data, '5', '6') WHERE id = 6", "Result number 6"),
    "a ball of nobody": ("UPDATE balls SET owner_id = 55 WHERE id = 1", "not there"),
    "an entry of no act": ("PRAGMA foreign_keys = OFF; DELETE FROM acts WHERE id = 20", "not there"),
}  # fmt: skip


@pytest.mark.parametrize("name", TAMPERED)
def test_a_change_behind_its_back_is_found_and_named(copy: Path, name: str) -> None:
    script, words = TAMPERED[name]
    assert verify_file(copy).ok
    change(copy, script)
    checked = verify_file(copy)
    assert not checked.ok
    assert any(word in " ".join(checked.problems) for word in words.split("|")), checked.problems


def test_a_log_made_anew_from_the_changed_entry_on_still_does_not_meet_its_noted_end(copy: Path) -> None:
    """Whoever recomputes the chain must also forge where it was noted to end."""
    change(copy, "UPDATE log SET hash = prev_hash WHERE seq = 120")
    assert any("noted" in p or "Entry 120" in p for p in verify_file(copy).problems)


def flips(data: bytes, count: int, rng: random.Random) -> list[tuple[int, int]]:
    return [(rng.randrange(len(data)), rng.randrange(8)) for _ in range(count)]


def content(read: Callable[[], Ledger]) -> object:
    with read() as ledger:
        return (
            ledger.people(), ledger.balls(), ledger.lanes(), ledger.pads(), ledger.entries(), ledger.settings(),
            ledger.results(limit=999), ledger.acts(999),
        )  # fmt: skip


def test_a_flipped_bit_is_found_or_lies_where_nothing_is_kept(full: Path, tmp_path: Path) -> None:
    """Each flip is either found by going over the file, or everything that can be read is as it was."""
    data, rng = full.read_bytes(), random.Random(20260314)  # noqa: S311
    whole = content(lambda: Ledger.open(full, read_only=True))
    found = 0
    path = tmp_path / "shop.db"
    for at, bit in flips(data, 60, rng):
        flipped = bytearray(data)
        flipped[at] ^= 1 << bit
        path.write_bytes(flipped)
        checked = verify_file(path)
        found += not checked.ok
        assert path.read_bytes() == flipped
        if checked.ok:
            assert content(lambda: Ledger.open(path, read_only=True)) == whole
    assert found >= 10  # the rest lies in pages that hold little or nothing


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_a_file_cut_short_is_refused_and_named(full: Path, tmp_path: Path, share: float) -> None:
    data = full.read_bytes()
    path = tmp_path / "shop.db"
    path.write_bytes(data[: int(len(data) * share)])
    assert not verify_file(path).ok
    with pytest.raises(KnownError, match="cut short"):
        Ledger.open(path)


def test_going_over_a_missing_file_tells_so(tmp_path: Path) -> None:
    assert not verify_file(tmp_path / "none.db").ok
    assert list(tmp_path.iterdir()) == []


def test_going_over_an_open_file_changes_nothing(shop: Any) -> None:
    shop.log(shop.played())
    revision = shop.ledger.revision
    first, second = shop.ledger.verify(), shop.ledger.verify()
    assert first == second
    assert first.sentence == "All 1 entries are there and nothing is damaged."
    assert shop.ledger.revision == revision == first.revision
