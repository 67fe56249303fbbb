"""Common ground of the tests: no display needed, no user folders touched, nothing left running behind a test."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ.setdefault("QT_ACCESSIBILITY", "1")


@pytest.fixture(autouse=True)
def _own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings and data of the person who runs the tests are never read or written."""
    home = tmp_path_factory.getbasetemp() / "home"
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        folder = home / name.lower()
        folder.mkdir(parents=True, exist_ok=True)
        monkeypatch.setenv(name, str(folder))


@pytest.fixture(autouse=True)
def _nothing_left_behind(request: pytest.FixtureRequest) -> Iterator[None]:
    """A test that leaves a thread, a window or a ticking timer behind fails."""
    before = set(threading.enumerate())
    yield
    left = [t.name for t in threading.enumerate() if t not in before and t.is_alive() and not t.daemon]
    assert not left, f"threads left running: {left}"
    if "PySide6.QtWidgets" in sys.modules and "qapp" in request.fixturenames:
        _check_qt()


def _check_qt() -> None:
    from PySide6.QtCore import QCoreApplication, QEvent, QTimer  # noqa: PLC0415 - most tests need no Qt
    from PySide6.QtWidgets import QApplication  # noqa: PLC0415 - most tests need no Qt

    app = QApplication.instance()
    if not isinstance(app, QApplication):
        return
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    app.processEvents()
    shown = [w for w in QApplication.topLevelWidgets() if w.isVisible()]
    for widget in shown:
        widget.close()
    timers = [t for w in QApplication.topLevelWidgets() for t in w.findChildren(QTimer) if t.isActive()]
    assert not shown, f"windows left open: {[type(w).__name__ for w in shown]}"
    ticking = [t for t in timers if not t.isSingleShot()]
    assert not ticking, f"timers left ticking: {len(ticking)}"


@pytest.fixture(scope="session")
def repository() -> Path:
    """The checkout's root."""
    return Path(__file__).resolve().parents[1]
