"""File dialogs beside an open shop: its locks stay, seen from another process (SQLite keeps a lock on byte 128 of the
wal index while a file is open: `UNIX_SHM_DMS` in its os_unix.c, and closing any handle on a file drops all of a
process's locks on it: POSIX `fcntl`).
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QFileDialog

from arsenal.acts.shop import Shop
from arsenal.desk import file_dialogs

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="locks of POSIX")
TAKE = "import fcntl, sys; fcntl.lockf(open(sys.argv[1], 'r+b'), fcntl.LOCK_EX | fcntl.LOCK_NB, 1, 128)"


def held(path: Path) -> bool:
    """Whether another process finds the wal index in use."""
    index = path.with_name(path.name + "-shm")
    told = subprocess.run([sys.executable, "-c", TAKE, str(index)], capture_output=True, check=False)  # noqa: S603
    return told.returncode != 0


def ended_soon(accept: bool = False) -> None:
    def end() -> None:
        (shown,) = [one for one in QApplication.topLevelWidgets() if isinstance(one, QFileDialog) and one.isVisible()]
        shown.accept() if accept else shown.reject()

    QTimer.singleShot(1200, end)


def test_looking_into_the_folder_of_an_open_shop_leaves_its_locks(qtbot, shop_file: Path, settings) -> None:
    with Shop.open(shop_file, settings=settings) as shop:
        shop.ledger.mark()
        assert held(shop_file)
        ended_soon()
        assert file_dialogs.open_file(None, "Load files", str(shop_file.parent), "All files (*)") == ""
        assert held(shop_file)
        ended_soon()
        assert file_dialogs.folder(None, "Write everything", str(shop_file.parent)) == ""
        assert held(shop_file)
    assert not shop_file.with_name(shop_file.name + "-shm").exists()


def test_a_file_and_a_name_to_save_under_come_back_as_they_were_chosen(qtbot, shop_file: Path) -> None:
    ended_soon(accept=True)
    assert file_dialogs.open_file(None, "Open", str(shop_file), "All files (*)") == str(shop_file)
    ended_soon(accept=True)
    onto = shop_file.with_name("out.csv")
    assert file_dialogs.save_file(None, "Save", str(onto), "Tables (*.csv)") == str(onto)


def test_every_dialog_of_the_program_is_one_of_these(repository: Path) -> None:
    desk = repository / "arsenal" / "desk"
    naming = {
        path.relative_to(desk).as_posix() for path in desk.rglob("*.py") if "QFileDialog" in path.read_text("utf-8")
    }
    assert naming == {"file_dialogs.py"}
