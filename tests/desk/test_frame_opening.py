"""From a start to an open shop: first page, sample, empty, restore, a file that is none, a second start, mistakes."""

from __future__ import annotations

import socket
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtNetwork import QLocalServer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from arsenal.acts import files, mistakes, places
from arsenal.acts.settings import Settings
from arsenal.acts.shop import Shop
from arsenal.desk import opening, single
from arsenal.desk.bugs import BugDialog, Catcher
from arsenal.desk.dialogs.questions import QuestionsDialog
from arsenal.desk.opening import Desk


@pytest.fixture
def desk(qtbot, settings: Settings, monkeypatch, tmp_path) -> Iterator[Desk]:
    """A desk without rooms on folders of nobody."""
    monkeypatch.setattr(opening, "ROOMS", ())
    monkeypatch.setattr(opening, "HEAVY", ())
    for name in ("shop_file", "sample_file"):
        monkeypatch.setattr(places, name, lambda n=name: tmp_path / "data" / f"{n}.padbook")
    made = Desk(settings)
    yield made
    made.window_gone()
    for page in (made.window, made.first):
        if page is not None:
            page.close()
            page.deleteLater()
    qtbot.waitUntil(lambda: all(t.name != "loading rooms" for t in threading.enumerate()))
    made.deleteLater()


def ready(desk: Desk) -> bool:
    return desk.window is not None and desk.window._readable


def test_a_first_start_asks_and_touches_nothing(qtbot, desk: Desk, tmp_path: Path) -> None:
    desk.start(None)
    assert desk.first is not None
    assert desk.window is None
    assert not (tmp_path / "data").exists()


def test_s_opens_the_sample_shop_which_goes_in_one_step(qtbot, desk: Desk) -> None:
    desk.start(None)
    QTest.keyClick(desk.first.windowHandle(), Qt.Key.Key_S)
    qtbot.waitUntil(lambda: ready(desk), timeout=30_000)
    assert desk.window.shared.file_name == "Sample shop"
    assert desk.window.shared.bowler_id is not None
    desk.window.removal_wanted.emit()
    assert desk.first is not None
    assert list(places.sample_file().parent.iterdir()) == [], "file, journal and backups are gone"


def test_e_asks_the_four_questions_of_an_empty_shop(qtbot, desk: Desk) -> None:
    desk.start(None)
    QTest.keyClick(desk.first.windowHandle(), Qt.Key.Key_E)
    qtbot.waitUntil(lambda: ready(desk), timeout=10_000)
    asked = lambda: [w for w in QApplication.topLevelWidgets() if isinstance(w, QuestionsDialog) and w.isVisible()]  # noqa: E731
    qtbot.waitUntil(lambda: bool(asked()))
    dialog = asked()[0]
    dialog.name.setText("Edda Marsh")
    dialog.keep()
    qtbot.waitUntil(lambda: desk.window.shared.bowler_id is not None)
    assert not asked() or not asked()[0].isVisible()


def test_a_backup_is_checked_before_it_takes_the_files_place(qtbot, desk: Desk, shop_file: Path, tmp_path) -> None:
    with Shop.open(shop_file) as shop:
        copy = files.backup(shop, tmp_path / "stick.padbook")
    desk.start(None)
    broken = tmp_path / "broken.padbook"
    broken.write_bytes(Path(str(copy)).read_bytes()[:5000] if copy else b"no file of ours")
    desk.restore(broken, places.shop_file())
    qtbot.waitUntil(lambda: bool(desk.first.trouble.whole()), timeout=10_000)
    assert not places.shop_file().exists()
    desk.restore(tmp_path / "stick.padbook", places.shop_file())
    qtbot.waitUntil(lambda: ready(desk), timeout=10_000)
    assert desk.window.shared.bowler_id == 1


def test_a_file_of_another_program_is_refused_with_the_reason_and_left_as_it_is(qtbot, desk: Desk, tmp_path) -> None:
    other = tmp_path / "letter.padbook"
    other.write_bytes(b"Dear reader, " * 400)
    before = other.read_bytes()
    desk.start(other)
    qtbot.waitUntil(lambda: desk.first is not None, timeout=10_000)
    assert desk.first.trouble.whole()
    assert other.read_bytes() == before


def test_a_second_start_on_one_file_raises_the_first_window(qtbot, desk: Desk, shop_file: Path) -> None:
    desk.start(shop_file)
    qtbot.waitUntil(lambda: ready(desk))
    rung: list[bool] = []
    desk._bell.rung.connect(lambda: rung.append(True))
    assert single.raise_other(shop_file)
    qtbot.waitUntil(lambda: bool(rung))
    assert not single.raise_other(shop_file.with_name("another.padbook"))


def test_of_two_started_at_once_the_first_keeps_its_bell_and_the_other_ends(
    qtbot, desk: Desk, shop_file: Path, settings, monkeypatch
) -> None:
    """Both asked before either listened; the second meets the first only when it opens the file."""
    desk.start(shop_file)
    qtbot.waitUntil(lambda: ready(desk))
    ended: list[bool] = []
    monkeypatch.setattr("arsenal.desk.opening.QCoreApplication.quit", lambda: ended.append(True))
    rung: list[bool] = []
    desk._bell.rung.connect(lambda: rung.append(True))
    second = Desk(settings)
    second.start(shop_file)
    qtbot.waitUntil(lambda: bool(ended), timeout=10_000)
    assert second.first is None
    qtbot.waitUntil(lambda: bool(rung))
    rung.clear()
    assert single.raise_other(shop_file)
    qtbot.waitUntil(lambda: bool(rung))
    second.window.close()
    second.window_gone()


def test_a_bell_left_by_a_killed_window_is_taken_over(qtbot, shop_file: Path) -> None:
    """A killed process leaves its socket's name (unix(7))."""
    left = QLocalServer()
    assert left.listen(single.name_for(shop_file))
    name = Path(left.fullServerName())
    with socket.socket(socket.AF_UNIX) as dead:
        left.close()
        dead.bind(str(name))
    assert name.exists()
    bell = single.Doorbell(shop_file)
    assert not bell.other
    assert single.raise_other(shop_file)
    bell.close()


def test_a_mistake_is_told_in_three_parts_and_logged(qtbot, window, tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(mistakes, "log_file", lambda: tmp_path / "log" / "mistakes.log")
    monkeypatch.setattr(sys, "stderr", open(tmp_path / "stderr", "w"))  # noqa: SIM115, PTH123
    window.show()
    catcher = Catcher(window)
    error = ZeroDivisionError("<b>boards</b>")
    for _ in range(3):
        catcher._hook(type(error), error, None)
    shown = lambda: [w for w in QApplication.topLevelWidgets() if isinstance(w, BugDialog) and w.isVisible()]  # noqa: E731
    qtbot.waitUntil(lambda: bool(shown()))
    assert len(shown()) == 1, "one at a time"
    dialog = shown()[0]
    dialog._copy()
    copied = QApplication.clipboard().text()
    assert "ZeroDivisionError: <b>boards</b>" in copied
    assert (tmp_path / "log" / "mistakes.log").read_text("utf-8").count("ZeroDivisionError: ") == 3
    dialog.close()
    sys.stderr.close()
