"""A ledger of an invented shop on a clock that is set by hand."""

from __future__ import annotations

import shutil
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

from arsenal.ledger import NO_BACKUPS, Ledger
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, Played
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.pads import Pad
from arsenal.trade.person import Person


class SetClock:
    """A clock that goes a second forward each time it is read, or wherever it is set."""

    def __init__(self) -> None:
        self.now = datetime(2026, 3, 14, 19, 0, tzinfo=timezone(timedelta(hours=-5)))

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


class Shop:
    """A file with one bowler, two balls, a lane condition and a pad."""

    def __init__(self, ledger: Ledger, clock: SetClock) -> None:
        self.ledger, self.clock, self.path = ledger, clock, ledger.path
        self.wren, self.rook, self.jay = ledger.person(1), ledger.ball(1), ledger.ball(2)
        self.lane, self.pad = ledger.lane(1), ledger.pad(1)

    def played(self, games: float = 3.0, ball_id: int = 1, typed: str = "rook 3g") -> Draft:
        return Draft(ball_id, Kind.PLAYED, date(2026, 3, 14), Played(games * 11.0, 0.0, games), typed=typed)

    def log(self, *drafts: Draft, title: str = "Log") -> int:
        with self.ledger.act(title) as act:
            for draft in drafts:
                act.append(draft)
        assert act.id is not None
        return act.id

    def reopen(self, **how: object) -> Ledger:
        self.ledger.close()
        self.ledger = Ledger.open(self.path, clock=self.clock, backups=NO_BACKUPS, **how)  # type: ignore[arg-type]
        return self.ledger


def fill(path: Path, clock: SetClock) -> None:
    with Ledger.open(path, clock=clock, backups=NO_BACKUPS) as ledger, ledger.act("Set up", "test") as act:
        wren = act.put(Person(0, "Wren Tallow", "wren"))
        act.put(Ball(0, "Umber Kestrel", "rook", wren.id, Cover.SOLID, serial="7KD-14.5"))
        act.put(Ball(0, "Slate Heron", "jay", wren.id, Cover.PEARL, serial="2HX0091"))
        act.put(Lane(0, "41 ft house", FilmSummary(12.5, 25e-6, 8.0)))
        act.put(Pad(0, 1000.0, owner_id=wren.id))


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A closed file with the shop in it, copied for each test."""
    path = tmp_path_factory.mktemp("filled") / "shop.db"
    fill(path, SetClock())
    return path


@pytest.fixture
def shop_file(filled: Path, tmp_path: Path) -> Path:
    path = tmp_path / "shop.db"
    shutil.copyfile(filled, path)
    return path


@pytest.fixture
def shop(shop_file: Path) -> Shop:
    clock = SetClock()
    shop = Shop(Ledger.open(shop_file, clock=clock, backups=NO_BACKUPS), clock)
    yield shop  # type: ignore[misc]
    shop.ledger.close()


__all__ = ["UTC", "SetClock", "Shop", "fill"]
