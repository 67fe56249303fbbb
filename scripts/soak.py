#!/usr/bin/env python3
"""Soak the window's parts: 200,000 label and list updates and 300 dialogs; prints memory before, half-way and after.

Run it in the program's environment: `.venv/bin/python scripts/soak.py [UPDATES]`. Exit status 1 where memory grew by
over 20 MB between half-way and the end, or widgets were left behind.
"""

from __future__ import annotations

import os
import resource
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from arsenal.desk import theme
from arsenal.desk.dialogs.keys_help import open_keys
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView
from arsenal.desk.parts.text import Plain

DIALOGS = 300
MOST_GROWTH_MB = 20.0


def resident_mb() -> float:
    """Memory the process holds now, in megabytes."""
    try:
        pages = int(Path("/proc/self/statm").read_text("ascii").split()[1])
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def settle(app: QApplication) -> None:
    """Let everything that was let go be gone."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    app.processEvents()


def update(app: QApplication, label: Plain, model: RowsModel, updates: int) -> None:
    """Half of the updates to a label, half to a list, painting now and then."""
    for number in range(updates // 2):
        label.setText(f"{number} games ± {number % 7}")
        model.set_rows([f"ball {number + row}" for row in range(8)])
        if number % 500 == 0:
            app.processEvents()


def dialogs(app: QApplication, window: QWidget) -> int:
    """Open and close dialogs; how many widgets more there are afterwards."""
    open_keys(window, window).close()
    settle(app)
    before = len(app.allWidgets())
    for _ in range(DIALOGS):
        open_keys(window, window).close()
        settle(app)
    return len(app.allWidgets()) - before


def main() -> int:
    """Soak and tell."""
    updates = int(sys.argv[1]) if sys.argv[1:] else 200_000
    app = QApplication([])
    theme.dress(app, "light")
    window, label, model = QWidget(), Plain("", elide=True), RowsModel()
    column = QVBoxLayout(window)
    column.addWidget(label)
    column.addWidget(RowsView("rows", model, RowPainter()))
    window.show()
    start, first = time.perf_counter(), resident_mb()
    update(app, label, model, updates // 2)
    half = resident_mb()
    update(app, label, model, updates // 2)
    left = dialogs(app, window)
    last = resident_mb()
    print(f"{updates} updates, {DIALOGS} dialogs in {time.perf_counter() - start:.0f} s")
    print(f"memory {first:.1f} MB, half-way {half:.1f} MB, after {last:.1f} MB; widgets left behind: {left}")
    window.close()
    return 1 if last - half > MOST_GROWTH_MB or left > 0 else 0


if __name__ == "__main__":
    raise SystemExit(main())
