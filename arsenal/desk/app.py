"""Start the desk: window first, shop and everything heavy after it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from arsenal.acts.settings import Settings
from arsenal.desk import theme
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.worker import Worker

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop


def rooms() -> list[Callable[[Shared], Room]]:
    """Makers of the rooms that exist."""
    return []


def _open(path: Path | None, settings: Settings) -> Shop:
    from arsenal.acts.shop import Shop  # noqa: PLC0415 - heavy, on the worker's thread

    return Shop.open(path, settings=settings)


def open_window(path: Path | None, settings: Settings) -> Window:
    """Worker, shared ground and window for a file. The caller closes the worker."""
    worker = Worker(lambda: _open(path, settings))
    return Window(Shared(worker, settings), rooms())


def main(argv: Sequence[str] | None = None) -> int:
    """Open the desk on `--data FILE` (the usual file without it) and stay until it is closed."""
    parser = argparse.ArgumentParser(prog="padbook")
    parser.add_argument("--data", type=Path)
    given = parser.parse_args(argv)
    settings = Settings.load()
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)  # noqa: S101 - nobody else makes the application
    theme.dress(app, settings.look, round(settings.text_size * 100))
    window = open_window(given.data, settings)
    window.restore_place()
    window.show()
    code = app.exec()
    window.shared.worker.close()
    settings.save()
    return code
