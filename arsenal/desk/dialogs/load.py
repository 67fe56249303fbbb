"""Load files: what would come in, which rows are bad and why, then all, the good ones, or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFileDialog, QWidget

from arsenal.desk.parts.dialog import Dialog, Facts
from arsenal.desk.parts.lists import RowPainter, RowsModel, RowsView, write
from arsenal.desk.parts.text import Plain
from arsenal.desk.rooms import Shared
from arsenal.desk.theme import look
from arsenal.trade.errors import KnownError

if TYPE_CHECKING:
    from arsenal.acts.shop import Shop
    from arsenal.acts.views import BadRow, LoadReport

COUNTS = (
    ("people", "bowlers"),
    ("balls", "balls"),
    ("lanes", "lane conditions"),
    ("pads", "pads"),
    ("recipes", "recipes"),
    ("entries", "log entries"),
)


def said(row: BadRow) -> str:
    """File, row, field and reason as one sentence."""
    where = f"{row.file}, row {row.row}" if row.row is not None else row.file
    return f"{where}, {row.field}: {row.reason}" if row.field else f"{where}: {row.reason}"


class BadRowPainter(RowPainter):
    """One bad row: where, then why."""

    height = 44

    def paint_row(self, painter: QPainter, box: QRect, row: BadRow, *, chosen: bool) -> None:
        """File, row and field above, the reason below."""
        where = f"{row.file}, row {row.row}" if row.row is not None else row.file
        half = box.height() // 2
        inner = box.adjusted(look().px(8), look().px(3), -look().px(8), -look().px(3))
        top = QRect(inner.left(), inner.top(), inner.width(), half - look().px(3))
        write(painter, top, f"{where}, {row.field}" if row.field else where, look().font(13, 600), "ink")
        low = QRect(inner.left(), inner.top() + half - look().px(3), inner.width(), half - look().px(3))
        write(painter, low, row.reason, look().font(13), "bad")


class LoadDialog(Dialog):
    """Preview first; nothing is kept before a button is pressed."""

    def __init__(self, shared: Shared, parent: QWidget, paths: Sequence[Path]) -> None:
        super().__init__("Load files", parent, width=640)
        self.shared, self._paths = shared, list(paths)
        self.facts = Facts([("Files", ", ".join(p.name for p in self._paths))])
        self._found = self.facts.add("Found", "reading …")
        self.body.addWidget(self.facts)
        self.note = Plain("", px=14, weight=500, token="bad", wrap=True)
        self.note.hide()
        self.body.addWidget(self.note)
        self.model = RowsModel(said)
        self.bad = RowsView("Rows that cannot be loaded", self.model, BadRowPainter())
        self.bad.setMinimumHeight(look().px(180))
        self.bad.hide()
        self.body.addWidget(self.bad)
        self.offer("Not now", "Esc", self.reject)
        self.good = self.offer("Keep the good rows", "G", lambda: self._load(keep_good=True))
        self.all = self.offer("Load all", "↵", lambda: self._load(keep_good=False), primary=True)
        self.good.hide()
        self.all.setEnabled(False)
        shared.ask("load preview", lambda shop: _preview(shop, self._paths), self._show, failed=self._failed)

    def _show(self, report: LoadReport) -> None:
        counts = [f"{n} {word}" for name, word in COUNTS if (n := getattr(report, name))]
        self._found.setText(", ".join(counts) or "nothing to load")
        self.model.set_rows(report.bad_rows)
        wrong = len(report.bad_rows)
        self.bad.setVisible(wrong > 0)
        self.good.setVisible(wrong > 0 and report.rows > 0)
        self.all.setEnabled(wrong == 0 and report.rows > 0)
        if wrong:
            rows = "1 row" if wrong == 1 else f"{wrong} rows"
            way = ", or keep the good rows only" if report.rows else ""
            self.note.setText(f"{rows} cannot be loaded. Put them right and load again{way}.")
            self.note.show()
        self.fit()

    def _load(self, *, keep_good: bool) -> None:
        self.all.setEnabled(False)
        self.good.setEnabled(False)
        self.shared.worker.act(
            lambda shop: _load(shop, self._paths, keep_good=keep_good), self._loaded, failed=self._failed,
            title="Loading files",
        )  # fmt: skip

    def _loaded(self, report: LoadReport) -> None:
        self.shared.kept.emit(report.changes)
        self.accept()

    def _failed(self, error: KnownError) -> None:
        self._found.setText("nothing")
        self.complain(str(error))
        self.fit()


def _preview(shop: Shop, paths: Sequence[Path]) -> LoadReport:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    return files.preview(shop, paths)


def _load(shop: Shop, paths: Sequence[Path], *, keep_good: bool) -> LoadReport:
    from arsenal.acts import files  # noqa: PLC0415 - heavy

    return files.load(shop, paths, keep_good=keep_good)


def open_load(shared: Shared, parent: QWidget, paths: Sequence[Path] | None = None) -> LoadDialog | None:
    """Ask which files, where none are given, and show what they hold."""
    if paths is None:
        names, _ = QFileDialog.getOpenFileNames(
            parent, "Load files", str(Path.home()), "Tables and dumps (*.csv *.jsonl);;All files (*)"
        )
        paths = [Path(name) for name in names]
    if not paths:
        return None
    dialog = LoadDialog(shared, parent, paths)
    dialog.open_()
    return dialog
