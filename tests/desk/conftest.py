"""Desk tests: the look put on, bugs told, and a shop with a few invented balls."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("PySide6.QtWidgets")

from PySide6.QtWidgets import QApplication, QWidget

from arsenal.acts.settings import Settings
from arsenal.desk import theme
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import Look, look
from arsenal.desk.worker import Worker


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
