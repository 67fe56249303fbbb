"""The window's share of the speeds: started by bench.py as a process of its own, prints one line of JSON."""

from __future__ import annotations

import json
import os
import resource
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

# ruff: noqa: PLC0415 - the program is only there once the environment is

PRESSES = 40


def until(ready: Callable[[], object], longest_s: float = 60.0) -> float:
    """Let the window run until `ready`; the wall clock then (s). Ends the process after `longest_s`."""
    from PySide6.QtCore import QEventLoop, QTimer

    end = time.monotonic() + longest_s
    while not ready():
        if time.monotonic() > end:
            raise SystemExit("The window did not get there in time.")
        loop = QEventLoop()
        QTimer.singleShot(2, loop.quit)
        loop.exec()
    return time.time()


def presses(app: Any, room: Any) -> list[float]:
    """Seconds from a press of → or ← in the order's list until everything it changed is painted."""
    from PySide6.QtCore import Qt
    from PySide6.QtTest import QTest

    taken = []
    for number in range(PRESSES):
        way = Qt.Key.Key_Right if number % 6 < 3 else Qt.Key.Key_Left
        begun = time.perf_counter()
        QTest.keyClick(room.left.view, way)
        app.processEvents()
        taken.append(time.perf_counter() - begun)
        until(lambda: True)
    return taken


def resident_mb() -> float:
    """Memory held now where the system tells (Linux), else the most held so far."""
    try:
        pages = int(Path("/proc/self/statm").read_text().split()[1])
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    return pages * resource.getpagesize() / 1e6


def main() -> None:
    """Open the shop named first in the arguments and go as far as the pad keys."""
    from PySide6.QtWidgets import QApplication

    from arsenal.acts.settings import Settings
    from arsenal.desk import theme
    from arsenal.desk.opening import Desk

    app = QApplication([])
    sys.setswitchinterval(0.001)
    theme.dress(app, "light", 100)
    desk = Desk(Settings.load())
    desk.start(Path(sys.argv[1]))
    window: Any = desk.window
    told: dict[str, object] = {"platform": app.platformName()}
    told["search"] = until(lambda: window.isVisible() and window.search.edit.isVisible())

    def rooms() -> list[Any]:
        return [w for w in app.allWidgets() if type(w).__name__ == "LaneSideRoom" and getattr(w, "seen", None)]

    told["room"] = until(rooms)
    window.resize(1366, 768)
    room = rooms()[0]
    until(lambda: len(room.rows()) and room.what_ifs._with_pad)  # noqa: SLF001 - the pads' answers have come
    taken = presses(app, room)
    told["key"], told["key_worst"] = statistics.median(taken), max(taken)
    told["memory_mb"] = resident_mb()
    print(json.dumps(told), flush=True)
    os._exit(0)


if __name__ == "__main__":
    main()
