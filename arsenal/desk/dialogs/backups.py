"""The automatic backups: when, how big, sound or not; make one, check the file, put one back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QRect, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from arsenal.desk import file_dialogs
from arsenal.desk.parts.dialog import Caution, Dialog, Facts
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade import days
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop


def size_words(size: int) -> str:
    """“1.2 MB”."""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"


def when_words(at: datetime) -> str:
    """“24 Nov 2026, 18:05”, local."""
    local = at.astimezone()
    return f"{days.day_and_year(local)}, {local:%H:%M}"


def spoken(backup: Any) -> str:
    """A row in words."""
    return f"Backup of {when_words(backup.at)}, {size_words(backup.size)}"


class BackupPainter(RowPainter):
    """One backup: when, size, file."""

    height = 36

    def paint_row(self, painter: QPainter, box: QRect, row: Any, *, chosen: bool) -> None:
        """Left to right."""
        pad = look().px(12)
        inner = box.adjusted(pad, 0, -pad, 0)
        write(painter, QRect(inner.left(), box.top(), look().px(170), box.height()), when_words(row.at),
              look().font(14, 600), "ink")  # fmt: skip
        write(painter, QRect(inner.left() + look().px(176), box.top(), look().px(70), box.height()),
              size_words(row.size), look().font(13), "ink2", right=True)  # fmt: skip
        rest = inner.adjusted(look().px(262), 0, 0, 0)
        write(painter, rest, Path(row.path).name, look().font(13), "ink2")


class BackupsDialog(Dialog):
    """The list with what can be done."""

    restore_wanted = Signal(Path)

    def __init__(self, shared: Shared, parent: QWidget) -> None:
        super().__init__("Backups", parent, width=640)
        self.shared = shared
        self.facts = Facts([("The file", str(shared.path))])
        self._sound = self.facts.add("Checked", "not yet in this window")
        self.body.addWidget(self.facts)
        self.model = RowsModel(spoken)
        self.list = RowsView("Backups, newest first", self.model, BackupPainter())
        self.list.setMinimumHeight(look().px(180))
        self.body.addWidget(self.list)
        self.none = Plain("No backup yet. One is made by itself when something has changed.", token="ink2", wrap=True)
        self.none.hide()
        self.body.addWidget(self.none)
        self.body.addWidget(
            Caution("A restored backup takes the place of the file.",
                    "It is checked first, and the file as it is now is kept beside it.")
        )  # fmt: skip
        self.offer("Close", "Esc", self.reject)
        self.offer("Check the file", "V", self._verify)
        self.offer("Copy to …", "B", self._copy)
        self.put_back = self.offer("Put it back", "P", self._restore, destructive=True)
        self.put_back.setEnabled(False)
        self.list.chosen.connect(lambda _row: self.put_back.setEnabled(True))
        self._reload()

    def _reload(self) -> None:
        self.shared.ask("backups", _backups, self._show, failed=self._failed)

    def _show(self, found: Sequence[Any]) -> None:
        self.model.set_rows(found)
        self.list.setVisible(bool(found))
        self.none.setVisible(not found)
        self.fit()

    def _verify(self) -> None:
        self._sound.setText("checking …")
        self.shared.ask("verify", _verify, self._verified, failed=self._failed)

    def _verified(self, found: Any) -> None:
        problems = tuple(found.problems)
        words = f"sound, {found.entries} entries" if found.ok else "; ".join(str(p) for p in problems[:3])
        self._sound.setText(words)
        self._sound.recolor("good" if found.ok else "bad")
        self.fit()

    def _copy(self) -> None:
        name = file_dialogs.save_file(
            self, "Copy the file to", str(Path.home() / f"{self.shared.path.stem}-copy.padbook"), "Padbook (*.padbook)"
        )
        if name:
            self.shared.worker.act(
                lambda shop: _copy(shop, Path(name)), self._copied, failed=self._failed, title="Copying the file"
            )

    def _copied(self, path: Path) -> None:
        self.shared.say(f"Copied and checked: {path}")
        self._reload()

    def _restore(self) -> None:
        row = self.list.in_hand()
        if row is not None:
            path = Path(row.path)
            self.accept()
            self.restore_wanted.emit(path)

    def _failed(self, error: KnownError) -> None:
        self.complain(str(error))
        self.fit()


def _backups(shop: Shop) -> Sequence[Any]:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    return files.backups(shop)


def _verify(shop: Shop) -> Any:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    return files.verify(shop)


def _copy(shop: Shop, path: Path) -> Path:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    files.backup(shop, path)
    return path


def open_backups(shared: Shared, parent: QWidget, restore: Callable[[Path], object] | None = None) -> BackupsDialog:
    """Show the backups; `restore` is called with the one to put back, once the dialog is gone."""
    dialog = BackupsDialog(shared, parent)
    if restore is not None:
        dialog.restore_wanted.connect(restore)
    dialog.open_()
    return dialog
