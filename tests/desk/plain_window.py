"""The window over a real shop, with rooms of the test's own."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk.frame import Window
from arsenal.desk.rooms import Room, Shared
from arsenal.desk.worker import Worker

Rooms = Sequence[tuple[int, str, str]]
Make = Callable[[Shared, int, str], Room]


def opened(
    qtbot, shop_file: Path, settings: Settings, rooms: Rooms, make: Make, size: tuple[int, int]
) -> Iterator[Window]:  # fmt: skip
    """The window; closed when the test has done with it."""
    worker = Worker(lambda: Shop.open(shop_file, settings=settings))
    shared = Shared(worker, settings)
    shared.path, shared.file_name = shop_file, "shop"
    window = Window(shared, rooms)
    window.furnish([lambda s, d=d, n=n: make(s, d, n) for d, n, _ in rooms])
    window.resize(*size)
    window.show()
    window.file_open()
    qtbot.waitUntil(lambda: window.opened() is not None and len(window.rooms) == len(rooms) and worker.idle())
    window.activateWindow()
    yield window
    window.close()
    worker.close()
    window.deleteLater()
    shared.deleteLater()
