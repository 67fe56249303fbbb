"""Desk tests: the look put on, bugs told, and a shop with a few invented balls."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("PySide6.QtWidgets")

from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts import balls, lanes, people
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import theme
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import Look, look
from arsenal.desk.worker import Worker
from arsenal.trade.ball import Ball, Cover
from arsenal.trade.entries import Draft, Kind, New
from arsenal.trade.lane import FilmSummary, Lane
from arsenal.trade.person import Hand, Person
from arsenal.trade.release import Style
from arsenal.trade.units import DEGREE_RAD, FOOT_M, MILLILITRE_M3, MPH_MPS, RPM_RADPS


@pytest.fixture(autouse=True)
def dressed(qapp: QApplication) -> Iterator[Look]:
    """The light look at 100 %, whatever the test before left."""
    theme.dress(qapp, "light", 100)
    yield look()
    look().set_both("light", 100)


@pytest.fixture(autouse=True)
def _hook_restored() -> Iterator[None]:
    before = sys.excepthook
    yield
    sys.excepthook = before


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """Settings of nobody."""
    return Settings(path=tmp_path / "settings.json")


@pytest.fixture
def ground(qapp: QApplication, shop_file: Path, settings: Settings) -> Iterator[Shared]:
    """The shop of `shop_file`, open on its worker."""
    worker = Worker(lambda: Shop.open(shop_file, settings=settings))
    shared = Shared(worker, settings)
    shared.path = shop_file
    yield shared
    worker.close()
    shared.deleteLater()


class NoShop:
    """Stands where a test needs a worker and no file."""

    closed = False

    def close(self) -> None:
        """Nothing to close."""
        self.closed = True


@pytest.fixture
def shared(qapp: QApplication, settings: Settings) -> Iterator[Shared]:
    """The desk's common ground over no file at all."""
    worker = Worker(NoShop)  # type: ignore[arg-type]
    ground = Shared(worker, settings)
    yield ground
    worker.close()
    ground.deleteLater()


@pytest.fixture
def window(qapp: QApplication) -> Iterator[QWidget]:
    """An empty window to put parts in."""
    made = QWidget()
    made.resize(900, 600)
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    """A file with two bowlers, three balls and a condition; nobody in it exists."""
    path = tmp_path / "shop.padbook"
    with Shop.open(path, settings=Settings(path=tmp_path / "none.json")) as shop:
        style = Style(16.4 * MPH_MPS, 325 * RPM_RADPS, 45 * DEGREE_RAD, 15 * DEGREE_RAD)
        first = people.add_bowler(shop, Person(0, "Mirel Oster", "mirel", style=style)).changed[0].id
        people.add_bowler(shop, Person(0, "Tamsin <i>Ode</i> & Co", hand=Hand.LEFT, style=style))
        for name, cover in (
            ("Quarry Song", Cover.SOLID),
            ("Rook Hollow", Cover.URETHANE),
            ("Plain Gate", Cover.POLYESTER),
        ):
            drafts = [Draft(0, Kind.NEW, shop.today(), New())]
            balls.add_ball(shop, Ball(0, name, name.split()[0].lower(), first, cover), drafts)
        lanes.add_lane(shop, Lane(0, "41 ft house, 25 mL, fresh", FilmSummary(41 * FOOT_M, 25 * MILLILITRE_M3, 10.0)))
    return path
